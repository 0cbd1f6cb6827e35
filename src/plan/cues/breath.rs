//! Where in a block it is said how to breathe: once in each, and in a held move each first time, as
//! that stands first among its form cues.
//!
//! It depends on the block alone, so that a class that is joined in the middle has it where the
//! whole class has it. How it is worded is not known here.

use crate::plan::interval::{Interval, Kind};
use crate::plan::timeline::{Placed, Timeline};
use crate::session::Use;

/// The words in which a form cue speaks of the breath.
const SIGNS: [&str; 7] = [
    "breath",
    "breathe",
    "breathing",
    "breaths",
    "exhale",
    "inhale",
    "hum",
];

/// Whether it is said in this interval: where the first place of the block whose version knows how
/// to breathe comes the second time, or the first, where that is the only one.
pub(super) fn is_said(timeline: &Timeline, at: usize) -> bool {
    let all = timeline.intervals();
    let Some((block, place, round)) = stands(&all[at]).filter(|_| breathes(&all[at])) else {
        return false;
    };
    let here = |one: &&Placed| one.block() == Some(block);
    let mut earlier = all[..at].iter().rev().take_while(here);
    match round {
        1 => {
            let again = |one: &Placed| stands(one) == Some((block, place, 2));
            let mut later = all[at + 1..].iter().take_while(here);
            !earlier.any(|one| stands(one).is_some() && breathes(one)) && !later.any(again)
        }
        2 => !earlier.any(|one| {
            let other = stands(one).is_some_and(|(_, other, _)| other < place);
            other && breathes(one)
        }),
        _ => false,
    }
}

/// The block, the place and the round of work.
fn stands(interval: &Interval) -> Option<(usize, usize, usize)> {
    let place = interval.place.as_ref()?;
    let works = interval.kind == Kind::Work;
    works.then_some((place.block, place.place.nth, place.round.nth))
}

fn breathes(interval: &Interval) -> bool {
    interval.moves.iter().any(|used| of(used).is_some())
}

/// How to breathe in the version in force, if its words say so.
pub(super) fn of(used: &Use) -> Option<&str> {
    let version = used.version();
    let cues = version.form().iter().map(String::as_str);
    let cue = cues.into_iter().find(|cue| speaks_of_it(cue));
    version.breath().or(cue)
}

/// Whether a text speaks of the breath.
pub(super) fn speaks_of_it(text: &str) -> bool {
    let words = text.split(|c: char| !c.is_alphabetic());
    words
        .map(str::to_lowercase)
        .any(|word| SIGNS.contains(&word.as_str()))
}
