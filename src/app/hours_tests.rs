//! Clocks that step and laptops that sleep, each against the screen and the record.

use std::collections::VecDeque;
use std::sync::Arc;

use chrono::{DateTime, TimeDelta};

use super::*;
use crate::live::{Act, Fact, Input, Live, Output, SlotView, What};
use crate::record::{Header, SlotKind, Taught, wall as wall_time};
use crate::session::{Library, Session};

/// Ten minutes.
const CLASS: &str = r#"(title: "Tide", parts: [Talk(time: 600, say: "Welcome.")])"#;

/// A class and the world's clocks: driven as the loop drives it, with no clock read.
struct World {
    live: Live,
    hours: Hours,
    seen: Reading,
    facts: Vec<(Wall, Fact)>,
    header: Header,
}

fn second(secs: u64) -> Span {
    Span::from_secs(secs)
}

impl World {
    /// A class begun at six for which there is a quarter of an hour.
    fn begun(kind: SlotKind) -> Self {
        let session = Session::read("tide", CLASS, &Library::builtin()).expect("a class");
        let wall = DateTime::parse_from_rfc3339("2026-03-04T18:00:00+01:00").expect("a date");
        let now = Moment::from_millis(400 * 24 * 3_600_000);
        let seen = Reading {
            both: Both { now, wall },
            stood: second(77),
            asleep: second(1_234),
        };
        let (end, length) = (wall + TimeDelta::minutes(15), second(900));
        let header = Header::new(session.clone(), wall)
            .ends_at(end)
            .slot_kind(kind);
        let mut world = Self {
            live: Live::new(Arc::new(session)),
            hours: Hours::new(seen, 1),
            seen,
            facts: Vec::new(),
            header,
        };
        let slot = match kind {
            SlotKind::Hour => SlotEnds::Hour(end),
            SlotKind::Length => SlotEnds::After(now + length),
        };
        let end = world.hours.set_slot(Some(slot), seen.both);
        world.live.handle(now, &Input::EndsAt(end));
        world.live.handle(now, &Input::Act(Act::Begin));
        world.take_facts(seen.both);
        world
    }

    fn take_facts(&mut self, both: Both) {
        while let Some(output) = self.live.poll_output() {
            if let Output::Fact(fact) = output {
                self.facts.push((both.wall_at(fact.at), fact));
            }
        }
    }

    /// The loop comes round after this much time awake, of which it stood so much, and asleep; and
    /// the wall clock was set by so much meanwhile.
    fn round(&mut self, awake: Span, stood: Span, slept: Span, set: i64) {
        let both = &mut self.seen.both;
        both.now = both.now + awake;
        both.wall = both.wall + wall_time::delta(awake + slept) + TimeDelta::milliseconds(set);
        self.seen.stood += stood;
        self.seen.asleep += slept;
        let now = self.seen.both.now;
        if let Some(away) = self.hours.look(self.seen) {
            let (from, gap) = (away.from, away.gap);
            self.live.handle(from, &Input::Wake);
            self.take_facts(away.before);
            self.live.handle(now, &Input::Act(Act::Slept { from, gap }));
        }
        if let Some(end) = self.hours.moved_slot() {
            self.live.handle(now, &Input::EndsAt(Some(end)));
        }
        self.live.handle(now, &Input::Wake);
        self.take_facts(self.seen.both);
    }

    fn goes_by(&mut self, secs: u64) {
        for _ in 0..secs {
            self.round(second(1), Span::ZERO, Span::ZERO, 0);
        }
    }

    /// Minutes and seconds over the slot (or in hand, below zero), as the screen has them.
    fn over(&self) -> i64 {
        match self.live.view(self.seen.both.now).slot.expect("a slot") {
            SlotView::Over(span) => i64::try_from(span.secs_floor()).expect("hours"),
            SlotView::InHand(span) => -i64::try_from(span.secs_floor()).expect("hours"),
        }
    }

    fn away(&self) -> Vec<u64> {
        let slept = self.facts.iter().filter_map(|(_, fact)| match fact.what {
            What::Did(Act::Slept { gap, .. }) => Some(gap.secs_floor()),
            _ => None,
        });
        slept.collect()
    }

    /// Ends the class; how late that was, as the record has it.
    fn late(mut self) -> i64 {
        let now = self.seen.both.now;
        self.live.handle(now, &Input::End);
        self.live.handle(now, &Input::End);
        self.take_facts(self.seen.both);
        let facts = self.facts.iter().map(|(wall, fact)| (*wall, fact));
        let taught = Taught::of(&self.header, facts);
        taught.late_ms.expect("a slot")
    }
}

/// What happens to the clocks, between two minutes of class: asleep, stopped while the steady clock
/// went on, and how far the wall clock was set.
type Happens = (&'static str, u64, u64, i64);

const HAPPENS: [Happens; 14] = [
    ("nothing", 0, 0, 0),
    ("set on by the network", 0, 0, 2_600),
    ("set back by the network", 0, 0, -2_600),
    ("set on by an hour", 0, 0, 3_600_000),
    ("set back by an hour", 0, 0, -3_600_000),
    ("set on by a month", 0, 0, 30 * 24 * 3_600_000),
    ("set back by a month", 0, 0, -30 * 24 * 3_600_000),
    ("slept for a breath", 2, 0, 0),
    ("slept a minute", 60, 0, 0),
    ("slept for forty minutes", 2_400, 0, 0),
    ("slept, and the clock was set on after it", 300, 0, 2_600),
    (
        "slept, and the clock was set back after it",
        300,
        0,
        -400_000,
    ),
    ("stopped for five minutes", 0, 300, 0),
    ("stopped and asleep, and set", 100, 300, 60_000),
];

/// The screen and the record go by the slot's kind: an hour on the wall follows the wall, a length
/// does not. And only a sleep or a stop holds the class.
#[test]
fn sleeps_hold_the_class_and_set_clocks_only_move_an_hour() {
    for (what, slept, stopped, set) in HAPPENS {
        for kind in [SlotKind::Hour, SlotKind::Length] {
            let mut world = World::begun(kind);
            world.goes_by(60);
            assert_eq!(world.over(), -300, "{what}");
            world.round(second(stopped + 1), second(stopped), second(slept), set);
            let away = slept + stopped;
            let held = away * 1000 >= AWAY_FROM.millis();
            let label = format!("{what}, {kind:?}");
            let told: Vec<u64> = held.then_some(away).into_iter().collect();
            assert_eq!(world.away(), told, "{label}");
            assert_eq!(world.live.is_held(), held, "{label}");

            // The class is where it was but for the second that ran; the room is left no later.
            let moved = if kind == SlotKind::Hour { set } else { 0 };
            let seconds = i64::try_from(away).expect("hours") + moved / 1000;
            let expected = -300 + seconds;
            let off = world.over() - expected;
            assert!(off.abs() <= 1, "{label}: {} for {expected}", world.over());

            // A minute later it is the same, or a minute more where the class is held.
            let before = world.over();
            world.goes_by(60);
            let grows = if held { 60 } else { 0 };
            assert!((world.over() - before - grows).abs() <= 1, "{label}");

            // Ended now: 15 minutes were there, and two and what was away are gone.
            let late = world.late();
            let gone = 121_000 + i64::try_from(away * 1000).expect("hours") + moved;
            assert!((late + 900_000 - gone).abs() <= 1, "{label}: {late}");
        }
    }
}

/// A class that runs over in its sleep tells how much, however long: 39:40 and not 6:43.
#[test]
fn a_slot_long_over_is_told_whole() {
    for hours in [0, 1, 12, 72] {
        for kind in [SlotKind::Hour, SlotKind::Length] {
            let mut world = World::begun(kind);
            world.goes_by(20);
            world.round(second(1), Span::ZERO, second(hours * 3_600 + 2_680), 0);
            let expected = i64::try_from(hours * 3_600 + 2_680 - 300).expect("hours");
            assert!((world.over() - expected).abs() <= 1, "{}", world.over());
        }
    }
}

/// A clock that is steered never holds anything and moves an hour by little facts, not by many.
#[test]
fn a_drifting_clock_moves_an_hour_by_whole_seconds() {
    let mut world = World::begun(SlotKind::Hour);
    for _ in 0..540 {
        world.round(second(1), Span::ZERO, Span::ZERO, 10);
    }
    assert_eq!(world.away(), [0; 0]);
    assert!((world.over() + 295).abs() <= 1, "{}", world.over());
    let moves = world.facts.iter();
    let moves = moves.filter(|(_, fact)| matches!(fact.what, What::EndsAt(_)));
    assert!((2..=7).contains(&moves.count()));
    assert!((world.late() + 900_000 - 545_400).abs() <= 1_000);
}

/// The sleep in all is the difference of two clocks that are read one after the other, each in whole
/// milliseconds: once the laptop has slept it flickers. An hour of that moves no slot.
#[test]
fn a_flickering_reading_of_the_sleep_moves_no_slot() {
    let mut random = fastrand::Rng::with_seed(6);
    for kind in [SlotKind::Hour, SlotKind::Length] {
        let mut world = World::begun(kind);
        let told = world.facts.len();
        let slept = world.seen.asleep;
        for _ in 0..9_000 {
            let flicker = Span::from_millis(random.u64(0..=1));
            world.seen.asleep = slept.saturating_sub(flicker);
            world.round(Span::from_millis(50), Span::ZERO, Span::ZERO, 0);
        }
        assert_eq!(world.away(), [0; 0]);
        assert_eq!(world.over(), -300, "{kind:?}");
        let moved = world.facts[told..].iter();
        let moved = moved.filter(|(_, fact)| matches!(fact.what, What::EndsAt(_)));
        assert_eq!(moved.count(), 0, "{kind:?}");
        let late = world.late();
        assert!((late + 900_000 - 450_000).abs() <= 1, "{kind:?}: {late}");
    }
}

/// What is replayed from the facts is the class that ran.
#[test]
fn a_class_over_set_clocks_and_sleeps_is_the_same_when_it_is_replayed() {
    for kind in [SlotKind::Hour, SlotKind::Length] {
        let mut world = World::begun(kind);
        let mut happens: VecDeque<Happens> = HAPPENS.into();
        while let Some((_, slept, stopped, set)) = happens.pop_front() {
            world.goes_by(5);
            world.round(second(stopped + 1), second(stopped), second(slept), set);
            let now = world.seen.both.now;
            world.live.handle(now, &Input::Act(Act::Resume));
            world.take_facts(world.seen.both);
            let facts = world.facts.iter().map(|(_, fact)| fact);
            let mut again = Live::replay(world.live.session().clone(), facts);
            again.handle(now, &Input::Wake);
            assert_eq!(again.view(now), world.live.view(now));
        }
    }
}

/// A fast rehearsal that was stopped is held where it was, by its own time.
#[test]
fn a_stopped_rehearsal_is_held_where_it_was() {
    let wall = DateTime::parse_from_rfc3339("2026-03-04T18:00:00+01:00").expect("a date");
    let read = |steady: u64, stood: u64| Reading {
        both: Both {
            now: Moment::from_millis(steady * 60),
            wall,
        },
        stood: Span::from_millis(stood),
        asleep: Span::ZERO,
    };
    let mut hours = Hours::new(read(1_000, 0), 60);
    assert!(hours.look(read(1_900, 0)).is_none());
    let away = hours.look(read(12_000, 10_000)).expect("a stop");
    assert_eq!(away.from, Moment::from_millis(2_000 * 60));
    assert_eq!(away.gap, Span::from_millis(10_000 * 60));
}
