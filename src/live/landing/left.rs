//! What is left of a class, how short each interval of it may become, and what goes.
//!
//! How much time is over, and in which order rounds are given up, is not known here.

use std::collections::BTreeSet;

use super::share::Giver;
use super::spot::{Capped, Spot};
use super::steps::{BEFORE_ROUNDS, STEPS, steps_of};
use crate::plan::{Floors, Kind, Placed, floors_at_the_end, least, leaves_mat, own_floors};
use crate::session::Cueing;
use crate::time::Span;

/// The class with what has gone from it, each interval with its floors. Whatever goes or is put
/// back costs no more than it is long.
pub(super) struct Left<'a> {
    pub(super) all: &'a [Placed],
    pub(super) n: usize,
    pub(super) cueing: &'a Cueing,
    /// Whether a mat has been used in what was taught or runs; one used later may yet go.
    pub(super) mat_lies: bool,
    /// The first that may be shortened.
    first: usize,
    pub(super) stays: BTreeSet<usize>,
    moving: BTreeSet<usize>,
    own: Vec<Floors>,
    floors: Vec<Floors>,
    /// Of a move: from where on the pause before it keeps the time to change.
    pub(super) reach: Vec<usize>,
    /// The rest of a grid that now ends the class.
    end: Option<usize>,
    /// The block that runs, where it ends by itself.
    pub(super) capped: Option<Capped>,
    /// What is planned after the running interval, in that block and behind it.
    after: Both<Span>,
    most: Both<[Span; STEPS]>,
}

/// Of the block that runs, where it ends by itself, and of all behind it.
#[derive(Default)]
struct Both<T> {
    in_block: T,
    behind: T,
}

impl<T> Both<T> {
    const fn of(&mut self, is_capped: bool) -> &mut T {
        if is_capped {
            &mut self.in_block
        } else {
            &mut self.behind
        }
    }
}

impl<'a> Left<'a> {
    pub(super) fn of(spot: &Spot<'a>, cueing: &'a Cueing) -> Self {
        let all = spot.plan.intervals();
        let own = all.iter().map(|placed| own_floors(placed, cueing));
        Self::with(spot, spot.n + 1, own.collect(), cueing)
    }

    /// The running interval may be shortened too, if it is timed, but not what it has run.
    pub(super) fn with_running(spot: &Spot<'a>, cueing: &'a Cueing) -> Self {
        let (all, n) = (spot.plan.intervals(), spot.n);
        let own = all.iter().map(|placed| own_floors(placed, cueing));
        let mut own: Vec<Floors> = own.collect();
        if let Some(running) = all.get(n) {
            let begun = (spot.at - running.start) + least(cueing);
            own[n] = own[n].at_least(begun.min(running.span()));
        }
        Self::with(spot, n, own, cueing)
    }

    fn with(spot: &Spot<'a>, first: usize, own: Vec<Floors>, cueing: &'a Cueing) -> Self {
        let (all, n) = (spot.plan.intervals(), spot.n);
        let taught = all.iter().take(n + 1);
        let mut left = Self {
            all,
            n,
            cueing,
            mat_lies: taught.into_iter().any(|placed| leaves_mat(placed)),
            first,
            stays: (0..all.len()).collect(),
            moving: (0..all.len())
                .filter(|&i| all[i].kind.is_moving())
                .collect(),
            floors: own.clone(),
            own,
            reach: (0..all.len()).collect(),
            end: None,
            capped: spot.capped,
            after: Both::default(),
            most: Both::default(),
        };
        for (i, placed) in all.iter().enumerate().skip(n + 1) {
            *left.after.of(left.is_capped(i)) += placed.span();
        }
        for i in first..all.len() {
            left.count(i);
        }
        left.settle_end();
        for next in n + 1..all.len() {
            if left.is_moving(next) {
                left.settle(next);
            }
        }
        left
    }

    /// What comes after the running interval, nothing shortened.
    pub(super) fn after(&self) -> Span {
        let in_block = self.after.in_block;
        self.capped.map_or(in_block, |of| of.after(in_block)) + self.after.behind
    }

    /// The most that can be taken off without giving up a round.
    pub(super) fn most_before_rounds(&self) -> Span {
        let sum = |most: &[Span; STEPS]| most[..BEFORE_ROUNDS].iter().copied().sum::<Span>();
        let in_block = if self.is_cut() {
            Span::ZERO
        } else {
            sum(&self.most.in_block)
        };
        in_block + sum(&self.most.behind)
    }

    /// Whether the block that runs is ended before all that stays of it was taught.
    fn is_cut(&self) -> bool {
        (self.capped).is_some_and(|of| of.is_cut(self.after.in_block))
    }

    /// Whether a place is of the block that runs and ends by itself.
    pub(super) fn is_capped(&self, i: usize) -> bool {
        self.capped.is_some_and(|of| i < of.end)
    }

    /// How much longer the block of a place may become; nothing where it does not end by itself.
    pub(super) fn slack(&self, i: usize) -> Option<Span> {
        if let Some(capped) = self.capped.filter(|_| self.is_capped(i)) {
            return Some(capped.slack(self.after.in_block));
        }
        let cap = self.all[i].place.as_ref()?.cap?;
        let of_block = |&i: &usize, part: usize| self.all[i].part == part;
        let part = self.all[i].part;
        let before = (0..i).rev().take_while(|i| of_block(i, part));
        let behind = (i..self.all.len()).take_while(|i| of_block(i, part));
        let long: Span = before.chain(behind).map(|i| self.all[i].span()).sum();
        Some(cap.saturating_sub(long))
    }

    /// The intervals of a step that can give something there, and what they can.
    pub(super) fn able(&self, step: usize) -> Vec<(usize, Giver)> {
        let is_cut = self.is_cut();
        let ahead = self.stays.range(self.first..).copied();
        let ahead = ahead.filter(|&i| !is_cut || !self.is_capped(i));
        let giver = |i: usize| Some((i, self.giver(i, step)?));
        ahead
            .filter_map(giver)
            .filter(|(_, giver)| giver.most > giver.least)
            .collect()
    }

    fn giver(&self, i: usize, step: usize) -> Option<Giver> {
        let (length, floors) = (self.all[i].span(), self.floors[i]);
        let (once, again) = steps_of(&self.all[i]);
        let (least, floor) = if once == Some(step) {
            (Span::ZERO, floors.soft)
        } else if again == Some(step) {
            (length.saturating_sub(floors.soft), floors.hard)
        } else {
            return None;
        };
        let most = length.saturating_sub(floor);
        Some(Giver {
            length,
            least,
            most,
        })
    }

    /// What stays of the class after the running interval.
    pub(super) fn staying(&self) -> impl Iterator<Item = usize> {
        self.stays.range(self.n + 1..).copied()
    }

    /// What goes, in order.
    pub(super) fn gone(&self) -> Vec<usize> {
        let ahead = self.n + 1..self.all.len();
        ahead.filter(|i| !self.stays.contains(i)).collect()
    }

    pub(super) fn stays(&self, i: usize) -> bool {
        self.stays.contains(&i)
    }

    /// The moves that stay after the running interval.
    pub(super) fn moves_ahead(&self) -> impl Iterator<Item = usize> {
        self.moving.range(self.n + 1..).copied()
    }

    pub(super) fn is_moving(&self, i: usize) -> bool {
        self.all[i].kind.is_moving()
    }

    /// What stays next before a place.
    pub(super) fn before(&self, i: usize) -> Option<usize> {
        self.stays.range(..i).next_back().copied()
    }

    /// The move that stays next before a place.
    pub(super) fn move_before(&self, i: usize) -> Option<usize> {
        self.moving.range(..i).next_back().copied()
    }

    /// The move that stays next behind a place.
    pub(super) fn move_behind(&self, i: usize) -> Option<usize> {
        self.moving.range(i + 1..).next().copied()
    }

    /// What stays and rests between two places, the last first.
    pub(super) fn pauses_between(&self, from: usize, to: usize) -> impl Iterator<Item = usize> {
        let between = self.stays.range(from..to).rev().copied();
        between.filter(|&i| !self.is_moving(i))
    }

    /// The floors that an interval has by itself.
    pub(super) fn own(&self, i: usize) -> Floors {
        self.own[i]
    }

    pub(super) fn set_floors(&mut self, i: usize, floors: Floors) {
        if i >= self.first {
            self.uncount(i);
            self.floors[i] = floors;
            self.count(i);
        }
    }

    /// Leaves these out.
    pub(super) fn drop(&mut self, these: &[usize]) {
        self.unsettle_near(these);
        for &i in these {
            if self.stays.remove(&i) {
                self.moving.remove(&i);
                self.uncount(i);
                let after = self.after.of(self.is_capped(i));
                *after = after.saturating_sub(self.all[i].span());
            }
        }
        self.settle_end();
        self.settle_near(these);
    }

    /// Puts these back, which had been left out.
    pub(super) fn put_back(&mut self, these: &[usize]) {
        self.unsettle_near(these);
        for &i in these {
            if self.stays.insert(i) {
                if self.is_moving(i) {
                    self.moving.insert(i);
                }
                self.floors[i] = self.own[i];
                self.reach[i] = i;
                self.count(i);
                *self.after.of(self.is_capped(i)) += self.all[i].span();
            }
        }
        self.settle_end();
        self.settle_near(these);
    }

    /// Lets a window become as short as a window may be, or keeps it from it again.
    pub(super) fn loosen(&mut self, window: usize, is_loose: bool) {
        let own = own_floors(&self.all[window], self.cueing);
        self.own[window] = if is_loose { own.of_last_resort() } else { own };
        if self.stays.contains(&window) {
            self.set_floors(window, self.own[window]);
        }
    }

    /// Finds the rest that ends the class now; the one before it holds its grid again.
    fn settle_end(&mut self) {
        let holds_no_start = |&i: &usize| {
            let of = &self.all[i];
            i > self.n && of.kind == Kind::Rest && of.grid().is_some()
        };
        let end = self.stays.last().copied().filter(holds_no_start);
        if end == self.end {
            return;
        }
        if let Some(before) = self.end {
            self.own[before] = own_floors(&self.all[before], self.cueing);
            if self.stays.contains(&before) {
                self.set_floors(before, self.own[before]);
            }
        }
        if let Some(end) = end {
            self.own[end] = floors_at_the_end(&self.all[end]);
            self.set_floors(end, self.own[end]);
        }
        self.end = end;
    }

    /// The moves before which the pause may change where one of these comes or goes.
    pub(super) fn moves_near(&self, these: &[usize]) -> BTreeSet<usize> {
        let near = |&i: &usize| [self.moving.get(&i).copied(), self.move_behind(i)];
        let near = these.iter().flat_map(near).flatten();
        near.filter(|&next| next > self.n).collect()
    }

    fn count(&mut self, i: usize) {
        for (step, most) in self.most_of(i) {
            self.most.of(self.is_capped(i))[step] += most;
        }
    }

    fn uncount(&mut self, i: usize) {
        for (step, most) in self.most_of(i) {
            let all = &mut self.most.of(self.is_capped(i))[step];
            *all = all.saturating_sub(most);
        }
    }

    /// The most that an interval can give in each of its steps.
    fn most_of(&self, i: usize) -> impl Iterator<Item = (usize, Span)> + use<> {
        let (length, floors) = (self.all[i].span(), self.floors[i]);
        let (once, again) = steps_of(&self.all[i]);
        let once = once.map(|step| (step, length.saturating_sub(floors.soft)));
        let again = again.map(|step| (step, floors.soft.saturating_sub(floors.hard)));
        once.into_iter().chain(again)
    }
}
