//! What was done so far: works, time, skips and holds, counted from the course and the tally.
//!
//! How it is shown is not known here. A work begun anew counts once, one skipped not at all.

use std::collections::HashSet;

use super::fact::Ending;
use super::machine::{Live, State};
use super::view::Done;
use crate::plan::Kind;
use crate::time::{Moment, Span};

impl Live {
    /// What was done, where the screen tells it.
    pub(super) fn done_in_the_end(&self, now: Moment) -> Done {
        match self.state {
            State::Ended { .. } => self.done(now),
            _ => Done::default(),
        }
    }

    /// What was done by `now`.
    #[must_use]
    pub fn done(&self, now: Moment) -> Done {
        let works = || {
            let taught = self.course.taught.iter();
            let counted = taught.filter(|stay| stay.end > self.counts_from);
            counted.filter(|stay| stay.interval.kind == Kind::Work)
        };
        let kept = works().filter(|stay| stay.skipped.is_none());
        let kept: HashSet<u32> = kept.map(|stay| stay.interval.id).collect();
        let (from, here) = (self.counts_from, self.offset(now));
        let running = self.course.running();
        let running = running.filter(|running| running.interval.kind == Kind::Work);
        let planned = self.original.intervals().iter();
        Done {
            run: here.since(from),
            planned: self.original.total(),
            work: works()
                .map(|stay| stay.end.since(stay.start.max(from)))
                .sum::<Span>()
                + running.map_or(Span::ZERO, |running| here.since(running.start.max(from))),
            works: kept.len(),
            works_planned: planned.filter(|i| i.kind == Kind::Work).count(),
            skipped: self.skipped.len(),
            holds: self.tally.holds,
            held: self.tally.held + self.tally.unseen,
            marks: self.tally.marks,
            completed: matches!(
                self.state,
                State::Ended {
                    how: Ending::Completed,
                    ..
                }
            ),
        }
    }
}
