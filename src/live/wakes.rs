//! When the class wants to be woken: for a boundary, for the digits, for words.

use super::course::Running;
use super::machine::{Live, State};
use super::output::{Wake, WakeReason};
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
        wakes.extend(self.notice.as_ref().map(|notice| words(notice.until)));
        wakes.into_iter().min_by_key(|wake| wake.at)
    }

    fn clock_wakes(&self, now: Moment) -> Vec<Wake> {
        let digits = |at| Wake {
            at,
            why: WakeReason::Digits,
        };
        let next_second =
            |since: Moment| digits(since + Span::from_secs(now.since(since).secs_floor() + 1));
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
        let Some(running) = self.course.running() else {
            return Vec::new();
        };
        let moment_of = |offset: Offset| at + offset.since(from);
        let here = self.offset(now);
        let mut wakes = vec![Wake {
            at: Self::next_digit(now, running, self.course.left.capped_at(), here),
            why: WakeReason::Digits,
        }];
        let capped = self.course.left.capped_at();
        let end = capped.or_else(|| (!running.interval.untimed).then(|| running.end()));
        if let Some(end) = end {
            wakes.push(Wake {
                at: moment_of(end),
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

    fn next_digit(now: Moment, running: &Running, capped: Option<Offset>, here: Offset) -> Moment {
        let to_next = |millis: u64| 1000 - millis % 1000;
        let wait = match capped {
            None if running.interval.untimed => to_next(running.elapsed(here).millis()),
            capped => {
                let end = capped.unwrap_or_else(|| running.end());
                (end.since(here).millis() + 999) % 1000 + 1
            }
        };
        now + Span::from_millis(wait)
    }

    /// When a prompt of the running interval next comes, shrinks or goes, or the side changes.
    fn next_words(&self, here: Offset) -> Option<Offset> {
        let placed = self.plan.intervals().get(self.running());
        let switch = placed.and_then(|placed| placed.switch_at);
        let switch = switch.filter(|&at| at > here);
        let prompt = self.prompt_from(here).map(|prompt| {
            if here < prompt.at {
                prompt.at
            } else {
                super::look::next_twelfth(prompt, here)
            }
        });
        switch.into_iter().chain(prompt).min()
    }
}
