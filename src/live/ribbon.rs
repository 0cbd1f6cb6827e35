//! The ribbon: the class drawn to time and effort.
//!
//! Effort is a height for the eye, taken from the energy cost of the moves; it is no measurement of
//! anybody. Sums are made once, when the class is planned, so that drawing a class of any length
//! costs no more than the columns it is drawn in.

use std::sync::Arc;

use crate::plan::{Interval, Kind, Placed, Timeline};
use crate::session::{Pick, Use, met};
use crate::time::{Offset, Span};

/// The height of work whose energy cost is not known.
const UNKNOWN_WORK: u8 = 6;
/// The height of a free window, of which nothing is known.
const FREE: u8 = 4;
/// The height of a pause in which people keep moving.
const ACTIVE_PAUSE: u8 = 2;
/// The height of the hardest work.
const HARDEST: u8 = 8;

/// A piece of the ribbon.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PieceView {
    /// Where it starts.
    pub start: Offset,
    /// How long it is.
    pub length: Span,
    /// What it is for.
    pub kind: Kind,
    /// How hard it is, 0 (still) to 8 (as hard as it gets in this program).
    pub effort: u8,
    /// The part of the session it comes from.
    pub part: usize,
    /// The block it belongs to, counted from 1; 0 for none.
    pub block: usize,
}

impl PieceView {
    fn end(&self) -> Offset {
        self.start + self.length
    }
}

/// The class as pieces end to end.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ribbon {
    pieces: Vec<PieceView>,
    /// Effort by time, up to the start of each piece.
    before: Vec<u64>,
    openings: Vec<Offset>,
}

impl Ribbon {
    /// The ribbon of these pieces, which must lie end to end from the start.
    #[must_use]
    pub fn of(pieces: Vec<PieceView>) -> Self {
        let before = pieces.iter().scan(0, |sum, piece| {
            let before = *sum;
            *sum += effort_in(piece, piece.length);
            Some(before)
        });
        Self {
            before: before.collect(),
            openings: openings(&pieces),
            pieces,
        }
    }

    /// The ribbon of a class.
    #[must_use]
    pub fn of_plan(plan: &Timeline) -> Self {
        Self::of(plan.intervals().iter().map(piece).collect())
    }

    /// The pieces in order.
    #[must_use]
    pub fn pieces(&self) -> &[PieceView] {
        &self.pieces
    }

    /// Its length.
    #[must_use]
    pub fn total(&self) -> Span {
        self.pieces
            .last()
            .map_or(Span::ZERO, |last| last.end().span())
    }

    /// Where a part of the class begins, so that its blocks stand apart.
    #[must_use]
    pub fn openings(&self) -> &[Offset] {
        &self.openings
    }

    /// The effort up to a place: the sum of effort times milliseconds.
    #[must_use]
    pub fn effort_until(&self, at: Offset) -> u64 {
        let begun = self.pieces.partition_point(|piece| piece.start < at);
        begun.checked_sub(1).map_or(0, |last| {
            let piece = &self.pieces[last];
            self.before[last] + effort_in(piece, at.since(piece.start).min(piece.length))
        })
    }
}

fn effort_in(piece: &PieceView, time: Span) -> u64 {
    u64::from(piece.effort.min(HARDEST)) * time.millis()
}

fn openings(pieces: &[PieceView]) -> Vec<Offset> {
    pieces
        .windows(2)
        .filter(|two| two[0].part != two[1].part && two[1].kind != Kind::Ready)
        .map(|two| two[1].start)
        .collect()
}

fn piece(interval: &Placed) -> PieceView {
    PieceView {
        start: interval.start,
        length: interval.span(),
        kind: interval.kind,
        effort: effort(interval),
        part: interval.part,
        block: interval.block().unwrap_or(0),
    }
}

fn effort(interval: &Interval) -> u8 {
    match interval.kind {
        Kind::Talk | Kind::Rest | Kind::Recovery => match interval.turn() {
            Some(turn) => turn.effort.map_or(ACTIVE_PAUSE, height),
            None => 0,
        },
        Kind::Ready => 1,
        Kind::CoolDown => planned(interval).unwrap_or(2),
        Kind::WarmUp => planned(interval).unwrap_or(3),
        Kind::Free => FREE,
        Kind::Work => hardest(&interval.moves),
    }
}

fn planned(interval: &Interval) -> Option<u8> {
    interval.turn()?.effort.map(height)
}

/// The height of an effort of 0 to 10, as the planner wrote it.
fn height(effort: u8) -> u8 {
    const MOST: u8 = 10;
    let effort = effort.min(MOST);
    (effort * HARDEST).div_ceil(MOST)
}

fn hardest(moves: &[Arc<Use>]) -> u8 {
    moves
        .iter()
        .map(|turn| work(turn))
        .max()
        .unwrap_or(UNKNOWN_WORK)
}

/// The steps follow the usual classes: light below 3 METs, moderate below 6, vigorous from 6 on.
fn work(turn: &Use) -> u8 {
    if let Some(effort) = turn.effort {
        return height(effort);
    }
    let energy = turn.of.energy.as_deref().and_then(met);
    let height = match energy {
        None => UNKNOWN_WORK,
        Some(met) if met < 3.0 => 4,
        Some(met) if met < 5.0 => 5,
        Some(met) if met < 6.0 => 6,
        Some(met) if met < 7.5 => 7,
        Some(_) => HARDEST,
    };
    match turn.pick {
        Some(Pick::Easier(_)) => height - 1,
        Some(Pick::Harder(_)) => (height + 1).min(HARDEST),
        None | Some(Pick::Instead(_)) => height,
    }
}
