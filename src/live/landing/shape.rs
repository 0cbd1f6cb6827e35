//! How a block goes through its works, told from its intervals alone.
//!
//! The timeline does not keep the pattern it was laid from, and a block that was changed while it
//! ran need not have one any more; so the shape is read off what stands there.

use std::collections::BTreeMap;

use crate::plan::{Interval, Kind};
use crate::time::Span;

const MINUTE: Span = Span::from_secs(60);

/// How a block goes through its works.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shape {
    /// All moves once, then the next round.
    ByRound,
    /// All rounds of a move, then the next move.
    ByMove,
    /// A move starts each minute.
    Emom,
}

/// The block that an interval is of.
pub(super) fn block_of(interval: &Interval) -> Option<usize> {
    interval.place.as_ref().map(|place| place.block)
}

/// The shape of every block.
pub(super) fn shapes(all: &[Interval]) -> BTreeMap<usize, Shape> {
    let mut blocks: BTreeMap<usize, Vec<&Interval>> = BTreeMap::new();
    for interval in all {
        if let Some(block) = block_of(interval) {
            blocks.entry(block).or_default().push(interval);
        }
    }
    let shape = |(block, of): (usize, Vec<&Interval>)| (block, shape(&of));
    blocks.into_iter().map(shape).collect()
}

fn shape(block: &[&Interval]) -> Shape {
    if ends_on_the_minute(block) {
        return Shape::Emom;
    }
    let rounds: Vec<usize> = block
        .iter()
        .filter(|interval| interval.kind == Kind::Work)
        .filter_map(|work| work.place.as_ref().map(|place| place.round))
        .collect();
    if rounds.is_sorted() {
        Shape::ByRound
    } else {
        Shape::ByMove
    }
}

/// Only where minutes are whole does a block end with a rest, which with its work is a minute.
fn ends_on_the_minute(block: &[&Interval]) -> bool {
    match block {
        [.., work, rest] => {
            (work.kind, rest.kind) == (Kind::Work, Kind::Rest)
                && work.planned + rest.planned == MINUTE
        }
        _ => false,
    }
}
