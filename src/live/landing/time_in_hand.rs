//! What can be done with time in hand: longer pauses, or one more round.
//!
//! The instructor chooses; here is only worked out what there is to choose from.

use std::collections::{BTreeMap, HashSet};

use super::draft::{Copied, Draft};
use super::left::Left;
use crate::plan::{Kind, Nth, Placed, Shape};
use crate::time::Span;

pub(super) fn choices(left: &Left<'_>, in_hand: Span) -> Vec<Draft> {
    let with_longer_pauses = |mut draft: Draft| {
        let more = draft.added(left);
        draft.give_back(left, in_hand.saturating_sub(more));
        (more <= in_hand).then_some(draft)
    };
    let round = one_more(left, in_hand);
    let drafts = std::iter::once(Draft::default()).chain(round);
    drafts.filter_map(with_longer_pauses).collect()
}

/// One more round of the last block that is not over and has rounds.
fn one_more(left: &Left<'_>, in_hand: Span) -> Option<Draft> {
    let of = as_last_taught(left.all, last_block(left.all, left.n)?);
    let shape = left.all[*of.first()?].place.as_ref()?.shape;
    let block = Block { left, of: &of };
    let copies = match shape {
        Shape::Grid { every } => return block.windows(every, in_hand),
        Shape::Rounds => block.round(),
        Shape::Sets => block.sets(),
        Shape::Window => None,
    };
    let copies = copies?;
    let more: Span = copies.iter().map(|copy| copy.length).sum();
    let slack = block.of.last().and_then(|&last| left.slack(last));
    let fits = slack.is_none_or(|slack| more <= slack);
    fits.then(|| Draft {
        copies,
        ..Draft::default()
    })
}

/// The last block with rounds, if any of it runs or is ahead: all of it, also where something else
/// was gone to meanwhile.
fn last_block(all: &[Placed], n: usize) -> Option<Vec<usize>> {
    let mut end = all.len();
    while end > n {
        let Some(place) = &all[end - 1].place else {
            end -= 1;
            continue;
        };
        let is_of_block = |&i: &usize| all[i].block() == Some(place.block);
        let start = (0..end).rev().take_while(is_of_block).last()?;
        if place.shape != Shape::Window {
            return Some((0..end).filter(is_of_block).collect());
        }
        end = start;
    }
    None
}

/// The intervals of a block, each once, where it was begun anew the last time.
fn as_last_taught(all: &[Placed], mut of: Vec<usize>) -> Vec<usize> {
    let mut seen = HashSet::new();
    of.reverse();
    of.retain(|&i| seen.insert(all[i].id));
    of.reverse();
    of
}

/// A block that may get more, by the places of its intervals.
struct Block<'a> {
    left: &'a Left<'a>,
    of: &'a [usize],
}

impl Block<'_> {
    fn round_of(&self, i: usize) -> usize {
        let place = self.left.all[i].place.as_ref();
        place.map_or(0, |place| place.round.nth)
    }

    fn place_of(&self, i: usize) -> usize {
        let place = self.left.all[i].place.as_ref();
        place.map_or(0, |place| place.place.nth)
    }

    fn works(&self) -> Vec<usize> {
        let is_work = |&i: &usize| self.left.all[i].kind == Kind::Work;
        self.of.iter().copied().filter(is_work).collect()
    }

    fn copied(&self, of: usize, after: usize, round: usize) -> Copied {
        let length = self.left.all[of].planned;
        Copied {
            of,
            after,
            length,
            round,
        }
    }

    /// The pause of the block that leads to one of its works.
    fn lead(&self, work: usize) -> Vec<usize> {
        let before = &self.of[..self.of.partition_point(|&i| i < work)];
        let before = before.iter().copied().rev();
        let mut lead: Vec<usize> = before.take_while(|&i| !self.left.is_moving(i)).collect();
        lead.reverse();
        lead
    }

    /// The rest of a work's window.
    fn rest(&self, work: usize) -> Vec<usize> {
        let behind = &self.of[self.of.partition_point(|&i| i <= work)..];
        let behind = behind.iter().copied();
        behind.take_while(|&i| !self.left.is_moving(i)).collect()
    }

    /// As many whole windows as there is time for, of the moves whose turn it is. A last window
    /// that a landing had cut short is made whole before them.
    fn windows(&self, every: Span, in_hand: Span) -> Option<Draft> {
        let (&end, &last) = (self.of.last()?, self.works().last()?);
        let lack = every.saturating_sub(self.left.all[end].end - self.left.all[last].start);
        let lengths = self.made_whole(end, lack)?;
        let in_hand = in_hand.saturating_sub(lack);
        let place = self.left.all[last].place.as_ref()?;
        let by_window = self.last_by_window();
        let a_round = place.windows.max(1);
        let count = in_hand.millis().checked_div(every.millis())?;
        let count = usize::try_from(count).unwrap_or(usize::MAX);
        let mut windows: Vec<(usize, usize)> = (place.window.nth..)
            .take(count)
            .map_while(|nth| {
                let work = *by_window.get(nth % a_round)?;
                Some((work?, nth / a_round + 1))
            })
            .collect();
        windows.truncate(self.in_order(&windows));
        let last_fits = |&count: &usize| {
            let last = windows[count - 1].0;
            self.ends_rotation(last) && self.leaves_time(last, end)
        };
        let count = (1..=windows.len()).rev().find(last_fits)?;
        let mut copies = Vec::new();
        for &(work, round) in &windows[..count] {
            let window = std::iter::once(work).chain(self.rest(work));
            copies.extend(window.map(|i| self.copied(i, end, round)));
        }
        Some(Draft {
            lengths,
            copies,
            ..Draft::default()
        })
    }

    /// The rest at the end of a grid with what its window lacks, where it is still to come.
    fn made_whole(&self, rest: usize, lack: Span) -> Option<BTreeMap<usize, Span>> {
        if lack.is_zero() {
            return Some(BTreeMap::new());
        }
        let of = &self.left.all[rest];
        let grows = rest > self.left.n && of.kind == Kind::Rest;
        grows.then(|| BTreeMap::from([(rest, of.span() + lack)]))
    }

    /// The last work of each window that a round has.
    fn last_by_window(&self) -> Vec<Option<usize>> {
        let mut by_window = Vec::new();
        for work in self.works() {
            let place = self.left.all[work].place.as_ref();
            let nth = place.map(|place| place.window.nth.saturating_sub(1) % place.windows.max(1));
            let Some(nth) = nth else { continue };
            by_window.resize(by_window.len().max(nth + 1), None);
            by_window[nth] = Some(work);
        }
        by_window
    }

    /// How many windows come with each rotation from its first work on: what was put in before them
    /// may have moved whose turn it is.
    fn in_order(&self, windows: &[(usize, usize)]) -> usize {
        let mut due = 1;
        let comes = |window: &&(usize, usize)| {
            let rotation = self.left.all[window.0].together();
            let turn = rotation.map_or(Nth::new(1, 1), |rotation| rotation.turn);
            let is_due = turn.nth == due;
            due = if turn.is_last() { 1 } else { turn.nth + 1 };
            is_due
        };
        windows.iter().take_while(comes).count()
    }

    /// Whether everybody has been everywhere after this work.
    fn ends_rotation(&self, work: usize) -> bool {
        let rotation = self.left.all[work].together();
        rotation.is_none_or(|rotation| rotation.turn.is_last())
    }

    /// Whose turn it is, of several moves at once.
    fn turn_of(&self, work: usize) -> usize {
        let rotation = self.left.all[work].together();
        rotation.map_or(0, |rotation| rotation.turn.nth)
    }

    /// Works in the order in which they belong together: what was gone back to comes in its turn, and
    /// a turn that was had again comes once.
    fn in_turn(&self, mut works: Vec<usize>) -> Vec<usize> {
        let mut had = HashSet::new();
        works.reverse();
        works.retain(|&work| {
            let turn = self.turn_of(work);
            turn == 0 || had.insert((self.place_of(work), turn))
        });
        works.reverse();
        works.sort_by_key(|&work| (self.place_of(work), self.turn_of(work)));
        works
    }

    /// Whether it is something, and everybody comes to every station in it: what was left in the
    /// middle is no round that may come again.
    fn is_whole(&self, works: &[usize]) -> bool {
        let mut missing: BTreeMap<usize, usize> = BTreeMap::new();
        for &work in works {
            if let Some(rotation) = self.left.all[work].together() {
                let turns = missing.entry(self.place_of(work));
                let turns = turns.or_insert(rotation.turn.of);
                *turns = turns.saturating_sub(1);
            }
        }
        !works.is_empty() && missing.values().all(|&missing| missing == 0)
    }

    /// Works with the pauses between them.
    fn with_pauses(&self, works: &[usize]) -> Vec<usize> {
        let mut out: Vec<usize> = works.iter().copied().take(1).collect();
        for pair in works.windows(2) {
            let behind = self.rest(pair[0]);
            let between = if behind.is_empty() {
                self.lead(pair[1])
            } else {
                behind
            };
            out.extend(between);
            out.push(pair[1]);
        }
        out
    }

    /// The works of one set: of several moves at once those of their rotation.
    fn set(&self, work: usize) -> Vec<usize> {
        let all = self.left.all;
        let same = |&i: &usize| i == work || all[i].is_of_rotation(&all[work]);
        let works = self.works().into_iter().filter(same);
        self.in_turn(works.collect())
    }

    /// Whether what follows the block comes no sooner than the change to it takes, or than it was
    /// to come, where the block ends with a copy of this work's window.
    fn leaves_time(&self, work: usize, end: usize) -> bool {
        let left = self.left;
        let Some(next) = left.move_behind(end) else {
            return true;
        };
        let need = left.need(Some(work), next);
        let after = left.pause(end + 1, next, need, Placed::span);
        let planned = |i: usize| left.all[i].planned;
        let rest = |of: Vec<usize>| of.into_iter().map(planned).sum::<Span>();
        let today = rest(self.lead(end + 1)) + after;
        rest(self.rest(work)) + after >= need.min(today)
    }

    /// The last round, with the pause that led to it; after a single round a rest leads to the
    /// next.
    fn round(&self) -> Option<Vec<Copied>> {
        let (&end, works) = (self.of.last()?, self.works());
        let last = works.iter().map(|&work| self.round_of(work)).max()?;
        let round = |nth: usize| {
            let works = works.iter().copied();
            self.in_turn(works.filter(|&work| self.round_of(work) == nth).collect())
        };
        let mut rounds = (1..=last).rev().map(round);
        let round = rounds.find(|round| self.is_whole(round))?;
        let (&first, &ends) = (round.first()?, round.last()?);
        let copied = |i: usize| self.copied(i, end, last + 1);
        let mut copies: Vec<Copied> = if works[0] == first {
            let is_rest = |&&i: &&usize| self.left.all[i].kind == Kind::Rest;
            let rest = copied(*self.of.iter().rev().find(is_rest)?);
            let need = self.left.need(works.last().copied(), first);
            let length = rest.length.max(need);
            vec![Copied { length, ..rest }]
        } else {
            self.lead(first).into_iter().map(copied).collect()
        };
        copies.extend(self.with_pauses(&round).into_iter().map(copied));
        if !self.left.is_moving(end) {
            copies.extend(self.rest(ends).into_iter().map(copied));
        }
        Some(copies)
    }

    /// One more set of each move, where none has had its last yet.
    fn sets(&self) -> Option<Vec<Copied>> {
        let works = self.works();
        let last = works.iter().map(|&work| self.round_of(work)).max()?;
        let (mut copies, mut places) = (Vec::new(), HashSet::new());
        for work in works.into_iter().rev() {
            let is_last = self.round_of(work) == last && places.insert(self.place_of(work));
            if is_last && work < self.left.n {
                return None;
            }
            if is_last {
                let set = self.set(work);
                if !self.is_whole(&set) {
                    return None;
                }
                let lead = set.first().map_or_else(Vec::new, |&first| self.lead(first));
                let set = lead.into_iter().chain(self.with_pauses(&set));
                copies.push(set.map(|i| self.copied(i, work, last + 1)).collect());
            }
        }
        let copies: Vec<Vec<Copied>> = copies;
        Some(copies.into_iter().rev().flatten().collect())
    }
}
