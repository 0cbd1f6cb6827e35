//! Pages for tests: one of each kind.

use super::{
    Beside, BrokenFile, CardPage, Choice, Chooser, Comeback, EndedPage, Entry, Field, FoundLine,
    HelpPage, KeyGroup, LandingPage, LimitToggle, LimitsPage, Opening, Page, PartLabel, PartLine,
    PartState, PartsPage, SettingLine, SoundPage, SwapPage,
};
use crate::live::SlotView;
use crate::screen::around::{Hint, RecordState, SoundState};
use crate::screen::sample::ribbon;
use crate::time::Span;

fn hints(hints: &[(&str, &str)]) -> Vec<Hint> {
    hints
        .iter()
        .map(|(key, action)| Hint::new(*key, *action))
        .collect()
}

pub(super) fn field(label: &str, text: &str, is_focused: bool) -> Field {
    Field {
        label: label.into(),
        text: text.into(),
        is_focused,
        hint: String::new(),
    }
}

pub(in crate::screen) fn chooser() -> Chooser {
    let entry = |title: &str, length: &str, last: &str| Entry {
        title: title.into(),
        length: length.into(),
        ribbon: ribbon(),
        equipment: "mat, band".into(),
        last: last.into(),
        file: "tide-line.ron".into(),
    };
    Chooser {
        entries: vec![
            entry("Tide Line", "30:30", "3 May"),
            entry("Low Tide, seated", "45:00", ""),
            entry("Short and Sharp", "20:00", "28 April"),
        ],
        chosen: 1,
        filter: "ti".into(),
        broken: vec![BrokenFile {
            file: "draft.ron".into(),
            fault: "line 12: no move is called `sqaut`; did you mean `squat`?".into(),
        }],
        notice: String::new(),
        clock: "17:48".into(),
        hints: hints(&[
            ("enter", "open"),
            ("r", "rehearse"),
            ("/", "find"),
            ("q", "leave"),
        ]),
    }
}

pub(in crate::screen) fn opening() -> Opening {
    let part = |name: &str, start, length| PartLabel {
        name: name.into(),
        start: Span::from_secs(start),
        length: Span::from_secs(length),
    };
    let limit = |key: &str, label: &str, is_on| LimitToggle {
        key: key.into(),
        label: label.into(),
        is_on,
    };
    Opening {
        title: "Tide Line".into(),
        brief: "Two blocks, each round shorter than the last. Water by the door.".into(),
        bring: "mat, band".into(),
        ribbon: ribbon(),
        parts: vec![
            part("talk", 0, 60),
            part("warm-up", 60, 240),
            part("Ebb", 315, 720),
            part("recovery", 1035, 60),
            part("Flow", 1095, 360),
            part("cool-down", 1455, 270),
        ],
        total: Span::from_secs(1725),
        is_estimated: false,
        ends: "18:29".into(),
        slot: field("the slot ends", "18:28", true),
        stands: Some(SlotView::Over(Span::from_secs(60))),
        limits: vec![
            limit("1", "wrists", true),
            limit("2", "elbows", false),
            limit("3", "shoulders", false),
            limit("4", "neck", false),
            limit("5", "low back", true),
            limit("6", "hips", false),
            limit("7", "knees", false),
            limit("8", "ankles", false),
        ],
        sound: SoundState::On { loudness: 7, device: "Kiln Row speaker".into() },
        sound_check: "t plays the signals".into(),
        trouble: String::new(),
        remarks: Vec::new(),
        unplaced: vec!["bridge: how to get into it, 2.4 s short".into()],
        cautions: vec![
            "The versions that spare are reminders, no medical advice; the venue's rules come first."
                .into(),
            "Stop anyone who asks to stop.".into(),
        ],
        clock: "18:00".into(),
        hints: hints(&[("space", "begin"), ("e", "end of slot"), ("t", "try sound"), ("q", "leave")]),
    }
}

pub(super) fn landing() -> LandingPage {
    LandingPage {
        before: Some(SlotView::Over(Span::from_secs(140))),
        lines: vec![
            "Flow: two rounds instead of three, 2:00 less".into(),
            "recovery 0:40, 0:20 less".into(),
        ],
        ends: "18:46".into(),
        after: Some(SlotView::InHand(Span::ZERO)),
        hints: hints(&[("enter", "take it"), ("esc", "leave it")]),
    }
}

pub(super) fn parts() -> PartsPage {
    let states = [PartState::Past, PartState::Now, PartState::Coming];
    PartsPage {
        parts: (0..9)
            .map(|n| PartLine {
                name: format!("Part {n}"),
                start: Span::from_secs(n * 300),
                length: Span::from_secs(300),
                state: states[usize::from(n > 2) + usize::from(n > 3)],
            })
            .collect(),
        chosen: 4,
        hints: hints(&[("enter", "go there"), ("esc", "back")]),
    }
}

pub(super) fn help() -> HelpPage {
    let group = |title: &str, n: usize| KeyGroup {
        title: title.into(),
        keys: (0..n)
            .map(|n| Hint::new(format!("key{n}"), "this or that"))
            .collect(),
        full: vec!["does this or that, told in full".into(); n],
    };
    HelpPage {
        groups: vec![
            group("the class", 6),
            group("time", 5),
            group("the room", 7),
            group("screen", 4),
        ],
        without: vec!["skip".into()],
        page: 0,
        hints: hints(&[("esc", "back"), ("tab", "more")]),
    }
}

pub(super) fn limits() -> LimitsPage {
    let limit = |(key, label): (&str, &str)| Hint::new(key, label);
    LimitsPage {
        on: [("w", "wrists"), ("k", "knees")].map(limit).into(),
        off: [
            ("e", "elbows"),
            ("s", "shoulders"),
            ("n", "neck"),
            ("l", "low back"),
            ("b", "lying on the back"),
            ("j", "jumps"),
        ]
        .map(limit)
        .into(),
        page: 0,
        hints: hints(&[
            ("esc", "close"),
            ("its letter", "set, or take back"),
            ("tab", "more"),
        ]),
    }
}

pub(super) fn ended() -> EndedPage {
    let beside = |what: &str, planned: &str, taught: &str| Beside {
        what: what.into(),
        planned: planned.into(),
        taught: taught.into(),
    };
    EndedPage {
        title: "Tide Line".into(),
        planned: ribbon(),
        taught: ribbon(),
        beside: vec![
            beside("class time", "30:30", "29:50"),
            beside("works", "21", "20"),
        ],
        lines: vec!["held twice, 1:35 in all".into()],
        record: RecordState::Recorded,
        fields: vec![
            field("how it was, 0 to 10", "8", false),
            field("heads", "", false),
            field("words", "Ebb ran", true),
        ],
        hints: hints(&[("enter", "keep"), ("q", "leave")]),
    }
}

pub(super) fn swap() -> SwapPage {
    let line = |name: &str, about: &str, is_marked| FoundLine {
        name: name.into(),
        about: about.into(),
        is_marked,
    };
    SwapPage {
        instead_of: "Step jack".into(),
        field: field("find", "sqat", true),
        lines: vec![
            line("Squat", "standing", false),
            line("Squat and press", "standing · dumbbells", false),
            line("Squat thrust", "hands and feet · loads wrists", true),
        ],
        chosen: 1,
        hints: hints(&[("enter", "do this move"), ("esc", "leave it")]),
    }
}

pub(super) fn sound() -> SoundPage {
    let line = |name: &str, value: &str| SettingLine {
        name: name.into(),
        value: value.into(),
    };
    SoundPage {
        lines: vec![
            line("device", "the system's default"),
            line("sent earlier by", "180 ms"),
            line("volume", "10 of 10"),
            line("keep the loudspeaker awake", "no"),
            line("words are spoken to", "Ear"),
            line("when", "WhenBlind"),
            line("your ear is on", "the left channel"),
            line("volume of the words", "8 of 10"),
        ],
        chosen: 1,
        about: "Right where the tone comes after the flash, left where it comes before.".into(),
        is_lit: true,
        state: "sound 10/10 Hall".into(),
        is_trouble: false,
        hints: hints(&[
            ("← →", "change"),
            ("enter", "keep it so"),
            ("esc", "leave it as it was"),
        ]),
    }
}

pub(super) fn card() -> CardPage {
    CardPage {
        first: vec![
            "Call the emergency number, send for the defibrillator, stay.".into(),
            "Stop someone with chest pain or severe breathlessness, or fainting.".into(),
        ],
        lines: vec!["The venue's address and exits in hand.".into()],
        page: 0,
        hints: hints(&[
            ("esc", "close"),
            ("tab", "more"),
            ("space", "hold"),
            ("k", "keep them moving"),
        ]),
    }
}

pub(super) fn comeback() -> Comeback {
    Comeback {
        title: "Tide Line".into(),
        what: "Begun 18:00, broken off 18:12, four minutes ago.".into(),
        choices: ["where it stopped", "where the clock says", "close it"]
            .map(|title| Choice {
                title: title.into(),
                about: "12:40, Squat, round 2 of 3; ends 18:52".into(),
            })
            .into(),
        chosen: 0,
        clock: "18:16".into(),
        hints: hints(&[("enter", "do it")]),
    }
}

pub(in crate::screen) fn all() -> Vec<(&'static str, Box<dyn Page>)> {
    let mut all = super::planning::sample::all();
    all.extend(others());
    all
}

fn others() -> Vec<(&'static str, Box<dyn Page>)> {
    vec![
        ("chooser", Box::new(chooser())),
        ("opening", Box::new(opening())),
        ("landing", Box::new(landing())),
        ("parts", Box::new(parts())),
        ("swap", Box::new(swap())),
        ("card", Box::new(card())),
        ("help", Box::new(help())),
        ("limits", Box::new(limits())),
        ("endedpage", Box::new(ended())),
        ("comeback", Box::new(comeback())),
        ("sound", Box::new(sound())),
    ]
}
