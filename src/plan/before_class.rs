//! What an instructor should know of a plan before she teaches it: moves of which no version is
//! clean for the room, with others of the library that are; counted moves that leave one side short.
//!
//! It is a reminder, no medical advice. Whether and how the plan is changed is hers.

use std::collections::HashSet;
use std::sync::Arc;

use super::interval::Interval;
use super::timeline::Timeline;
use crate::session::{Library, Load, Room, Sides, Use, choose, elsewhere};

/// How many other moves are named.
const OTHERS: usize = 3;

/// The remarks, a sentence each, in the order of the class; each move once.
#[must_use]
pub fn before_class(timeline: &Timeline, limits: &[Load], library: &Library) -> Vec<String> {
    let room = Room {
        limits,
        things: timeline.things(),
    };
    let mut seen = HashSet::new();
    let mut remarks = Vec::new();
    let all = timeline.intervals().iter();
    for (interval, used) in all.flat_map(|of| of.moves.iter().map(move |used| (of, used))) {
        if seen.insert((Arc::as_ptr(&used.of), used.pick, used.reps)) {
            remarks.extend(unspared(used, &room, library));
            remarks.extend(uneven(interval, used));
        }
    }
    remarks
}

/// That no version spares what the move meets, and which others would.
fn unspared(used: &Use, room: &Room, library: &Library) -> Option<String> {
    let choice = choose(used, room);
    if choice.met.is_empty() || choice.spare.is_some() {
        return None;
    }
    let met: Vec<&str> = choice.met.iter().map(|load| load.label()).collect();
    let others: Vec<&str> = elsewhere(used, library, room)
        .into_iter()
        .take(OTHERS)
        .map(|of| of.name.as_str())
        .collect();
    let name = named(used);
    let do_this = if others.is_empty() {
        "they leave it out".to_owned()
    } else {
        format!("another move would: {}", others.join(", "))
    };
    Some(format!(
        "No version of {name} spares {}; {do_this}",
        met.join(" and ")
    ))
}

fn named(used: &Use) -> String {
    let option = used.option();
    option.map_or_else(
        || used.of.name.clone(),
        |option| format!("{} ({})", used.of.name, option.call),
    )
}

/// That an odd number leaves one side short.
fn uneven(interval: &Interval, used: &Use) -> Option<String> {
    let reps = used.reps.filter(|reps| !reps.is_multiple_of(2))?;
    let shared = used.version().sides() != Sides::Both;
    let alone = !interval.is_circuit();
    (shared && alone).then(|| {
        format!(
            "{}, {reps}: one side does one more than the other; an even number shares it",
            named(used)
        )
    })
}
