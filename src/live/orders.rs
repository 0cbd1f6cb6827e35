//! What the class asks of the loudspeaker: the score from here, a count-in, silence.

use super::machine::{Live, State};
use super::output::{Output, SoundOrder};
use crate::plan::{Score, SignalKind, Strike, signals};
use crate::time::{Moment, Offset, Span};

impl Live {
    /// From a moment on this is what is to be heard.
    pub(super) fn hear(&mut self, from: Moment, score: Score) {
        self.out
            .push_back(Output::Sound(SoundOrder { from, score }));
    }

    /// Orders the sound of what comes from `now` on. May be done at any moment, as often as one
    /// likes: the same class asks for the same strikes.
    pub(super) fn play(&mut self, now: Moment) {
        let strikes = match self.state {
            State::Running { from, at } => self.coming(from, at, self.offset(now)),
            State::CountIn {
                from, pressed, go, ..
            } => {
                let mut strikes = self.count_in(now, pressed, go);
                strikes.append(&mut self.coming(from, go, from));
                strikes
            }
            _ => return,
        };
        self.hear(now, Score::of(strikes));
    }

    /// The beeps of a count-in that begins at `pressed`, and what it leads to.
    fn count_in(&self, now: Moment, pressed: Moment, go: Moment) -> Vec<Strike> {
        let seconds = (0..).map(|n| pressed + Span::from_secs(n));
        let counted = seconds.take_while(|at| *at < go);
        let mut strikes: Vec<Strike> = counted
            .map(|at| Strike {
                at,
                kind: SignalKind::Count,
            })
            .collect();
        let starts = self.course.running().map(|running| running.start);
        if starts != Some(self.offset(now)) {
            strikes.push(Strike {
                at: go,
                kind: SignalKind::Go,
            });
        }
        strikes
    }

    /// The signals of what is left from `here` on, where the class stands at `from` at the moment
    /// `at`; up to the first work that lasts until the instructor moves on: what comes after that
    /// has no time yet.
    fn coming(&self, from: Offset, at: Moment, here: Offset) -> Vec<Strike> {
        let (plan, n) = (&self.plan, self.running());
        let from_here = &plan.intervals()[n.min(plan.intervals().len())..];
        let open = from_here.iter().find(|i| i.untimed).map(|i| i.start);
        signals(plan, n, &self.session.cueing)
            .take_while(|signal| open.is_none_or(|open| signal.at <= open))
            .filter(|signal| signal.at >= here)
            .map(|signal| Strike {
                at: at + signal.at.since(from),
                kind: signal.kind,
            })
            .collect()
    }
}
