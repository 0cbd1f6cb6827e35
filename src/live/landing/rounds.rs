//! Which round is given up next: the last of the last block with most rounds left.
//!
//! It refuses to know how much time is over; it is asked for one round after another.

use std::collections::{BTreeMap, BinaryHeap};

use super::left::Left;
use super::shape::{Shape, shapes};
use crate::plan::{Interval, Kind};

/// The rounds of which nothing has begun.
pub(super) struct Rounds {
    /// By block: how it goes, and its rounds in order, each the places of its works.
    blocks: BTreeMap<usize, (Shape, Vec<Vec<usize>>)>,
    /// Blocks by how many rounds they have left; of equals the last comes first.
    most: BinaryHeap<(usize, usize)>,
    /// Blocks that could give up nothing; they can once what follows them went.
    waiting: Vec<(usize, usize)>,
    has_dropped: bool,
}

impl Rounds {
    pub(super) fn of(all: &[Interval], n: usize) -> Self {
        let blocks: BTreeMap<_, _> = shapes(all)
            .into_iter()
            .map(|(block, shape)| (block, (shape, BTreeMap::new())))
            .collect();
        let blocks = with_works(all, blocks)
            .into_iter()
            .map(|(block, (shape, rounds))| (block, (shape, not_begun(shape, rounds, n))))
            .collect::<BTreeMap<_, _>>();
        let most = blocks
            .iter()
            .map(|(&block, (_, rounds))| (rounds.len(), block))
            .filter(|&(count, _)| count > 0)
            .collect();
        Self {
            blocks,
            most,
            waiting: Vec::new(),
            has_dropped: false,
        }
    }

    /// Gives up one round, or more minutes than one where one alone leaves too little time to
    /// change. Nothing where no round is left.
    pub(super) fn drop_one(&mut self, left: &mut Left<'_>) -> Option<Vec<Vec<usize>>> {
        while let Some((count, block)) = self.next() {
            let (shape, rounds) = self.blocks.get_mut(&block)?;
            let Some(keep) = rounds_to_keep(*shape, rounds, left) else {
                self.waiting.push((count, block));
                continue;
            };
            let dropped = rounds.split_off(keep);
            drop_rounds(*shape, &dropped, left);
            self.has_dropped = true;
            self.most.extend((keep > 0).then_some((keep, block)));
            return Some(dropped);
        }
        None
    }

    /// The next block to ask; those that wait are asked again once others have given up a round.
    fn next(&mut self) -> Option<(usize, usize)> {
        if self.most.is_empty() && std::mem::take(&mut self.has_dropped) {
            self.most.extend(self.waiting.drain(..));
        }
        self.most.pop()
    }
}

fn drop_rounds(shape: Shape, rounds: &[Vec<usize>], left: &mut Left<'_>) {
    for &work in rounds.iter().rev().flat_map(|round| round.iter().rev()) {
        match shape {
            Shape::Emom => left.drop_minute(work),
            Shape::ByRound | Shape::ByMove => left.drop_work(work),
        }
    }
}

type Works = BTreeMap<usize, Vec<usize>>;

fn with_works(
    all: &[Interval],
    mut blocks: BTreeMap<usize, (Shape, Works)>,
) -> BTreeMap<usize, (Shape, Works)> {
    for (i, interval) in all.iter().enumerate() {
        let place = interval
            .place
            .as_ref()
            .filter(|_| interval.kind == Kind::Work);
        let Some((place, (shape, rounds))) =
            place.and_then(|place| Some((place, blocks.get_mut(&place.block)?)))
        else {
            continue;
        };
        let round = if *shape == Shape::Emom {
            i
        } else {
            place.round
        };
        rounds.entry(round).or_default().push(i);
    }
    blocks
}

fn not_begun(shape: Shape, rounds: Works, n: usize) -> Vec<Vec<usize>> {
    let mut rounds: Vec<Vec<usize>> = rounds.into_values().collect();
    if shape == Shape::ByMove {
        for round in &mut rounds {
            round.retain(|&work| work > n);
        }
    }
    rounds.retain(|round| round.first().is_some_and(|&work| work > n));
    rounds
}

/// How many rounds stay when the last goes; nothing where it cannot go.
fn rounds_to_keep(shape: Shape, rounds: &[Vec<usize>], left: &Left<'_>) -> Option<usize> {
    match shape {
        Shape::Emom => (0..rounds.len())
            .rev()
            .find(|&keep| !left.is_tight_without(rounds[keep][0])),
        Shape::ByRound | Shape::ByMove => rounds.len().checked_sub(1),
    }
}
