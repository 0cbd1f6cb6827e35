//! The one place that reads clocks.
//!
//! The steady clock drives the class. The wall clock says when the room must be left, and nothing
//! else: it may be set at any moment. A sleep of the laptop is told by a clock that goes on
//! meanwhile, where the system has one.

use std::time::{Duration, Instant};

use chrono::{DateTime, FixedOffset, Local};

use crate::time::{Moment, Span};

/// The wall clock's time with its distance from UTC.
pub(crate) type Wall = DateTime<FixedOffset>;

/// The moment at which the clock of a class begins: late enough for what was before it to have a
/// moment, such as the end of a slot that a clock set by days has left behind.
const BEGINS: Moment = Moment::from_millis(400 * 24 * 3600 * 1000);

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

    /// The clock of a class that begins.
    pub(crate) fn for_a_class() -> Self {
        Self::starting_at(BEGINS, 1)
    }

    /// Where this clock stood when it began.
    pub(crate) const fn origin(&self) -> Moment {
        self.origin
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

/// The same moment as the clock on the wall of this place shows it then: between now and then it
/// may be set forward or back for the summer.
pub(crate) fn at_home(at: Wall) -> Wall {
    at.with_timezone(&Local).fixed_offset()
}

/// How long the laptop has slept since it was started, as far as the system tells.
///
/// Linux counts the time with sleep and the time without it, and so do Apple's systems; where the
/// steady clock goes on through a sleep, as on Windows, the loop only comes back late from it.
pub(crate) fn asleep() -> Span {
    #[cfg(any(target_os = "linux", target_os = "android"))]
    {
        use rustix::time::{ClockId, Timespec, clock_gettime};
        let millis = |time: Timespec| time.tv_sec * 1000 + time.tv_nsec / 1_000_000;
        let awake = millis(clock_gettime(ClockId::Monotonic));
        let all = millis(clock_gettime(ClockId::Boottime));
        Span::from_millis(u64::try_from(all - awake).unwrap_or(0))
    }
    #[cfg(target_vendor = "apple")]
    {
        use rustix::time::{ClockId, clock_gettime};
        static FIRST: std::sync::OnceLock<(Instant, i64)> = std::sync::OnceLock::new();
        let time = clock_gettime(ClockId::Monotonic);
        let all = time.tv_sec * 1000 + time.tv_nsec / 1_000_000;
        #[expect(
            clippy::disallowed_methods,
            reason = "the one doorway to the steady clock"
        )]
        let now = Instant::now();
        let (begun, then) = *FIRST.get_or_init(|| (now, all));
        let awake = i64::try_from(now.duration_since(begun).as_millis()).unwrap_or(i64::MAX);
        Span::from_millis(u64::try_from(all - then - awake).unwrap_or(0))
    }
    #[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
    Span::ZERO
}

/// The clock of a class and the clock on the wall, read together.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Both {
    /// The clock of the class.
    pub(crate) now: Moment,
    /// The wall clock.
    pub(crate) wall: Wall,
}

impl Both {
    /// What the wall clock shows at a moment, past or to come.
    pub(crate) fn wall_at(self, moment: Moment) -> Wall {
        crate::record::wall::moved(self.wall, self.now, moment)
    }

    /// The moment at which the wall clock shows this, past or to come. Before the clock of the class
    /// began it gives that clock's beginning, see [`Clock::for_a_class`].
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

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::TimeDelta;

    fn at(millis: u64) -> Moment {
        Moment::from_millis(millis)
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
