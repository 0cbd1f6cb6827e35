//! The calls of a move that have their time: halfway, switch sides, seconds left, the last one;
//! of a circuit its minutes, and its options spread over its first half.
//!
//! The times are those of the signals, so that a call follows its tone. It refuses to know what
//! else is said in the move.

use super::cues::PromptKind;
use super::desk::{AIR, Desk};
use super::leg::Leg;
use super::phrases;
use super::room::{Ask, Hold, Rank, order};
use super::signals::{SignalKind, within};
use super::speech::BREATH;
use super::timeline::Kind;
use super::turn::Turn;
use super::wants::{self, Want};
use crate::time::Span;

/// How long before its place a switch is said.
const SWITCH_AHEAD: Span = Span::from_secs(2);
/// The minutes left that are told in a circuit (common practice, no source).
const MINUTES: [Span; 2] = [Span::from_secs(120), Span::from_secs(60)];
/// How far they lie from the half.
const APART: Span = Span::from_secs(30);

impl Desk<'_> {
    /// The calls that have their time: halfway, switch sides, seconds left.
    pub(super) fn calls(&self, n: usize) -> Vec<Ask> {
        let interval = self.interval(n);
        let calls = within(interval, self.cueing).into_iter();
        calls
            .filter_map(|signal| {
                let (kind, rank, at, say) = match signal.kind {
                    SignalKind::Switch => {
                        let at = signal.at.before(SWITCH_AHEAD);
                        (
                            PromptKind::Switch,
                            Rank::Safety,
                            at,
                            "switch sides".to_owned(),
                        )
                    }
                    SignalKind::Half => {
                        let at = signal.at + BREATH;
                        (PromptKind::Half, Rank::TimeCall, at, "halfway".to_owned())
                    }
                    SignalKind::Warn => {
                        let say = phrases::left(self.cueing.warn);
                        (PromptKind::Seconds, Rank::TimeCall, signal.at + BREATH, say)
                    }
                    _ => return None,
                };
                let want = Want {
                    kind,
                    rank,
                    marked: false,
                    order: order::CALL,
                    say,
                };
                // A place before the interval began, perhaps before the class, is none.
                let early = interval.length.half() < SWITCH_AHEAD && kind == PromptKind::Switch;
                let by = if early { at } else { interval.end() };
                let mut ask = self.ask(want, n, (at, by));
                ask.hold = Hold::Fixed;
                Some(ask)
            })
            .chain(self.minutes(n))
            .collect()
    }

    /// What is said of the moves of a circuit, spread over the first half of its time.
    pub(super) fn circuit(&self, now: &Turn) -> Vec<Ask> {
        let wants = wants::circuit(now);
        let (begin, end) = (now.interval.start + AIR, now.interval.end());
        let step = now.interval.length.millis() / (2 * wants.len() as u64).max(1);
        let at = |n: usize| begin + Span::from_millis(step * n as u64);
        let numbered = wants.into_iter().enumerate();
        numbered
            .map(|(n, want)| self.ask(want, now.at, (at(n), end)))
            .collect()
    }

    /// The minutes left of a circuit long enough for that.
    fn minutes(&self, n: usize) -> Vec<Ask> {
        let interval = self.interval(n);
        let is_due = |left: Span| {
            let circuit = interval.moves.len() > 1 && interval.kind == Kind::Work;
            circuit && interval.length >= left * 2 + APART
        };
        let due = MINUTES.into_iter().filter(|&left| is_due(left));
        due.map(|left| {
            let say = format!("{} left", phrases::left(left));
            let at = interval.end().before(left);
            let want = Want {
                kind: PromptKind::Seconds,
                rank: Rank::TimeCall,
                marked: false,
                order: order::CALL,
                say,
            };
            let mut ask = self.ask(want, n, (at, interval.end()));
            ask.hold = Hold::Fixed;
            ask
        })
        .collect()
    }

    /// That this is the last work, of the block or of the class, and that recovery comes.
    pub(super) fn ending(&self, leg: &Leg, now: &Turn) -> Vec<Ask> {
        let mut out = Vec::new();
        if now.interval.kind != Kind::Work {
            return out;
        }
        let (begin, end) = (now.interval.start, now.interval.end());
        let half = self.half(now.at);
        let after = leg
            .between
            .clone()
            .find(|&n| !self.interval(n).length.is_zero());
        let recovery = after.filter(|&n| self.interval(n).kind == Kind::Recovery);
        let closes = leg.next.as_ref().is_none_or(Turn::leaves_block);
        let call = |say: String, order| Want {
            kind: PromptKind::Recover,
            rank: Rank::TimeCall,
            marked: false,
            order,
            say,
        };
        // In a circuit nobody does a last one.
        let silent = now.is_circuit() || now.is_told_as_last();
        if self.last_work == Some(now.at) && !silent {
            let want = call("this is the last one".to_owned(), order::LAST);
            out.push(self.ask(want, now.at, (begin + AIR, end)));
        } else if closes && recovery.is_none() && !silent {
            let want = call("last one of this block".to_owned(), order::LAST);
            out.push(self.ask(want, now.at, (begin + AIR, half)));
        }
        if let Some(n) = recovery {
            let (from, order) = if now.interval.untimed {
                let late = Span::from_millis(now.interval.length.millis() * 2 / 3);
                (begin + late, order::LATE)
            } else {
                (half, order::RECOVERY)
            };
            let want = call(phrases::recovery(self.interval(n)), order);
            let range = (from, end);
            let mut ask = self.ask(want, n, range);
            ask.coming = true;
            if !now.interval.untimed {
                ask.hold = Hold::Late;
            }
            out.push(ask);
        }
        out
    }
}
