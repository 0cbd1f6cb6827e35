//! Whether an open device takes frames, judged by looking at it again and again.
//!
//! One that plays never stands still for half a second. One that begins may: a sleeping
//! loudspeaker takes its time to wake, so each one that did not begin earns the next more patience.

use std::sync::atomic::{AtomicU64, Ordering};

/// Looks in a row that find no new frame, after which a device that played has stalled: longer than
/// any buffer that is asked for, far shorter than anybody waits.
const STALLED: u8 = 4;
/// The same for a device that begins, at first and at the most.
const BEGINNING: (u8, u8) = (16, 32);
/// Looks with new frames after which a device plays; the first ones only fill its buffer.
const PLAYS: u8 = 3;

/// How much patience the next device has earned.
#[derive(Clone, Copy, Debug)]
pub(super) struct Beginning(u8);

impl Default for Beginning {
    fn default() -> Self {
        Self(BEGINNING.0)
    }
}

/// The looks at one device.
#[derive(Debug)]
pub(super) struct Progress {
    beginning: Beginning,
    taken: u64,
    goes: u8,
    idle: u8,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Pace {
    Goes,
    Idle,
    Stalled,
}

impl Progress {
    pub(super) const fn of(beginning: Beginning) -> Self {
        Self {
            beginning,
            taken: 0,
            goes: 0,
            idle: 0,
        }
    }

    /// A look at how many frames have been taken.
    pub(super) fn look(&mut self, taken: &AtomicU64) -> Pace {
        let taken = taken.load(Ordering::Relaxed);
        if taken == self.taken {
            self.idle += 1;
        } else {
            self.idle = 0;
            self.goes = self.goes.saturating_add(1);
        }
        self.taken = taken;
        let most = if self.goes >= PLAYS {
            STALLED
        } else {
            self.beginning.0
        };
        match self.idle {
            0 => Pace::Goes,
            idle if idle < most => Pace::Idle,
            _ => Pace::Stalled,
        }
    }

    /// What this device leaves to the next.
    pub(super) fn lesson(&self) -> Beginning {
        if self.goes >= PLAYS {
            Beginning::default()
        } else {
            Beginning((self.beginning.0 * 2).min(BEGINNING.1))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// How many looks it takes until the device is found stalled.
    fn looks(beginning: Beginning, goes: u64) -> (usize, Beginning) {
        let mut progress = Progress::of(beginning);
        let taken = AtomicU64::new(0);
        for n in 1..=goes {
            taken.store(n * 64, Ordering::Relaxed);
            assert_eq!(progress.look(&taken), Pace::Goes);
        }
        let mut count = 1;
        while progress.look(&taken) == Pace::Idle {
            count += 1;
        }
        (count, progress.lesson())
    }

    #[test]
    fn one_that_played_is_given_up_soon_and_one_that_begins_with_growing_patience() {
        let mut beginning = Beginning::default();
        for (goes, expected) in [
            (0, 16),
            (1, 32),
            (2, 32),
            (3, 4),
            (0, 16),
            (100, 4),
            (300, 4),
            (2, 16),
            (1, 32),
            (0, 32),
        ] {
            let (count, lesson) = looks(beginning, goes);
            assert_eq!(count, expected, "after {goes}");
            beginning = lesson;
        }
    }
}
