//! The class and its sound together: keys at bad moments, a loudspeaker that is far ahead of the
//! clock or behind it, a card whose crystal is off. Each signal is heard once and on time.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    reason = "figures of a test are small"
)]

use std::sync::Arc;

use crate::live::{Act, HoldReason, Input, Live, Output, SoundOrder};
use crate::plan::{SignalKind, Strike};
use crate::session::{Library, Session};
use crate::sound::Order;
use crate::sound::card::{Card, Make};
use crate::time::{Moment, Span};

#[path = "../../tests/hear/meant.rs"]
mod rule;

use rule::{Ordered, Void, meant};

const CLASS: &str = include_str!("../../tests/hear/class.ron");

/// A class on a card.
struct Room {
    live: Live,
    card: Card,
    now: Moment,
    ordered: Vec<Ordered>,
    heard: Vec<(SignalKind, f64)>,
}

impl Room {
    fn new(make: Make) -> Self {
        let session = Session::read("fog", CLASS, &Library::builtin()).expect("a class");
        Self {
            live: Live::new(Arc::new(session)),
            card: Card::new(make, Card::clicks()),
            now: Moment::ZERO,
            ordered: Vec::new(),
            heard: Vec::new(),
        }
    }

    /// Lets time pass: callbacks of the card, wakes of the class.
    fn run_to(&mut self, until: Moment) {
        loop {
            let call = Moment::from_millis((self.card.due * 1000.0) as u64);
            let wake = self.live.next_wakeup(self.now).map(|wake| wake.at);
            let wake = wake.filter(|at| *at > self.now).unwrap_or(until);
            let next = wake.min(call).min(until);
            self.now = self.now.max(next);
            if call <= self.now {
                self.card.callback();
                self.heard.extend(self.card.take_clicks());
            } else if self.now >= until {
                return;
            }
            self.say(&Input::Reach(self.card.reach()));
            self.say(&Input::Wake);
        }
    }

    fn say(&mut self, input: &Input) {
        self.live.handle(self.now, input);
        while let Some(output) = self.live.poll_output() {
            if let Output::Sound(order) = output {
                let SoundOrder { from, score } = order.clone();
                self.card.order(Order::Play { from, score });
                let given = self.now;
                self.ordered.push(Ordered { given, order });
            }
        }
    }

    /// Every meant strike is heard once, within a millisecond, or as soon as an order can reach.
    fn check(&mut self, what: &str) {
        let reach = self.card.reach();
        let (meant, void) = meant(&self.ordered, reach);
        let mut extra = std::mem::take(&mut self.heard);
        let mut counted: Option<(Moment, f64)> = None;
        for one in &meant {
            let strike = one.strike;
            let (due, latest) = (secs(strike.at), secs(one.latest(reach)));
            let mut times: Vec<f64> = Vec::new();
            extra.retain(|(kind, at)| {
                let is_it = *kind == strike.kind && (due - 0.001..=latest + 0.001).contains(at);
                // The first that fits; a second one stays, and is told as too much.
                let take = is_it && times.is_empty();
                if take {
                    times.push(*at);
                }
                !take
            });
            assert_eq!(times.len(), 1, "{what}: {one:?}");
            let on_time = one.is_in_time(reach);
            if let Some((before, heard)) = counted.filter(|_| on_time)
                && strike.at.since(before) == Span::from_secs(1)
            {
                let gap = times[0] - heard;
                assert!((gap - 1.0).abs() < 0.001, "{what}: {gap} before {strike:?}");
            }
            counted = (on_time && strike.kind == SignalKind::Count).then(|| (strike.at, times[0]));
        }
        for (kind, at) in extra {
            let committed = |void: &Void| {
                let late = at - secs(void.since);
                void.strike.kind == kind && late <= reach.secs() + 0.002
            };
            assert!(
                void.iter().any(committed),
                "{what}: {kind:?} at {at} too much"
            );
        }
    }
}

fn secs(moment: Moment) -> f64 {
    moment.millis() as f64 / 1000.0
}

/// A key, at a moment that is bad: just before or after a signal more often than not.
fn key(live: &Live, now: Moment, random: &mut fastrand::Rng) -> Input {
    Input::Act(match random.u8(0..12) {
        _ if live.is_held() => Act::Resume,
        0 | 1 => Act::Hold(HoldReason::Hold),
        2 => Act::Hold(HoldReason::Break),
        3 => Act::Back,
        4 => Act::Add(Span::from_secs(10)),
        5 => Act::Take(Span::from_secs(10)),
        6 => Act::Mark,
        7 => Act::Undo,
        8 => Act::OnceMore,
        9 if live.left(now) > Span::from_secs(300) => Act::Skip,
        _ => Act::GoOn,
    })
}

/// When the next key is pressed: near the next signal, within what the voice may have committed.
fn next_key(room: &Room, random: &mut fastrand::Rng) -> Moment {
    let later = room.now + Span::from_millis(random.u64(300..6_000));
    let last = room.ordered.last().map(|ordered| &ordered.order.score);
    let near = last.and_then(|score| score.strikes().iter().find(|s| s.at >= later));
    match near.filter(|strike| random.u8(0..4) > 0 && strike.at.since(later) < Span::from_secs(8)) {
        Some(strike) => {
            strike.at.before(Span::from_millis(500)) + Span::from_millis(random.u64(0..1_000))
        }
        None => later,
    }
    .max(room.now + Span::from_millis(1))
}

#[test]
fn every_signal_is_heard_once_and_on_time_whatever_is_pressed() {
    let mut random = fastrand::Rng::with_seed(9);
    let mut signals = 0;
    for offset in [-300, -150, -40, 0, 43, 120, 200, 300] {
        for period in [1024, 4096] {
            let ppm = 200.0 * random.f64() - 100.0;
            let make = Make {
                ppm,
                period,
                offset,
            };
            let mut room = Room::new(make);
            room.run_to(Moment::from_millis(6_000 + random.u64(0..1_000)));
            room.say(&Input::Act(Act::Begin));
            for _ in 0..60 {
                let at = next_key(&room, &mut random);
                room.run_to(at);
                if room.live.is_over() {
                    break;
                }
                let input = key(&room.live, room.now, &mut random);
                room.say(&input);
            }
            let end = room.now + Span::from_secs(3);
            room.run_to(end);
            // What is still to come is no longer meant.
            room.say(&Input::End);
            room.say(&Input::End);
            let last = room.now + Span::from_secs(2);
            room.run_to(last);
            signals += meant(&room.ordered, room.card.reach()).0.len();
            room.check(&format!("offset {offset}, period {period}, {ppm:.0} ppm"));
        }
    }
    assert!(signals > 1_000, "{signals}");
}
