//! The moves of the work: the choice that is worth most by all wishes together.

use std::sync::Arc;

use super::candidate::Candidate;
use super::earlier::Earlier;
use super::selection::{Item, Selection};
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
        self.selection.ask(wish, of, range, cost);
    }
}

#[cfg(test)]
mod tests {
    use super::super::candidate::candidates;
    use super::super::wishes::Kit;
    use super::*;
    use crate::session::{Action, Impact, Library, Load, Region};

    /// What a choice is worth, counted from its moves by the words of the wishes and by nothing of the
    /// model; nothing where the stations need more than there is. Its blocks are three stations on the
    /// feet and two moves on the floor.
    fn by_hand(
        blocks: &[Vec<&Candidate>; 2],
        can_be: &[&Candidate],
        wishes: &Wishes,
    ) -> Option<i64> {
        let mut points = 0;
        for block in blocks {
            let size = block.len();
            let over = |count: usize, most: usize, cost: i64| -> i64 {
                i64::try_from(count.saturating_sub(most)).expect("few") * cost
            };
            let count = |holds: &dyn Fn(&Candidate) -> bool| -> usize {
                block.iter().filter(|one| holds(one)).count()
            };
            let names = |one: &Candidate, region| one.turn.of.regions.contains(&region);
            for is_of in [
                (&|one: &Candidate| names(one, Region::Total)) as &dyn Fn(&Candidate) -> bool,
                &|one| !names(one, Region::Total) && one.turn.of.regions[0] == Region::Upper,
                &|one| !names(one, Region::Total) && one.turn.of.regions[0] == Region::Core,
                &|one| !names(one, Region::Total) && one.turn.of.regions[0] == Region::Lower,
            ] {
                points -= over(count(is_of), 1, 120);
            }
            for action in Action::ALL {
                points -= over(count(&|one| one.turn.of.action == Some(*action)), 1, 25);
            }
            for load in [Load::Wrist, Load::Shoulder, Load::LowBack] {
                let most = if size == 3 { 2 } else { 1 };
                points -= over(count(&|one| one.loads.contains(&load)), most, 10);
            }
            let few = usize::from(size == 3);
            points -= over(count(&|one| one.impact == Impact::High), few, 80);
            points -= over(count(&|one| one.met >= 6.0), 1, 60);
            for thing in ["dumbbells", "band", "chair", "kettlebell"] {
                let used = count(&|one| one.turn.version().equipment().contains(&thing));
                points -= over(used, 2, 12) + if used > 0 { 20 } else { 0 };
                let each = wishes.people.expect("known").div_ceil(3);
                let kit = wishes.kit.iter().find(|kit| kit.thing == thing)?;
                let stations = size == 3;
                if stations
                    && kit
                        .count
                        .is_some_and(|there| u32::try_from(used).expect("few") * each > there)
                {
                    return None;
                }
            }
        }
        // What nothing here could have costs no choice more than another.
        let all: Vec<&Candidate> = blocks.iter().flatten().copied().collect();
        let lacks = |holds: &dyn Fn(&Candidate) -> bool| {
            can_be.iter().any(|one| holds(one)) && !all.iter().any(|one| holds(one))
        };
        for id in &wishes.have {
            points -= if lacks(&|one| one.turn.of.id == *id) {
                3_000
            } else {
                0
            };
        }
        let is = |one: &Candidate, actions: &[Action], arms: bool| {
            let action = one.turn.of.action;
            one.impact != Impact::High
                && action.is_some_and(|action| actions.contains(&action))
                && (!arms || one.turn.of.regions.contains(&Region::Upper))
        };
        for (actions, arms, cost) in [
            (&[Action::Squat][..], false, 40),
            (&[Action::Lunge], false, 20),
            (&[Action::Hinge], false, 40),
            (&[Action::Push], true, 40),
            (&[Action::Pull], true, 40),
            (&[Action::Brace, Action::Rotate], false, 40),
        ] {
            let gone = lacks(&|one| is(one, actions, arms));
            points -= if gone { cost } else { 0 };
        }
        Some(points + all.iter().map(|one| own(one)).sum::<i64>())
    }

    /// What a move is worth by itself here: any number will do.
    fn own(one: &Candidate) -> i64 {
        (7 * i64::try_from(one.turn.of.id.len()).expect("short")) % 41
    }

    /// Every two or three of some candidates, each move once.
    fn choices<'c>(of: &[&'c Candidate], size: usize) -> Vec<Vec<&'c Candidate>> {
        if size == 0 {
            return vec![Vec::new()];
        }
        let mut all = Vec::new();
        for (n, &one) in of.iter().enumerate() {
            for mut rest in choices(&of[n + 1..], size - 1) {
                if rest.iter().all(|other| other.nth != one.nth) {
                    rest.push(one);
                    all.push(rest);
                }
            }
        }
        all
    }

    /// Libraries of a few moves, and wishes of all kinds: what is chosen is the best of every choice
    /// there is, each weighed by counting.
    #[test]
    fn of_a_small_library_the_best_moves_are_chosen() {
        let builtin = Library::builtin();
        let mut rng = fastrand::Rng::with_seed(7);
        let (mut found, mut none, mut held) = (0, 0, 0);
        for n in 0..100 {
            let all: Vec<_> = (builtin.iter())
                .filter(|of| {
                    of.action.is_some_and(|action| {
                        ![Action::Mobilise, Action::Stretch, Action::Breathe].contains(&action)
                    })
                })
                .collect();
            let some: Vec<_> = (0..14)
                .map(|_| (**all[rng.usize(0..all.len())]).clone())
                .collect();
            let library = Library::default().with(some);
            let wishes = Wishes {
                have: if rng.bool() {
                    library.iter().take(2).map(|of| of.id.clone()).collect()
                } else {
                    Vec::new()
                },
                kit: ["dumbbells", "band", "chair", "kettlebell"]
                    .map(|thing| Kit {
                        thing: thing.into(),
                        count: rng.bool().then(|| rng.u32(0..7)),
                    })
                    .to_vec(),
                people: Some(rng.u32(3..8)),
                ..Wishes::default()
            };
            let shapes = [
                ("3 stations 3x40/20", Ground::Standing),
                ("2 moves 2x40/20", Ground::Floor),
            ];
            let placed = shapes.map(|(wish, ground)| Placed {
                wish: wish.parse().expect(wish),
                ground,
            });
            let candidates = candidates(&wishes, &library);
            let mut model = Model::of(&wishes, &placed, &candidates, &[]);
            for (item, one) in model.selection.items.iter_mut().zip(&model.of) {
                item.worth = own(one);
            }
            model.patterns();
            model.each_block();
            model.kit();
            model.stock();
            model.wished();
            let fit = |nth: usize| -> Vec<&Candidate> {
                let Placed { wish, ground } = &placed[nth];
                let fit = candidates
                    .iter()
                    .filter(|one| suits(one, &wishes, wish, *ground));
                fit.collect()
            };
            let can_be = [fit(0), fit(1)].concat();
            let weigh = |blocks: &[Vec<&Candidate>; 2]| by_hand(blocks, &can_be, &wishes);
            let mut best = None;
            let floor = choices(&fit(1), 2);
            for first in choices(&fit(0), 3) {
                for second in &floor {
                    let points = weigh(&[first.clone(), second.clone()]);
                    held += usize::from(points.is_none());
                    best = best.max(points);
                }
            }
            let solved = solve(&model.selection);
            let printed = solved.as_ref().map(|solved| {
                let mut blocks = [Vec::new(), Vec::new()];
                for &item in &solved.chosen {
                    blocks[model.selection.items[item].group].push(model.of[item]);
                }
                weigh(&blocks)
            });
            assert_eq!(printed.flatten(), best, "{n}");
            assert_eq!(solved.map(|solved| solved.bound), best, "{n}");
            if best.is_some() {
                found += 1;
            } else {
                none += 1;
            }
        }
        assert!(
            found > 30 && none > 5 && held > 100,
            "{found} {none} {held}"
        );
    }
}
