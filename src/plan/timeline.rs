//! The timeline: the intervals of a class with their places in time, in absolute milliseconds.
//!
//! It only lays intervals end to end, so that two neighbours always touch and the total is exactly
//! the sum. Why an interval is as long as it is, and who is in the room, is not known here.

use std::ops::Deref;
use std::sync::Arc;

use super::expand::expand;
use super::interval::{Interval, Kind};
use crate::session::Session;
use crate::time::{Offset, Span};

/// An interval with its place in time.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// Where it starts.
    pub start: Offset,
    /// Where it ends.
    pub end: Offset,
    /// Where people change sides; nothing where they do not, or have.
    pub switch_at: Option<Offset>,
    /// Where half of the work is done, if that is told and still to come.
    pub half_at: Option<Offset>,
    interval: Arc<Interval>,
}

impl Deref for Placed {
    type Target = Interval;

    fn deref(&self) -> &Interval {
        &self.interval
    }
}

impl Placed {
    /// An interval that begins here, as long as it is to be.
    #[must_use]
    pub fn at(start: Offset, interval: Arc<Interval>) -> Self {
        let length = interval.length;
        Self {
            start,
            end: start + length,
            switch_at: interval.switch_in(length).map(|after| start + after),
            half_at: interval.half_in(length).map(|after| start + after),
            interval,
        }
    }

    /// A stay in an interval, of which nothing but its two ends is told.
    #[must_use]
    pub const fn stay(start: Offset, end: Offset, interval: Arc<Interval>) -> Self {
        Self {
            start,
            end,
            switch_at: None,
            half_at: None,
            interval,
        }
    }

    /// How long it lies there.
    #[must_use]
    pub fn span(&self) -> Span {
        self.end - self.start
    }

    /// Where the first half of it is over.
    #[must_use]
    pub fn middle(&self) -> Offset {
        self.start + self.span().half()
    }

    /// The interval itself.
    #[must_use]
    pub const fn interval(&self) -> &Arc<Interval> {
        &self.interval
    }
}

/// The intervals of a class, end to end.
#[derive(Clone, Debug, PartialEq)]
pub struct Timeline {
    title: Arc<str>,
    things: Arc<[String]>,
    intervals: Vec<Placed>,
}

impl Timeline {
    /// The class of a session, laid out.
    #[must_use]
    pub fn of(session: &Session) -> Self {
        let intervals = expand(session).into_iter().map(Arc::new);
        let title = session.title.as_str().into();
        let things = session.equipment.clone().into();
        Self::laid(title, things, intervals)
    }

    /// These intervals end to end from the start of the class, with these things at hand.
    #[must_use]
    pub fn laid(
        title: Arc<str>,
        things: Arc<[String]>,
        intervals: impl IntoIterator<Item = Arc<Interval>>,
    ) -> Self {
        let empty = Self {
            title,
            things,
            intervals: Vec::new(),
        };
        empty.followed_by(Vec::new(), intervals)
    }

    /// The same class with these intervals where they lie, and others end to end behind them.
    #[must_use]
    pub fn followed_by(
        &self,
        placed: Vec<Placed>,
        ahead: impl IntoIterator<Item = Arc<Interval>>,
    ) -> Self {
        let mut intervals = placed;
        let mut at = intervals.last().map_or(Offset::ZERO, |last| last.end);
        for interval in ahead {
            let placed = Placed::at(at, interval);
            at = placed.end;
            intervals.push(placed);
        }
        Self {
            title: self.title.clone(),
            things: self.things.clone(),
            intervals,
        }
    }

    /// What the class is called.
    #[must_use]
    pub const fn title(&self) -> &Arc<str> {
        &self.title
    }

    /// What everyone has at hand, as the session lists it.
    #[must_use]
    pub fn things(&self) -> &[String] {
        &self.things
    }

    /// The intervals in order.
    #[must_use]
    pub fn intervals(&self) -> &[Placed] {
        &self.intervals
    }

    /// The length of the whole.
    #[must_use]
    pub fn total(&self) -> Span {
        self.end().span()
    }

    /// Where the class ends.
    #[must_use]
    pub fn end(&self) -> Offset {
        self.intervals.last().map_or(Offset::ZERO, |last| last.end)
    }

    /// Whether the total is an estimate, since some work is untimed.
    #[must_use]
    pub fn is_estimated(&self) -> bool {
        self.intervals.iter().any(|interval| interval.untimed)
    }

    /// Which interval an offset lies in; a boundary belongs to the later one, the end to none.
    #[must_use]
    pub fn index_at(&self, at: Offset) -> Option<usize> {
        let after = self
            .intervals
            .partition_point(|interval| interval.start <= at);
        let index = after.checked_sub(1)?;
        (at < self.intervals[index].end).then_some(index)
    }

    /// The first interval from `from` on in which people move.
    #[must_use]
    pub fn next_moving(&self, from: usize) -> Option<usize> {
        (from..self.intervals.len()).find(|&n| self.intervals[n].kind.is_moving())
    }

    /// The time spent in each kind, over the whole.
    #[must_use]
    pub fn time_in(&self, kind: Kind) -> Span {
        self.intervals
            .iter()
            .filter(|interval| interval.kind == kind)
            .map(Placed::span)
            .sum()
    }
}
