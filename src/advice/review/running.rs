//! What runs on without a pause: a joint, landings, a posture that somebody must spare, a hold.

use std::sync::Arc;

use super::super::likeness::{LARGE_JOINTS, SMALL_JOINTS};
use super::super::remark::{Remark, Weight};
use super::context::{Context, named_alone};
use super::figures::{
    BREAKS_RUN, HOLD, HOLD_SOURCE, IMPACT, IMPACT_LONG, IMPACT_SOURCE, LARGE_JOINT, POSTURE,
    PRACTICE, SMALL_JOINT,
};
use super::stretches::{Stretch, longest, stretches};
use crate::session::{Impact, Load, Sides, Use, Version, sparing};
use crate::time::Span;

/// Places and efforts that a limit may speak against for as long as they last.
const LASTING: [Load; 6] = [
    Load::Supine,
    Load::Prone,
    Load::Kneeling,
    Load::HeadDown,
    Load::Isometric,
    Load::PelvicFloor,
];

/// The same joint in one work after another.
pub(super) fn joints(context: &Context) -> Vec<Remark> {
    let small = SMALL_JOINTS.map(|load| (load, SMALL_JOINT)).into_iter();
    let large = LARGE_JOINTS.map(|load| (load, LARGE_JOINT)).into_iter();
    let told = small.chain(large).filter_map(|(load, (works, time))| {
        let runs = stretches(context, context.works(), |turn| loads(turn, load));
        let runs = runs.into_iter().filter(|run| {
            let is_long = run.works.len() >= works && run.time >= time;
            is_long && (run.moves > 1 || run.time >= time * 3)
        });
        let run = longest(runs.collect())?;
        Some(joint_run(context, load, &run, time))
    });
    told.collect()
}

fn loads(turn: &Use, load: Load) -> bool {
    turn.version().loads().contains(&load)
}

fn joint_run(context: &Context, load: Load, run: &Stretch, time: Span) -> Remark {
    let is_limit = context.session.limits.contains(&load);
    let weight = if is_limit || run.time >= time * 3 {
        Weight::ThinkAgain
    } else {
        Weight::Note
    };
    let first = run.works[0];
    let what = format!(
        "{}: loaded in {} works on end, {} of work",
        load.label(),
        run.works.len(),
        run.time
    );
    let why = format!(
        "nothing between them gives {BREAKS_RUN} of rest or another joint; from {time} on it is told"
    );
    let remark = Remark::new(weight, context.at(first), what).because(why, PRACTICE);
    remark.so(spared(context, load, run))
}

/// The version in the middle of a run that would end it, or another order.
fn spared(context: &Context, load: Load, run: &Stretch) -> String {
    let all = context.intervals();
    let middle = run.works.len() / 2;
    let inwards = (0..run.works.len()).map(|step| {
        let half = step.div_ceil(2);
        let to = if step % 2 == 0 {
            middle + half
        } else {
            middle.wrapping_sub(half)
        };
        run.works.get(to).copied()
    });
    let version = inwards.flatten().find_map(|n| {
        let at_once = all[n].together().is_some();
        let mut turns = all[n].moves.iter();
        let turn = turns.find(|turn| !at_once || loads(turn, load))?;
        Some((turn, sparing(turn, &[load], &context.room)?))
    });
    match version {
        Some((turn, version)) => format!(
            "in place of {} in the middle: \"{}\"; or another order (`matside arrange`)",
            turn.of.name,
            call_of(turn, version)
        ),
        None => "put a move between that leaves it in peace (`matside arrange`)".to_owned(),
    }
}

fn call_of<'a>(turn: &'a Use, version: Version<'a>) -> &'a str {
    if version.pick().is_none() {
        &turn.of.call
    } else {
        version.call()
    }
}

/// Landings in one work after another.
pub(super) fn impact(context: &Context) -> Vec<Remark> {
    let lands = |turn: &Use| turn.version().impact() == Impact::High;
    let runs = stretches(context, context.works(), lands);
    let is_long =
        |run: &Stretch, (works, time): (usize, Span)| run.works.len() >= works && run.time >= time;
    let runs = runs.into_iter().filter(|run| is_long(run, IMPACT));
    let Some(run) = longest(runs.collect()) else {
        return Vec::new();
    };
    let weight = if run.works.len() >= IMPACT_LONG.0 || run.time >= IMPACT_LONG.1 {
        Weight::ThinkAgain
    } else {
        Weight::Note
    };
    let what = format!(
        "both feet leave the floor in {} works on end, {} of work",
        run.works.len(),
        run.time
    );
    let remark = Remark::new(weight, context.at(run.works[0]), what);
    let advice = match spared(context, Load::Jump, &run) {
        of_order if of_order.starts_with("put a move") => {
            "put a move between in which a foot stays down".to_owned()
        }
        version => version,
    };
    vec![remark.because("each landing is about twice the body's weight, and legs that are tired land harder", IMPACT_SOURCE).so(advice)]
}

/// A place or an effort that somebody in the room must spare, for a long time on end.
pub(super) fn postures(context: &Context) -> Vec<Remark> {
    let limits = context.session.limits.iter();
    let lasting = limits.filter(|limit| LASTING.contains(limit));
    let told = lasting.filter_map(|&limit| {
        let runs = stretches(context, context.moving(), |turn| loads(turn, limit));
        let run = longest(runs).filter(|run| run.time >= POSTURE)?;
        let what = format!(
            "somebody must spare {}, and it lasts {} on end",
            limit.label(),
            run.time
        );
        let remark = Remark::new(Weight::ThinkAgain, context.at(run.works[0]), what);
        let why = format!(
            "for {POSTURE} and more on a version of their own people feel set apart, or give in"
        );
        Some(
            remark
                .because(why, PRACTICE)
                .so(spared(context, limit, &run)),
        )
    });
    told.collect()
}

/// Long holds without a version that moves.
pub(super) fn holds(context: &Context) -> Vec<Remark> {
    let mut told: Vec<(&str, Remark)> = Vec::new();
    for (n, one) in context.works() {
        let is_held = |turn: &&Arc<Use>| !one.is_circuit() && loads(turn, Load::Isometric);
        for turn in one.moves.iter().filter(is_held) {
            let is_told = told.iter().any(|(known, _)| *known == turn.of.id);
            let remark = hold(context, n, turn).filter(|_| !is_told);
            told.extend(remark.map(|remark| (&*turn.of.id, remark)));
        }
    }
    told.into_iter().map(|(_, remark)| remark).collect()
}

fn hold(context: &Context, n: usize, turn: &Use) -> Option<Remark> {
    let one = &context.intervals()[n];
    let held = if turn.version().sides() == Sides::Each {
        one.span().half()
    } else {
        one.span()
    };
    if held < HOLD || sparing(turn, &[Load::Isometric], &context.room).is_some() {
        return None;
    }
    let name = named_alone(one, turn);
    let what = format!("{name} is held for {held}, and none of its versions moves");
    let remark = Remark::new(Weight::ThinkAgain, context.at(n), what);
    let why = format!(
        "a held effort raises the blood pressure; from {HOLD} on there should be a version that moves"
    );
    let advice =
        "hold for less, say that nobody holds the breath, or take a move with a version that moves";
    Some(remark.because(why, HOLD_SOURCE).so(advice))
}
