//! What the class asks of the loudspeaker: the score from here, a count-in, silence.

use super::machine::{Live, State};
use super::output::{Output, SoundOrder};
use crate::plan::{Kind, Score, SignalKind, Strike, signals};
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
            .chain(self.at_cap(from, at, here))
            .collect()
    }

    /// The signals before the end of counted work that ends by itself: a warning, the count and the
    /// stop. What comes after it has its own, once it has begun.
    fn at_cap(&self, from: Offset, at: Moment, here: Offset) -> Vec<Strike> {
        let Some(ends) = self.course.left.capped_at() else {
            return Vec::new();
        };
        let cueing = &self.session.cueing;
        let count = (1..=u64::from(cueing.count)).rev().map(Span::from_secs);
        let count = count.map(|left| (ends.before(left), SignalKind::Count));
        let begun = self.course.running().map_or(here, |running| running.start);
        let warn = std::iter::once((ends.before(cueing.warn), SignalKind::Warn));
        let warn = warn.filter(|_| cueing.warn > cueing.count_span());
        let part = self.course.now().map(|now| now.part);
        let mut behind = self.course.left.ahead.iter();
        let kind = match behind.find(|next| Some(next.part) != part) {
            None => SignalKind::End,
            Some(next) if next.kind == Kind::Work => SignalKind::Go,
            Some(_) => SignalKind::Stop,
        };
        let stop = std::iter::once((ends, kind));
        warn.chain(count)
            .filter(|&(place, _)| place > begun)
            .chain(stop)
            .filter(|&(place, _)| place >= here)
            .map(|(place, kind)| Strike {
                at: at + place.since(from),
                kind,
            })
            .collect()
    }
}
