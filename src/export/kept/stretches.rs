//! What a class really was, stretch by stretch: the pieces of a record put together again.

use crate::plan::Kind;
use crate::record::{Piece, Taught};
use crate::session::Pick;
use crate::time::Span;

/// A stay in an interval, whatever was changed while it ran.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Stretch {
    /// The interval's own number.
    pub(super) id: u32,
    /// What it was for. A work that was left is a rest.
    pub(super) kind: Kind,
    /// The part of the plan, counted from 0.
    pub(super) part: usize,
    /// The round, counted from 1.
    pub(super) round: Option<usize>,
    /// Whether it was a work that was left early.
    pub(super) is_left: bool,
    /// The moves, by their words in the library; none of a work that was left.
    pub(super) moves: Vec<String>,
    /// The version in which it was done for the longest.
    pub(super) pick: Option<Pick>,
    /// Where its moves were done at once: which of the works until everybody had been everywhere.
    pub(super) together: Option<usize>,
    /// How long it ran.
    pub(super) ran: Span,
    /// The class time at which it ended.
    pub(super) end: Span,
}

/// The stretches of a class in order; their times add up to its class time.
pub(super) fn stretches(taught: &Taught) -> Vec<Stretch> {
    let ran = taught.pieces.iter().filter(|piece| !piece.ran.is_zero());
    let ran: Vec<&Piece> = ran.collect();
    let same = |a: &&Piece, b: &&Piece| (a.id, &a.moves, a.skipped) == (b.id, &b.moves, b.skipped);
    let mut all: Vec<Stretch> = ran.chunk_by(same).map(together).collect();
    let mut end = Span::ZERO;
    for one in &mut all {
        end += one.ran;
        one.end = end;
    }
    all
}

fn together(pieces: &[&Piece]) -> Stretch {
    let of = pieces[0];
    let is_left = of.skipped && of.kind == Kind::Work;
    Stretch {
        id: of.id,
        kind: if is_left { Kind::Rest } else { of.kind },
        part: of.part,
        round: of.round,
        is_left,
        moves: if is_left {
            Vec::new()
        } else {
            of.moves.clone()
        },
        pick: longest(pieces),
        together: of.together,
        ran: pieces.iter().map(|piece| piece.ran).sum(),
        end: Span::ZERO,
    }
}

fn longest(pieces: &[&Piece]) -> Option<Pick> {
    let in_all = |pick: Option<Pick>| -> Span {
        let so = pieces.iter().filter(|piece| piece.pick == pick);
        so.map(|piece| piece.ran).sum()
    };
    let picks = pieces.iter().map(|piece| piece.pick);
    picks.max_by_key(|pick| in_all(*pick)).flatten()
}
