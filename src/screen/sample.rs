//! Views for tests: one of each stance.

use std::sync::Arc;

use super::around::{Around, Hint, RecordState, SoundState, SpeechState};
use crate::live::{
    Digits, Done, HeldView, HoldReason, MeantView, MoveView, NextView, Nth, PieceView,
    PositionChange, PromptView, Ribbon, SlotView, Stance, StationView, ThenView, TogetherView,
    VersionView, View,
};
use crate::plan::{Kind, PromptKind};
use crate::session::Position;
use crate::time::{Offset, Span};

pub(super) fn a_move(name: &str, position: Position) -> MoveView {
    MoveView {
        name: name.into(),
        call: name.to_lowercase(),
        option: None,
        note: None,
        reps: None,
        effort: None,
        aside: None,
        position,
        side: None,
        easier: vec!["knees down".into()],
        harder: vec!["feet together".into()],
        instead: Vec::new(),
        form: vec!["heels stay down".into(), "knees over toes".into()],
        setup: "Hands under shoulders, long line from head to heels.".into(),
        spare: vec!["wrists: onto forearms".into()],
    }
}

pub(super) fn a_next(name: &str) -> NextView {
    NextView {
        is: a_move(name, Position::HandsAndFeet),
        change: PositionChange::Down,
        from: Position::Standing,
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

pub(super) fn marked(words: &str) -> VersionView {
    VersionView {
        words: words.into(),
        marked: true,
    }
}

pub(super) fn ribbon() -> Arc<Ribbon> {
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
    Arc::new(Ribbon::of(out))
}

pub(super) fn at_work() -> View {
    View {
        title: "Tide Line".into(),
        stance: Stance::AtWork,
        meant: MeantView::default(),
        kind: Kind::Work,
        digits: Digits::Left(34),
        length: Span::from_secs(50),
        brief: "".into(),
        now: Some(a_move("Squat", Position::Standing)),
        circuit: Vec::new(),
        together: None,
        next: Some(a_next("Plank tap")),
        between: Some((Kind::Rest, Span::from_secs(25))),
        then: Some(ThenView::Pause {
            kind: Kind::Rest,
            length: Span::from_secs(25),
            is_long: false,
        }),
        version: vec![marked("wrists: onto forearms")],
        free: None,
        minute: None,
        last_of: None,
        say: Some(prompt("heels down, chest tall")),
        say_next: Some(prompt("plank taps next, mat down")),
        block_title: Some("Ebb".into()),
        block: Nth::new(1, 2),
        round: Nth::new(2, 3),
        place: Nth::new(4, 6),
        ribbon: ribbon(),
        at: Span::from_secs(700),
        total: Span::from_secs(1830),
        left: Span::from_secs(1130),
        estimated: false,
        slot: Some(SlotView::Over(Span::from_secs(60))),
        count: None,
        held: None,
        asked: None,
        is_changed: false,
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
        then: Some(ThenView::Move),
        next: Some(NextView {
            fetch: Vec::new(),
            ..a_next("Mountain climber")
        }),
        say: None,
        ..at_work()
    }
}

/// A rest with something to say, in which everyone goes down and fetches something.
pub(super) fn rest_before_floor() -> View {
    View {
        digits: Digits::Left(14),
        count: None,
        next: Some(a_next("Plank tap")),
        say: Some(prompt("feet wide, one hand at a time")),
        say_next: Some(prompt("easier: knees down")),
        ..rest()
    }
}

/// Work in which nothing need be said for a while.
pub(super) fn silence() -> View {
    View {
        say: None,
        free: Some(Span::from_secs(18)),
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
        then: Some(ThenView::Move),
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
            doing: None,
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
        then: None,
        version: Vec::new(),
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

/// The last seconds of a work before a recovery.
pub(super) fn before_recovery() -> View {
    View {
        between: Some((Kind::Recovery, Span::from_secs(80))),
        then: Some(ThenView::Pause {
            kind: Kind::Recovery,
            length: Span::from_secs(80),
            is_long: true,
        }),
        last_of: Some("the block"),
        ..turning()
    }
}

/// Counted in after a hold.
pub(super) fn count_in() -> View {
    View {
        digits: Digits::CountIn(2),
        say: None,
        ..at_work()
    }
}

/// Work that is counted, with sides left out and the seconds only planned.
pub(super) fn counted() -> View {
    let mut view = View {
        digits: Digits::Up(34),
        length: Span::from_secs(48),
        estimated: true,
        ..at_work()
    };
    if let Some(now) = &mut view.now {
        now.reps = Some(12);
        now.spare.clear();
    }
    view
}

/// The second half of a move for each side.
pub(super) fn sided() -> View {
    let mut view = at_work();
    if let Some(now) = &mut view.now {
        now.side = Some(2);
    }
    view
}

/// A circuit that is repeated freely.
pub(super) fn circuit() -> View {
    View {
        digits: Digits::Left(245),
        length: Span::from_secs(480),
        circuit: ["10 Squat", "8 Push-up", "12 Reverse lunge", "20 Plank tap"]
            .map(str::to_owned)
            .into(),
        say: None,
        place: Nth::new(1, 4),
        round: Nth::new(1, 1),
        ..at_work()
    }
}

/// Several moves at once, with who is there.
fn together(moves: &[(&str, &str, PositionChange)], is_next: bool) -> TogetherView {
    let station = |&(group, name, change): &(&str, &str, PositionChange)| StationView {
        groups: [group]
            .iter()
            .filter(|group| !group.is_empty())
            .map(|&group| group.to_owned())
            .collect(),
        people: Some(2),
        is_free: false,
        name: name.to_owned(),
        call: name.to_lowercase(),
        change: if is_next {
            change
        } else {
            PositionChange::Same
        },
    };
    TogetherView {
        stations: moves.iter().map(station).collect(),
        turn: Nth::new(moves.len().min(3), moves.len()),
        is_next,
        is_swap: is_next,
        is_walked: moves.len() > 2,
    }
}

/// The swap to the next of six stations.
pub(super) fn stations() -> View {
    use PositionChange::{Down, Same, Up};
    let ring = [
        ("", "Squat", Up),
        ("", "Band pull-apart", Same),
        ("", "Step-up", Same),
        ("", "Plank shoulder tap", Down),
        ("", "Shadow punch", Up),
        ("", "Bridge", Down),
    ];
    let mut next = a_next("Move on one");
    next.fetch = Vec::new();
    View {
        together: Some(together(&ring, true)),
        next: Some(next),
        say: Some(prompt("move on one, to the floor at four and six")),
        version: Vec::new(),
        ..rest()
    }
}

/// Two groups at work.
pub(super) fn partners() -> View {
    let pair = [
        ("starboard", "Step jack", PositionChange::Same),
        ("port", "Squat", PositionChange::Same),
    ];
    View {
        together: Some(together(&pair, false)),
        now: Some(a_move("Step jack / Squat", Position::Standing)),
        version: Vec::new(),
        ..at_work()
    }
}

/// A break, just past a full minute, in which the class went over its slot.
pub(super) fn on_break() -> View {
    View {
        held: Some(HeldView {
            why: HoldReason::Break,
            secs: 122,
            gap: None,
            doing: None,
        }),
        ..held()
    }
}

/// The question whether to end.
pub(super) fn asked() -> View {
    View {
        asked: Some(crate::live::Asked::End),
        ..at_work()
    }
}

/// What is special, by name.
pub(super) fn special() -> Vec<(&'static str, View)> {
    vec![
        ("pause", before_recovery()),
        ("countin", count_in()),
        ("counted", counted()),
        ("sided", sided()),
        ("circuit", circuit()),
        ("stations", stations()),
        ("partners", partners()),
        ("break", on_break()),
        ("asked", asked()),
        ("silence", silence()),
        ("floor", rest_before_floor()),
    ]
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
        sound: SoundState::On {
            loudness: 7,
            device: "Kiln Row speaker".into(),
        },
        speech: SpeechState::Off,
        record: RecordState::Recorded,
        prompts: true,
        note: String::new(),
        motion: true,
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
