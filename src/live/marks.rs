//! What lasts up to a mark ends there, whatever was changed before it.
//!
//! It gives and takes what the rest of the class before it lost or won, but never becomes too short
//! for people to come to it.

use std::sync::Arc;

use super::course::Remaining;
use crate::plan::Interval;
use crate::time::{Offset, Span};

/// The shortest that something becomes which lasts up to a mark, unless it was planned shorter
/// (common practice, no source).
const SHORTEST: Span = Span::from_secs(10);

impl Remaining {
    /// After a change: a block with a cap ends on it, and what lasts up to a mark on that.
    pub(super) fn keep_ends(&mut self, at: Offset) {
        self.keep_cap(at);
        self.keep_marks(at);
    }

    /// Makes everything ahead that lasts up to a mark end there; what runs only where it begins at
    /// `at`.
    pub(super) fn keep_marks(&mut self, at: Offset) {
        if let Some(running) = &mut self.running {
            let begins = running.into.is_zero() && running.start == at;
            if let Some(length) = up_to(&running.interval, at).filter(|_| begins) {
                running.target = length;
            }
        }
        let Some(mut end) = self.running.as_ref().map(|running| running.end().max(at)) else {
            return;
        };
        if !self.ahead.iter().any(|next| next.mark.is_some()) {
            return;
        }
        let mut kept = Vec::new();
        let mut changed = 0;
        for (n, next) in self.ahead.iter().enumerate() {
            let length = up_to(next, end).unwrap_or(next.length);
            end = end + length;
            if length == next.length {
                kept.push(next.clone());
            } else {
                kept.push(super::edits::with_length(next, length));
                changed = n + 1;
            }
        }
        if changed > 0 {
            kept.truncate(changed);
            self.ahead.replace(changed, kept);
        }
    }

    /// From now on all marks are where the class as it stands comes to them.
    pub(super) fn move_marks(&mut self, at: Offset) {
        let Some(mut end) = self.running.as_ref().map(|running| running.end().max(at)) else {
            return;
        };
        let moved = |next: &Arc<Interval>| {
            end = end + next.length;
            match next.mark {
                Some(mark) if mark != end => Arc::new(Interval {
                    mark: Some(end),
                    ..next.as_ref().clone()
                }),
                _ => next.clone(),
            }
        };
        if self.ahead.iter().any(|next| next.mark.is_some()) {
            let all = self.ahead.iter().map(moved).collect();
            self.ahead.replace(self.ahead.len(), all);
        }
    }
}

/// How long an interval is that lasts up to a mark and begins here; nothing where it has none.
fn up_to(interval: &Interval, from: Offset) -> Option<Span> {
    let mark = interval.mark?;
    Some(mark.since(from).max(SHORTEST.min(interval.planned)))
}
