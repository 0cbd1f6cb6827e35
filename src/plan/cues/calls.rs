//! The calls of a move that have their time: halfway, switch sides, seconds left, the last one;
//! of a circuit its minutes, and its options spread over its first half.
//!
//! The times are those of the signals, so that a call follows its tone. What else is said in the
//! move is not known here.

use super::context::{AIR, Context, SILENCE};
use super::draft::{Draft, within, wording};
use super::occurrence::Occurrence;
use super::order;
use super::phrases;
use super::prompt::PromptKind;
use super::topics::{self, Importance, Topic};
use super::window::{Hold, Worth};
use crate::plan::interval::Kind;
use crate::plan::signals::{self, SignalKind};
use crate::plan::speech::BREATH;
use crate::session::Position;
use crate::time::{Offset, Span};

/// How long before its place a switch is said.
const SWITCH_AHEAD: Span = Span::from_secs(2);
/// The minutes left that are told in a long piece (common practice, no source).
const MINUTES: [Span; 2] = [Span::from_secs(120), Span::from_secs(60)];
/// How far they lie from the half.
const APART: Span = Span::from_secs(30);
/// How far the last seconds lie from halfway and from a switch, so that neither is taken for the
/// other (common practice, no source).
pub(super) const AWAY: Span = Span::from_secs(8);

impl Context<'_> {
    /// The calls that have their time, with it: halfway, switch sides, seconds left.
    pub(super) fn calls(&self, n: usize) -> Vec<(Topic, Offset)> {
        let interval = self.interval(n);
        let all = signals::within(interval, self.cueing);
        let is_close = |at: Offset| {
            let mut others = all.iter().filter(|other| other.kind != SignalKind::Warn);
            others.any(|other| at.since(other.at).max(other.at.since(at)) < AWAY)
        };
        let calls = all.iter().filter_map(|signal| {
            let (kind, importance, at, say) = match signal.kind {
                SignalKind::Switch => {
                    let used = interval.turn()?;
                    let rolls = used.position() == Position::SideLying;
                    let ahead = SWITCH_AHEAD + if rolls { self.cueing.shift } else { Span::ZERO };
                    let early = signal.at - interval.start;
                    // Too early in its move it has no place.
                    let at = if early >= ahead {
                        signal.at.before(ahead)
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
                SignalKind::Warn if is_close(signal.at) => return None,
                SignalKind::Warn => {
                    let (at, say) = (signal.at + BREATH, phrases::left(self.cueing.warn));
                    (PromptKind::Seconds, Importance::TimeCall, at, say)
                }
                _ => return None,
            };
            Some((Topic::new(kind, importance, say), at))
        });
        let calls: Vec<_> = calls.collect();
        calls.into_iter().chain(self.minutes(n)).collect()
    }

    /// What is said of the moves of a circuit: the versions spread over the first half of its time,
    /// form cues over the second.
    pub(super) fn circuit(now: &Occurrence) -> Vec<(Topic, (Offset, Offset))> {
        let half = now.interval.span().half();
        let (start, middle, end) = (now.interval.start, now.interval.middle(), now.interval.end);
        let spread = |topics: Vec<Topic>, from: Offset, by: Offset| {
            let step = half.millis() / (topics.len() as u64).max(1);
            let at = move |n: usize| from + AIR + Span::from_millis(step * n as u64);
            let numbered = topics.into_iter().enumerate();
            numbered.map(move |(n, topic)| (topic, (at(n), by)))
        };
        let versions = spread(topics::circuit(now), start, middle.before(SILENCE));
        let form = spread(topics::circuit_form(now), middle, end);
        versions.chain(form).collect()
    }

    /// The minutes left of a single piece of work long enough for that.
    fn minutes(&self, n: usize) -> impl Iterator<Item = (Topic, Offset)> {
        let interval = self.interval(n);
        let timed_work = interval.kind == Kind::Work && !interval.untimed;
        let works = timed_work || interval.kind == Kind::Free;
        let long = interval.length.max(interval.span());
        let due = MINUTES
            .into_iter()
            .filter(move |&left| works && long >= left * 2 + APART);
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
            let topic = Topic {
                short: Some("final move".to_owned()),
                ..call("final move of the class".to_owned())
            };
            self.ask(&topic, now.at, order::LAST, 0, (begin + AIR, end));
        } else if closes && recovery.is_none() && !silent && !now.opens_block() {
            let topic = call("this one ends the block".to_owned());
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
