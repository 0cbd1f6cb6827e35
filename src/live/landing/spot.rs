//! Where a class is, and how much room it has from there.

use crate::plan::{Placed, Timeline};
use crate::time::{Offset, Span};

/// The interval that runs, where in it the class is, and how much room there is from here.
pub(in crate::live) struct Spot<'a> {
    pub(super) plan: &'a Timeline,
    pub(super) n: usize,
    pub(super) at: Offset,
    pub(super) room: Span,
    /// What of the room goes to the time that people then need to come to what follows what went.
    pub(super) put_in: Span,
    /// What remains of the running interval.
    pub(super) remaining: Span,
    /// The block that runs, where it ends by itself.
    pub(super) capped: Option<Capped>,
}

impl<'a> Spot<'a> {
    pub(in crate::live) fn of(plan: &'a Timeline, n: usize, at: Offset, room: Span) -> Self {
        let running = plan.intervals().get(n);
        let remaining = running.map_or(Span::ZERO, |running| running.end - at);
        Self {
            plan,
            n,
            at,
            room,
            put_in: Span::ZERO,
            remaining,
            capped: None,
        }
    }

    /// The same where the block that runs ends by itself there, at the latest.
    pub(in crate::live) fn ending_at(self, cap: Option<Offset>) -> Self {
        let all = self.plan.intervals();
        let capped = cap.zip(all.get(self.n)).map(|(cap, running)| {
            let of_block = |placed: &&Placed| placed.part == running.part;
            let ahead = self.ahead().iter().take_while(of_block).count();
            Capped {
                end: self.n + 1 + ahead,
                room: cap - self.at,
                remaining: self.remaining,
            }
        });
        let remaining = capped.map_or(self.remaining, |of| of.remaining.min(of.room));
        Self {
            remaining,
            capped,
            ..self
        }
    }

    /// The same where so much of the room is needed besides.
    pub(in crate::live) const fn putting_in(self, put_in: Span) -> Self {
        Self { put_in, ..self }
    }

    /// What comes after the running interval.
    pub(super) fn ahead(&self) -> &'a [Placed] {
        self.plan.intervals().get(self.n + 1..).unwrap_or_default()
    }

    /// What is over where this much comes after the running interval.
    pub(super) fn over(&self, after: Span) -> Span {
        (self.remaining + after + self.put_in).saturating_sub(self.room)
    }

    /// What is in hand where this much comes after the running interval.
    pub(super) fn in_hand(&self, after: Span) -> Span {
        self.room
            .saturating_sub(self.remaining + after + self.put_in)
    }

    /// What is left of a class of which this much of the block that runs, and this much behind it,
    /// is to come after the running interval.
    pub(super) fn left(&self, in_block: Span, behind: Span) -> Span {
        let after = self.capped.map_or(in_block, |of| of.after(in_block));
        self.remaining + after + behind
    }

    /// Whether a place is of the block that runs and ends by itself.
    pub(super) fn is_capped(&self, i: usize) -> bool {
        self.capped.is_some_and(|of| i < of.end)
    }
}

/// A block that runs and ends by itself, whatever of it is still to come.
#[derive(Clone, Copy)]
pub(super) struct Capped {
    /// The first place behind the block.
    pub(super) end: usize,
    /// Class time until it ends, at the latest.
    pub(super) room: Span,
    /// What remains of the running interval by the plan.
    remaining: Span,
}

impl Capped {
    /// What is taught after the running interval, where this much is planned of the block.
    pub(super) fn after(self, planned: Span) -> Span {
        planned.min(self.room.saturating_sub(self.remaining))
    }

    /// Whether not all that is planned of the block is taught: what is made shorter then only lets
    /// people come further in it.
    pub(super) fn is_cut(self, planned: Span) -> bool {
        self.remaining + planned > self.room
    }

    /// How much more of the block there may be.
    pub(super) fn slack(self, planned: Span) -> Span {
        self.room.saturating_sub(self.remaining + planned)
    }
}
