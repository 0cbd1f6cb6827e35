//! Where a class is, and how much room it has from there.

use crate::plan::{Placed, Timeline};
use crate::time::{Offset, Span};

/// The interval that runs, where in it the class is, and how much room there is from here.
pub(super) struct Spot<'a> {
    pub(super) plan: &'a Timeline,
    pub(super) n: usize,
    pub(super) at: Offset,
    pub(super) room: Span,
    /// What remains of the running interval.
    pub(super) remaining: Span,
}

impl<'a> Spot<'a> {
    pub(super) fn of(plan: &'a Timeline, n: usize, at: Offset, room: Span) -> Self {
        let running = plan.intervals().get(n);
        let remaining = running.map_or(Span::ZERO, |running| running.end - at);
        Self {
            plan,
            n,
            at,
            room,
            remaining,
        }
    }

    /// What comes after the running interval.
    pub(super) fn ahead(&self) -> &'a [Placed] {
        self.plan.intervals().get(self.n + 1..).unwrap_or_default()
    }

    /// What is over where this much comes after the running interval.
    pub(super) fn over(&self, after: Span) -> Span {
        (self.remaining + after).saturating_sub(self.room)
    }

    /// What is in hand where this much comes after the running interval.
    pub(super) fn in_hand(&self, after: Span) -> Span {
        self.room.saturating_sub(self.remaining + after)
    }
}
