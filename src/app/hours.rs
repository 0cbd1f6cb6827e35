//! The clocks of a running class against each other: what a sleep is, what a set clock is, and where
//! the end of the slot lies after either.
//!
//! It refuses to read a clock: readings are arguments. A sleep of the laptop and a stop of the
//! program hold the class. A clock on the wall that is set holds nothing; it moves the end of a slot
//! that is an hour on that clock, and leaves one that is a length of time.

use super::clock::{Both, Wall};
use crate::time::{Moment, Span};

/// The least time away that counts: less is a busy machine.
const AWAY_FROM: Span = Span::from_millis(2_500);
/// The least by which the end of the slot must have moved to be told. A clock that is steered by the
/// network drifts less in half an hour.
const MOVED_BY: Span = Span::from_secs(1);

/// All clocks, read together.
#[derive(Clone, Copy, Debug)]
pub(super) struct Reading {
    /// The clock of the class and the one on the wall.
    pub(super) both: Both,
    /// How long the program has stood still in all while the steady clock went on.
    pub(super) stood: Span,
    /// How long the laptop has slept in all, which the steady clock does not count.
    pub(super) asleep: Span,
}

/// The end of the slot of a running class.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum SlotEnds {
    /// When the clock on the wall shows this.
    Hour(Wall),
    /// So long after the start, at this moment of the clock of the class.
    After(Moment),
}

/// Nothing ran for a while.
#[derive(Clone, Copy, Debug)]
pub(super) struct Away {
    /// Since when, by the clock of the class.
    pub(super) from: Moment,
    /// How long, in the time of the class.
    pub(super) gap: Span,
    /// Both clocks before it. What happened until then happened by these: the steady clock may have
    /// stood still since.
    pub(super) before: Both,
}

/// The clocks of a running class as they were last seen.
#[derive(Clone, Debug)]
pub(super) struct Hours {
    seen: Reading,
    pace: u32,
    slot: Option<SlotEnds>,
    told: Option<Moment>,
}

impl Hours {
    /// Begins to watch a class of this pace.
    pub(super) const fn new(seen: Reading, pace: u32) -> Self {
        Self {
            seen,
            pace,
            slot: None,
            told: None,
        }
    }

    /// Sets the end of the slot; gives it by the clock of the class.
    pub(super) fn set_slot(&mut self, slot: Option<SlotEnds>, now: Both) -> Option<Moment> {
        self.slot = slot;
        self.told = slot.map(|slot| slot.moment(now));
        self.told
    }

    /// Reads all clocks again.
    ///
    /// The sleep in all never shrinks; that it seems to by a millisecond is two clocks read one after
    /// the other, and its next rise is no sleep.
    pub(super) fn look(&mut self, now: Reading) -> Option<Away> {
        let asleep = now.asleep.max(self.seen.asleep);
        let now = Reading { asleep, ..now };
        let before = std::mem::replace(&mut self.seen, now);
        let slept = now.asleep.saturating_sub(before.asleep);
        let stood = now.stood.saturating_sub(before.stood);
        let stays = self.paced(slept);
        if let Some(SlotEnds::After(end)) = &mut self.slot {
            *end = end.before(stays);
        }
        (slept + stood >= AWAY_FROM).then(|| Away {
            from: now.both.now.before(self.paced(stood)),
            gap: self.paced(slept + stood),
            before: before.both,
        })
    }

    /// The end of the slot by the clock of the class, where it has moved against it.
    pub(super) fn moved_slot(&mut self) -> Option<Moment> {
        let (end, told) = (self.slot?.moment(self.seen.both), self.told?);
        let by = end.since(told) + told.since(end);
        if by < MOVED_BY {
            return None;
        }
        self.told = Some(end);
        self.told
    }

    fn paced(&self, real: Span) -> Span {
        real * u64::from(self.pace)
    }
}

impl SlotEnds {
    fn moment(self, now: Both) -> Moment {
        match self {
            Self::Hour(end) => now.moment_at(end),
            Self::After(end) => end,
        }
    }
}

#[cfg(test)]
#[path = "hours_tests.rs"]
mod tests;
