//! What the screen says about what was just done: a few words, read in passing.

use super::edit::Course;
use super::input::Harder;
use crate::plan::Interval;
use crate::session::Use;

/// An interval by its move, or by what it is for.
fn name(interval: &Interval) -> String {
    match interval.turn() {
        Some(turn) => turn.of.name.clone(),
        None => interval.kind.label().to_owned(),
    }
}

/// The interval with a number by its name, wherever in the course it is.
pub(super) fn name_of(course: &Course, id: u32) -> String {
    let all = course.plan.intervals();
    all.iter()
        .find(|interval| interval.id == id)
        .map_or_else(|| "the move".to_owned(), name)
}

fn running(course: &Course) -> String {
    course.now().map_or_else(|| "the end".to_owned(), name)
}

pub(super) fn went_on(before: &Course, _: &Course) -> String {
    format!("ended {}", running(before))
}

pub(super) fn went_back(_: &Course, after: &Course) -> String {
    format!("{} from its start", running(after))
}

pub(super) fn went_to(_: &Course, after: &Course) -> String {
    let block = after.now().and_then(|now| now.place.as_ref());
    match block.and_then(|place| place.title.as_ref()) {
        Some(title) => format!("gone to {title}"),
        None => format!("gone to {}", running(after)),
    }
}

pub(super) fn once_more(before: &Course, after: &Course) -> String {
    let behind = after.plan.intervals()[after.n + 1..].iter();
    let again = behind
        .filter(|next| next.kind.is_moving())
        .find(|next| before.plan.intervals().iter().all(|old| old.id != next.id));
    format!(
        "once more: {}",
        again.map_or_else(|| "the move".to_owned(), name)
    )
}

pub(super) fn round_dropped(before: &Course, after: &Course) -> String {
    let works = |course: &Course| {
        let from_here = course.plan.intervals()[course.n..].iter();
        from_here.filter(|i| i.kind.is_moving()).count()
    };
    match works(before).saturating_sub(works(after)) {
        1 => "rest of the round dropped: 1 move".to_owned(),
        moves => format!("rest of the round dropped: {moves} moves"),
    }
}

/// The option now in force, as it is called.
pub(super) fn in_force(turn: &Use) -> String {
    match turn.option() {
        Some(option) => format!("{}: {}", turn.of.name, option.call),
        None => format!("{}: as it is", turn.of.name),
    }
}

pub(super) fn stepped(after: &Course) -> String {
    let turn = after.meant().and_then(Interval::turn);
    turn.map_or_else(String::new, |turn| in_force(turn))
}

pub(super) fn no_step(course: &Course, way: Harder) -> String {
    let way = match way {
        Harder::Easier => "easier",
        Harder::Harder => "harder",
    };
    match course.meant().and_then(Interval::turn) {
        Some(turn) => format!("no {way} option for {}", turn.of.name),
        None => "no move left to change".to_owned(),
    }
}
