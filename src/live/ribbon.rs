//! The ribbon: the class drawn to time and effort.
//!
//! Effort is a height for the eye, taken from the energy cost of the moves; it is no measurement of
//! anybody.

use std::sync::Arc;

use super::view::PieceView;
use crate::plan::{Interval, Kind, Timeline};
use crate::session::{Pick, Use, met};

/// The height of work whose energy cost is not known.
const UNKNOWN_WORK: u8 = 6;
/// The height of the hardest work.
const HARDEST: u8 = 8;

pub(super) fn pieces(plan: &Timeline) -> Arc<[PieceView]> {
    plan.intervals().iter().map(piece).collect()
}

fn piece(interval: &Interval) -> PieceView {
    PieceView {
        start: interval.start,
        length: interval.length,
        kind: interval.kind,
        effort: effort(interval),
        part: interval.part,
        block: interval.place.as_ref().map_or(0, |place| place.block),
    }
}

fn effort(interval: &Interval) -> u8 {
    match interval.kind {
        Kind::Talk | Kind::Rest | Kind::Recovery => 0,
        Kind::Ready => 1,
        Kind::CoolDown => 2,
        Kind::WarmUp => 3,
        Kind::Work => hardest(&interval.moves),
    }
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
        None => height,
    }
}
