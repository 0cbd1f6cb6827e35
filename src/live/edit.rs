//! What the instructor's acts make of the plan: a timeline in, another one out.
//!
//! Offsets are class time really run, so what is past stays where it is: an interval that is left
//! early is cut to what was taught of it, and the rest of the class moves up behind it. A change
//! either bends what is to come, or jumps to another place at once.

use std::sync::Arc;

use super::input::Harder;
use crate::plan::{Interval, Kind, Timeline};
use crate::session::{Pick, Use};
use crate::time::{Offset, Span};

/// A plan and the interval that runs in it; past the end, the class is over.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Course {
    pub(super) plan: Arc<Timeline>,
    pub(super) n: usize,
}

impl Course {
    fn of(class: &Timeline, mut past: Vec<Interval>, future: Vec<Interval>) -> Self {
        let n = past.len();
        past.extend(future);
        Self {
            plan: Arc::new(class.with(past)),
            n,
        }
    }

    pub(super) fn now(&self) -> Option<&Interval> {
        self.plan.intervals().get(self.n)
    }

    fn after(&self) -> &[Interval] {
        self.plan.intervals().get(self.n + 1..).unwrap_or_default()
    }

    /// What has been taught by `at`: the running interval cut short, or left out if it had no time.
    fn taught(&self, at: Offset) -> Vec<Interval> {
        let mut past = self.plan.intervals()[..self.n].to_vec();
        if let Some(now) = self.now() {
            let length = at.since(now.start);
            if !length.is_zero() {
                past.push(Interval {
                    length,
                    ..now.clone()
                });
            }
        }
        past
    }

    /// Leaves the running interval at `at` and goes on with `future`.
    fn jump(&self, at: Offset, future: Vec<Interval>) -> Self {
        Self::of(&self.plan, self.taught(at), future)
    }

    /// Keeps what runs and is past, with `future` behind it.
    fn bend(&self, now: Interval, future: Vec<Interval>) -> Self {
        let mut intervals = self.plan.intervals()[..self.n].to_vec();
        intervals.push(now);
        intervals.extend(future);
        Self {
            plan: Arc::new(self.plan.with(intervals)),
            n: self.n,
        }
    }

    /// Ended at `at`: nothing comes behind what was taught.
    pub(super) fn cut_off(&self, at: Offset) -> Self {
        self.jump(at, Vec::new())
    }

    pub(super) fn go_on(&self, at: Offset) -> Self {
        self.jump(at, self.after().to_vec())
    }

    /// From the start of this interval again.
    pub(super) fn again(&self, at: Offset) -> Option<Self> {
        let mut future = vec![fresh(self.now()?)];
        future.extend_from_slice(self.after());
        Some(self.jump(at, future))
    }

    /// The place before an interval and all its restarts.
    pub(super) fn before(&self, n: usize) -> Option<usize> {
        let intervals = self.plan.intervals();
        let id = intervals.get(n)?.id;
        intervals.iter().position(|i| i.id == id)?.checked_sub(1)
    }

    /// From the start of the interval at the place `earlier`, and then this one again.
    pub(super) fn back_to(&self, at: Offset, earlier: usize) -> Option<Self> {
        let earlier = self.plan.intervals().get(earlier)?;
        let mut future = vec![fresh(earlier), fresh(self.now()?)];
        future.extend_from_slice(self.after());
        Some(self.jump(at, future))
    }

    /// Leaves out the move being done, or between moves the coming one with its rest; tells which.
    pub(super) fn skip(&self, at: Offset) -> Option<(Self, Skipped)> {
        let now = self.now()?;
        if now.kind.is_moving() {
            let id = now.id;
            return Some((self.go_on(at), Skipped { id, jump: true }));
        }
        let coming = self.after().iter().position(|next| next.kind.is_moving())?;
        let mut future = self.after().to_vec();
        let id = future.remove(coming).id;
        if future
            .get(coming)
            .is_some_and(|next| next.kind == Kind::Rest)
        {
            future.remove(coming);
        }
        let skipped = Skipped { id, jump: false };
        Some((self.bend(now.clone(), future), skipped))
    }

    /// Where the running interval began, its restarts right before it counted in.
    pub(super) fn started_as_this(&self) -> Option<Offset> {
        let now = self.now()?;
        let before = self.plan.intervals()[..self.n].iter().rev();
        let first = before.take_while(|past| past.id == now.id).last();
        Some(first.unwrap_or(now).start)
    }

    pub(super) fn with_length(&self, length: Span) -> Option<Self> {
        let now = self.now()?;
        let now = Interval {
            length,
            ..now.clone()
        };
        Some(self.bend(now, self.after().to_vec()))
    }

    /// The interval whose move the keys mean: this one while working, else the coming one.
    pub(super) fn meant(&self) -> Option<&Interval> {
        let from_here = self.plan.intervals().get(self.n..)?;
        from_here.iter().find(|interval| interval.kind.is_moving())
    }

    /// The meant move one step easier or harder, here and wherever its block still has it.
    pub(super) fn step(&self, way: Harder) -> Option<Self> {
        let meant = self.meant()?.clone();
        let turn = meant.turn()?;
        let pick = stepped(turn, way)?;
        let alike = |interval: &Interval| {
            interval.part == meant.part
                && interval.moves.len() == meant.moves.len()
                && interval
                    .turn()
                    .is_some_and(|other| other.of.id == turn.of.id)
        };
        let with_pick = |interval: &Interval| {
            let mut interval = interval.clone();
            if alike(&interval) {
                let mut moves = interval.moves.to_vec();
                moves[0] = Arc::new(Use {
                    pick,
                    ..moves[0].as_ref().clone()
                });
                interval.moves = moves.into();
            }
            interval
        };
        let future = self.after().iter().map(with_pick).collect();
        Some(self.bend(with_pick(self.now()?), future))
    }

    /// The move being done, or between moves the one just done, once more after itself.
    pub(super) fn once_more(&self, next_id: &mut u32) -> Option<Self> {
        let now = self.now()?;
        let mut future = self.after().to_vec();
        if now.kind.is_moving() {
            let rest = future
                .first()
                .filter(|next| next.kind == Kind::Rest)
                .cloned();
            let work = numbered(fresh(now), next_id);
            match rest {
                Some(rest) => {
                    let rest = numbered(fresh(&rest), next_id);
                    future.splice(1..1, [work, rest]);
                }
                None => future.insert(0, work),
            }
        } else {
            let done = self.plan.intervals()[..self.n]
                .iter()
                .rev()
                .find(|interval| interval.kind.is_moving())?;
            let work = numbered(fresh(done), next_id);
            future.insert(0, work);
            if now.kind == Kind::Rest {
                future.insert(1, numbered(fresh(now), next_id));
            }
        }
        Some(self.bend(now.clone(), future))
    }

    /// What is left of this pass left out; a recovery that ends it stays, and so does the rest
    /// that someone who works now needs before the next pass.
    pub(super) fn drop_round(&self) -> Option<Self> {
        let now = self.now()?;
        let pass_of = |interval: &Interval| interval.place.as_ref().map(|p| (p.block, p.pass));
        let here = pass_of(now)?;
        let mut future = self.after().to_vec();
        let end = future
            .iter()
            .position(|interval| pass_of(interval) != Some(here))
            .unwrap_or(future.len());
        let last_work = (0..end).rev().find(|&n| future[n].kind == Kind::Work)?;
        let rested = now.kind != Kind::Work
            && future[last_work + 1..end]
                .iter()
                .all(|next| next.kind == Kind::Rest);
        future.drain(..if rested { end } else { last_work + 1 });
        Some(self.bend(now.clone(), future))
    }

    /// To the first interval of a part. One ahead is as the class now stands; this one and those
    /// behind begin anew as they were planned, and the parts after them stay as they now stand.
    pub(super) fn go_to(&self, at: Offset, part: usize, original: &Timeline) -> Option<Self> {
        let ahead = self.after().iter().position(|next| next.part == part);
        let here = self.now().map(|now| now.part);
        let future = match ahead {
            Some(first) if here != Some(part) => self.after()[first..].to_vec(),
            _ => {
                let intervals = original.intervals();
                let first = intervals.iter().position(|next| next.part == part)?;
                let here = here.unwrap_or(part);
                let again = intervals[first..].iter().filter(|next| next.part <= here);
                let to_come = self.after().iter().filter(|next| next.part > here);
                again.chain(to_come).cloned().collect()
            }
        };
        Some(self.jump(at, future))
    }

    /// This much of the class left out from `at` on, but no work that lasts until the instructor
    /// moves on, and nothing after it. Nothing where such work runs.
    pub(super) fn leave_out(&self, at: Offset, mut gap: Span) -> Option<Self> {
        let now = self.now().filter(|now| !now.untimed)?;
        let rest_of_now = Interval {
            length: now.end().since(at),
            ..now.clone()
        };
        let mut future = Vec::new();
        for interval in std::iter::once(&rest_of_now).chain(self.after()) {
            if interval.untimed {
                gap = Span::ZERO;
            }
            let length = interval.length.less(gap);
            gap = gap.less(interval.length);
            if interval.untimed || !length.is_zero() {
                future.push(Interval {
                    length,
                    ..interval.clone()
                });
            }
        }
        Some(self.jump(at, future))
    }

    /// As it was in `before`, whose running interval had come to `at_then`.
    ///
    /// What has been taught since stays taught. After a jump the interval that was left goes on
    /// with what was left of it. What runs past the end it had then gets `count` to end in.
    pub(super) fn restored(
        &self,
        at: Offset,
        before: &Self,
        (at_then, jump): (Offset, bool),
        count: Span,
    ) -> Self {
        let nothing_since = jump && at == at_then;
        if nothing_since {
            return before.clone();
        }
        if jump {
            let mut future: Vec<Interval> = Vec::new();
            if let Some(left) = before.now() {
                future.push(Interval {
                    length: left.end().since(at_then),
                    ..left.clone()
                });
            }
            future.extend_from_slice(before.after());
            return self.jump(at, future);
        }
        let then = before.plan.intervals();
        let find = |id: u32| (before.n..then.len()).find(|&n| then[n].id == id);
        if let Some(same) = self.now().and_then(|now| find(now.id)) {
            let mut now = then[same].clone();
            if !now.untimed {
                let elapsed = at.since(self.now().map_or(at, |now| now.start));
                if now.length <= elapsed {
                    let planned = self.now().map_or(elapsed, |now| now.length);
                    now.length = planned.min(elapsed + count);
                }
            }
            return self.bend(now, then[same + 1..].to_vec());
        }
        let last = self.plan.intervals()[..self.n]
            .iter()
            .rev()
            .find_map(|past| find(past.id));
        let rest = last.map_or(before.n, |last| last + 1);
        self.jump(at, then[rest..].to_vec())
    }
}

/// What was skipped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Skipped {
    pub(super) id: u32,
    pub(super) jump: bool,
}

/// The interval as long as it was planned.
fn fresh(interval: &Interval) -> Interval {
    Interval {
        length: interval.planned,
        ..interval.clone()
    }
}

fn numbered(interval: Interval, next_id: &mut u32) -> Interval {
    let id = *next_id;
    *next_id += 1;
    Interval { id, ..interval }
}

/// The option one step on, or nothing where there is none left that way.
#[expect(
    clippy::option_option,
    reason = "whether there is a step, and the option or the plain move it leads to"
)]
fn stepped(turn: &Use, way: Harder) -> Option<Option<Pick>> {
    let (easier, harder) = (turn.of.easier.len(), turn.of.harder.len());
    match (way, turn.pick) {
        (Harder::Easier, None | Some(Pick::Instead(_))) => {
            (easier > 0).then_some(Some(Pick::Easier(0)))
        }
        (Harder::Harder, Some(Pick::Instead(_))) => Some(None),
        (Harder::Easier, Some(Pick::Easier(n))) => {
            (n + 1 < easier).then_some(Some(Pick::Easier(n + 1)))
        }
        (Harder::Easier, Some(Pick::Harder(n))) => Some(n.checked_sub(1).map(Pick::Harder)),
        (Harder::Harder, None) => (harder > 0).then_some(Some(Pick::Harder(0))),
        (Harder::Harder, Some(Pick::Harder(n))) => {
            (n + 1 < harder).then_some(Some(Pick::Harder(n + 1)))
        }
        (Harder::Harder, Some(Pick::Easier(n))) => Some(n.checked_sub(1).map(Pick::Easier)),
    }
}
