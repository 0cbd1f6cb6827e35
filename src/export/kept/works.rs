//! The works of a block as they were taught, and a block as it is to be written.

use super::plan::{Plan, Stations, Turn};
use super::stretches::Stretch;
use crate::plan::Kind;
use crate::session::Ron;
use crate::time::Span;

/// A work, and the pause after it.
pub(super) struct Work {
    pub(super) turn: Turn,
    /// Where several moves were done at once, all of them.
    pub(super) stations: Option<Stations>,
    pub(super) round: Option<usize>,
    pub(super) ran: Span,
    pub(super) gap: Span,
    /// Whether the pause was a recovery.
    pub(super) recovers: bool,
}

/// A block without its title.
pub(super) struct Block {
    pub(super) moves: Vec<Ron>,
    pub(super) pattern: Ron,
    pub(super) recovery: Option<Span>,
    pub(super) by_move: bool,
}

/// The works with what lies between them. The first stretch is a work.
pub(super) fn works(stretches: &[Stretch], plan: &Plan) -> Vec<Work> {
    let mut works: Vec<Work> = Vec::new();
    for one in stretches {
        match (one.kind, works.last_mut()) {
            (Kind::Work, _) | (_, None) => works.push(Work {
                turn: plan.turn(one),
                stations: plan.stations(one),
                round: one.round,
                ran: one.ran,
                gap: Span::ZERO,
                recovers: false,
            }),
            (kind, Some(work)) => {
                work.gap += one.ran;
                work.recovers |= kind == Kind::Recovery;
            }
        }
    }
    works
}
