//! The moves of the work: the choice that is worth most by all wishes together.

use std::sync::Arc;

use super::candidate::Candidate;
use super::earlier::Earlier;
use super::selection::{Item, Selection, Sum};
use super::shape::{BlockWish, Ground};
use super::solve::{Solved, solve};
use super::wishes::Wishes;
use super::worth::{suits, worth};
use crate::session::Use;

mod asks;

/// The moves of each block, and how good the choice is.
#[derive(Clone, Debug)]
pub(super) struct Work {
    /// The moves of each block.
    pub(super) blocks: Vec<Vec<Arc<Use>>>,
    /// The points by wish.
    pub(super) score: Vec<(&'static str, i64)>,
    /// All points.
    pub(super) total: i64,
    /// What no choice has more than.
    pub(super) bound: i64,
}

/// A block with where it is done.
#[derive(Clone, Debug)]
pub(super) struct Placed {
    pub(super) wish: BlockWish,
    pub(super) ground: Ground,
}

/// What is chosen from, with the wishes as sums over it.
struct Model<'a> {
    wishes: &'a Wishes,
    blocks: &'a [Placed],
    /// What is worked besides, with its seconds.
    already: &'a [(Arc<Use>, u64)],
    /// For each item its candidate.
    of: Vec<&'a Candidate>,
    selection: Selection,
}

/// The best moves for these blocks; none where a block finds too few. `already` is what the class
/// works beside them, each move with its seconds; from `earlier` ones this one is to differ.
pub(super) fn work(
    wishes: &Wishes,
    blocks: &[Placed],
    candidates: &[Candidate],
    already: &[(Arc<Use>, u64)],
    earlier: &Earlier,
) -> Option<Work> {
    let mut model = Model::of(wishes, blocks, candidates, already);
    model.ask_all();
    model.other_than(earlier);
    let Solved {
        chosen,
        total,
        bound,
    } = solve(&model.selection)?;
    let mut moves: Vec<Vec<Arc<Use>>> = vec![Vec::new(); blocks.len()];
    for &item in &chosen {
        moves[model.selection.items[item].group].push(Arc::clone(&model.of[item].turn));
    }
    Some(Work {
        blocks: moves,
        score: model.selection.score(&chosen),
        total,
        bound,
    })
}

impl<'a> Model<'a> {
    fn of(
        wishes: &'a Wishes,
        blocks: &'a [Placed],
        candidates: &'a [Candidate],
        already: &'a [(Arc<Use>, u64)],
    ) -> Self {
        let mut of = Vec::new();
        let mut items = Vec::new();
        for (group, block) in blocks.iter().enumerate() {
            let fit = candidates
                .iter()
                .filter(|one| suits(one, wishes, &block.wish, block.ground));
            for one in fit {
                let worth = worth(one, wishes, block.ground);
                items.push(Item {
                    worth,
                    group,
                    once: one.nth,
                });
                of.push(one);
            }
        }
        let sizes = blocks.iter().map(|block| block.wish.moves).collect();
        let selection = Selection {
            items,
            sizes,
            ..Selection::default()
        };
        Self {
            wishes,
            blocks,
            already,
            of,
            selection,
        }
    }

    fn ask_all(&mut self) {
        self.regions();
        self.actions();
        self.pulls();
        self.patterns();
        self.each_block();
        self.kit();
        self.stock();
        self.wished();
    }

    /// How much an item counts in sums of time: tens of seconds of work.
    fn time(&self, item: usize) -> i64 {
        self.time_of(self.selection.items[item].group)
    }

    fn time_of(&self, group: usize) -> i64 {
        let work = self.blocks[group].wish.work_of_a_move().secs_floor() / 10;
        i64::try_from(work).unwrap_or(1_000).max(1)
    }

    fn all_time(&self) -> i64 {
        let groups = 0..self.blocks.len();
        let own: i64 = groups
            .map(|group| self.time_of(group) * self.size(group))
            .sum();
        own + self.had(|_| true)
    }

    /// How much of something the class has besides, in the same unit.
    fn had(&self, counts: impl Fn(&Use) -> bool) -> i64 {
        let counted = self.already.iter().filter(|(turn, _)| counts(turn));
        counted
            .map(|(_, secs)| i64::try_from(secs / 10).unwrap_or(1_000))
            .sum()
    }

    fn size(&self, group: usize) -> i64 {
        i64::try_from(self.blocks[group].wish.moves).unwrap_or(0)
    }

    /// The longest that a move of any block has.
    fn a_place(&self) -> i64 {
        (0..self.blocks.len())
            .map(|group| self.time_of(group))
            .max()
            .unwrap_or(1)
    }

    fn timed(&self, holds: impl Fn(&Candidate) -> bool) -> Vec<(usize, i64)> {
        let each = self.of.iter().enumerate();
        let counted = each.filter(|(_, one)| holds(one));
        counted.map(|(item, _)| (item, self.time(item))).collect()
    }

    fn counted(
        &self,
        group: Option<usize>,
        holds: impl Fn(&Candidate) -> bool,
    ) -> Vec<(usize, i64)> {
        let each = self.of.iter().enumerate();
        let in_group =
            |item: usize| group.is_none_or(|group| self.selection.items[item].group == group);
        let counted = each.filter(|(item, one)| in_group(*item) && holds(one));
        counted.map(|(item, _)| (item, 1)).collect()
    }

    fn ask(&mut self, wish: &'static str, of: Vec<(usize, i64)>, range: (i64, i64), cost: i64) {
        let (least, most) = range;
        self.selection.sums.push(Sum {
            wish,
            of,
            least,
            most,
            cost,
        });
    }
}

#[cfg(test)]
mod tests {
    use super::super::candidate::candidates;
    use super::*;
    use crate::session::{Library, Region};

    /// Every choice of moves for a block of three and one of two, weighed one by one.
    fn exhaustive(selection: &Selection) -> Option<i64> {
        let all = 0..1_usize << selection.items.len();
        let choice = |bits: usize| -> Vec<usize> {
            (0..selection.items.len())
                .filter(|n| (bits >> n) & 1 == 1)
                .collect()
        };
        let fives = all.filter(|bits| bits.count_ones() == 5).map(choice);
        let allowed = fives.filter(|chosen| selection.allows(chosen));
        allowed.map(|chosen| selection.total(&chosen)).max()
    }

    /// Libraries of a few moves, and wishes of all kinds: what is chosen is the best there is.
    #[test]
    fn of_a_small_library_the_best_moves_are_chosen() {
        let builtin = Library::builtin();
        let mut rng = fastrand::Rng::with_seed(7);
        let (mut found, mut none) = (0, 0);
        for n in 0..120 {
            let all: Vec<_> = builtin.iter().collect();
            let some: Vec<_> = (0..14)
                .map(|_| (**all[rng.usize(0..all.len())]).clone())
                .collect();
            let library = Library::default().with(some);
            let wishes = Wishes {
                regions: if rng.bool() {
                    vec![Region::ALL[rng.usize(0..4)]]
                } else {
                    Vec::new()
                },
                have: if rng.bool() {
                    library.iter().take(1).map(|of| of.id.clone()).collect()
                } else {
                    Vec::new()
                },
                kit: ["dumbbells", "band", "chair"]
                    .map(|thing| super::super::wishes::Kit {
                        thing: thing.into(),
                        count: None,
                    })
                    .to_vec(),
                seed: rng.u64(0..3),
                ..Wishes::default()
            };
            let shapes = [
                ("3 moves 3x40/20", Ground::Standing),
                ("2 moves 2x40/20", Ground::Floor),
            ];
            let placed = shapes.map(|(wish, ground)| Placed {
                wish: wish.parse().expect(wish),
                ground,
            });
            let candidates = candidates(&wishes, &library);
            let mut model = Model::of(&wishes, &placed, &candidates, &[]);
            model.ask_all();
            let best = exhaustive(&model.selection);
            let work = work(&wishes, &placed, &candidates, &[], &Earlier::default());
            assert_eq!(work.as_ref().map(|work| work.total), best, "{n}");
            assert_eq!(work.as_ref().map(|work| work.bound), best, "{n}");
            if best.is_some() {
                found += 1;
            } else {
                none += 1;
            }
        }
        assert!(found > 30 && none > 5, "{found} {none}");
    }
}
