//! Between two moves: whether the body has the time to change, how often it goes to the floor and
//! up, and whether there is time to drink.

use super::super::remark::{Remark, Weight};
use super::context::{Context, Way, named};
use super::figures::{A_STEP, FEW_LEVELS, LEVELS, PRACTICE, RISE_SOURCE, SIP, WATER};
use crate::plan::{Kind, PositionChange};
use crate::time::{Offset, Span};

/// A rest too short for the change of position, or for fetching.
pub(super) fn change_time(context: &Context) -> Vec<Remark> {
    let mut seen: Vec<(Option<usize>, &str, &str, usize, Remark)> = Vec::new();
    let all = context.intervals();
    for way in context.ways() {
        let Some(remark) = too_short(context, &way) else {
            continue;
        };
        let id = |n: usize| all[n].turn().map_or("", |turn| &*turn.of.id);
        let (from, to) = (way.from.map_or("", id), id(way.to));
        let block = all[way.to].block();
        let same = seen
            .iter_mut()
            .find(|(b, f, t, ..)| (*b, *f, *t) == (block, from, to));
        match same {
            Some((.., times, first)) => {
                *times += 1;
                if remark.weight < first.weight {
                    *first = remark;
                }
            }
            None => seen.push((block, from, to, 1, remark)),
        }
    }
    let told = seen.into_iter().map(|(.., times, mut remark)| {
        if times > 1 {
            remark.what = format!("{}; {times} times in this block", remark.what);
        }
        remark
    });
    told.collect()
}

fn too_short(context: &Context, way: &Way) -> Option<Remark> {
    let (cueing, next) = (&context.session.cueing, &context.intervals()[way.to]);
    let takes = way.body.takes(cueing);
    if takes.is_zero() {
        return None;
    }
    let steps = matches!(next.kind, Kind::WarmUp | Kind::CoolDown);
    let (weight, short) = if steps {
        // What the pause does not give is taken from the step itself.
        let needs = takes.saturating_sub(way.pause) + A_STEP;
        (Weight::Note, needs.saturating_sub(next.span()))
    } else if way.pause < takes {
        (Weight::MustMend, takes.saturating_sub(way.pause))
    } else {
        let counted = takes + cueing.count_span();
        (Weight::ThinkAgain, counted.saturating_sub(way.pause))
    };
    if short.is_zero() {
        return None;
    }
    let (has, wants) = if steps {
        (
            next.span(),
            format!("{} with the way to it", takes + A_STEP),
        )
    } else {
        (way.pause, takes.to_string())
    };
    let what = format!(
        "{} has {has} where {} needs {wants}",
        pause_before(context, way),
        does(way)
    );
    let why = match weight {
        Weight::MustMend => format!("the work begins {short} before people can be there"),
        Weight::ThinkAgain => "people are still on their way when the count begins".to_owned(),
        Weight::Note => "what is left of the step is hardly worth the way".to_owned(),
    };
    let more = short.ceil_secs().secs_ceil();
    let mut advice = if steps {
        format!("give the step {more} s more")
    } else {
        format!(
            "give the rest {more} s more, or put moves of one place side by side (`matside arrange`)"
        )
    };
    if !way.body.fetch.is_empty() {
        advice = format!(
            "{advice}; have {} at hand before",
            way.body.fetch.join(" and ")
        );
    }
    let remark = Remark::new(weight, context.at(way.to), what);
    Some(remark.because(why, RISE_SOURCE).so(advice))
}

fn pause_before(context: &Context, way: &Way) -> String {
    let all = context.intervals();
    let to = named(&all[way.to]);
    match way.from {
        Some(from) => format!("{} to {to}", named(&all[from])),
        None => format!("the way to {to}, the first move,"),
    }
}

fn does(way: &Way) -> String {
    let body = match way.body.change {
        PositionChange::Same => None,
        PositionChange::Down => Some("getting down"),
        PositionChange::Up => Some("getting up"),
        PositionChange::Shift => Some("changing place"),
    };
    let fetch = way.body.fetch.join(" and ");
    match (body, fetch.is_empty()) {
        (Some(body), true) => body.to_owned(),
        (Some(body), false) => format!("{body} and fetching {fetch}"),
        (None, _) => format!("fetching {fetch}"),
    }
}

/// How often everybody goes to the floor or up from it while the class works.
pub(super) fn levels(context: &Context) -> Vec<Remark> {
    let all = context.intervals();
    let is_change = |way: &&Way| {
        let both = |n: usize| all[n].kind == Kind::Work;
        let inside = way.from.is_some_and(both) && both(way.to);
        inside && matches!(way.body.change, PositionChange::Down | PositionChange::Up)
    };
    // Where several moves are done at once, those of whoever has the most.
    let of_walker = |walker| -> Vec<Way> {
        let ways = context.ways_of(walker).into_iter();
        ways.filter(|way| is_change(&way)).collect()
    };
    let changes = (0..context.walkers()).map(of_walker);
    let changes = changes.max_by_key(Vec::len).unwrap_or_default();
    let (Some(first), main) = (changes.first(), context.main_part()) else {
        return Vec::new();
    };
    let count = changes.len();
    if count <= FEW_LEVELS {
        return Vec::new();
    }
    let each = Span::from_millis(main.millis() / count as u64);
    let weight = if each < LEVELS {
        Weight::ThinkAgain
    } else {
        Weight::Note
    };
    let cost = context.session.cueing.change * count as u64;
    let what = format!(
        "everybody changes between standing and the floor {count} times, once in {}",
        each.floor_secs()
    );
    let why = format!(
        "each takes strength, breath and some {} s, {cost} in all; from once in {LEVELS} on it is worth it",
        context.session.cueing.change.secs()
    );
    let remark = Remark::new(weight, context.at(first.to), what).because(why, PRACTICE);
    vec![remark.so("put what is done on the floor together, in a block of its own or side by side (`matside arrange`)")]
}

/// A long time of warm-up and work without a pause in which one could drink.
pub(super) fn water(context: &Context) -> Vec<Remark> {
    let mut since: Option<(usize, Offset)> = None;
    let mut worst: Option<(usize, Span)> = None;
    let all = context.intervals();
    for way in context.ways() {
        let next = &all[way.to];
        if next.kind == Kind::CoolDown {
            break;
        }
        if way.pause >= SIP {
            since = None;
        }
        let (from, start) = *since.get_or_insert((way.to, next.start));
        let long = next.end - start;
        if worst.is_none_or(|(_, most)| long > most) {
            worst = Some((from, long));
        }
    }
    let Some((from, long)) = worst.filter(|(_, long)| *long > WATER) else {
        return Vec::new();
    };
    let what = format!("{} go by without a pause of {SIP}", long.floor_secs());
    let remark = Remark::new(Weight::ThinkAgain, context.at(from), what);
    let why = format!("within {WATER} everybody should have had the chance to drink");
    let advice = "put a `Recover` in, or a longer `recovery` between two rounds";
    vec![remark.because(why, PRACTICE).so(advice)]
}
