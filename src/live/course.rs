//! The class as it runs: what has been taught, what runs, and what is ahead.
//!
//! What has been taught is a fact and stays where it is. What runs keeps its target and the moments
//! at which people change sides, whatever is done to it. What is ahead has no place in time yet, so
//! it is shared between the class and what can be taken back.

use std::sync::Arc;

use crate::plan::{Interval, Past, Placed, Timeline};
use crate::session::{Load, Room};
use crate::time::{Offset, Span};

/// A stay in an interval that is over.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Taught {
    /// What was done, as it was to be when it began.
    pub(super) interval: Arc<Interval>,
    /// Where it began.
    pub(super) start: Offset,
    /// Where it was left.
    pub(super) end: Offset,
    /// Which visit of the interval it was a part of.
    pub(super) visit: u32,
    /// The change by which the instructor left it out, if she did.
    pub(super) skipped: Option<u32>,
    /// Whether what led to it was taken back: it is in the books, but was not meant.
    pub(super) is_undone: bool,
}

/// The interval that runs.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Running {
    /// What is done, as it was to be when it began.
    pub(super) interval: Arc<Interval>,
    /// Where this stay in it began.
    pub(super) start: Offset,
    /// How much of it lay behind then: run before, or left out.
    pub(super) into: Span,
    /// How long it is to last, from its very beginning.
    pub(super) target: Span,
    /// When people change sides, from its very beginning.
    pub(super) switch: Option<Span>,
    /// When half of it is told, from its very beginning.
    pub(super) half: Option<Span>,
    /// A number for each time that an interval is begun; a stay that is taken up again keeps it.
    pub(super) visit: u32,
}

impl Running {
    /// The interval from its beginning.
    pub(super) fn begun(interval: Arc<Interval>, start: Offset, visit: u32) -> Self {
        let length = interval.length;
        Self {
            start,
            into: Span::ZERO,
            target: length,
            switch: interval.switch_in(length),
            half: interval.half_in(length),
            visit,
            interval,
        }
    }

    /// The same visit, taken up at `at`, so far into the interval.
    pub(super) fn taken_up(&self, at: Offset, into: Span) -> Self {
        Self {
            start: at,
            into,
            ..self.clone()
        }
    }

    /// How far into the interval the class is.
    pub(super) fn elapsed(&self, at: Offset) -> Span {
        self.into + at.since(self.start)
    }

    /// Where it ends; of untimed work an estimate.
    pub(super) fn end(&self) -> Offset {
        self.start + self.target.saturating_sub(self.into)
    }

    /// What is left of it.
    pub(super) fn left(&self, at: Offset) -> Span {
        self.end().since(at)
    }

    /// Which side people are on, if it has sides.
    pub(super) fn side(&self, at: Offset) -> Option<u8> {
        let switch = self.switch?;
        Some(1 + u8::from(self.elapsed(at) >= switch))
    }

    /// The stay with its place in time.
    pub(super) fn placed(&self) -> Placed {
        let to_come = |after: Option<Span>| {
            let after = after.filter(|&after| after > self.into && after < self.target);
            after.map(|after| self.start + after.saturating_sub(self.into))
        };
        let mut placed = Placed::stay(self.start, self.end(), self.interval.clone());
        placed.switch_at = to_come(self.switch);
        placed.half_at = to_come(self.half);
        placed
    }

    fn left_at(&self, at: Offset) -> Taught {
        Taught {
            interval: self.interval.clone(),
            start: self.start,
            end: at,
            visit: self.visit,
            skipped: None,
            is_undone: false,
        }
    }
}

/// How many of the intervals ahead are kept apart from the rest, at the most.
const NEAR: usize = 64;

/// What is ahead, next first. Going on costs nothing, and a change to what is next costs no more
/// than what it changes.
#[derive(Clone, Debug, Default)]
pub(super) struct Ahead {
    /// The next few, the very next last.
    near: Vec<Arc<Interval>>,
    far: Arc<[Arc<Interval>]>,
    from: usize,
}

impl Ahead {
    pub(super) fn of(intervals: Vec<Arc<Interval>>) -> Self {
        Self {
            near: Vec::new(),
            far: intervals.into(),
            from: 0,
        }
    }

    pub(super) fn len(&self) -> usize {
        self.near.len() + self.far.len() - self.from
    }

    pub(super) fn iter(&self) -> impl DoubleEndedIterator<Item = &Arc<Interval>> {
        self.near.iter().rev().chain(&self.far[self.from..])
    }

    pub(super) fn next(&self) -> Option<&Arc<Interval>> {
        self.near.last().or_else(|| self.far.get(self.from))
    }

    pub(super) fn pop(&mut self) -> Option<Arc<Interval>> {
        self.near.pop().or_else(|| {
            let next = self.far.get(self.from).cloned();
            self.from += usize::from(next.is_some());
            next
        })
    }

    pub(super) fn push(&mut self, interval: Arc<Interval>) {
        self.replace(0, vec![interval]);
    }

    /// Puts these in place of the first `count`.
    pub(super) fn replace(&mut self, count: usize, with: Vec<Arc<Interval>>) {
        for _ in 0..count {
            self.pop();
        }
        self.near.extend(with.into_iter().rev());
        if self.near.len() > NEAR {
            *self = Self::of(self.to_vec());
        }
    }

    /// Makes others of those that are meant; how many those are.
    pub(super) fn change(
        &mut self,
        is_meant: impl Fn(&Interval) -> bool,
        to: impl Fn(&Interval) -> Interval,
    ) -> usize {
        let meant = self.iter().enumerate().filter(|(_, next)| is_meant(next));
        let (count, changed) = meant.fold((0, 0), |(count, _), (n, _)| (count + 1, n + 1));
        let change = |next: &Arc<Interval>| {
            if is_meant(next) {
                Arc::new(to(next))
            } else {
                next.clone()
            }
        };
        let first = self.iter().take(changed).map(change).collect();
        self.replace(changed, first);
        count
    }

    pub(super) fn to_vec(&self) -> Vec<Arc<Interval>> {
        self.iter().cloned().collect()
    }
}

impl PartialEq for Ahead {
    fn eq(&self, other: &Self) -> bool {
        self.len() == other.len()
            && self
                .iter()
                .zip(other.iter())
                .all(|(a, b)| Arc::ptr_eq(a, b) || a == b)
    }
}

/// What is left of a class: what runs, and what is ahead. Where nothing runs, it is over.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Remaining {
    pub(super) running: Option<Running>,
    pub(super) ahead: Ahead,
    /// How many visits there have been.
    pub(super) visits: u32,
    /// Where the block that runs ends by itself, if it does.
    pub(super) cap: Option<Cap>,
}

/// Where a block ends by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Cap {
    /// The part of the session that the block is.
    part: usize,
    /// Where in the class it ends.
    pub(super) ends: Offset,
}

impl Remaining {
    /// Begins an interval. A block with a cap ends so long after its first; what is timed ends with
    /// it.
    pub(super) fn begin(&mut self, interval: Arc<Interval>, at: Offset) {
        self.visits += 1;
        let mut running = Running::begun(interval, at, self.visits);
        let (part, place) = (running.interval.part, running.interval.place.as_ref());
        let own = place.and_then(|place| place.cap);
        let known = self.cap.filter(|cap| cap.part == part);
        self.cap = known.or_else(|| {
            let ends = at + own?;
            Some(Cap { part, ends })
        });
        if let Some(cap) = self
            .cap
            .filter(|cap| !running.interval.untimed && running.end() >= cap.ends)
        {
            running.target = cap.ends.since(at);
            self.leave_part(part);
        }
        self.running = Some(running);
    }

    /// What is timed and runs in a block with a cap ends with it, whatever was put in or taken back;
    /// where that time has passed it ends here, for the class does not go back.
    pub(super) fn keep_cap(&mut self, at: Offset) {
        let (Some(cap), Some(running)) = (self.cap, &mut self.running) else {
            return;
        };
        let timed = !running.interval.untimed && running.interval.part == cap.part;
        let ends = cap.ends.max(at);
        if timed && running.end() > ends {
            running.target = running.into + ends.since(running.start);
            self.leave_part(cap.part);
        }
    }

    /// What is next of a part is left out.
    fn leave_part(&mut self, part: usize) {
        while self.ahead.next().is_some_and(|next| next.part == part) {
            self.ahead.pop();
        }
    }

    /// Where the work that is counted ends by itself, if that is what runs and it does.
    pub(super) fn capped_at(&self) -> Option<Offset> {
        let running = self.running.as_ref()?;
        let cap = self.cap.filter(|cap| cap.part == running.interval.part);
        // Taken up again behind its end it ends at once: the class does not go back in time.
        cap.filter(|_| running.interval.untimed)
            .map(|cap| cap.ends.max(running.start))
    }

    /// Begins what comes next; where nothing does, nothing runs.
    pub(super) fn begin_next(&mut self, at: Offset) {
        self.running = None;
        if let Some(next) = self.ahead.pop() {
            self.begin(next, at);
        }
    }

    /// How long it lasts from here.
    pub(super) fn lasts(&self, at: Offset) -> Span {
        let Some(running) = &self.running else {
            return Span::ZERO;
        };
        let (mut block, mut behind) = (running.left(at), Span::ZERO);
        for next in self.ahead.iter() {
            let is_of_block = behind.is_zero() && next.part == running.interval.part;
            *(if is_of_block { &mut block } else { &mut behind }) += next.length;
        }
        let block = self.cap.map_or(block, |cap| block.min(cap.ends.since(at)));
        block + behind
    }

    /// What runs and is ahead, in order.
    pub(super) fn intervals(&self) -> impl DoubleEndedIterator<Item = &Arc<Interval>> {
        let running = self.running.iter().map(|running| &running.interval);
        running.chain(self.ahead.iter())
    }

    /// The interval whose move the keys mean: this one while working, else the coming one.
    pub(super) fn meant(&self) -> Option<&Arc<Interval>> {
        self.intervals().find(|interval| interval.kind.is_moving())
    }
}

/// The class as it runs.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Course {
    pub(super) taught: Vec<Taught>,
    /// What the class knows from what it was taught.
    pub(super) past: Past,
    pub(super) left: Remaining,
}

impl Course {
    /// A class at its start.
    pub(super) fn of(plan: &Timeline, limits: &[Load]) -> Self {
        let intervals = plan.intervals().iter();
        let intervals = intervals.map(|placed| placed.interval().clone());
        let mut left = Remaining {
            ahead: Ahead::of(intervals.collect()),
            ..Remaining::default()
        };
        left.begin_next(Offset::ZERO);
        Self {
            taught: Vec::new(),
            past: Past::of(&Room {
                limits,
                things: plan.things(),
            }),
            left,
        }
    }

    pub(super) fn running(&self) -> Option<&Running> {
        self.left.running.as_ref()
    }

    /// The running interval, if one runs.
    pub(super) fn now(&self) -> Option<&Arc<Interval>> {
        self.running().map(|running| &running.interval)
    }

    /// Leaves what runs, at `at`, and goes on with what is then left.
    pub(super) fn leave(&mut self, at: Offset, left: Remaining) {
        if let Some(stay) = self.left.running.take() {
            self.taught_until(&stay, at);
        }
        self.left = left;
    }

    /// A stay is over. One of no time leaves no trace.
    fn taught_until(&mut self, stay: &Running, end: Offset) {
        if end > stay.start {
            self.past.add(&stay.interval);
            self.taught.push(stay.left_at(end));
        }
    }

    /// Goes over from what runs to what comes next, at its end.
    pub(super) fn go_over(&mut self) {
        if let Some(stay) = self.left.running.take() {
            let end = stay.end();
            self.taught_until(&stay, end);
            self.left.begin_next(end);
        }
    }

    /// Goes on with a stay that was left, at `at` now and at `left_at` then; where no time has
    /// passed since, as if it never was.
    pub(super) fn take_up(&mut self, stay: &Running, left_at: Offset, at: Offset) -> Running {
        let is_it =
            |last: &&Taught| (last.visit, last.start, last.end) == (stay.visit, stay.start, at);
        let just_left = self.taught.last().as_ref().is_some_and(is_it);
        if left_at == at && (just_left || stay.start == at) {
            if just_left {
                self.taught.pop();
            }
            return stay.clone();
        }
        stay.taken_up(at, stay.elapsed(left_at))
    }

    /// Whether in this another move is done in what runs.
    pub(super) fn does_another(&self, left: &Remaining) -> bool {
        let ids = |running: &Running| -> Vec<String> {
            let moves = running.interval.moves.iter();
            moves.map(|turn| turn.of.id.clone()).collect()
        };
        let runs = self.running().zip(left.running.as_ref());
        runs.is_some_and(|(is, to_be)| ids(is) != ids(to_be))
    }

    /// Goes over from counted work to what comes after its block, whose time is up.
    pub(super) fn end_at_cap(&mut self, end: Offset) {
        if let Some(stay) = self.left.running.take() {
            self.left.leave_part(stay.interval.part);
            self.taught_until(&stay, end);
            self.left.begin_next(end);
            self.left.keep_marks(end);
        }
    }

    /// The pause since the last interval in which people moved, if they kept moving in it.
    pub(super) fn active_since(&self) -> Option<&Arc<Interval>> {
        let taught = self.taught.iter().rev().map(|stay| &stay.interval);
        let mut pauses = taught.take_while(|stay| !stay.kind.is_moving());
        pauses.find(|pause| pause.is_active_pause())
    }

    /// The last interval in which people moved before the running one was first begun.
    pub(super) fn moved_before(&self) -> Option<&Arc<Interval>> {
        let id = self.now().map(|now| now.id);
        let mut moved = self.moved();
        moved.find(|moved| Some(moved.id) != id)
    }

    /// Those in which people moved, the last first, as far as they were meant.
    fn moved(&self) -> impl Iterator<Item = &Arc<Interval>> {
        let meant = self.taught.iter().rev().filter(|stay| !stay.is_undone);
        let meant = meant.map(|stay| &stay.interval);
        meant.filter(|interval| interval.kind.is_moving())
    }

    /// What was run since a stay was left, the `first` of all and those behind it, was not meant.
    pub(super) fn undo_since(&mut self, first: usize, stay: &Running) {
        let since = self.taught.iter_mut().skip(first);
        for taught in since.filter(|taught| taught.visit != stay.visit) {
            taught.is_undone = true;
        }
    }

    /// The last interval in which people moved before what runs.
    pub(super) fn last_moved(&self) -> Option<&Arc<Interval>> {
        self.moved().next()
    }

    /// The whole class with its places in time: as it was taught, and as it is to be.
    pub(super) fn timeline(&self, class: &Timeline) -> Timeline {
        let taught = self.taught.iter();
        let stays = taught.map(|t| Placed::stay(t.start, t.end, t.interval.clone()));
        let running = self.running().into_iter().map(Running::placed);
        let ahead = self.left.ahead.iter().cloned();
        class.followed_by(stays.chain(running).collect(), ahead)
    }
}
