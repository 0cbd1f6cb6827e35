//! When the class wants to be woken: for a boundary, for the digits, for words.

use super::input::{Wake, WakeReason};
use super::machine::{Live, State};
use crate::plan::Interval;
use crate::time::{Moment, Offset, Span};

impl Live {
    /// When the class next wants to be woken, if ever.
    #[must_use]
    pub fn next_wakeup(&self, now: Moment) -> Option<Wake> {
        let mut wakes = self.clock_wakes(now);
        let words = |at| Wake {
            at,
            why: WakeReason::Words,
        };
        wakes.extend(self.asked.map(|(_, until)| words(until)));
        wakes.extend(self.notice.as_ref().map(|(_, until)| words(*until)));
        wakes.into_iter().min_by_key(|wake| wake.at)
    }

    fn clock_wakes(&self, now: Moment) -> Vec<Wake> {
        let digits = |at| Wake {
            at,
            why: WakeReason::Digits,
        };
        let next_second =
            |since: Moment| digits(since + Span::from_secs(now.since(since).secs_down() + 1));
        match self.state {
            State::Waiting | State::Ended { .. } => Vec::new(),
            State::Held { since, .. } => vec![next_second(since)],
            State::CountIn { pressed, go, .. } => {
                let boundary = Wake {
                    at: go,
                    why: WakeReason::Boundary,
                };
                vec![boundary, next_second(pressed)]
            }
            State::Running { from, at } => self.running_wakes(now, from, at),
        }
    }

    fn running_wakes(&self, now: Moment, from: Offset, at: Moment) -> Vec<Wake> {
        let Some(running) = self.course.now() else {
            return Vec::new();
        };
        let moment_of = |offset: Offset| at + offset.since(from);
        let here = self.offset(now);
        let mut wakes = vec![Wake {
            at: Self::next_digit(now, running, here),
            why: WakeReason::Digits,
        }];
        if !running.untimed {
            wakes.push(Wake {
                at: moment_of(running.end()),
                why: WakeReason::Boundary,
            });
        }
        if let Some(change) = self.next_words(here) {
            wakes.push(Wake {
                at: moment_of(change),
                why: WakeReason::Words,
            });
        }
        wakes
    }

    fn next_digit(now: Moment, running: &Interval, here: Offset) -> Moment {
        let to_next = |millis: u64| 1000 - millis % 1000;
        let wait = if running.untimed {
            to_next(here.since(running.start).millis())
        } else {
            let left = running.end().since(here).millis();
            (left + 999) % 1000 + 1
        };
        now + Span::from_millis(wait)
    }

    fn next_words(&self, here: Offset) -> Option<Offset> {
        let prompts = &self.cues.prompts;
        let first = prompts.partition_point(|prompt| prompt.until <= here);
        let prompt = prompts.get(first)?;
        if here < prompt.at {
            return Some(prompt.at);
        }
        Some(super::look::next_twelfth(prompt, here))
    }
}
