//! A block work by work: what its pattern, its places and their rounds come to, in one place for
//! whoever lays it out and whoever only sums it up.
//!
//! Rests stand between works, never after the last of a block unless it says so; in an EMOM the
//! windows are always whole. After each pass but the last the recovery stands in place of that
//! pass's rest. Which interval a slot becomes is not known here.

use std::sync::Arc;

use super::model::{Block, Order, Pattern};
use super::moves::Use;
use super::together::Doing;
use crate::time::Span;

/// The least that a cap leaves for each counted work (common practice, no source).
const LEAST_COUNTED: Span = Span::from_secs(1);

/// More works than any class has.
const MOST_WORKS: usize = 100_000;

/// One work of a block, with the pause behind it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slot<'a> {
    /// What is done in it: one move, or several at once.
    pub doing: &'a Doing,
    /// Which of the works of its place it is, counted from 0: of several at once there are more.
    pub nth: usize,
    /// The round, counted from 0.
    pub round: usize,
    /// The place among the block's moves, counted from 0.
    pub place: usize,
    /// How long the work is, or is thought to be.
    pub work: Span,
    /// Whether it is counted: it lasts until the instructor moves on.
    pub untimed: bool,
    /// What stands behind it.
    pub pause: Pause,
}

impl Slot<'_> {
    /// The moves done in it, as they are in its round.
    #[must_use]
    pub fn moves(&self) -> Arc<[Arc<Use>]> {
        let moves = self.doing.moves().iter();
        moves
            .map(|turn| turn.in_round(self.round).clone())
            .collect()
    }
}

/// What stands behind a work; no time makes none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pause {
    /// Nothing.
    None,
    /// A rest.
    Rest(Span),
    /// A recovery between two passes.
    Recovery(Span),
}

impl Pause {
    /// How long it is.
    #[must_use]
    pub const fn time(self) -> Span {
        match self {
            Self::None => Span::ZERO,
            Self::Rest(time) | Self::Recovery(time) => time,
        }
    }
}

impl Block {
    /// Its works in order; of a window, in which the moves are repeated freely, none.
    #[must_use]
    pub fn slots(&self) -> Box<dyn Iterator<Item = Slot<'_>> + '_> {
        match &self.pattern {
            _ if self.moves.is_empty() => Box::new(std::iter::empty()),
            Pattern::Amrap { .. } => Box::new(std::iter::empty()),
            Pattern::Emom { times, every, work } => Box::new(self.windows(*times, *every, *work)),
            Pattern::Reps { cap: Some(cap), .. } => Box::new(self.capped(*cap)),
            _ => Box::new(self.passes()),
        }
    }

    /// The cap of the block and the least that it takes, where that is more.
    pub(super) fn over_cap(&self) -> Option<(Span, Span)> {
        let Pattern::Reps { cap: Some(cap), .. } = self.pattern else {
            return None;
        };
        // A block with more works than a class may have is refused for that.
        let works = self
            .pattern
            .rounds(self.moves.len())
            .saturating_mul(self.moves.len());
        if works > MOST_WORKS {
            return None;
        }
        let (timed, counted) = self.timed();
        let needed = timed + LEAST_COUNTED * counted as u64;
        (needed > cap).then_some((cap, needed))
    }

    /// How much of it is timed, and how many works are counted.
    fn timed(&self) -> (Span, usize) {
        self.passes()
            .fold((Span::ZERO, 0), |(time, counted), slot| {
                let own = if slot.untimed { Span::ZERO } else { slot.work };
                (
                    time + own + slot.pause.time(),
                    counted + usize::from(slot.untimed),
                )
            })
    }

    /// How many works a round has: one at each place, of several at once until everybody has been
    /// everywhere.
    #[must_use]
    pub fn works_a_round(&self) -> usize {
        self.moves.iter().map(Doing::works).sum()
    }

    fn windows(
        &self,
        times: u32,
        every: Span,
        work: Option<Span>,
    ) -> impl Iterator<Item = Slot<'_>> {
        let works =
            |(place, doing): (usize, &Doing)| (0..doing.works()).map(move |nth| (place, nth));
        let in_turn: Vec<(usize, usize)> = self.moves.iter().enumerate().flat_map(works).collect();
        (0..times as usize).map(move |n| {
            let round = n / in_turn.len();
            let (place, nth) = in_turn[n % in_turn.len()];
            let doing = &self.moves[place];
            let work = doing.work(round).or(work).unwrap_or(every);
            Slot {
                doing,
                nth,
                round,
                place,
                work,
                untimed: false,
                pause: Pause::Rest(every.saturating_sub(work)),
            }
        })
    }

    fn passes(&self) -> impl Iterator<Item = Slot<'_>> {
        let (moves, rounds) = (self.moves.len(), self.pattern.rounds(self.works_a_round()));
        let inner = match self.order {
            Order::ByRound => moves,
            Order::ByMove => rounds,
        };
        let all = moves.saturating_mul(rounds);
        (0..all).flat_map(move |n| {
            let (pass, step) = (n / inner, n % inner);
            let (round, place) = match self.order {
                Order::ByRound => (pass, step),
                Order::ByMove => (step, pass),
            };
            let doing = &self.moves[place];
            let rest = doing.rest(round).unwrap_or_else(|| self.rest_in(round));
            let pause = match (n + 1 == all, step + 1 == inner, self.recovery) {
                (true, ..) if self.last_rest => Pause::Rest(rest),
                (true, ..) => Pause::None,
                (false, true, Some(recovery)) => Pause::Recovery(recovery),
                _ => Pause::Rest(rest),
            };
            self.works(doing, round, place, pause)
        })
    }

    /// The works of a place in a round, with the swaps between them and what stands behind the last.
    fn works<'a>(
        &'a self,
        doing: &'a Doing,
        round: usize,
        place: usize,
        behind: Pause,
    ) -> impl Iterator<Item = Slot<'a>> {
        let (work, untimed) = self.work_of(doing, round);
        let swap = Pause::Rest(self.swap_of(doing, round));
        let works = doing.works();
        (0..works).map(move |nth| Slot {
            doing,
            nth,
            round,
            place,
            work,
            untimed,
            pause: if nth + 1 < works { swap } else { behind },
        })
    }

    /// From the end of a work of several at once to the start of the next.
    #[must_use]
    pub fn swap_of(&self, doing: &Doing, round: usize) -> Span {
        let own = match doing {
            Doing::One(_) => None,
            Doing::Together(together) => together.swap,
        };
        own.unwrap_or_else(|| self.rest_in(round))
    }

    /// The same, the counted works planned so that all just ends at the cap where it would come
    /// after it.
    fn capped(&self, cap: Span) -> impl Iterator<Item = Slot<'_>> {
        let timed = self.timed().0;
        let counted: Span = (self.passes())
            .filter(|slot| slot.untimed)
            .map(|slot| slot.work)
            .sum();
        let room = cap.saturating_sub(timed).min(counted);
        let fit = move |so_far: Span| {
            let part = u128::from(so_far.millis()) * u128::from(room.millis());
            let part = part / u128::from(counted.millis().max(1));
            Span::from_millis(u64::try_from(part).unwrap_or(u64::MAX))
        };
        let mut so_far = Span::ZERO;
        self.passes().map(move |slot| {
            if !slot.untimed {
                return slot;
            }
            let before = fit(so_far);
            so_far += slot.work;
            Slot {
                work: fit(so_far).saturating_sub(before),
                ..slot
            }
        })
    }

    /// How long a work is, and whether it is counted.
    fn work_of(&self, doing: &Doing, round: usize) -> (Span, bool) {
        let usual = match &self.pattern {
            Pattern::Rounds { work, .. } => nth_or_last(work, round),
            Pattern::Same { work, .. } => *work,
            Pattern::Reps { pace, .. } if doing.work(round).is_none() => {
                return (*pace * u64::from(doing.reps(round).unwrap_or(1)), true);
            }
            Pattern::Reps { .. } | Pattern::Emom { .. } | Pattern::Amrap { .. } => Span::ZERO,
        };
        (doing.work(round).unwrap_or(usual), doing.is_by_key())
    }

    fn rest_in(&self, round: usize) -> Span {
        match &self.pattern {
            Pattern::Rounds { rest, .. } => nth_or_last(rest, round),
            Pattern::Same { rest, .. } | Pattern::Reps { rest, .. } => *rest,
            Pattern::Emom { .. } | Pattern::Amrap { .. } => Span::ZERO,
        }
    }
}

/// The entry of a round; one entry may stand for all.
fn nth_or_last(of: &[Span], round: usize) -> Span {
    of.get(round).or(of.last()).copied().unwrap_or_default()
}
