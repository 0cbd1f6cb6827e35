//! What the screen says about what was just done: a few words, read in passing.

use std::sync::Arc;

use super::course::Remaining;
use super::input::Harder;
use crate::plan::{Interval, Kind, Shape};
use crate::session::{Load, Use};

/// An interval by its move or moves, or by what it is for.
#[must_use]
pub fn name(interval: &Interval) -> String {
    match interval.turn() {
        Some(_) if interval.together().is_some() => several(interval),
        Some(turn) => turn.of.name.clone(),
        None => interval.kind.label().to_owned(),
    }
}

/// Several moves at once: two by their names, more by how many they are.
pub(super) fn several(interval: &Interval) -> String {
    match &interval.moves[..] {
        [one, other] => format!("{} / {}", one.of.name, other.of.name),
        more => format!("{} stations", more.len()),
    }
}

fn running(left: &Remaining) -> String {
    let running = left.running.as_ref();
    running.map_or_else(|| "the end".to_owned(), |of| name(&of.interval))
}

pub(super) fn went_on(before: &Remaining) -> String {
    format!("ended {}", running(before))
}

pub(super) fn went_back(after: &Remaining) -> String {
    format!("{} from its start", running(after))
}

pub(super) fn skipped(skipped: &Interval) -> String {
    format!("skipped {}", name(skipped))
}

pub(super) fn went_to(after: &Remaining) -> String {
    let running = after.running.as_ref().map(|running| &running.interval);
    let block = running.and_then(|now| now.place.as_ref());
    match block.and_then(|place| place.title.as_ref()) {
        Some(title) => format!("gone to {title}"),
        None => format!("gone to {}", self::running(after)),
    }
}

pub(super) fn once_more(left: &Remaining, done: Option<&Arc<Interval>>) -> String {
    let running = left.running.as_ref().map(|running| &running.interval);
    let again = running.filter(|now| now.kind.is_moving()).or(done);
    let name = again.map_or_else(|| "the move".to_owned(), |again| name(again));
    format!("once more: {name}")
}

pub(super) fn round_dropped(before: &Remaining, after: &Remaining) -> String {
    let works = |left: &Remaining| {
        let moving = left.intervals().filter(|one| one.kind.is_moving());
        moving.count()
    };
    let gone = works(before).saturating_sub(works(after));
    let place = before
        .running
        .as_ref()
        .and_then(|of| of.interval.place.clone());
    let what = match place.map(|place| place.shape) {
        Some(Shape::Sets) => ("set left out", "sets left out"),
        Some(Shape::Grid { .. }) => (
            "minute of the round left out",
            "minutes of the round left out",
        ),
        _ => ("move of the round left out", "moves of the round left out"),
    };
    match gone {
        1 => format!("1 {}", what.0),
        more => format!("{more} {}", what.1),
    }
}

/// What someone in the room must spare.
pub(super) fn limits(limits: &[Load]) -> String {
    let labels: Vec<&str> = limits.iter().map(|load| load.label()).collect();
    match labels[..] {
        [] => "nothing to spare".to_owned(),
        _ => format!("to spare: {}", labels.join(", ")),
    }
}

/// The option now in force, as it is called.
pub(super) fn in_force(turn: &Use) -> String {
    match turn.option() {
        Some(option) => format!("{}: {}", turn.of.name, option.call),
        None => format!("{}: as it is", turn.of.name),
    }
}

pub(super) fn stepped(after: &Remaining) -> String {
    let turn = after.meant().and_then(|meant| meant.turn());
    turn.map_or_else(String::new, |turn| in_force(turn))
}

pub(super) fn no_step(left: &Remaining, way: Harder, limits: &[Load]) -> String {
    let way = match way {
        Harder::Easier => "easier",
        Harder::Harder => "harder",
        Harder::Instead => "other",
    };
    let Some(turn) = left.meant().and_then(|meant| meant.turn()) else {
        return "no move left to change".to_owned();
    };
    let room = if limits.is_empty() {
        ""
    } else {
        " for this room"
    };
    format!("no {way} option for {}{room}", turn.of.name)
}

/// What `skip` would leave out.
pub(super) fn to_skip(left: &Remaining) -> Option<String> {
    left.meant().map(|meant| name(meant))
}

/// What would be done once more.
pub(super) fn to_repeat(left: &Remaining, done: Option<&Arc<Interval>>) -> Option<String> {
    let running = left.running.as_ref().map(|running| &running.interval);
    let moving = running.filter(|now| now.kind.is_moving());
    moving.or(done).map(|again| name(again))
}

/// Whether people rest, so that some keys mean what was, and some what comes.
pub(super) fn is_pause(left: &Remaining) -> bool {
    let running = left.running.as_ref();
    running.is_some_and(|of| !of.interval.kind.is_moving() && of.interval.kind != Kind::Talk)
}
