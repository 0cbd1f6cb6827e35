//! What starts the clock of the class and stops it, and what makes up for a sleep.

use matside::live::HoldReason;

use crate::model::{Clock, Model, Run};
use crate::pieces::Ms;

impl Model {
    pub(crate) fn begin(&mut self, now: Ms) -> bool {
        let moving = self
            .rest
            .run
            .as_ref()
            .is_some_and(|run| run.piece.is_moving());
        self.clock = if moving {
            let go = now + self.count();
            Clock::CountIn {
                at: 0,
                go,
                since: go,
            }
        } else {
            Clock::Going { at: 0, since: now }
        };
        self.advance(now);
        true
    }

    /// A hold within a hold, or in the count-in after it, is the same stand.
    pub(crate) fn hold(&mut self, now: Ms, at: Ms, why: HoldReason) -> bool {
        let since = match self.clock {
            Clock::Held { why: before, .. } if before == why => return false,
            Clock::Held { since, .. } => since,
            Clock::CountIn { since, .. } if since <= now => since,
            _ => {
                self.held_at(at);
                now
            }
        };
        self.clock = Clock::Held {
            at,
            since,
            why,
            missed: None,
        };
        true
    }

    /// Held again before any class time ran, it is the same hold.
    fn held_at(&mut self, at: Ms) {
        self.holds += usize::from(self.last_hold != Some(at));
        self.last_hold = Some(at);
    }

    pub(crate) fn resume(&mut self, now: Ms) -> bool {
        let Clock::Held { at, since, .. } = self.clock else {
            return false;
        };
        let go = now + self.count();
        self.clock = Clock::CountIn { at, go, since };
        self.advance(now);
        true
    }

    /// The class stands where it was when the sleep began. Held by hand it misses nothing.
    pub(crate) fn slept(&mut self, now: Ms, from: Ms, gap: Ms) -> bool {
        self.advance(from);
        let (at, missed, since, why) = match self.clock {
            Clock::Waiting | Clock::Over { .. } => return false,
            Clock::Held {
                at,
                since,
                why,
                missed: None,
            } => (at, None, since, why),
            Clock::Held {
                at,
                since,
                why,
                missed: Some((missed, told)),
            } => (at, Some(missed + (from - told) + gap), since, why),
            Clock::CountIn { at, go, since } => {
                let missed = gap.saturating_sub(go - from);
                let stood = since <= from;
                if !stood {
                    self.held_at(at);
                }
                (at, Some(missed), since.min(from), HoldReason::Slept)
            }
            Clock::Going { .. } => {
                self.held_at(self.at(from));
                (self.at(from), Some(gap), from, HoldReason::Slept)
            }
        };
        self.held += gap.saturating_sub(now - from);
        self.back = None;
        self.asked_until = None;
        self.clock = Clock::Held {
            at,
            since,
            why,
            missed: missed.map(|missed| (missed, now)),
        };
        true
    }

    pub(crate) fn catch_up(&mut self, now: Ms, at: Ms) -> bool {
        let Clock::Held {
            missed: Some((missed, told)),
            ..
        } = &mut self.clock
        else {
            return false;
        };
        let gap = *missed + (now - *told) + u64::from(self.cueing.count) * 1000;
        self.leave_out(at, gap);
        if let Clock::Held { missed, .. } = &mut self.clock {
            *missed = None;
        }
        self.resume(now);
        true
    }

    /// Leaves out class time, but no counted work, and nothing after it.
    pub(crate) fn leave_out(&mut self, at: Ms, gap: Ms) {
        let Some(run) = self.rest.run.clone().filter(|run| !run.piece.untimed) else {
            return;
        };
        let mut rest = self.rest.clone();
        if gap < run.left(at) {
            rest.run = Some(Run {
                into: run.ran(at) + gap,
                start: at,
                ..run
            });
            return self.jump(at, rest);
        }
        let mut over = gap - run.left(at);
        loop {
            if rest.ahead.is_empty() {
                rest.run = None;
                break;
            }
            let piece = rest.ahead.remove(0);
            if piece.untimed || over < piece.length {
                let into = if piece.untimed { 0 } else { over };
                let run = self.begun(&piece, at, 0);
                rest.start(Some(run));
                if let Some(run) = &mut rest.run {
                    run.into = into;
                }
                break;
            }
            over -= piece.length;
        }
        self.jump(at, rest);
    }
}
