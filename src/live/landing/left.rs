//! What is left of a class, how short each interval of it may become, and what goes.
//!
//! It refuses to know how much time is over, and in which order rounds are given up.

use super::floors::own_floors;
use super::shape::block_of;
use crate::plan::{Interval, Kind, Timeline, least, uses_mat};
use crate::session::Cueing;
use crate::time::{Offset, Span};

/// How many steps there are in which intervals are shortened.
pub(super) const STEPS: usize = 5;

/// The step of the cool-down, which comes after all rounds are given up.
const COOL_DOWN: usize = STEPS - 1;

const fn step_of(kind: Kind) -> Option<usize> {
    match kind {
        Kind::Recovery => Some(0),
        Kind::Rest => Some(1),
        Kind::Talk | Kind::Ready => Some(2),
        Kind::Work => Some(3),
        Kind::CoolDown => Some(COOL_DOWN),
        Kind::WarmUp => None,
    }
}

/// The intervals after the running one, each with its floor. What went is skipped by links, so
/// that giving up a round costs no more than the round is long.
pub(super) struct Left<'a> {
    pub(super) all: &'a [Interval],
    pub(super) n: usize,
    pub(super) cueing: &'a Cueing,
    first: usize,
    gone: Vec<bool>,
    own: Vec<Span>,
    floors: Vec<Span>,
    before: Vec<Option<usize>>,
    behind: Vec<Option<usize>>,
    after: Span,
    /// Whether a mat has been used already; one used later may yet be left out.
    pub(super) mat_lies: bool,
    most: [Span; STEPS],
}

/// Whether a mat has been used in what was taught or runs.
fn mat_lies(all: &[Interval], n: usize) -> bool {
    all.iter()
        .take(n + 1)
        .any(|interval| uses_mat(&interval.moves))
}

impl<'a> Left<'a> {
    pub(super) fn of(plan: &'a Timeline, n: usize, cueing: &'a Cueing) -> Self {
        let all = plan.intervals();
        let (count, first) = (all.len(), (n + 1).min(all.len()));
        let own = own_floors(all, cueing);
        let mut left = Self {
            all,
            n,
            cueing,
            first,
            gone: vec![false; count],
            floors: own.clone(),
            own,
            before: (0..count).map(|i| i.checked_sub(1)).collect(),
            behind: (0..count)
                .map(|i| Some(i + 1).filter(|&b| b < count))
                .collect(),
            after: all[first..].iter().map(|interval| interval.length).sum(),
            mat_lies: mat_lies(all, n),
            most: [Span::ZERO; STEPS],
        };
        for i in first..count {
            left.count(i);
        }
        left.set_all_pauses();
        left
    }

    /// Lets the running interval be shortened too, if it is timed.
    pub(super) fn and_running(mut self, at: Offset) -> Self {
        if let Some(running) = self.all.get(self.n).filter(|running| !running.untimed) {
            let begun = (at - running.start) + least(self.cueing);
            let floor = self.floors[self.n].max(begun).min(running.length);
            self.first = self.n;
            self.floors[self.n] = floor;
            self.count(self.n);
        }
        self
    }

    /// What comes after the running interval, nothing shortened.
    pub(super) const fn after(&self) -> Span {
        self.after
    }

    /// The most that can be taken off without touching the cool-down.
    pub(super) fn most_before_cool_down(&self) -> Span {
        self.most[..COOL_DOWN].iter().copied().sum()
    }

    /// The intervals of a step that can give something, and how much.
    pub(super) fn able(&self, step: usize) -> Vec<(usize, Span)> {
        (self.first..self.all.len())
            .filter(|&i| !self.gone[i] && step_of(self.all[i].kind) == Some(step))
            .map(|i| (i, self.most_of(i)))
            .filter(|(_, most)| !most.is_zero())
            .collect()
    }

    /// The recoveries after the running interval.
    pub(super) fn recoveries(&self) -> Vec<usize> {
        (self.n + 1..self.all.len())
            .filter(|&i| !self.gone[i] && self.all[i].kind == Kind::Recovery)
            .collect()
    }

    /// What goes, in order.
    pub(super) fn gone(&self) -> Vec<usize> {
        (0..self.all.len()).filter(|&i| self.gone[i]).collect()
    }

    fn most_of(&self, i: usize) -> Span {
        self.all[i].length.less(self.floors[i])
    }

    fn count(&mut self, i: usize) {
        if let Some(step) = step_of(self.all[i].kind) {
            self.most[step] += self.most_of(i);
        }
    }

    fn uncount(&mut self, i: usize) {
        if let Some(step) = step_of(self.all[i].kind) {
            self.most[step] = self.most[step].less(self.most_of(i));
        }
    }

    /// The floor that an interval has by itself.
    pub(super) fn own_floor(&self, i: usize) -> Span {
        self.own[i]
    }

    /// Sets the floor of an interval that has not begun.
    pub(super) fn set_floor(&mut self, i: usize, floor: Span) {
        if i > self.n {
            self.uncount(i);
            self.floors[i] = floor;
            self.count(i);
        }
    }

    /// What stands before, or stood before if this one went.
    pub(super) fn before(&self, i: usize) -> Option<usize> {
        std::iter::successors(self.before[i], |&b| self.before[b]).find(|&b| !self.gone[b])
    }

    /// What stands behind, or stood behind if this one went.
    pub(super) fn behind(&self, i: usize) -> Option<usize> {
        std::iter::successors(self.behind[i], |&b| self.behind[b]).find(|&b| !self.gone[b])
    }

    /// Whether people rest in it, as a part of this block.
    pub(super) fn is_pause_of(&self, i: usize, block: Option<usize>) -> bool {
        !self.all[i].kind.is_moving() && block.is_some() && block_of(&self.all[i]) == block
    }

    /// Leaves an interval out, unless it has begun.
    pub(super) fn drop(&mut self, i: usize) {
        if i <= self.n || self.gone[i] {
            return;
        }
        self.uncount(i);
        self.gone[i] = true;
        self.after = self.after.less(self.all[i].length);
        let (before, behind) = (self.before[i], self.behind[i]);
        if let Some(before) = before {
            self.behind[before] = behind;
        }
        if let Some(behind) = behind {
            self.before[behind] = before;
        }
    }
}
