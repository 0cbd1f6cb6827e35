//! The one place that reads clocks.
//!
//! The steady clock drives the class. The wall clock says when the room must be left, and tells a
//! sleeping laptop: a steady clock stands still while it sleeps, the wall clock does not.

use std::time::{Duration, Instant};

use chrono::{DateTime, FixedOffset, Local, TimeDelta};

use crate::time::{Moment, Span};

/// The wall clock's time with its distance from UTC.
pub(crate) type Wall = DateTime<FixedOffset>;

/// What a rehearsal makes of time, and the readings of both clocks.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Clock {
    start: Instant,
    origin: Moment,
    pace: u32,
}

impl Clock {
    /// A clock that stands at `origin` now and runs `pace` times as fast as time does.
    #[expect(
        clippy::disallowed_methods,
        reason = "the one doorway to the steady clock"
    )]
    pub(crate) fn starting_at(origin: Moment, pace: u32) -> Self {
        Self {
            start: Instant::now(),
            origin,
            pace: pace.max(1),
        }
    }

    /// The steady clock.
    pub(crate) fn now(&self) -> Moment {
        Moment::from_millis(self.micros() / 1000)
    }

    /// The steady clock in microseconds, for the loudspeaker.
    #[expect(
        clippy::disallowed_methods,
        reason = "the one doorway to the steady clock"
    )]
    pub(crate) fn micros(&self) -> u64 {
        let run = Instant::now().duration_since(self.start).as_micros();
        let run = u64::try_from(run).unwrap_or(u64::MAX);
        let origin = self.origin.millis().saturating_mul(1000);
        origin.saturating_add(run.saturating_mul(u64::from(self.pace)))
    }

    /// How long to wait, in real time, until the clock stands at `moment`.
    pub(crate) fn until(&self, moment: Moment) -> Duration {
        let wait = moment.since(self.now()).millis().saturating_mul(1000) / u64::from(self.pace);
        Duration::from_micros(wait)
    }

    /// How many times as fast as time this clock runs.
    pub(crate) const fn pace(&self) -> u32 {
        self.pace
    }
}

/// The wall clock.
#[expect(
    clippy::disallowed_methods,
    reason = "the one doorway to the wall clock"
)]
pub(crate) fn wall() -> Wall {
    Local::now().fixed_offset()
}

/// A span as a difference of wall clock times.
pub(crate) fn delta(span: Span) -> TimeDelta {
    TimeDelta::milliseconds(i64::try_from(span.millis()).unwrap_or(i64::MAX / 2))
}

/// Both clocks, read together.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Both {
    /// The steady clock.
    pub(crate) now: Moment,
    /// The wall clock.
    pub(crate) wall: Wall,
}

impl Both {
    /// What the wall clock shows at a moment, past or to come.
    pub(crate) fn wall_at(self, moment: Moment) -> Wall {
        self.wall + delta(moment.since(self.now)) - delta(self.now.since(moment))
    }

    /// The moment at which the wall clock shows this, past or to come. Before the steady clock
    /// began it gives that clock's beginning.
    pub(crate) fn moment_at(self, wall: Wall) -> Moment {
        let ahead = (wall - self.wall).num_milliseconds();
        let span = Span::from_millis(ahead.unsigned_abs());
        if ahead < 0 {
            self.now.before(span)
        } else {
            self.now + span
        }
    }
}

/// Tells a sleep of the laptop, or a stop of the program, by two clocks that were read together.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Watch {
    seen: Both,
}

/// Nothing ran for a while.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sleep {
    /// Since when.
    pub(crate) from: Moment,
    /// How long, by the longer of the two clocks.
    pub(crate) gap: Span,
    /// Both clocks before it. What happened until then happened by these: the steady clock may have
    /// stood still since.
    pub(crate) before: Both,
}

/// The least gap that counts as a sleep: a clock set by the network moves less at a time.
const SLEEP_FROM: Span = Span::from_millis(2_500);

impl Watch {
    /// Begins to watch.
    pub(crate) const fn new(seen: Both) -> Self {
        Self { seen }
    }

    /// Reads both clocks again. `due` is when the loop meant to be back at the latest.
    pub(crate) fn look(&mut self, seen: Both, due: Moment) -> Option<Sleep> {
        let before = std::mem::replace(&mut self.seen, seen);
        let now = seen.now;
        let passed = (seen.wall - before.wall).num_milliseconds();
        let passed = Span::from_millis(u64::try_from(passed).unwrap_or(0));
        let late = now.since(due.max(before.now));
        let gap = passed.less(now.since(before.now)) + late;
        let from = before.now.max(due.min(now));
        (gap >= SLEEP_FROM).then_some(Sleep { from, gap, before })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(millis: u64) -> Moment {
        Moment::from_millis(millis)
    }

    #[test]
    fn a_sleep_is_told_by_either_clock_and_a_late_wake_is_not() {
        let wall = DateTime::parse_from_rfc3339("2026-03-04T18:00:00+01:00").expect("a date");
        let after = |secs| wall + TimeDelta::seconds(secs);
        for (what, now, wall_now, due, gap) in [
            ("on time", 1_000, after(1), 1_000, None),
            ("half a second late", 1_500, after(1), 1_000, None),
            (
                "laptop slept, steady clock stood",
                1_000,
                after(61),
                1_000,
                Some((1_000, 60_000)),
            ),
            (
                "stopped, steady clock ran",
                61_000,
                after(61),
                1_000,
                Some((1_000, 60_000)),
            ),
            ("wall clock set back", 1_000, after(-3600), 1_000, None),
        ] {
            let both = |now, wall| Both { now: at(now), wall };
            let mut watch = Watch::new(both(0, wall));
            let told = watch.look(both(now, wall_now), at(due));
            let told = told.map(|sleep| (sleep.from, sleep.gap, sleep.before.wall));
            let expected = gap.map(|(from, gap)| (at(from), Span::from_millis(gap), wall));
            assert_eq!(told, expected, "{what}");
        }
    }

    /// A slot that is over stays where it was: only so does the screen tell how long ago that was.
    #[test]
    fn what_is_past_on_one_clock_is_past_on_the_other() {
        let wall = DateTime::parse_from_rfc3339("2026-03-04T18:45:00+01:00").expect("a date");
        let both = Both {
            now: at(600_000),
            wall,
        };
        for (secs, moment) in [(0, 600_000), (90, 690_000), (-240, 360_000), (-600, 0)] {
            let shown = wall + TimeDelta::seconds(secs);
            assert_eq!(both.moment_at(shown), at(moment), "{secs}");
            assert_eq!(both.wall_at(at(moment)), shown, "{secs}");
        }
        let long_ago = wall - TimeDelta::hours(1);
        assert_eq!(both.moment_at(long_ago), Moment::ZERO);
    }
}
