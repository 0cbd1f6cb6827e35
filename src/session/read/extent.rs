//! How much a part comes to, without expanding it: a file of one line may ask for more intervals
//! than any memory holds, so this is known before anything is expanded.

use super::super::model::{Block, Part, Pattern};
use crate::time::Span;

/// The most intervals of a class.
pub(super) const MOST: u64 = 100_000;

/// Intervals and their time together. Sums that pass the numbers' range stay at its end.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Extent {
    pub(super) intervals: u64,
    /// Parts as often as they come, whether they take any time or not.
    pub(super) parts: u64,
    pub(super) time: Span,
}

impl Extent {
    /// What a part comes to.
    pub(super) fn of(part: &Part) -> Self {
        match part {
            Part::Until { part, .. } => return Self::of(part),
            Part::Repeat {
                times,
                parts,
                between,
            } => {
                let each =
                    (parts.iter()).fold(Self::default(), |sum, part| sum.and(Self::of(part)));
                let between = between.as_deref().map(Self::of).unwrap_or_default();
                let times = u64::from(*times);
                return each
                    .times(times)
                    .and(between.times(times.saturating_sub(1)));
            }
            _ => {}
        }
        Self {
            parts: 1,
            ..Self::of_one(part)
        }
    }

    fn of_one(part: &Part) -> Self {
        match part {
            Part::Talk { time, .. }
            | Part::Ready { time }
            | Part::Recover { time, .. }
            | Part::Free { time, .. } => Self::one(*time),
            Part::Repeat { .. } | Part::Until { .. } => Self::default(),
            Part::WarmUp(steps) | Part::CoolDown(steps) => (steps.iter())
                .fold(Self::default(), |sum, step| {
                    sum.and(Self::one(step.length()))
                }),
            Part::Block(block) => Self::of_block(block),
        }
    }

    /// Both together.
    pub(super) fn and(self, other: Self) -> Self {
        Self {
            intervals: self.intervals.saturating_add(other.intervals),
            parts: self.parts.saturating_add(other.parts),
            time: self.time + other.time,
        }
    }

    /// A single interval; no time makes none.
    fn one(time: Span) -> Self {
        Self {
            intervals: u64::from(!time.is_zero()),
            parts: 0,
            time,
        }
    }

    fn times(self, n: u64) -> Self {
        Self {
            intervals: self.intervals.saturating_mul(n),
            parts: self.parts.saturating_mul(n),
            time: self.time * n,
        }
    }

    fn of_block(block: &Block) -> Self {
        if let Pattern::Amrap { time } = &block.pattern {
            return Self::one(*time);
        }
        // Works are never nothing, so there are at least as many intervals. Where these are too
        // many already, nobody needs the exact sum, and it would take its time.
        let each = block.works_a_round();
        let works = match &block.pattern {
            Pattern::Emom { times, .. } => *times as usize,
            pattern => pattern.rounds(each).saturating_mul(each),
        } as u64;
        if works > MOST {
            return Self {
                intervals: works,
                parts: 0,
                time: Span::ZERO,
            };
        }
        block.slots().fold(Self::default(), |sum, slot| {
            sum.and(Self::one(slot.work))
                .and(Self::one(slot.pause.time()))
        })
    }
}
