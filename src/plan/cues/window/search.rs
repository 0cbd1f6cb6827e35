//! The set of greatest worth, exactly.
//!
//! What is said can be decided in order of time: the next step (an ask in one of its ways, or not)
//! or the next call (said, or not). So a set is a path through a grid of steps times calls, and of
//! two paths to a cell the one that is worth no less, ends no later and has spoken no more is as
//! good as the other, whatever follows. A prompt stands as early as it can, in the earliest of its
//! stretches: whoever has left a stretch can do nothing that one who is still in it could not do
//! in the next.
//!
//! Ranks are added one by one, from the highest down, in sweeps that run forward and backward in
//! turn. A sweep keeps a state only where the sweep before it knows a rest with which the ranks so
//! far reach their best, so all that the higher ranks have settled is settled for the lower. The
//! last sweep runs backward: it knows for each cell what the rest can be worth, and one walk
//! forward says, one after the other, what loses nothing.
//!
//! Cost: of `n` steps and `c` calls, sweeps as there are ranks in use, over `n * c` cells. The
//! states of a cell differ in their counts and in (end, speech). Where a prompt does not stand at a
//! fixed bound (a `from`, the end of a count or of a call) it stands right behind the one before
//! it, so that end and speech grow together from the last bound on: at most `n` times the number of
//! bounds for each count. That is a power of `n` for any number of ranks; the higher ranks being
//! settled, what is seen is near `n^2` states in all (`tests/growth.rs`). An ask with variants at
//! several places of the order, and one that others need, may double the states between its
//! first step and the last step that it concerns.

use super::front::{Cell, Fronts, Move, ways};
use super::score::{Picks, Score};
use super::state::State;
use super::worth::Worth;

/// The best set of a score.
#[derive(Debug)]
pub(super) struct Best {
    pub(super) picks: Picks,
    /// How many states were looked at.
    #[cfg_attr(not(test), expect(dead_code, reason = "the growth is tested by it"))]
    pub(super) visited: u64,
}

/// The set of greatest worth; of several, the first in the order of decisions.
pub(super) fn best(score: &Score) -> Best {
    let mut visited = 0;
    let mut known = None;
    let depths: Vec<usize> = total(score).depths().collect();
    for (done, &depth) in depths.iter().enumerate() {
        let runs_backward = (depths.len() - done) % 2 == 1;
        let known_now = Known::of(score, depth, runs_backward, known.as_ref());
        visited += known_now.fronts.visited;
        known = Some(known_now);
    }
    Best {
        picks: known.map_or_else(Picks::default, |known| walk(score, &known)),
        visited,
    }
}

/// What all of a score is worth, each ask counted in each of its ways.
fn total(score: &Score) -> Worth {
    let ways = score.steps.iter().flat_map(|step| &step.ways);
    let asks: Worth = ways.map(|way| way.worth).sum();
    asks + score.calls.iter().map(|call| call.worth).sum()
}

/// One way through the whole score, from each of its cells to one end.
struct Known {
    /// The ranks counted.
    depth: usize,
    fronts: Fronts,
    /// What the whole can be worth in these ranks.
    best: Worth,
}

impl Known {
    /// Sweeps the score in one direction, with the help of a sweep in the other.
    fn of(score: &Score, depth: usize, backward: bool, before: Option<&Self>) -> Self {
        let score = if backward {
            score.reversed().to_depth(depth)
        } else {
            score.to_depth(depth)
        };
        let fronts = Fronts::sweep(&score, |cell, state| {
            before.is_none_or(|known| known.completes(&score, cell, state))
        });
        let ends = fronts.at(Cell::last(&score)).iter();
        Self {
            depth,
            best: ends.map(|state| state.worth).max().unwrap_or_default(),
            fronts,
        }
    }

    /// Whether a state of a score read the other way can still become the best whole.
    fn completes(&self, score: &Score, cell: Cell, state: &State) -> bool {
        let worth = state.worth.to_depth(self.depth);
        let rests = self.fronts.at(cell.mirrored(score)).iter();
        let mut rests = rests.filter(|rest| worth + rest.worth >= self.best);
        rests.any(|rest| score.meet(state, rest))
    }
}

/// What is said one after the other: each time the first in the order, an ask before a call, with
/// which nothing is lost.
///
/// Each choice depends on what has been said through the state alone, and the later it is made the
/// fewer there are to choose from: so it falls on the same when it is made anew from there.
fn walk(score: &Score, known: &Known) -> Picks {
    let mut picks = Picks::default();
    let (mut cell, mut state) = (Cell::FIRST, State::start());
    while let Some((decision, at, next)) = next(score, known, cell, &state) {
        match decision {
            Move::Say(way) => picks.ways.push((at.step, way)),
            _ => picks.calls.push(at.call),
        }
        (cell, state) = (at.after(decision), next);
    }
    debug_assert_eq!(state.worth, known.best, "the walk reaches the best");
    picks
}

/// What is said next on a best way, with the cell in which that is decided; none at the end.
fn next(score: &Score, known: &Known, cell: Cell, state: &State) -> Option<(Move, Cell, State)> {
    let last = Cell::last(score);
    let steps = (cell.step..last.step).map(|step| Cell { step, ..cell });
    let asks = steps.flat_map(|cell| {
        let ways = ways(score, cell, state);
        ways.map(move |(decision, next)| (decision, cell, next))
    });
    let calls = (cell.call..last.call).map(|call| Cell { call, ..cell });
    let calls = calls.filter_map(|cell| {
        let next = score.called(cell.call, state)?;
        Some((Move::Call, cell, next))
    });
    let mut open = asks.chain(calls);
    open.find(|(decision, cell, next)| known.completes(score, cell.after(*decision), next))
}
