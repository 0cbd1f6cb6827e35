//! What the screen says about what was just done: a few words, read in passing.

use std::sync::Arc;

use super::course::{Course, Remaining};
use super::input::{Act, Harder};
use super::rotation;
use super::view::{Asked, WindowAsked};
use crate::plan::{Interval, Kind, Shape};
use crate::session::{Load, Use};
use crate::time::{Offset, Span};

/// Less of a window than this goes unasked (common practice, no source).
const LEAST_ASKED: Span = Span::from_secs(30);

/// Whether a circuit is repeated freely in it.
fn is_window(interval: &Interval) -> bool {
    let shape = interval.place.as_ref().map(|place| place.shape);
    interval.kind == Kind::Work && shape == Some(Shape::Window)
}

/// An interval by its move or moves, or by what it is for. A window is more than the first of its moves.
#[must_use]
pub fn name(interval: &Interval) -> String {
    if is_window(interval) {
        return "the AMRAP".to_owned();
    }
    move_name(interval)
}

/// An interval by its first move, or by what it is for.
pub(super) fn move_name(interval: &Interval) -> String {
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

pub(super) fn went_on(before: &Remaining, at: Offset) -> String {
    let early = before.running.as_ref().filter(|of| is_window(&of.interval));
    let early = early.map(|of| format!(", {} early", of.left(at).ceil_secs()));
    format!("ended {}{}", running(before), early.unwrap_or_default())
}

pub(super) fn went_back(after: &Remaining) -> String {
    format!("{} from its start", running(after))
}

pub(super) fn skipped(before: &Remaining, at: Offset, skipped: &Interval) -> String {
    let running = before.running.as_ref();
    match running.filter(|of| of.interval.id == skipped.id) {
        Some(of) if is_window(skipped) => {
            format!("skipped the rest of the AMRAP, {}", of.left(at).ceil_secs())
        }
        _ if is_window(skipped) => format!("skipped {}", with_length(skipped)),
        _ => format!("skipped {}", name(skipped)),
    }
}

/// What it is, and of a window how long.
fn with_length(interval: &Interval) -> String {
    let name = name(interval);
    if is_window(interval) {
        format!("{name}, {}", interval.length.ceil_secs())
    } else {
        name
    }
}

/// What is asked before a window goes, or comes again: it is much time at once.
pub(super) fn window(course: &Course, at: Offset, act: &Act) -> Option<Asked> {
    let running = course.running()?;
    let moves = running.interval.kind.is_moving();
    let own = Some((running.interval.clone(), running.left(at)));
    let planned = |of: &Arc<Interval>| Some((of.clone(), of.length));
    let (what, meant) = match act {
        Act::GoOn => (WindowAsked::Leave, own),
        Act::Skip if moves => (WindowAsked::Leave, own),
        Act::Skip => (WindowAsked::LeaveOut, course.left.meant().and_then(planned)),
        Act::OnceMore => {
            let again = rotation::to_repeat(&course.left, course.last_moved());
            (WindowAsked::Again, again.and_then(planned))
        }
        _ => return None,
    };
    let (interval, length) = meant?;
    (is_window(&interval) && length >= LEAST_ASKED).then_some(Asked::Window {
        what,
        length: length.ceil_secs(),
    })
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
    let name = to_repeat(left, done).unwrap_or_else(|| "the move".to_owned());
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
    if in_window(left) {
        return Some("the rest of the AMRAP".to_owned());
    }
    left.meant().map(|meant| with_length(meant))
}

/// What would be done once more.
pub(super) fn to_repeat(left: &Remaining, done: Option<&Arc<Interval>>) -> Option<String> {
    rotation::to_repeat(left, done).map(|again| with_length(again))
}

/// Whether a circuit is being repeated freely, so that the keys mean all that is left of it.
pub(super) fn in_window(left: &Remaining) -> bool {
    let running = left.running.as_ref();
    running.is_some_and(|of| is_window(&of.interval))
}

/// Whether people rest, so that some keys mean what was, and some what comes.
pub(super) fn is_pause(left: &Remaining) -> bool {
    let running = left.running.as_ref();
    running.is_some_and(|of| !of.interval.kind.is_moving() && of.interval.kind != Kind::Talk)
}
