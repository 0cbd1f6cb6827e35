//! Whether regions, actions and sides get their share.

use std::collections::BTreeMap;

use super::super::likeness::{OPPOSED, are_opposed, region};
use super::super::remark::{Remark, Weight, Where};
use super::context::{Context, done_by, named, named_alone};
use super::figures::{A_SIDE, BREAKS_RUN, ORDER_SOURCE, PRACTICE, STRETCH_SOURCE};
use crate::plan::Kind;
use crate::session::{Action, Region, Sides, Use};
use crate::time::Span;

/// An action is spoken of from so much work on.
const SPOKEN_OF: Span = Span::from_secs(60);

/// The same region in two works on end.
pub(super) fn region_run(context: &Context) -> Vec<Remark> {
    let works: Vec<_> = context.works().collect();
    let mut told: Vec<(usize, usize, String, Remark, usize)> = Vec::new();
    let pairs = || works.windows(2);
    let each = (0..context.walkers()).flat_map(|walker| pairs().map(move |pair| (walker, pair)));
    for (walker, pair) in each {
        let [(_, before), (n, after)] = pair else {
            continue;
        };
        let of = |one| done_by(one, walker).first();
        let (Some(a), Some(b)) = (of(before), of(after)) else {
            continue;
        };
        // Told once where everybody goes the same way.
        if walker > 0 && before.together().is_none() && after.together().is_none() {
            continue;
        }
        let alone = !before.is_circuit() && !after.is_circuit();
        let apart =
            after.start - before.end >= BREAKS_RUN || a.of.id == b.of.id || are_opposed(a, b);
        let (same, block) = (region(a) == region(b), after.block().unwrap_or(0));
        if !alone || apart || !same || before.block() != after.block() {
            continue;
        }
        let key = format!("{} {}", a.of.id, b.of.id);
        if let Some((.., times)) = told
            .iter_mut()
            .find(|(of, _, known, ..)| *of == block && *known == key)
        {
            *times += 1;
            continue;
        }
        let label = region(b).map_or("the same region", Region::label);
        let what = format!(
            "{} and {} follow one another, both {label}",
            a.of.name, b.of.name
        );
        let remark = Remark::new(Weight::ThinkAgain, context.at(*n), what);
        let why = format!(
            "with less than {BREAKS_RUN} between, one region should rest while another works"
        );
        let remark = remark
            .because(why, ORDER_SOURCE)
            .so("change the order (`matside arrange`)");
        told.push((block, *n, key, remark, 1));
    }
    let told = told.into_iter().map(|(.., mut remark, times)| {
        if times > 1 {
            remark.what = format!("{}, {times} times", remark.what);
        }
        remark
    });
    told.collect()
}

/// The time of works in which something is done, each move of a circuit with its share.
fn time_by<K: Ord>(context: &Context, key: impl Fn(&Use) -> Option<K>) -> BTreeMap<K, Span> {
    let mut times = BTreeMap::new();
    for (_, one) in context.works() {
        let share = Span::from_millis(one.span().millis() / one.moves.len().max(1) as u64);
        for key in one.moves.iter().filter_map(|turn| key(turn)) {
            *times.entry(key).or_insert(Span::ZERO) += share;
        }
    }
    times
}

fn percent(part: Span, of: Span) -> u64 {
    part.millis() * 100 / of.millis().max(1)
}

/// A region that is not worked, or for more than half of the work.
pub(super) fn region_share(context: &Context) -> Vec<Remark> {
    let work = context.timeline.time_in(Kind::Work);
    if work.is_zero() {
        return Vec::new();
    }
    let times = time_by(context, region);
    let parts = [Region::Lower, Region::Upper, Region::Core];
    let works_it = |part: Region| {
        let mut turns = context.works().flat_map(|(_, one)| one.moves.iter());
        turns.any(|turn| turn.of.regions.contains(&part))
    };
    let missing = parts
        .into_iter()
        .filter(|&part| !works_it(part))
        .map(|part| {
            let what = format!("no move of the work is for the {}", part.label());
            let remark = Remark::new(Weight::ThinkAgain, Where::default(), what);
            let why = "a class for everybody works legs, upper body and core";
            remark
                .because(why, ORDER_SOURCE)
                .so("put one in, or say in the title what the class is for")
        });
    let over = parts.into_iter().filter_map(|part| {
        let time = *times.get(&part)?;
        (time * 2 > work).then(|| {
            let share = percent(time, work);
            let what = format!("{share} % of the work is for the {}, {time} of {work}", part.label());
            let remark = Remark::new(Weight::ThinkAgain, Where::default(), what);
            let why = "more than half leaves the others too little, and itself too little rest";
            remark.because(why, PRACTICE).so("put another region in the place of one of them, or say in the title what the class is for")
        })
    });
    missing.chain(over).collect()
}

/// An action without its counterpart, or for more than half of the work.
pub(super) fn action_share(context: &Context) -> Vec<Remark> {
    let work = context.timeline.time_in(Kind::Work);
    let times = time_by(context, |turn| turn.of.action);
    let of = |action: Action| times.get(&action).copied().unwrap_or_default();
    let lone = OPPOSED
        .into_iter()
        .filter(|&(one, other)| of(one) >= SPOKEN_OF && of(other) * 4 < of(one));
    let lone = lone.map(|(one, other)| {
        let what = format!(
            "{} of {} stand against {} of {}",
            of(one),
            one.label(),
            of(other),
            other.label()
        );
        let weight = if one == Action::Push { Weight::ThinkAgain } else { Weight::Note };
        let remark = Remark::new(weight, Where::default(), what);
        let why = "what pushes wants to pull as well, and the other way round, at least a quarter as long";
        let example = if other == Action::Pull {
            "a row"
        } else {
            "a push"
        };
        remark.because(why, PRACTICE).so(format!(
            "put {example} in (`matside moves {}`)",
            other.label()
        ))
    });
    let over = times
        .iter()
        .filter(|(_, time)| **time * 2 > work)
        .map(|(action, time)| {
            let share = percent(*time, work);
            let what = format!("{share} % of the work is {}", action.label());
            let remark = Remark::new(Weight::ThinkAgain, Where::default(), what);
            remark
                .because("more than half is one way of moving", PRACTICE)
                .so("change some of it for another action (`matside moves`)")
        });
    lone.chain(over).collect()
}

/// Sides that do not get the same, or too little.
pub(super) fn sides(context: &Context) -> Vec<Remark> {
    let mut told = unequal(context);
    let mut known: Vec<(&str, Option<usize>)> = Vec::new();
    for (n, one) in context.moving() {
        // Of several at once each is looked at, of a circuit the first.
        let looked_at = if one.is_circuit() { 1 } else { one.moves.len() };
        let sided = one.moves.iter().take(looked_at);
        let mut sided = sided.filter(|turn| turn.version().sides() == Sides::Each);
        let Some(turn) = sided.next() else {
            continue;
        };
        let key = (&*turn.of.id, one.block());
        if known.contains(&key) {
            continue;
        }
        let loose = one.untimed || one.is_circuit();
        let a_side = one.span().half();
        let remark = if loose {
            let what = format!("nobody calls the change of sides of {}", named(one));
            Remark::new(Weight::Note, context.at(n), what)
                .because("counted and free work has no half-time", PRACTICE)
                .so("say in the note of its `Use` how many a side, or when to change")
        } else if a_side < A_SIDE {
            let what = format!(
                "{} has {a_side} a side, the change of sides included",
                named_alone(one, turn)
            );
            let source = if one.kind == Kind::CoolDown {
                STRETCH_SOURCE
            } else {
                PRACTICE
            };
            Remark::new(Weight::ThinkAgain, context.at(n), what)
                .because(format!("a side wants {A_SIDE} or more"), source)
                .so(format!(
                    "give it {} or more, or one side in each round",
                    A_SIDE * 2
                ))
        } else {
            continue;
        };
        known.push(key);
        told.push(remark);
    }
    told
}

/// Moves whose notes name the sides, when these have not the same time.
fn unequal(context: &Context) -> Vec<Remark> {
    let mut times: BTreeMap<&str, (usize, [Span; 2])> = BTreeMap::new();
    for (n, one) in context.moving() {
        for turn in one.moves.iter() {
            let note = turn.note.as_deref().unwrap_or_default().to_lowercase();
            let version = turn.version();
            let names = |side: &str| {
                let in_words = |text: &str| {
                    text.split(|c: char| !c.is_alphabetic())
                        .any(|word| word == side)
                };
                in_words(&note) || in_words(version.call())
            };
            let entry = times.entry(&turn.of.id).or_insert((n, [Span::ZERO; 2]));
            match (names("left"), names("right")) {
                (true, false) => entry.1[0] += one.span(),
                (false, true) => entry.1[1] += one.span(),
                _ => {}
            }
        }
    }
    let uneven = times
        .into_iter()
        .filter(|(_, (_, [left, right]))| left != right);
    let told = uneven.map(|(id, (n, [left, right]))| {
        let what = format!("`{id}` has {left} on the left and {right} on the right");
        Remark::new(Weight::ThinkAgain, context.at(n), what)
            .because("both sides want the same", PRACTICE)
            .so("give the other side its turn, or take a version that changes sides at half-time")
    });
    told.collect()
}
