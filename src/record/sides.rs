//! How long each side of a one-sided move was worked.
//!
//! A plan shares evenly: sides change at half. A move that is left before or after that, or ended by
//! a landing, a jump or the end of the class, does not. What was not timed is not told.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::header::Header;
use super::taught::{Piece, Taught, moves_in};
use crate::plan::Timeline;
use crate::session::{Move, Sides, Version};
use crate::time::Span;

/// A difference that nobody feels (common practice, no source).
pub(super) const UNFELT: Span = Span::from_secs(3);

/// What each side had of a move.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SidesDone {
    /// The move's name.
    pub of: String,
    /// Time before the change of sides.
    pub first: Span,
    /// Time after it.
    pub second: Span,
}

impl SidesDone {
    /// How much more one side had than the other.
    #[must_use]
    pub fn apart(&self) -> Span {
        self.first
            .max(self.second)
            .saturating_sub(self.first.min(self.second))
    }
}

/// One stay in an interval, over all its pieces.
struct Stay<'a> {
    /// How long it was to be.
    length: Span,
    /// How much of it has run.
    ran: Span,
    /// The piece of it that was taught last.
    last: &'a Piece,
}

/// Of these, the moves of which one side had clearly more.
pub(super) fn uneven(all: &[(String, SidesDone)]) -> Vec<SidesDone> {
    let sides = all.iter().map(|(_, sides)| sides);
    sides
        .filter(|sides| sides.apart() >= UNFELT)
        .cloned()
        .collect()
}

/// What each side had of the one-sided moves that were timed, by the words of the moves, in the order
/// of the class.
pub(super) fn of(header: &Header, taught: &Taught, plan: &Timeline) -> Vec<(String, SidesDone)> {
    let library = moves_in(&header.session, &taught.brought);
    let untimed = plan.intervals().iter().filter(|one| one.untimed);
    let untimed: HashSet<(usize, &str)> = untimed
        .flat_map(|one| one.moves.iter().map(|used| (one.part, used.of.id.as_str())))
        .collect();
    let mut all: Vec<(String, SidesDone)> = Vec::new();
    let mut stays: HashMap<u32, Stay> = HashMap::new();
    for piece in &taught.pieces {
        let stay = stays.remove(&piece.id).filter(|stay| goes_on(stay, piece));
        let (length, before) = stay.map_or((piece.length, Span::ZERO), |s| (s.length, s.ran));
        let ran = before + piece.ran;
        if let Some(of) = one_sided(piece, &untimed, &library) {
            let first = ran.min(length.half()).saturating_sub(before);
            share(&mut all, of, first, piece.ran.saturating_sub(first));
        }
        let last = piece;
        stays.insert(piece.id, Stay { length, ran, last });
    }
    all
}

/// Whether a piece is the rest of a stay, not a new beginning: another version was put in place, or a
/// part of it is over.
fn goes_on(stay: &Stay, piece: &Piece) -> bool {
    let other_version = (piece.pick, &piece.moves) != (stay.last.pick, &stay.last.moves);
    other_version || piece.length < stay.length
}

/// The timed move that changes sides at half, if it is one.
fn one_sided<'a>(
    piece: &Piece,
    untimed: &HashSet<(usize, &str)>,
    library: &HashMap<&str, &'a Arc<Move>>,
) -> Option<&'a Arc<Move>> {
    let [id] = &piece.moves[..] else { return None };
    let of = library.get(id.as_str())?;
    let counted = untimed.contains(&(piece.part, id.as_str()));
    let version = Version::of(of, piece.pick);
    // What turns about at half is one thing done both ways, by both sides.
    let is_each = version.sides() == Sides::Each && !version.turns_about();
    (is_each && !counted).then_some(*of)
}

fn share(all: &mut Vec<(String, SidesDone)>, of: &Move, first: Span, second: Span) {
    if let Some((_, sides)) = all.iter_mut().find(|(id, _)| *id == of.id) {
        sides.first += first;
        sides.second += second;
        return;
    }
    let sides = SidesDone {
        of: of.name.clone(),
        first,
        second,
    };
    all.push((of.id.clone(), sides));
}
