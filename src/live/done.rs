//! What was done so far: works, time, skips and holds, counted from the course and the tally.
//!
//! It refuses to know how it is shown. A work begun anew counts once, one skipped not at all.

use super::machine::{Live, State};
use super::view::Done;
use crate::plan::{Interval, Kind};
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
        let past = &self.course.plan.intervals()[..self.course.n];
        let mut works: Vec<u32> = past
            .iter()
            .filter(|i| i.kind == Kind::Work && !self.was_skipped(i))
            .map(|i| i.id)
            .collect();
        works.sort_unstable();
        works.dedup();
        let work_in = |interval: &Interval| match interval.kind {
            Kind::Work => interval.length,
            _ => Span::ZERO,
        };
        let here = self.offset(now);
        let running = self.course.now().filter(|i| i.kind == Kind::Work);
        let planned = self.original.intervals().iter();
        Done {
            run: here.span(),
            planned: self.original.total(),
            work: past.iter().map(work_in).sum::<Span>()
                + running.map_or(Span::ZERO, |i| here.since(i.start)),
            works: works.len(),
            works_planned: planned.filter(|i| i.kind == Kind::Work).count(),
            skipped: self.skipped.len(),
            holds: self.tally.holds,
            held: self.tally.held,
            marks: self.tally.marks,
            completed: matches!(
                self.state,
                State::Ended {
                    how: super::Ending::Completed,
                    ..
                }
            ),
        }
    }

    fn was_skipped(&self, past: &Interval) -> bool {
        self.skipped.iter().any(|(id, ran)| {
            *id == past.id && ran.is_some_and(|(from, to)| from <= past.start && past.start <= to)
        })
    }
}
