//! Landing: the changes that end a class on the slot's time.

use serde::{Deserialize, Serialize};

use crate::plan::Timeline;
use crate::time::Span;

/// One change to what is left of a class.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Change {
    /// The interval's own number.
    pub id: u32,
    /// What becomes of it.
    pub kind: ChangeKind,
}

/// What becomes of an interval.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ChangeKind {
    /// It gets this length.
    Length(Span),
    /// It is left out.
    Drop,
    /// A copy of it, this long, is put after the interval with the number `after`.
    Copy {
        /// Whose successor the copy becomes (or the copy put there before it).
        after: u32,
        /// How long the copy is.
        length: Span,
    },
}

/// A way to end the class on time.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Landing {
    /// The changes.
    pub changes: Vec<Change>,
    /// The changes as a person understands them, a line each.
    pub lines: Vec<String>,
    /// What remains over the slot, all the same.
    pub over: Span,
    /// What remains in hand.
    pub in_hand: Span,
}

/// The plan with the changes made behind the interval `n`; unknown numbers are passed over.
#[must_use]
pub fn apply(plan: &Timeline, n: usize, changes: &[Change], next_id: &mut u32) -> Timeline {
    let (past, future) = plan
        .intervals()
        .split_at((n + 1).min(plan.intervals().len()));
    let mut intervals = past.to_vec();
    for interval in future {
        let mut interval = interval.clone();
        let of_it = |change: &&Change| change.id == interval.id;
        if let Some(change) = changes.iter().find(of_it) {
            match change.kind {
                ChangeKind::Length(length) => interval.length = length,
                ChangeKind::Drop => continue,
                ChangeKind::Copy { .. } => *next_id += 1,
            }
        }
        intervals.push(interval);
    }
    Timeline::laid(plan.title().clone(), intervals)
}
