//! How much a part comes to, without expanding it: a file of one line may ask for more intervals
//! than any memory holds, so this is known before anything is expanded.

use super::super::model::{Block, Order, Part, Pattern};
use super::super::together::Doing;
use crate::time::Span;

/// The most intervals of a class.
pub(super) const MOST: u64 = 100_000;

/// Intervals and their time together. Sums that pass the numbers' range stay at its end.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Extent {
    pub(super) intervals: u64,
    pub(super) time: Span,
}

impl Extent {
    /// What a part comes to.
    pub(super) fn of(part: &Part) -> Self {
        match part {
            Part::Talk { time, .. } | Part::Ready { time } | Part::Recover { time, .. } => {
                Self::one(*time)
            }
            Part::WarmUp(steps) | Part::CoolDown(steps) => {
                (steps.iter()).fold(Self::default(), |sum, step| sum.and(Self::one(step.time)))
            }
            Part::Block(block) => Self::of_block(block),
        }
    }

    /// Both together.
    pub(super) fn and(self, other: Self) -> Self {
        Self {
            intervals: self.intervals.saturating_add(other.intervals),
            time: self.time + other.time,
        }
    }

    /// A single interval; no time makes none.
    fn one(time: Span) -> Self {
        Self {
            intervals: u64::from(!time.is_zero()),
            time,
        }
    }

    fn times(self, n: u64) -> Self {
        Self {
            intervals: self.intervals.saturating_mul(n),
            time: self.time * n,
        }
    }

    fn of_block(block: &Block) -> Self {
        let rounds = u64::from(match &block.pattern {
            Pattern::Amrap { time } => return Self::one(*time),
            Pattern::Emom { minutes, .. } => {
                // Work is over 0 and under 60 s: two intervals a minute, always.
                return Self {
                    intervals: 2,
                    time: Span::from_secs(60),
                }
                .times((*minutes).into());
            }
            Pattern::Rounds { work, .. } => u32::try_from(work.len()).unwrap_or(u32::MAX),
            Pattern::Same { rounds, .. } | Pattern::Reps { rounds, .. } => *rounds,
        });
        // Works are never nothing, so there are at least as many intervals. Where these are too
        // many already, nobody needs the exact sum, and it would take its time.
        let each = block.moves.iter().map(|doing| doing.works() as u64);
        let works_alone = rounds.saturating_mul(each.sum());
        if works_alone > MOST {
            return Self {
                intervals: works_alone,
                time: Span::ZERO,
            };
        }
        let all = (block.moves.iter()).fold(Self::default(), |sum, doing| {
            sum.and(works(block, doing, rounds))
                .and(swaps(block, doing, rounds))
                .and(rests(block, doing, rounds))
        });
        all.and(recoveries(block, rounds))
    }
}

/// All works of one place.
fn works(block: &Block, doing: &Doing, rounds: u64) -> Extent {
    let each = match (&block.pattern, doing.work()) {
        (Pattern::Reps { pace, .. }, _) => {
            Extent::one(*pace * doing.reps().unwrap_or(0).into()).times(rounds)
        }
        (_, Some(work)) => Extent::one(work).times(rounds),
        (Pattern::Rounds { work, .. }, None) => total(work),
        (Pattern::Same { work, .. }, None) => Extent::one(*work).times(rounds),
        (Pattern::Emom { .. } | Pattern::Amrap { .. }, None) => Extent::default(),
    };
    each.times(doing.works() as u64)
}

/// All swaps between the works of one place.
fn swaps(block: &Block, doing: &Doing, rounds: u64) -> Extent {
    let Doing::Together(together) = doing else {
        return Extent::default();
    };
    let in_all_rounds = match (&block.pattern, together.swap) {
        (_, Some(swap)) => Extent::one(swap).times(rounds),
        (Pattern::Rounds { rest, .. }, None) => total(rest),
        (Pattern::Same { rest, .. } | Pattern::Reps { rest, .. }, None) => {
            Extent::one(*rest).times(rounds)
        }
        (Pattern::Emom { .. } | Pattern::Amrap { .. }, None) => Extent::default(),
    };
    in_all_rounds.times(together.works() as u64 - 1)
}

/// All rests after one place, but not those after a pass.
fn rests(block: &Block, doing: &Doing, rounds: u64) -> Extent {
    let last = block
        .moves
        .last()
        .is_some_and(|last| std::ptr::eq(last, doing));
    let rest_in = |round: u64| rest(block, doing, round);
    match block.order {
        Order::ByRound if last => Extent::default(),
        Order::ByMove => up_to(block, doing, rounds - 1, rest_in),
        Order::ByRound => up_to(block, doing, rounds, rest_in),
    }
}

/// What stands after each pass but the last.
fn recoveries(block: &Block, rounds: u64) -> Extent {
    let (Some(last), passes) = (block.moves.last(), block.moves.len() as u64) else {
        return Extent::default();
    };
    match (block.order, block.recovery) {
        (Order::ByRound, Some(time)) => Extent::one(time).times(rounds - 1),
        (Order::ByMove, Some(time)) => Extent::one(time).times(passes - 1),
        (Order::ByRound, None) => up_to(block, last, rounds - 1, |round| rest(block, last, round)),
        (Order::ByMove, None) => (block.moves[..block.moves.len() - 1].iter())
            .fold(Extent::default(), |sum, doing| {
                sum.and(Extent::one(rest(block, doing, rounds - 1)))
            }),
    }
}

/// The rest after a move in a round, counted from 0.
fn rest(block: &Block, doing: &Doing, round: u64) -> Span {
    match (&block.pattern, doing.rest()) {
        (_, Some(rest)) => rest,
        (Pattern::Rounds { rest, .. }, None) => usize::try_from(round)
            .ok()
            .and_then(|round| rest.get(round).copied())
            .unwrap_or_default(),
        (Pattern::Same { rest, .. } | Pattern::Reps { rest, .. }, None) => *rest,
        _ => Span::ZERO,
    }
}

/// The rests of the first so many rounds.
fn up_to(block: &Block, doing: &Doing, rounds: u64, rest_in: impl Fn(u64) -> Span) -> Extent {
    match (&block.pattern, doing.rest()) {
        (Pattern::Rounds { rest, .. }, None) => total(
            &rest[..rest
                .len()
                .min(usize::try_from(rounds).unwrap_or(usize::MAX))],
        ),
        _ => Extent::one(rest_in(0)).times(rounds),
    }
}

fn total(spans: &[Span]) -> Extent {
    spans
        .iter()
        .fold(Extent::default(), |sum, span| sum.and(Extent::one(*span)))
}
