//! The blocks whose moves stay in the order of the file, and why.

use super::{is_one_at_a_time, names};
use crate::session::{Block, Part, Session};

/// A block that is not arranged.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// The block, counted from 1.
    pub block: usize,
    /// What it is called.
    pub name: String,
    /// Why its moves stay.
    pub why: KeptFor,
}

/// Why the moves of a block stay as they are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeptFor {
    /// Several moves are done at once: who stands beside whom is the planner's.
    AtOnce,
    /// It is repeated with what stands beside it: what its moves follow differs from time to time.
    Repeated,
    /// There are fewer than two moves.
    Short,
}

/// Every block that is not arranged.
#[must_use]
pub fn kept(session: &Session) -> Vec<Kept> {
    let blocks = session.parts.iter().flat_map(|part| {
        let is_repeated = matches!(part, Part::Repeat { .. });
        let blocks = names::blocks(part).into_iter();
        blocks.map(move |block| (block, is_repeated))
    });
    let kept = blocks
        .enumerate()
        .filter_map(|(nth, (block, is_repeated))| {
            Some(Kept {
                block: nth + 1,
                name: names::of_block(session, block),
                why: why(block, is_repeated)?,
            })
        });
    kept.collect()
}

/// Why a block is not arranged; nothing where it is.
pub(super) fn why(block: &Block, is_repeated: bool) -> Option<KeptFor> {
    if !is_one_at_a_time(block) {
        Some(KeptFor::AtOnce)
    } else if block.moves.len() < 2 {
        Some(KeptFor::Short)
    } else {
        is_repeated.then_some(KeptFor::Repeated)
    }
}
