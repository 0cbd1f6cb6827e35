//! Views for tests: one of each stance, and extreme ones by the thousand.

use std::sync::Arc;

use super::around::{Around, Hint, RecordState, SoundState};
use crate::live::{
    Asked, Body, Digits, Done, HeldView, HoldReason, MoveView, NextView, PieceView, PromptView,
    SlotView, Stance, View,
};
use crate::plan::{Kind, PromptKind};
use crate::session::Position;
use crate::time::{Offset, Span};

pub(super) fn a_move(name: &str, position: Position) -> MoveView {
    MoveView {
        name: name.into(),
        option: None,
        note: None,
        reps: None,
        position,
        side: None,
        easier: vec!["knees down".into()],
        harder: vec!["feet together".into()],
        form: vec!["heels stay down".into(), "knees over toes".into()],
        setup: "Hands under shoulders, long line from head to heels.".into(),
        spare: vec!["wrists: onto forearms".into()],
    }
}

pub(super) fn a_next(name: &str) -> NextView {
    NextView {
        is: a_move(name, Position::HandsAndFeet),
        body: Body::Down,
        fetch: vec!["band".into()],
        starts_in: Span::from_secs(25),
        length: Some(Span::from_secs(40)),
        block: None,
    }
}

pub(super) fn prompt(say: &str) -> PromptView {
    PromptView {
        say: say.into(),
        kind: PromptKind::Preview,
        marked: false,
        left: 8,
    }
}

pub(super) fn ribbon() -> Arc<[PieceView]> {
    let mut out = Vec::new();
    let mut at = 0;
    let mut push = |secs: u64, effort, kind, part| {
        out.push(PieceView {
            start: Offset::from_millis(at * 1000),
            length: Span::from_secs(secs),
            kind,
            effort,
            part,
            block: 0,
        });
        at += secs;
    };
    push(60, 0, Kind::Talk, 0);
    for effort in [2, 3, 3, 4] {
        push(60, effort, Kind::WarmUp, 1);
    }
    push(15, 1, Kind::Ready, 2);
    for (round, work) in [(0, 50), (1, 40), (2, 30)] {
        for effort in [6, 5, 7, 4] {
            push(work, effort + round / 2, Kind::Work, 3);
            push(work / 2, 1, Kind::Rest, 3);
        }
    }
    push(60, 1, Kind::Recovery, 4);
    for _ in 0..3 {
        for effort in [8, 6, 7] {
            push(30, effort, Kind::Work, 5);
            push(10, 1, Kind::Rest, 5);
        }
    }
    for effort in [2, 2, 1] {
        push(90, effort, Kind::CoolDown, 6);
    }
    out.into()
}

pub(super) fn at_work() -> View {
    View {
        title: "Tide Line".into(),
        stance: Stance::AtWork,
        kind: Kind::Work,
        digits: Digits::Left(34),
        length: Span::from_secs(50),
        brief: "".into(),
        now: Some(a_move("Squat", Position::Standing)),
        circuit: Vec::new(),
        next: Some(a_next("Plank tap")),
        between: Some((Kind::Rest, Span::from_secs(25))),
        last_of: None,
        say: Some(prompt("heels down, chest tall")),
        say_next: Some(prompt("plank taps next, mat down")),
        block_title: Some("Ebb".into()),
        block: (1, 2),
        round: (2, 3),
        place: (4, 6),
        ribbon: ribbon(),
        at: Span::from_secs(700),
        total: Span::from_secs(1830),
        left: Span::from_secs(1130),
        estimated: false,
        slot: Some(SlotView::Over(Span::from_secs(60))),
        count: None,
        held: None,
        asked: None,
        notice: None,
        done: Done::default(),
    }
}

pub(super) fn turning() -> View {
    View {
        stance: Stance::Turning,
        digits: Digits::Left(8),
        say: Some(prompt("plank taps next, mat down, band in reach")),
        say_next: Some(prompt("hands under shoulders")),
        ..at_work()
    }
}

pub(super) fn rest() -> View {
    View {
        stance: Stance::Turning,
        kind: Kind::Rest,
        digits: Digits::Left(3),
        length: Span::from_secs(25),
        now: None,
        count: Some(3),
        next: Some(NextView {
            fetch: Vec::new(),
            ..a_next("Mountain climber")
        }),
        say: None,
        ..at_work()
    }
}

pub(super) fn recovery() -> View {
    View {
        stance: Stance::Open,
        kind: Kind::Recovery,
        digits: Digits::Left(112),
        length: Span::from_secs(120),
        now: None,
        brief: "Water. Next block is on the floor, three rounds of three moves.".into(),
        say: None,
        slot: Some(SlotView::InHand(Span::from_secs(90))),
        ..at_work()
    }
}

pub(super) fn held() -> View {
    View {
        stance: Stance::Held,
        held: Some(HeldView {
            why: HoldReason::Hold,
            secs: 42,
            gap: None,
        }),
        say: None,
        ..at_work()
    }
}

pub(super) fn ended() -> View {
    View {
        stance: Stance::Ended,
        digits: Digits::Left(0),
        now: None,
        next: None,
        say: None,
        say_next: None,
        done: Done {
            run: Span::from_secs(1790),
            planned: Span::from_secs(1830),
            work: Span::from_secs(900),
            works: 20,
            works_planned: 21,
            skipped: 1,
            holds: 2,
            held: Span::from_secs(95),
            marks: 1,
            completed: true,
        },
        ..at_work()
    }
}

pub(super) fn waiting() -> View {
    View {
        stance: Stance::Waiting,
        say: None,
        ..at_work()
    }
}

pub(super) fn all() -> [View; 7] {
    [
        waiting(),
        at_work(),
        turning(),
        rest(),
        recovery(),
        held(),
        ended(),
    ]
}

pub(super) fn around() -> Around {
    Around {
        clock: "18:02".into(),
        ends: "18:46".into(),
        sound: SoundState::On(7),
        record: RecordState::Recorded,
        prompts: true,
        motion: true,
        note: String::new(),
        flash: true,
        hints: [
            ("space", "hold"),
            ("→", "go on"),
            ("←", "back"),
            ("e", "easier"),
            ("h", "harder"),
            ("+", "15 s more"),
            ("l", "land on time"),
            ("s", "skip"),
            ("m", "mute"),
            ("?", "all keys"),
            ("q", "end"),
        ]
        .map(|(key, action)| Hint::new(key, action))
        .into(),
    }
}

/// A text such as nobody should write.
fn wild_text(rng: &mut fastrand::Rng) -> String {
    match rng.u8(0..8) {
        0 => String::new(),
        1 => "漢字の動き ".repeat(rng.usize(1..20)),
        2 => "🏋️‍♀️🧘".repeat(rng.usize(1..9)),
        3 => "Überstrecken ".repeat(rng.usize(1..16)),
        4 => "x".repeat(rng.usize(1..300)),
        5 => "a\nb\tc\u{7}\u{301}".into(),
        6 => "side plank with a slow reach under".into(),
        _ => "Squat".into(),
    }
}

fn wild_texts(rng: &mut fastrand::Rng) -> Vec<String> {
    (0..rng.usize(0..5)).map(|_| wild_text(rng)).collect()
}

fn wild_option<T>(rng: &mut fastrand::Rng, make: fn(&mut fastrand::Rng) -> T) -> Option<T> {
    rng.bool().then(|| make(rng))
}

fn wild_u64(rng: &mut fastrand::Rng) -> u64 {
    match rng.u8(0..5) {
        0 => 0,
        1 => u64::MAX,
        2 => rng.u64(..),
        3 => rng.u64(0..4000),
        _ => rng.u64(0..120),
    }
}

fn wild_span(rng: &mut fastrand::Rng) -> Span {
    Span::from_secs(wild_u64(rng))
}

fn wild_move(rng: &mut fastrand::Rng) -> MoveView {
    MoveView {
        name: wild_text(rng),
        option: wild_option(rng, wild_text),
        note: wild_option(rng, wild_text),
        reps: wild_option(rng, |rng| rng.u32(..)),
        position: *rng.choice(Position::ALL).expect("not empty"),
        side: wild_option(rng, |rng| rng.u8(..)),
        easier: wild_texts(rng),
        harder: wild_texts(rng),
        form: wild_texts(rng),
        setup: wild_text(rng),
        spare: wild_texts(rng),
    }
}

fn wild_next(rng: &mut fastrand::Rng) -> NextView {
    let bodies = [Body::Same, Body::Down, Body::Up, Body::Shift];
    NextView {
        is: wild_move(rng),
        body: *rng.choice(&bodies).expect("not empty"),
        fetch: wild_texts(rng),
        starts_in: wild_span(rng),
        length: wild_option(rng, wild_span),
        block: wild_option(rng, wild_text),
    }
}

fn wild_prompt(rng: &mut fastrand::Rng) -> PromptView {
    PromptView {
        say: wild_text(rng),
        kind: PromptKind::Form,
        marked: rng.bool(),
        left: rng.u8(..),
    }
}

fn wild_pieces(rng: &mut fastrand::Rng) -> Arc<[PieceView]> {
    let mut at = 0;
    (0..rng.usize(0..400))
        .map(|_| {
            let start = Offset::from_millis(at);
            let length = Span::from_millis(rng.u64(0..400_000));
            at += length.millis();
            PieceView {
                start,
                length,
                kind: *rng.choice(&Kind::ALL).expect("not empty"),
                effort: rng.u8(..),
                part: rng.usize(0..9),
                block: rng.usize(0..9),
            }
        })
        .collect()
}

/// Surroundings as bad as they can be.
pub(super) fn wild_around(rng: &mut fastrand::Rng) -> Around {
    let sounds = [
        SoundState::On(255),
        SoundState::Muted,
        SoundState::Lost,
        SoundState::Opening,
    ];
    let records = [
        RecordState::Off(wild_text(rng)),
        RecordState::Rehearsal(u32::MAX),
    ];
    Around {
        clock: wild_text(rng),
        ends: wild_text(rng),
        sound: sounds[rng.usize(0..4)],
        record: records[rng.usize(0..2)].clone(),
        prompts: rng.bool(),
        motion: rng.bool(),
        note: wild_text(rng),
        flash: rng.bool(),
        hints: (0..rng.usize(0..9))
            .map(|_| Hint::new(wild_text(rng), wild_text(rng)))
            .collect(),
    }
}

/// A view of a stance with everything in it as bad as it can be.
pub(super) fn wild(rng: &mut fastrand::Rng, stance: Stance) -> View {
    let secs = wild_u64(rng);
    let pair = |rng: &mut fastrand::Rng| (rng.usize(..), rng.usize(..));
    let digits = [Digits::Left(secs), Digits::Up(secs), Digits::CountIn(secs)];
    let slots = [
        SlotView::Over(wild_span(rng)),
        SlotView::InHand(wild_span(rng)),
    ];
    View {
        title: wild_text(rng).into(),
        stance,
        kind: *rng.choice(&Kind::ALL).expect("not empty"),
        digits: *rng.choice(&digits).expect("not empty"),
        length: wild_span(rng),
        brief: wild_text(rng).into(),
        now: wild_option(rng, wild_move),
        circuit: wild_texts(rng),
        next: wild_option(rng, wild_next),
        between: wild_option(rng, |rng| (Kind::Rest, wild_span(rng))),
        last_of: wild_option(rng, |_| "the block"),
        say: wild_option(rng, wild_prompt),
        say_next: wild_option(rng, wild_prompt),
        block_title: wild_option(rng, wild_text).map(Into::into),
        block: pair(rng),
        round: pair(rng),
        place: pair(rng),
        ribbon: wild_pieces(rng),
        at: wild_span(rng),
        total: wild_span(rng),
        left: wild_span(rng),
        estimated: rng.bool(),
        slot: rng.bool().then(|| slots[rng.usize(0..2)]),
        count: wild_option(rng, wild_u64),
        held: wild_option(rng, |rng| HeldView {
            why: HoldReason::Slept,
            secs: wild_u64(rng),
            gap: wild_option(rng, wild_span),
        }),
        asked: wild_option(rng, |_| Asked::End),
        notice: wild_option(rng, wild_text),
        done: Done {
            run: wild_span(rng),
            held: wild_span(rng),
            holds: rng.usize(0..9),
            ..Done::default()
        },
    }
}
