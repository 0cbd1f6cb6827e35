//! A score: which tones are to be heard at which moments of the steady clock.
//!
//! The class hands out whole scores, never single beeps: a score may be sent again at any moment,
//! since a strike is known by its kind and its moment, and the voice plays each one once. Nothing
//! here knows a loudspeaker or a clock.

use std::sync::Arc;

use super::signals::SignalKind;
use crate::time::{Moment, Span};

/// A tone at a moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Strike {
    /// Its onset.
    pub at: Moment,
    /// What it tells.
    pub kind: SignalKind,
}

/// A strike that comes again and again, for as long as nobody says otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Recurring {
    /// The first one.
    pub first: Strike,
    /// How long from each to the next; never nothing.
    pub every: Span,
}

/// What is to be heard: strikes in order of time, and at most one that recurs without end.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Score {
    strikes: Arc<[Strike]>,
    recurring: Option<Recurring>,
}

/// How much of what is past is kept when a score takes over: longer than the longest tone and the
/// way to the ear together.
const KEPT: Span = Span::from_secs(5);

impl Score {
    /// Nothing.
    #[must_use]
    pub fn silence() -> Self {
        Self::of([])
    }

    /// These strikes, in whatever order they come.
    #[must_use]
    pub fn of(strikes: impl IntoIterator<Item = Strike>) -> Self {
        let mut strikes: Vec<Strike> = strikes.into_iter().collect();
        strikes.sort_by_key(|strike| strike.at);
        Self {
            strikes: strikes.into(),
            recurring: None,
        }
    }

    /// One strike over and over, for ever.
    #[must_use]
    pub fn recurring(first: Strike, every: Span) -> Self {
        let every = every.max(Span::from_millis(1));
        Self {
            recurring: Some(Recurring { first, every }),
            ..Self::silence()
        }
    }

    /// The strikes that have an end, in order of time.
    #[must_use]
    pub fn strikes(&self) -> &[Strike] {
        &self.strikes
    }

    /// The first recurring strike at or after a moment.
    #[must_use]
    pub fn recurs(&self, from: Moment) -> Option<Strike> {
        let Recurring { first, every } = self.recurring?;
        let times = from.since(first.at).millis().div_ceil(every.millis());
        Some(Strike {
            at: first.at + every * times,
            ..first
        })
    }

    /// Whether a strike stands in it.
    #[must_use]
    pub fn has(&self, strike: Strike) -> bool {
        let first = self.strikes.partition_point(|other| other.at < strike.at);
        let mut same = self.strikes[first..]
            .iter()
            .take_while(|s| s.at == strike.at);
        same.any(|other| *other == strike) || self.recurs(strike.at) == Some(strike)
    }

    /// This score up to a moment, and another from it on. What of this one is long past goes.
    #[must_use]
    pub fn then(&self, from: Moment, next: &Self) -> Self {
        let kept = from.before(KEPT);
        let place = |score: &Self, at| score.strikes.partition_point(|s: &Strike| s.at < at);
        let mut strikes = self.strikes[place(self, kept)..place(self, from)].to_vec();
        let mut again = self.recurs(kept);
        while let Some(strike) = again.filter(|strike| strike.at < from) {
            strikes.push(strike);
            again = self.recurs(strike.at + Span::from_millis(1));
        }
        strikes.extend(&next.strikes[place(next, from)..]);
        let recurring = next.recurring.map(|recurring| Recurring {
            first: next.recurs(from).unwrap_or(recurring.first),
            ..recurring
        });
        Self {
            recurring,
            ..Self::of(strikes)
        }
    }

    /// This score without some of its strikes; what recurs stays.
    #[must_use]
    pub fn without(&self, is_left_out: impl Fn(&Strike) -> bool) -> Self {
        let strikes = self.strikes.iter().filter(|strike| !is_left_out(strike));
        Self {
            recurring: self.recurring,
            ..Self::of(strikes.copied())
        }
    }

    /// Whether the same memory holds both, so that either may be dropped without freeing it.
    #[must_use]
    pub fn is_shared(&self) -> bool {
        Arc::strong_count(&self.strikes) > 1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strike(at: u64, kind: SignalKind) -> Strike {
        let at = Moment::from_millis(at);
        Strike { at, kind }
    }

    fn at(millis: u64) -> Moment {
        Moment::from_millis(millis)
    }

    use SignalKind::{Count, Go, Half};

    #[test]
    fn from_its_moment_on_the_next_score_is_heard_and_before_it_the_old_one() {
        let old = Score::of([3_000, 9_000, 10_000, 11_000].map(|at| strike(at, Count)));
        let next = Score::of([9_500, 10_000, 12_000].map(|at| strike(at, Go)));
        let both = old.then(at(10_000), &next);
        let expected = [strike(9_000, Count), strike(10_000, Go), strike(12_000, Go)];
        assert_eq!(both.strikes(), expected);
        assert_eq!(both.then(at(10_000), &next), both, "sent again");
    }

    #[test]
    fn what_recurs_has_no_end_and_is_known_again_after_a_change() {
        let score = Score::recurring(strike(60_000, Half), Span::from_secs(60));
        for (from, found) in [
            (0, 60_000),
            (60_000, 60_000),
            (60_001, 120_000),
            (36_000_000, 36_000_000),
        ] {
            assert_eq!(score.recurs(at(from)), Some(strike(found, Half)), "{from}");
        }
        assert!(score.has(strike(600_000, Half)) && !score.has(strike(600_001, Half)));
        assert!(!score.has(strike(0, Half)));
        let over = score.then(at(121_000), &Score::silence());
        assert_eq!(over.strikes(), [strike(120_000, Half)]);
        assert_eq!(over.recurs(at(0)), None);
        let again = over.then(at(122_000), &score);
        assert_eq!(again.recurs(at(0)), Some(strike(180_000, Half)));
        assert!(again.has(strike(120_000, Half)));
    }
}
