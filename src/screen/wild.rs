//! Views for tests such as nobody should make, from a seeded generator.

use std::sync::Arc;

use super::around::{Around, Hint, RecordState, SoundState, SpeechState};
use crate::live::{
    Asked, Digits, Done, HeldView, HoldReason, MeantView, MoveView, NextView, Nth, PieceView,
    PositionChange, PromptView, Ribbon, SlotView, Stance, StationView, ThenView, TogetherView,
    VersionView, View, WindowAsked,
};
use crate::plan::{Kind, PromptKind};
use crate::session::Position;
use crate::time::{Offset, Span};

/// A text such as nobody should write.
pub(super) fn wild_text(rng: &mut fastrand::Rng) -> String {
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

pub(super) fn wild_texts(rng: &mut fastrand::Rng) -> Vec<String> {
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

pub(super) fn wild_span(rng: &mut fastrand::Rng) -> Span {
    Span::from_secs(wild_u64(rng))
}

fn wild_move(rng: &mut fastrand::Rng) -> MoveView {
    MoveView {
        name: wild_text(rng),
        call: wild_text(rng),
        option: wild_option(rng, wild_text),
        note: wild_option(rng, wild_text),
        reps: wild_option(rng, |rng| rng.u32(..)),
        effort: wild_option(rng, |rng| rng.u8(..)),
        aside: wild_option(rng, wild_text),
        position: *rng.choice(Position::ALL).expect("not empty"),
        side: wild_option(rng, |rng| rng.u8(..)),
        easier: wild_texts(rng),
        harder: wild_texts(rng),
        instead: Vec::new(),
        form: wild_texts(rng),
        setup: wild_text(rng),
        spare: wild_texts(rng),
    }
}

fn wild_together(rng: &mut fastrand::Rng) -> TogetherView {
    let bodies = [
        PositionChange::Same,
        PositionChange::Down,
        PositionChange::Up,
        PositionChange::Shift,
    ];
    let station = |rng: &mut fastrand::Rng| StationView {
        groups: wild_texts(rng),
        people: wild_option(rng, |rng| rng.u32(..)),
        is_free: rng.bool(),
        name: wild_text(rng),
        call: wild_text(rng),
        change: *rng.choice(&bodies).expect("not empty"),
    };
    TogetherView {
        stations: (0..rng.usize(2..30)).map(|_| station(rng)).collect(),
        turn: Nth::new(rng.usize(..), rng.usize(..)),
        is_next: rng.bool(),
        is_swap: rng.bool(),
        is_walked: rng.bool(),
    }
}

fn wild_next(rng: &mut fastrand::Rng) -> NextView {
    let changes = [
        PositionChange::Same,
        PositionChange::Down,
        PositionChange::Up,
        PositionChange::Shift,
    ];
    NextView {
        is: wild_move(rng),
        change: *rng.choice(&changes).expect("not empty"),
        from: *rng.choice(Position::ALL).expect("not empty"),
        fetch: wild_texts(rng),
        starts_in: wild_span(rng),
        length: wild_option(rng, wild_span),
        block: wild_option(rng, wild_text),
    }
}

fn wild_then(rng: &mut fastrand::Rng) -> ThenView {
    match rng.u8(0..3) {
        0 => ThenView::Move,
        1 => ThenView::End,
        _ => ThenView::Pause {
            kind: *rng.choice(&Kind::ALL).expect("not empty"),
            length: wild_span(rng),
            is_long: rng.bool(),
        },
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

pub(super) fn wild_ribbon(rng: &mut fastrand::Rng) -> Arc<Ribbon> {
    let mut at = 0;
    let pieces = (0..rng.usize(0..400))
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
        .collect();
    Arc::new(Ribbon::of(pieces))
}

/// Surroundings as bad as they can be.
pub(super) fn around(rng: &mut fastrand::Rng) -> Around {
    let sounds = [
        SoundState::On {
            loudness: 255,
            device: wild_text(rng),
        },
        SoundState::Muted,
        SoundState::Lost {
            why: wild_text(rng),
        },
        SoundState::Opening,
        SoundState::TooFast,
        SoundState::Absent {
            why: wild_text(rng),
        },
    ];
    let records = [
        RecordState::Off(wild_text(rng)),
        RecordState::Rehearsal(u32::MAX),
    ];
    let speeches = [
        SpeechState::Off,
        SpeechState::Speaks(wild_text(rng)),
        SpeechState::Silent(wild_text(rng)),
    ];
    Around {
        clock: wild_text(rng),
        ends: wild_text(rng),
        note: wild_text(rng),
        sound: sounds[rng.usize(0..6)].clone(),
        speech: speeches[rng.usize(0..3)].clone(),
        record: records[rng.usize(0..2)].clone(),
        prompts: rng.bool(),
        motion: rng.bool(),
        flash: rng.bool(),
        hints: (0..rng.usize(0..9))
            .map(|_| Hint::new(wild_text(rng), wild_text(rng)))
            .collect(),
    }
}

fn wild_nth(rng: &mut fastrand::Rng) -> Nth {
    Nth::new(rng.usize(..), rng.usize(..))
}

/// A view of a stance with everything in it as bad as it can be.
pub(super) fn view(rng: &mut fastrand::Rng, stance: Stance) -> View {
    let secs = wild_u64(rng);
    let digits = [Digits::Left(secs), Digits::Up(secs), Digits::CountIn(secs)];
    let slots = [
        SlotView::Over(wild_span(rng)),
        SlotView::InHand(wild_span(rng)),
    ];
    View {
        title: wild_text(rng).into(),
        stance,
        meant: MeantView::default(),
        kind: *rng.choice(&Kind::ALL).expect("not empty"),
        digits: *rng.choice(&digits).expect("not empty"),
        length: wild_span(rng),
        brief: wild_text(rng).into(),
        now: wild_option(rng, wild_move),
        circuit: wild_texts(rng),
        together: wild_option(rng, wild_together),
        next: wild_option(rng, wild_next),
        between: wild_option(rng, |rng| (Kind::Rest, wild_span(rng))),
        then: wild_option(rng, wild_then),
        version: (0..rng.usize(0..4))
            .map(|_| VersionView {
                words: wild_text(rng),
                marked: rng.bool(),
            })
            .collect(),
        free: wild_option(rng, wild_span),
        minute: wild_option(rng, wild_nth),
        last_of: wild_option(rng, |_| "the block"),
        say: wild_option(rng, wild_prompt),
        say_next: wild_option(rng, wild_prompt),
        block_title: wild_option(rng, wild_text).map(Into::into),
        block: wild_nth(rng),
        round: wild_nth(rng),
        place: wild_nth(rng),
        ribbon: wild_ribbon(rng),
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
            doing: wild_option(rng, wild_text),
        }),
        asked: wild_option(rng, |rng| Asked::Window {
            what: WindowAsked::Leave,
            length: wild_span(rng),
        }),
        is_changed: rng.bool(),
        notice: wild_option(rng, wild_text),
        done: Done {
            run: wild_span(rng),
            held: wild_span(rng),
            holds: rng.usize(0..9),
            ..Done::default()
        },
    }
}
