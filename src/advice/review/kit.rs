//! Things: whether what the moves need is on the list, and what is on it for nothing.

use std::collections::BTreeMap;

use super::super::remark::{Remark, Weight, Where};
use super::context::Context;
use super::figures::PRACTICE;
use crate::plan::{Placed, Rotation};
use crate::session::Use;

/// What a move needs and the list of things does not have.
pub(super) fn undeclared(context: &Context) -> Vec<Remark> {
    let mut missing: BTreeMap<&str, (usize, &str)> = BTreeMap::new();
    // What a station needs is set out there, and counted before class.
    let is_set_out = |one: &Placed| one.together().is_some_and(Rotation::is_walked);
    for (n, one) in context.moving().filter(|(_, one)| !is_set_out(one)) {
        for turn in one.moves.iter() {
            for thing in turn.version().equipment() {
                if !context.session.equipment.iter().any(|known| known == thing) && thing != "floor"
                {
                    missing.entry(thing).or_insert((n, &turn.of.name));
                }
            }
        }
    }
    let told = missing.into_iter().map(|(thing, (n, name))| {
        let of_the_room = thing == "wall";
        let weight = if of_the_room {
            Weight::ThinkAgain
        } else {
            Weight::MustMend
        };
        let what = format!("{name} needs {thing}, which is not in `equipment`");
        let why = if of_the_room {
            "a free wall for everybody is looked for before class, not in it"
        } else {
            "what nobody was told to bring is not there"
        };
        let remark = Remark::new(weight, context.at(n), what);
        remark.because(why, PRACTICE).so(format!(
            "write \"{thing}\" into `equipment`, or take a version without it"
        ))
    });
    told.collect()
}

/// More people who need a thing at one time than there are things of it.
pub(super) fn too_few(context: &Context) -> Vec<Remark> {
    let stock = context.session.stock.iter();
    let short = stock.filter_map(|(thing, have)| {
        let (n, _) = context.moving().find(|(_, one)| uses(one, thing))?;
        let Some(people) = context.session.people else {
            return Some(unknown(context, n, thing, *have));
        };
        let needed = context.moving().map(|(n, one)| (needed(one, thing, people), n));
        let (needed, n) = needed.reduce(|most, next| if next.0 > most.0 { next } else { most })?;
        (needed > *have).then(|| {
            let what = format!("{needed} {thing} are needed at one time, and there are {have}");
            let remark = Remark::new(Weight::MustMend, context.at(n), what);
            let why = "who finds none stands and waits, or takes what is in another's way";
            remark.because(why, PRACTICE).so(
                "make it one of several stations (`Together`), let partners change over, or take a version without it",
            )
        })
    });
    short.collect()
}

/// How many of a thing are needed for what is done in an interval.
fn needed(interval: &Placed, thing: &str, people: u32) -> u32 {
    let Some(rotation) = interval.together().filter(|of| of.goes_round) else {
        return if uses(interval, thing) { people } else { 0 };
    };
    let stations = interval.moves.iter().enumerate();
    let with_it = stations.filter(|(_, turn)| needs(turn, thing));
    let there = with_it.filter_map(|(station, _)| rotation.people_at(station));
    there.sum()
}

fn uses(interval: &Placed, thing: &str) -> bool {
    interval.moves.iter().any(|turn| needs(turn, thing))
}

fn needs(turn: &Use, thing: &str) -> bool {
    turn.version().equipment().contains(&thing)
}

fn unknown(context: &Context, n: usize, thing: &str, have: u32) -> Remark {
    let what = format!("whether {have} {thing} are enough cannot be told: `people` is not written");
    let remark = Remark::new(Weight::Note, context.at(n), what);
    let why = "how many of a thing are needed follows from how many come";
    remark
        .because(why, PRACTICE)
        .so("write how many you expect, such as `people: 12`")
}

/// What is on the list and never used.
pub(super) fn unused(context: &Context) -> Vec<Remark> {
    let used = |thing: &str| context.moving().any(|(_, one)| uses(one, thing));
    let idle = context
        .session
        .equipment
        .iter()
        .filter(|thing| !used(thing));
    let told = idle.map(|thing| {
        let what = format!("no move uses the {thing} of `equipment`");
        let remark = Remark::new(Weight::Note, Where::default(), what);
        let why = "people carry it here and back, unless an option needs it";
        remark
            .because(why, PRACTICE)
            .so("take it off the list, or keep it for the options")
    });
    told.collect()
}
