//! A class driven by hand: every moment is an argument, nothing waits.

mod bends;
mod books;
mod changes;
mod heard;
mod landed;
mod late;
mod pieces;
mod taken_back;
mod there;

use std::sync::Arc;

use super::machine::State;
use super::*;
use crate::plan::{Kind, Prompt, PromptKind, SignalKind};
use crate::session::{
    Block, Cueing, Impact, Load, Move, MoveOption, Order, Part, Pattern, Position, Region, Session,
    Sides, Step, Use,
};
use crate::time::{Moment, Offset, Span};

fn secs(secs: u64) -> Span {
    Span::from_secs(secs)
}

fn at(millis: u64) -> Moment {
    Moment::from_millis(millis)
}

fn turn(id: &str, position: Position, reps: Option<u32>) -> Arc<Use> {
    let option = |call: &str| MoveOption {
        call: call.into(),
        spares: vec![],
        position: None,
        equipment: vec![],
        setup: None,
        ..MoveOption::default()
    };
    let of = Move {
        id: id.into(),
        name: id.to_uppercase(),
        call: id.into(),
        position,
        regions: vec![Region::Total],
        muscles: vec![],
        loads: vec![],
        impact: Impact::None,
        sides: Sides::Both,
        equipment: vec![],
        energy: None,
        setup: String::new(),
        form: vec![],
        easier: vec![option("slower"), option("smaller")],
        harder: vec![option("faster")],
        ..Move::default()
    };
    Arc::new(Use {
        reps,
        ..Use::plain(Arc::new(of))
    })
}

/// Talk 20, warm-up 30, ready 10; three rounds of three moves with recoveries; counted work; an
/// EMOM; a cool-down. Every kind of interval, timed and untimed.
fn session() -> Arc<Session> {
    let moves = |names: &[&str]| {
        names
            .iter()
            .map(|name| turn(name, Position::Standing, None).into())
            .collect::<Vec<_>>()
    };
    let block = |moves, pattern, recovery| {
        Part::Block(Block {
            title: Some("Block".into()),
            moves,
            pattern,
            recovery,
            order: Order::ByRound,
            between: None,
            last_rest: false,
        })
    };
    Arc::new(Session {
        title: "Drill".into(),
        slot: None,
        brief: String::new(),
        limits: vec![],
        people: None,
        groups: Vec::new(),
        equipment: vec![],
        stock: Vec::new(),
        cueing: Cueing::default(),
        parts: vec![
            Part::Talk {
                time: secs(20),
                say: "Hello.".into(),
            },
            Part::WarmUp(vec![Step {
                turn: turn("march", Position::Standing, None),
                time: Some(secs(30)),
            }]),
            Part::Ready { time: secs(10) },
            block(
                moves(&["squat", "lunge", "press"]),
                Pattern::Rounds {
                    work: vec![secs(40), secs(30), secs(20)],
                    rest: vec![secs(20), secs(15), Span::from_millis(7_500)],
                },
                Some(secs(45)),
            ),
            block(
                vec![turn("burpee", Position::HandsAndFeet, Some(10)).into()],
                Pattern::Reps {
                    rounds: 2,
                    rest: secs(30),
                    pace: secs(3),
                    cap: None,
                },
                None,
            ),
            block(
                moves(&["jack", "row"]),
                Pattern::Emom {
                    times: 4,
                    every: Pattern::MINUTE,
                    work: Some(secs(35)),
                },
                None,
            ),
            Part::CoolDown(vec![Step {
                turn: turn("stretch", Position::Supine, None),
                time: Some(secs(60)),
            }]),
        ],
    })
}

fn facts(live: &mut Live) -> Vec<Fact> {
    std::iter::from_fn(|| live.poll_output())
        .filter_map(|out| match out {
            Output::Fact(fact) => Some(fact),
            Output::Sound(_) => None,
        })
        .collect()
}

fn begun() -> Live {
    let mut live = Live::new(session());
    live.handle(at(0), &Input::Act(Act::Begin));
    live
}

/// What the class is, the words of the last seconds left aside.
fn bones(live: &Live) -> Live {
    let mut bones = live.clone();
    bones.notice = None;
    bones.asked = None;
    bones.back = None;
    bones.seen = Moment::ZERO;
    while bones.poll_output().is_some() {}
    bones
}

/// How far ahead prompts are planned depends on how often the class was looked at.
fn without_cues(mut live: Live) -> Live {
    live.cues = Arc::default();
    for change in &mut live.changes {
        change.said.cues = Arc::default();
    }
    live
}

/// Asserts that two classes have the same to say, as far as both have planned it.
fn same_to_say(a: &Live, b: &Live) {
    let both = a.cues.until().min(b.cues.until());
    let before = |live: &Live| -> Vec<Prompt> {
        let prompts = live.cues.prompts.iter();
        prompts
            .filter(|prompt| prompt.until <= both)
            .cloned()
            .collect()
    };
    assert_eq!(before(a), before(b));
}

fn go(live: &mut Live, now: u64, act: Act) {
    live.handle(at(now), &Input::Act(act));
}

#[test]
fn wakes_that_come_late_early_or_twice_change_nothing_that_happened() {
    let drive = |wakes: &mut dyn FnMut(u64) -> u64| {
        let mut live = begun();
        let (mut now, mut told) = (0, facts(&mut live));
        while now < 400_000 {
            now = wakes(now);
            live.handle(at(now), &Input::Wake);
            live.handle(at(now), &Input::Wake);
            told.extend(facts(&mut live));
        }
        live.handle(at(400_000), &Input::Wake);
        told.extend(facts(&mut live));
        told.retain(|fact| fact.at <= at(400_000));
        told
    };
    let exact = drive(&mut |now| now + 1);
    let mut random = fastrand::Rng::with_seed(7);
    assert_eq!(exact, drive(&mut |now| now + 997));
    assert_eq!(exact, drive(&mut |now| now + 133_333));
    assert_eq!(exact, drive(&mut move |now| now + random.u64(1..60_000)));
    assert!(exact.len() > 10, "the class went on");
}

#[test]
fn the_class_asks_to_be_woken_at_every_boundary() {
    let mut live = begun();
    let (mut now, mut wakes) = (Moment::ZERO, 0);
    while let Some(wake) = live.next_wakeup(now) {
        assert!(wake.at > now, "a wake lies ahead");
        assert!(
            wake.at.since(now) <= secs(1),
            "the digits change each second"
        );
        now = wake.at;
        let before = live.running();
        live.handle(now, &Input::Wake);
        if live.running() != before {
            let start = live.plan().intervals().get(live.running()).map(|i| i.start);
            assert_eq!(start.unwrap_or(live.offset(now)), live.offset(now));
        }
        if live
            .plan()
            .intervals()
            .get(live.running())
            .is_some_and(|i| i.untimed)
        {
            go(&mut live, now.millis(), Act::GoOn);
        }
        wakes += 1;
    }
    assert!(live.is_over());
    assert!(wakes > 600);
}

#[test]
fn a_hold_stops_the_class_and_resuming_counts_in() {
    let mut live = begun();
    go(&mut live, 65_000, Act::Hold(HoldReason::Hold));
    assert_eq!(live.view(at(65_000)).stance, Stance::Held);
    assert_eq!(live.offset(at(95_000)), Offset::from_millis(65_000));
    while live.poll_output().is_some() {}
    go(&mut live, 95_000, Act::Resume);
    assert_eq!(live.view(at(95_001)).digits, Digits::CountIn(3));
    assert_eq!(live.offset(at(97_999)), Offset::from_millis(65_000));
    assert_eq!(
        heard(&mut live, 98_000),
        [
            (SignalKind::Count, 95_000),
            (SignalKind::Count, 96_000),
            (SignalKind::Count, 97_000),
            (SignalKind::Go, 98_000)
        ]
    );
    assert_eq!(live.offset(at(99_000)), Offset::from_millis(66_000));
    live.handle(at(99_000), &Input::Wake);
    assert_eq!(live.done(at(99_000)).held, secs(33));
}

/// The last sound order that has not been polled yet.
fn last_order(live: &mut Live) -> Option<SoundOrder> {
    std::iter::from_fn(|| live.poll_output())
        .filter_map(|out| match out {
            Output::Sound(order) => Some(order),
            Output::Fact(_) => None,
        })
        .last()
}

/// What the last order asks for, up to a moment.
fn heard(live: &mut Live, until: u64) -> Vec<(SignalKind, u64)> {
    let order = last_order(live).expect("an order");
    let strikes = order.score.strikes().iter();
    strikes
        .map(|strike| (strike.kind, strike.at.millis()))
        .filter(|(_, at)| (order.from.millis()..=until).contains(at))
        .collect()
}

/// The loudspeaker is ahead of the clock: counts, go and the class begin that much later, all
/// together, and the facts alone tell the same class.
#[test]
fn a_count_in_begins_one_reach_later_with_all_its_strikes() {
    for reach in [0, 10, 180, 470, 1_000] {
        let mut live = begun();
        let mut told = facts(&mut live);
        let input = Input::Reach(Span::from_millis(reach));
        live.handle(at(60_000), &input);
        live.handle(at(60_001), &input);
        go(&mut live, 65_000, Act::Hold(HoldReason::Hold));
        told.extend(facts(&mut live));
        go(&mut live, 95_000, Act::Resume);
        let counted = [0, 1_000, 2_000].map(|n| (SignalKind::Count, 95_000 + reach + n));
        let mut again = live.clone();
        let strikes = heard(&mut again, 98_000 + reach);
        assert_eq!(strikes[..3], counted);
        assert_eq!(strikes[3..], [(SignalKind::Go, 98_000 + reach)]);
        for (after, digit) in [(0, 3), (reach, 3), (reach + 1_000, 2), (reach + 2_999, 1)] {
            let seen = live.view(at(95_000 + after)).digits;
            assert_eq!(seen, Digits::CountIn(digit), "{after} ms after the key");
        }
        let wake = live.next_wakeup(at(95_000)).expect("the next digit");
        assert_eq!(wake.at, at(96_000 + reach));
        assert_eq!(live.offset(at(98_000 + reach)), Offset::from_millis(65_000));
        assert_eq!(live.offset(at(98_500 + reach)), Offset::from_millis(65_500));
        told.extend(facts(&mut live));
        let reaches = told.iter().filter(|f| matches!(f.what, What::Reach(_)));
        assert_eq!(reaches.count(), usize::from(reach > 0), "kept once");
        let replayed = Live::replay(session(), &told);
        let later = at(100_000);
        assert_eq!(replayed.offset(later), live.offset(later));
    }
}

#[test]
fn back_restarts_this_interval_and_pressed_again_the_one_before() {
    let mut live = begun();
    // 60 s: the first squat; 40 s of work, then 20 s of rest, then the lunge at 120 s.
    go(&mut live, 130_000, Act::Back);
    let view = live.view(at(130_000));
    assert_eq!(
        (view.now.map(|m| m.name), view.digits),
        (Some("LUNGE".into()), Digits::Left(40))
    );
    go(&mut live, 131_000, Act::Back);
    assert_eq!(live.view(at(131_000)).kind, Kind::Rest);
    go(&mut live, 132_500, Act::Back);
    let view = live.view(at(132_500));
    assert_eq!(
        (view.now.map(|m| m.name), view.digits),
        (Some("SQUAT".into()), Digits::Left(40))
    );
    let coming: Vec<Kind> = live.plan().intervals()[live.running()..]
        .iter()
        .map(|i| i.kind)
        .take(4)
        .collect();
    assert_eq!(coming, [Kind::Work, Kind::Rest, Kind::Work, Kind::Rest]);
}

#[test]
fn skipping_leaves_out_this_move_or_the_coming_one_with_its_rest() {
    let mut live = begun();
    go(&mut live, 70_000, Act::Skip);
    let view = live.view(at(70_000));
    assert_eq!(
        (view.kind, view.next.map(|n| n.is.name)),
        (Kind::Rest, Some("LUNGE".into()))
    );
    go(&mut live, 71_000, Act::Skip);
    let view = live.view(at(71_000));
    assert_eq!(
        (view.kind, view.next.map(|n| n.is.name)),
        (Kind::Rest, Some("PRESS".into()))
    );
    assert_eq!(view.digits, Digits::Left(19));
    go(&mut live, 72_000, Act::Undo);
    assert_eq!(
        live.view(at(72_000)).next.map(|n| n.is.name),
        Some("LUNGE".into())
    );
    go(&mut live, 73_000, Act::Undo);
    let view = live.view(at(73_000));
    assert_eq!(
        (view.now.map(|m| m.name), view.digits),
        (Some("SQUAT".into()), Digits::Left(30))
    );
    assert_eq!(live.done(at(73_000)).skipped, 0);
}

#[test]
fn ending_is_asked_twice_and_the_question_passes() {
    let mut live = begun();
    live.handle(at(1_000), &Input::End);
    assert_eq!(live.view(at(1_000)).asked, Some(Asked::End));
    live.handle(at(6_000), &Input::Wake);
    live.handle(at(6_000), &Input::End);
    assert!(!live.is_over());
    live.handle(at(7_000), &Input::End);
    assert!(live.is_over());
    assert_eq!(live.done(at(9_000)).run, secs(7));
}

#[test]
fn untimed_work_waits_for_the_key_and_nothing_sounds_beyond_it() {
    let mut live = begun();
    let untimed = live
        .plan()
        .intervals()
        .iter()
        .find(|i| i.untimed)
        .map(|i| i.start);
    let start = untimed.expect("the session has counted work").millis();
    while live.poll_output().is_some() {}
    live.handle(at(start + 500_000), &Input::Wake);
    assert_eq!(live.view(at(start + 500_000)).digits, Digits::Up(500));
    let last = last_order(&mut live).expect("entering untimed work orders a new score");
    let strikes = last.score.strikes();
    assert!(strikes.iter().all(|strike| strike.at.millis() <= start));
    go(&mut live, start + 500_000, Act::GoOn);
    assert_eq!(live.view(at(start + 500_000)).kind, Kind::Rest);
}

#[test]
fn a_sleep_holds_the_class_where_it_was_and_one_key_catches_up() {
    let mut live = begun();
    let slept = Act::Slept {
        from: at(70_000),
        gap: secs(65),
    };
    go(&mut live, 135_000, slept);
    assert_eq!(live.offset(at(135_000)), Offset::from_millis(70_000));
    assert_eq!(
        live.view(at(135_000)).held.and_then(|held| held.gap),
        Some(secs(65))
    );
    go(&mut live, 136_000, Act::CatchUp);
    let view = live.view(at(139_000));
    assert_eq!(view.now.map(|m| m.name), Some("LUNGE".into()));
    assert_eq!(view.left, secs(live.left(at(139_000)).secs_ceil()));
    let planned = session();
    let total = crate::plan::Timeline::of(&planned).total();
    let as_if_nothing = Moment::ZERO + total;
    assert_eq!(
        live.projected_end(at(139_000)),
        as_if_nothing,
        "where the clock says"
    );
}

#[test]
fn a_break_is_recalled_each_minute_until_the_class_goes_on() {
    let mut live = begun();
    while live.poll_output().is_some() {}
    go(&mut live, 70_000, Act::Hold(HoldReason::Break));
    let order = last_order(&mut live).expect("a break is not silent");
    assert_eq!(order.from, at(70_000));
    for minute in [1, 2, 8, 9, 60, 61, 600] {
        let expected = at(70_000 + minute * 60_000);
        let next = order.score.recurs(expected.before(secs(59)));
        assert_eq!(next.map(|strike| strike.at), Some(expected));
    }
    go(&mut live, 150_000, Act::Resume);
    let order = last_order(&mut live).expect("a count-in");
    assert_eq!(order.score.recurs(at(0)), None, "no more of them");
}

#[test]
fn a_class_that_begins_with_work_is_counted_in() {
    let mut session = session().as_ref().clone();
    session.parts.drain(..3);
    let mut live = Live::new(Arc::new(session));
    go(&mut live, 5_000, Act::Begin);
    assert_eq!(live.view(at(5_000)).digits, Digits::CountIn(3));
    assert_eq!(live.offset(at(7_999)), Offset::ZERO);
    assert_eq!(live.offset(at(9_000)), Offset::from_millis(1_000));
    live.handle(at(9_000), &Input::Wake);
    let view = live.view(at(9_000));
    assert_eq!(
        (view.digits, live.done(at(9_000)).held),
        (Digits::Left(39), Span::ZERO)
    );
}

fn any_act(random: &mut fastrand::Rng, now: u64) -> Act {
    match random.u8(0..24) {
        0 | 1 => Act::Hold(HoldReason::Hold),
        2..=5 => Act::Resume,
        6 => Act::GoOn,
        7 => Act::Back,
        8 => Act::Skip,
        9 => Act::Add(secs(10)),
        10 => Act::Take(secs(10)),
        11 => Act::Step(Harder::Easier),
        12 => Act::Step(Harder::Harder),
        13 => Act::OnceMore,
        14 => Act::DropRound,
        15 => Act::GoTo(random.usize(0..8)),
        16 => Act::Undo,
        17 => Act::Slept {
            from: at(now.saturating_sub(random.u64(0..9_000))),
            gap: secs(random.u64(0..300)),
        },
        18 => Act::Hold(HoldReason::Break),
        19 => Act::Mark,
        20 => Act::Limits([Load::Wrist, Load::Knee][..random.usize(0..3)].to_vec()),
        21 | 22 => Act::Land(
            (0..random.usize(0..5))
                .map(|_| any_change(random))
                .collect(),
        ),
        _ => Act::CatchUp,
    }
}

/// A change that a landing might have worked out some time ago, or for another class.
fn any_change(random: &mut fastrand::Rng) -> Change {
    let (after, length) = (random.u32(0..45), secs(random.u64(0..90)));
    let kind = match random.u8(0..5) {
        0 | 1 => ChangeKind::Length(length),
        2 => ChangeKind::Drop,
        3 => ChangeKind::Copy { after, length },
        _ => ChangeKind::Round {
            after,
            length,
            round: random.usize(1..6),
        },
    };
    let id = random.u32(0..45);
    Change { id, kind }
}

/// Every change at a random moment, taken back at once, leaves the very same class.
#[test]
fn every_change_can_be_taken_back() {
    let mut random = fastrand::Rng::with_seed(11);
    for _ in 0..2_000 {
        let mut live = begun();
        let now = random.u64(0..700_000);
        live.handle(at(now), &Input::Wake);
        if random.bool() {
            go(&mut live, now, Act::Hold(HoldReason::Hold));
        }
        let act = any_act(&mut random, now);
        if matches!(
            act,
            Act::Hold(_) | Act::Resume | Act::Undo | Act::Slept { .. } | Act::CatchUp
        ) {
            continue;
        }
        let before = bones(&live);
        go(&mut live, now, act.clone());
        let is_same = |live: &Live| {
            let (now, then) = (&live.course, &before.course);
            (&now.taught, &now.left.running, &now.left.ahead)
                == (&then.taught, &then.left.running, &then.left.ahead)
        };
        if !is_same(&live) && !live.is_over() {
            go(&mut live, now, Act::Undo);
            assert!(is_same(&live), "{act:?} at {now}");
            assert_eq!(
                live.view(at(now)),
                View {
                    notice: live.view(at(now)).notice,
                    is_changed: live.view(at(now)).is_changed,
                    ..before.view(at(now))
                }
            );
            assert_eq!(live.state, before.state, "{act:?} at {now}");
            assert_eq!(live.skipped, before.skipped, "{act:?} at {now}");
        }
    }
}

/// A million inputs and wakes: no panic, the offset never goes back, time by kind adds up to the
/// time run, held time is no class time, and the facts replay to the same class.
#[test]
fn a_million_random_inputs_keep_the_books() {
    let mut random = fastrand::Rng::with_seed(3);
    let (mut inputs, mut ended) = (0_u32, 0_u32);
    while inputs < 1_000_000 {
        let mut live = begun();
        let (mut now, mut last) = (0_u64, Offset::ZERO);
        let mut told = facts(&mut live);
        while !live.is_over() && told.len() < 600 {
            let reach = 1 << random.u32(1..15);
            now += random.u64(0..reach);
            inputs += 1;
            let slept_before = matches!(live.state, State::Running { .. });
            match random.u8(0..40) {
                0 => live.handle(at(now), &Input::Act(any_act(&mut random, now))),
                1 => live.handle(at(now), &Input::End),
                2 => live.handle(at(now), &Input::Sound(random.bool())),
                3 => live.handle(
                    at(now),
                    &Input::Reach(Span::from_millis(random.u64(0..600))),
                ),
                _ => live.handle(at(now), &Input::Wake),
            }
            let here = live.offset(at(now));
            let fresh = facts(&mut live);
            let slept = fresh
                .iter()
                .any(|f| matches!(f.what, What::Did(Act::Slept { .. })));
            assert!(here >= last || (slept && slept_before), "offset went back");
            last = here;
            if !fresh.is_empty() {
                no_number_stands_twice(&live);
                speaks_of_what_comes(&live, now);
            }
            told.extend(fresh);
            books_balance(&live, now);
            if inputs % 16 == 0 {
                let view = live.view(at(now));
                assert_eq!(view.at, here.span().floor_secs(), "what is seen is what is");
            }
        }
        ended += u32::from(live.is_over());
        let mut again = Live::replay(session(), &told);
        again.handle(at(now), &Input::Wake);
        same_to_say(&again, &live);
        let (again, live) = (without_cues(bones(&again)), without_cues(bones(&live)));
        assert!(
            again == live,
            "replaying the facts, differing in {}",
            differs(&again, &live)
        );
    }
    assert!(ended > 10);
}

/// Which rooms of two classes differ.
fn differs(a: &Live, b: &Live) -> String {
    let same = [
        ("course", a.course == b.course),
        ("state", a.state == b.state),
        ("heard", a.heard == b.heard && a.speaking == b.speaking),
        ("changes", a.changes == b.changes),
        ("books", a.tally == b.tally && a.skipped == b.skipped),
    ];
    let differing: Vec<&str> = same
        .iter()
        .filter(|(_, same)| !same)
        .map(|(of, _)| *of)
        .collect();
    differing.join(", ")
}

/// What is being said of a move to come is said of the one that comes.
fn speaks_of_what_comes(live: &Live, now: u64) {
    let running = live.running();
    let Some(prompt) = live.cues.being_said(live.offset(at(now)), running) else {
        return;
    };
    let of_a_move = [PromptKind::Preview, PromptKind::Setup, PromptKind::Fetch];
    if of_a_move.contains(&prompt.kind) && prompt.about > running {
        let intervals = live.plan().intervals();
        let moving = intervals
            .iter()
            .skip(running + 1)
            .position(|i| i.kind.is_moving());
        let coming = moving.map(|n| &intervals[running + 1 + n].id);
        assert_eq!(Some(&prompt.id), coming, "{} comes later", prompt.say);
    }
}

fn no_number_stands_twice(live: &Live) {
    let mut seen = std::collections::HashSet::new();
    let doubled = live
        .course
        .left
        .intervals()
        .find(|next| !seen.insert(next.id));
    assert_eq!(doubled, None, "an interval has its number for itself");
}

fn books_balance(live: &Live, now: u64) {
    let here = live.offset(at(now));
    let running = live.running();
    let past: Span = live.plan().intervals()[..running]
        .iter()
        .map(crate::plan::Placed::span)
        .sum();
    let in_this = live
        .plan()
        .intervals()
        .get(running)
        .map_or(Span::ZERO, |i| here.since(i.start));
    assert_eq!(past + in_this, here.span(), "time by interval adds up");
    let held_now = match live.state {
        State::Held { since, .. } | State::CountIn { since, .. } => at(now).since(since),
        State::Ended { .. } => return,
        _ => Span::ZERO,
    };
    let spent = here.span() + live.tally.held + held_now;
    assert_eq!(spent, Span::from_millis(now), "held time is not class time");
}
