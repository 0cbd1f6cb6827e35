//! The calls of a move that have their time: halfway, switch sides, seconds left, the last one;
//! of a circuit its minutes, and its options spread over its first half.
//!
//! The times are those of the signals, so that a call follows its tone. What else is said in the
//! move is not known here.

use super::context::{AIR, Context};
use super::occurrence::Occurrence;
use super::phrases;
use super::prompt::PromptKind;
use super::segment::{Draft, order, within, wording};
use super::topics::{self, Importance, Topic};
use super::window::{Hold, Worth};
use crate::plan::interval::Kind;
use crate::plan::signals::{self, SignalKind};
use crate::plan::speech::BREATH;
use crate::time::{Offset, Span};

/// How long before its place a switch is said.
const SWITCH_AHEAD: Span = Span::from_secs(2);
/// The minutes left that are told in a circuit (common practice, no source).
const MINUTES: [Span; 2] = [Span::from_secs(120), Span::from_secs(60)];
/// How far they lie from the half.
const APART: Span = Span::from_secs(30);

impl Context<'_> {
    /// The calls that have their time, with it: halfway, switch sides, seconds left.
    pub(super) fn calls(&self, n: usize) -> Vec<(Topic, Offset)> {
        let interval = self.interval(n);
        let calls = signals::within(interval, self.cueing).into_iter();
        let calls = calls.filter_map(|signal| {
            let (kind, importance, at, say) = match signal.kind {
                SignalKind::Switch => {
                    let early = signal.at - interval.start;
                    // Too early in its move it has no place.
                    let at = if early >= SWITCH_AHEAD {
                        signal.at.before(SWITCH_AHEAD)
                    } else {
                        interval.end
                    };
                    let say = phrases::switch(interval);
                    (PromptKind::Switch, Importance::Safety, at, say)
                }
                SignalKind::Half => {
                    let (at, say) = (signal.at + BREATH, "halfway".to_owned());
                    (PromptKind::Half, Importance::TimeCall, at, say)
                }
                SignalKind::Warn => {
                    let (at, say) = (signal.at + BREATH, phrases::left(self.cueing.warn));
                    (PromptKind::Seconds, Importance::TimeCall, at, say)
                }
                _ => return None,
            };
            Some((Topic::new(kind, importance, say), at))
        });
        calls.chain(self.minutes(n)).collect()
    }

    /// What is said of the moves of a circuit, spread over the first half of its time.
    pub(super) fn circuit(now: &Occurrence) -> Vec<(Topic, Offset)> {
        let topics = topics::circuit(now);
        let begin = now.interval.start + AIR;
        let step = now.interval.span().millis() / (2 * topics.len() as u64).max(1);
        let at = |n: usize| begin + Span::from_millis(step * n as u64);
        let numbered = topics.into_iter().enumerate();
        numbered.map(|(n, topic)| (topic, at(n))).collect()
    }

    /// The minutes left of a circuit long enough for that.
    fn minutes(&self, n: usize) -> impl Iterator<Item = (Topic, Offset)> {
        let interval = self.interval(n);
        let circuit =
            interval.is_circuit() && interval.kind == Kind::Work || interval.kind == Kind::Free;
        let long = interval.length.max(interval.span());
        let due = MINUTES
            .into_iter()
            .filter(move |&left| circuit && long >= left * 2 + APART);
        due.map(|left| {
            let say = format!("{} left", phrases::left(left));
            let topic = Topic::new(PromptKind::Seconds, Importance::TimeCall, say);
            (topic, interval.end.before(left))
        })
    }
}

impl Draft<'_, '_, '_> {
    /// That this is the last work, of the block or of the class, and that recovery comes.
    pub(super) fn ending(&mut self, now: &Occurrence) {
        if now.interval.kind != Kind::Work {
            return;
        }
        let (begin, end) = (now.interval.start, now.interval.end);
        let middle = now.interval.middle();
        let after = self.segment.between.clone().next();
        let recovery = after.filter(|&n| self.context.interval(n).kind == Kind::Recovery);
        let next = self.segment.next.as_ref();
        let closes = next.is_none_or(Occurrence::leaves_block);
        let call = |say: String| Topic::new(PromptKind::Recover, Importance::TimeCall, say);
        // In a circuit nobody does a last one.
        let silent = now.interval.is_circuit() || now.is_told_as_last();
        if self.context.last_work == Some(now.at) && !silent {
            let topic = call("last of the class".to_owned());
            self.ask(&topic, now.at, order::LAST, 0, (begin + AIR, end));
        } else if closes && recovery.is_none() && !silent && !now.opens_block() {
            let topic = call("last of this block".to_owned());
            self.ask(&topic, now.at, order::LAST, 0, (begin + AIR, middle));
        }
        self.between(now);
        if let Some(n) = recovery {
            let topic = call(phrases::recovery(self.context.interval(n)));
            let (from, order, hold) = if now.interval.untimed {
                let late = Span::from_millis(now.interval.span().millis() * 2 / 3);
                (begin + late, order::LATE, Hold::Early)
            } else {
                (middle, order::RECOVERY, Hold::Late)
            };
            let range = within(0, (from, end), hold, Worth::NONE);
            let variant = wording(&topic.say, order, vec![range]);
            self.ask_in(&topic, n, true, vec![variant]);
        }
    }

    /// What people do in the rest that follows, told once a block, and what spares a limit in it.
    fn between(&mut self, now: &Occurrence) {
        let after = self.segment.between.clone().next();
        let active = after.filter(|&n| self.context.interval(n).is_active_pause());
        let (Some(n), true) = (active, now.opens_block()) else {
            return;
        };
        let rest = self.context.interval(n);
        if let (Kind::Rest, Some(turn)) = (rest.kind, rest.turn()) {
            let say = phrases::between(turn);
            let topic = Topic::new(PromptKind::Preview, Importance::Brief, say);
            let range = (now.interval.middle(), now.interval.end);
            self.ask(&topic, n, order::RECOVERY, 0, range);
        }
        for say in phrases::limits(&rest.moves, self.context.limits, now.things) {
            let topic = Topic {
                marked: true,
                ..Topic::new(PromptKind::Option, Importance::Limit, say)
            };
            let range = (self.context.open(n), rest.end);
            self.ask(&topic, n, order::WRITTEN, 1, range);
        }
    }
}
