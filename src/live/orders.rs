//! What the class asks of the loudspeaker: the score from here, a count-in, silence.

use std::sync::Arc;

use super::machine::{Live, State};
use super::output::{Output, SoundOrder};
use crate::plan::{Signal, SignalKind, signals};
use crate::time::{Moment, Span};

impl Live {
    pub(super) fn strike(&mut self, kind: SignalKind, at: Moment) {
        self.out
            .push_back(Output::Sound(SoundOrder::Strike { kind, at }));
    }

    /// Orders the sound of what comes from `now` on.
    pub(super) fn play(&mut self, now: Moment) {
        let (from, at) = match self.state {
            State::Running { .. } => (self.offset(now), now),
            State::CountIn {
                from, pressed, go, ..
            } => {
                self.count_in(now, pressed, go);
                (from, go)
            }
            _ => return,
        };
        let score = self.score();
        self.out
            .push_back(Output::Sound(SoundOrder::Run { score, from, at }));
    }

    fn count_in(&mut self, now: Moment, pressed: Moment, go: Moment) {
        self.out.push_back(Output::Sound(SoundOrder::Hold));
        let mut at = pressed;
        while at < go {
            if at >= now {
                self.strike(SignalKind::Count, at);
            }
            at = at + Span::from_secs(1);
        }
        let starts = self.course.running().map(|running| running.start);
        if starts != Some(self.offset(now)) {
            self.strike(SignalKind::Go, go);
        }
    }

    /// The signals of what is left, up to the first work that lasts until the instructor moves on:
    /// what comes after that has no time yet.
    fn score(&self) -> Arc<[Signal]> {
        let (plan, n) = (&self.plan, self.running());
        let from_here = &plan.intervals()[n.min(plan.intervals().len())..];
        let open = from_here.iter().find(|i| i.untimed).map(|i| i.start);
        signals(plan, n, &self.session.cueing)
            .take_while(|signal| open.is_none_or(|open| signal.at <= open))
            .collect()
    }
}
