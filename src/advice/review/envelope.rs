//! Work, rest and length against the published envelope, and the class against its slot.

use super::super::remark::{Remark, Weight, Where};
use super::context::{Context, cost, named};
use super::figures::{
    BOUT, BOUT_SOURCE, BREAKS_RUN, CLEAR, DENSE, DENSE_SOURCE, IN_HAND, LONG_WORK, MAIN,
    MAIN_SOURCE, PRACTICE, RECOVERY, RECOVERY_SOURCE, VIGOROUS,
};
use crate::plan::Placed;
use crate::time::{Offset, Span};

/// Works shorter or longer than interval training has them.
pub(super) fn bouts(context: &Context) -> Vec<Remark> {
    let mut told: Vec<(Option<usize>, bool, Remark)> = Vec::new();
    for (n, one) in context.works().filter(|(_, one)| !one.untimed) {
        let (short, long) = (one.span() < BOUT.0, one.span() > BOUT.1);
        let known = told
            .iter()
            .any(|(block, of, _)| (*block, *of) == (one.block(), short));
        if !(short || long) || known {
            continue;
        }
        let what = format!("{} works for {}", named(one), one.span());
        let weight = if short {
            Weight::ThinkAgain
        } else {
            Weight::Note
        };
        let remark = Remark::new(weight, context.at(n), what);
        let why = format!(
            "works of interval training last from {} to {}",
            BOUT.0, BOUT.1
        );
        let advice = if short {
            "make it longer, or do two in one work"
        } else {
            "tell the minutes, and say that a pause is always allowed"
        };
        told.push((
            one.block(),
            short,
            remark.because(why, BOUT_SOURCE).so(advice),
        ));
    }
    told.into_iter().map(|(.., remark)| remark).collect()
}

/// The main part, shorter or longer than is usual.
pub(super) fn main_part(context: &Context) -> Vec<Remark> {
    let main = context.main_part();
    let Some((first, _)) = context.works().next() else {
        let remark = Remark::new(
            Weight::ThinkAgain,
            Where::default(),
            "there is no work in this class",
        );
        let why = "a class has a main part";
        return vec![remark.because(why, MAIN_SOURCE).so("put a `Block` in")];
    };
    let (weight, advice) = if main > MAIN.1 {
        (Weight::ThinkAgain, "take a round or a block out")
    } else if main < MAIN.0 {
        (Weight::Note, "one more round, where there is time")
    } else {
        return Vec::new();
    };
    let what = format!(
        "the main part lasts {} from the first work to the last",
        main.floor_secs()
    );
    let remark = Remark::new(weight, context.at(first), what);
    let why = format!("usual are {} to {}", MAIN.0, MAIN.1);
    vec![remark.because(why, MAIN_SOURCE).so(advice)]
}

/// Hard work with short rests for longer than anything published.
pub(super) fn dense(context: &Context) -> Vec<Remark> {
    let mut worst: Option<(usize, Span)> = None;
    let mut from: Option<(usize, Offset)> = None;
    let mut before: Option<&Placed> = None;
    for (n, one) in context.works() {
        let rest = before.map(|before| one.start - before.end);
        let follows = rest.is_some_and(|rest| rest < BREAKS_RUN && rest * 2 <= one.span());
        let hard = one
            .moves
            .iter()
            .all(|turn| cost(turn).is_some_and(|met| met >= VIGOROUS));
        let (first, start) = match from.filter(|_| follows) {
            Some(open) => open,
            None => (n, one.start),
        };
        from = hard.then_some((first, start));
        let long = one.end - start;
        if hard && worst.is_none_or(|(_, most)| long > most) {
            worst = Some((first, long));
        }
        before = Some(one);
    }
    let Some((first, long)) = worst.filter(|(_, long)| *long > DENSE) else {
        return Vec::new();
    };
    let what = format!(
        "vigorous work goes on for {} with rests of half of it or less",
        long.floor_secs()
    );
    let remark = Remark::new(Weight::ThinkAgain, context.at(first), what);
    let why = format!("the hardest published formats of this kind end after {DENSE}");
    vec![
        remark
            .because(why, DENSE_SOURCE)
            .so("put a recovery of a minute between, or longer rests"),
    ]
}

/// Long hard works with a recovery behind them that is shorter than any published.
pub(super) fn recovery(context: &Context) -> Vec<Remark> {
    let works: Vec<_> = context.works().collect();
    let is_hard = |one: &Placed| {
        let mut moves = one.moves.iter();
        moves.all(|turn| cost(turn).is_some_and(|met| met >= VIGOROUS))
    };
    let short = works.windows(2).filter_map(|pair| {
        let ((n, one), (_, next)) = (pair[0], pair[1]);
        let rest = next.start - one.end;
        let least = Span::from_millis(one.span().millis() * RECOVERY / 100);
        let is_told = one.span() >= LONG_WORK && is_hard(one) && is_hard(next) && rest < least;
        is_told.then_some((n, one, rest, least))
    });
    let short: Vec<_> = short.collect();
    let Some((n, one, rest, least)) = short.first() else {
        return Vec::new();
    };
    let what = format!(
        "{} is vigorous for {}, and {rest} of recovery follow",
        named(one),
        one.span()
    );
    let what = match short.len() - 1 {
        0 => what,
        more => format!("{what}; so it is {more} times more"),
    };
    let why = "who works hard for minutes breathes hard for minutes";
    let remark = Remark::new(Weight::ThinkAgain, context.at(*n), what);
    let advice = format!("give it {} or more, or shorter works", least.ceil_secs());
    vec![remark.because(why, RECOVERY_SOURCE).so(advice)]
}

/// The class against its slot.
pub(super) fn slot(context: &Context) -> Vec<Remark> {
    let (total, is_about) = (context.timeline.total(), context.timeline.is_estimated());
    let Some(slot) = context.session.slot else {
        let remark = Remark::new(
            Weight::Note,
            Where::default(),
            "it is not said how long the room is ours",
        );
        let advice = format!(
            "write `slot: \"..\"`; the class takes {}",
            total.floor_secs()
        );
        return vec![
            remark
                .because(
                    "then the end is kept in sight while the class runs",
                    PRACTICE,
                )
                .so(advice),
        ];
    };
    let end = Where {
        at: Some(context.timeline.end()),
        ..Where::default()
    };
    let in_hand = slot.saturating_sub(total);
    let (weight, what, why, advice) = if total > slot {
        let over = total.saturating_sub(slot);
        (
            Weight::MustMend,
            format!("the class is {over} longer than its slot of {slot}"),
            "the next class is at the door".to_owned(),
            "`matside fit` finds timings that end on time",
        )
    } else if in_hand < CLEAR {
        (
            Weight::ThinkAgain,
            format!("{in_hand} are left of the slot to clear the room"),
            format!("mats, weights and questions take {CLEAR} and more"),
            "`matside fit --leave 2` makes room",
        )
    } else if in_hand > IN_HAND && in_hand * 5 > slot && !is_about {
        (
            Weight::Note,
            format!("{in_hand} of the slot are not used"),
            format!("some minutes in hand are good, more than {IN_HAND} could be class"),
            "one more round, or longer recoveries (`matside fit`)",
        )
    } else {
        return Vec::new();
    };
    let remark = Remark::new(weight, end, what);
    vec![remark.because(why, PRACTICE).so(advice)]
}
