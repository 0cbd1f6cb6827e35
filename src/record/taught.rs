//! The class as it was taught: its pieces in order, told from the facts alone.
//!
//! Class time is the facts' offsets, time on the wall their wall time. How a change
//! worked out is not computed here: what it led to was recorded as intervals entered.

use std::collections::HashMap;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::wall::{self, Wall};
use crate::live::{Ending, HoldReason};
use crate::plan::Kind;
use crate::session::{Doing, Move, Part, Pick, Session, Use};
use crate::time::{Offset, Span};

/// An interval as it was taught, or the part of one between two changes of its option.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// The interval's own number.
    pub id: u32,
    /// What it was for.
    pub kind: Kind,
    /// The part of the session, counted from 0.
    pub part: usize,
    /// The block, counted from 1.
    pub block: Option<usize>,
    /// The round, counted from 1.
    pub round: Option<usize>,
    /// The moves, by their words in the library.
    pub moves: Vec<String>,
    /// The option in force; of several moves at once that of the first.
    pub pick: Option<Pick>,
    /// Where the moves were done at once, each by a group: which of the works it was until
    /// everybody had been everywhere, counted from 1.
    pub together: Option<usize>,
    /// How long it was to be when it began.
    pub length: Span,
    /// How much class time it took.
    pub ran: Span,
    /// When it began.
    pub from: Wall,
    /// When it ended; holds within it lie between.
    pub to: Wall,
    /// Whether it was a work that the instructor left.
    pub skipped: bool,
}

/// A stand of the class.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct HoldTaken {
    /// Where the class was.
    pub offset: Offset,
    /// Why it stood.
    pub why: HoldReason,
    /// For how long, the count-in after it included.
    pub lasted: Span,
}

/// A moment that the instructor marked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct MarkSet {
    /// Where the class was.
    pub offset: Offset,
    /// When, by the clock on the wall.
    #[serde(with = "wall")]
    pub wall: Wall,
    /// What was being done: a move's name, or the kind of interval.
    pub during: String,
}

/// How often the instructor changed the class, what she took back left out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Changes {
    /// Moves left out.
    pub skips: u32,
    /// Steps to an easier or harder option.
    pub steps: u32,
    /// Moves done once more.
    pub repeats: u32,
    /// Rounds cut.
    pub dropped_rounds: u32,
    /// Landings taken.
    pub landings: u32,
    /// All other changes.
    pub others: u32,
}

/// The class as it was taught.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Taught {
    /// When the first interval began.
    pub began: Option<Wall>,
    /// Its pieces in order.
    pub pieces: Vec<Piece>,
    /// Its stands in order.
    pub holds: Vec<HoldTaken>,
    /// Its marks in order.
    pub marks: Vec<MarkSet>,
    /// Moves that came in place of planned ones in class.
    pub brought: Vec<Arc<Move>>,
    /// What was changed.
    pub changes: Changes,
    /// How often the loudspeaker was lost.
    pub sound_lost: u32,
    /// How and when it ended; none where it did not.
    pub ended: Option<(Ending, Wall)>,
    /// How many milliseconds after the slot's end it ended; before it, negative.
    pub late_ms: Option<i64>,
}

/// The moves of a class by their words: those of its plan, and those that came in class.
#[must_use]
pub fn moves_in<'a>(
    session: &'a Session,
    brought: &'a [Arc<Move>],
) -> HashMap<&'a str, &'a Arc<Move>> {
    let brought = brought.iter().map(|of| (of.id.as_str(), of));
    let mut all: HashMap<&str, &Arc<Move>> = brought.collect();
    all.extend(moves_of(session));
    all
}

/// The moves of a plan by their words.
#[must_use]
pub fn moves_of(session: &Session) -> HashMap<&str, &Arc<Move>> {
    let mut uses = Vec::new();
    session
        .parts
        .iter()
        .for_each(|part| uses_in(part, &mut uses));
    uses.iter()
        .map(|turn| (turn.of.id.as_str(), &turn.of))
        .collect()
}

fn uses_in<'a>(part: &'a Part, out: &mut Vec<&'a Arc<Use>>) {
    match part {
        Part::WarmUp(steps) | Part::CoolDown(steps) => {
            out.extend(steps.iter().map(|step| &step.turn));
        }
        Part::Block(block) => {
            out.extend(block.moves.iter().flat_map(Doing::each));
            out.extend(&block.between);
        }
        Part::Recover { turn, .. } => out.extend(turn),
        Part::Repeat { parts, between, .. } => {
            let all = parts.iter().chain(between.as_deref());
            all.for_each(|part| uses_in(part, out));
        }
        Part::Until { part, .. } => uses_in(part, out),
        Part::Talk { .. } | Part::Ready { .. } | Part::Free { .. } => {}
    }
}
