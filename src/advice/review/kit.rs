//! Things: whether what the moves need is on the list, and what is on it for nothing.

use std::collections::BTreeMap;

use super::super::remark::{Remark, Weight, Where};
use super::context::Context;
use super::figures::PRACTICE;
use crate::plan::{Placed, Rotation};

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

/// What is on the list and never used.
pub(super) fn unused(context: &Context) -> Vec<Remark> {
    let used = |thing: &str| {
        let mut turns = context.moving().flat_map(|(_, one)| one.moves.iter());
        turns.any(|turn| turn.version().equipment().contains(&thing))
    };
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
