//! The segments of a class one after the other, from what runs on.
//!
//! A segment depends on the moves before it and on the topics that the one before left over, so a
//! walk can begin at any of them. The cost of a whole class is the sum of its segments. What is
//! said in a segment is not known here.

use super::context::Context;
use super::known::Known;
use super::occurrence::{Occurrence, comes};
use super::past::History;
use super::segment::Segment;
use super::told;
use super::topics::Topic;
use crate::time::Offset;

/// The segments one by one, with the history that each finds.
pub(super) struct Walk<'a, 'c> {
    context: &'c Context<'a>,
    history: History<'a>,
    now: Option<Occurrence<'a>>,
    /// The first interval that is not in a segment yet.
    from: usize,
    over: bool,
}

impl<'a, 'c> Walk<'a, 'c> {
    /// From the interval that runs, with what was taught before it.
    pub(super) fn from(context: &'c Context<'a>, running: usize, known: Known<'a>) -> Self {
        let mut walk = Self {
            context,
            history: History::after(known.past, known.before, context.limits),
            now: None,
            from: running,
            over: false,
        };
        let intervals = context.timeline.intervals();
        let begins = running == 0 && context.told.from == Offset::ZERO;
        if !begins && intervals.get(running).is_some_and(comes) {
            walk.now = walk.occurrence(running);
            walk.from += 1;
        }
        walk
    }

    /// What can still be said of the move that runs, where there was no room before it.
    pub(super) fn left(&self) -> Vec<Topic> {
        let now = self.now.as_ref();
        let topics = now.map(|now| told::ahead(now, self.context.limits));
        let mut topics = topics.unwrap_or_default();
        topics.retain(Topic::may_wait);
        topics
    }

    /// Goes past all segments before the one whose own move is the interval `at`.
    pub(super) fn skip_to(&mut self, at: usize) {
        while self.now.as_ref().is_none_or(|now| now.at < at) && self.next().is_some() {}
    }

    fn occurrence(&mut self, at: usize) -> Option<Occurrence<'a>> {
        let timeline = self.context.timeline;
        let found = Occurrence::of(timeline, at, &self.history);
        self.history.add(&timeline.intervals()[at]);
        found
    }
}

impl<'a> Iterator for Walk<'a, '_> {
    type Item = Segment<'a>;

    fn next(&mut self) -> Option<Segment<'a>> {
        if self.over {
            return None;
        }
        let intervals = self.context.timeline.intervals();
        let next = (self.from..intervals.len()).find(|&n| comes(&intervals[n]));
        let end = next.unwrap_or(intervals.len());
        let coming = next.and_then(|at| self.occurrence(at));
        let segment = Segment {
            now: self.now.take(),
            between: self.from.min(end)..end,
            next: coming.clone(),
        };
        self.from = end + 1;
        self.over = next.is_none();
        self.now = coming;
        Some(segment)
    }
}
