//! Pages of planning for tests: one of each kind, and such as nobody should make.

use super::{
    AskPage, FindPage, FormLine, FormView, Narrow, PlanLine, PlanPage, Reach, ReadPage, Said,
};
use crate::screen::Role;
use crate::screen::around::Hint;
use crate::screen::pages::sample::field;
use crate::screen::pages::{Choice, FoundLine, Page};
use crate::screen::sample::ribbon;
use crate::screen::wild::{wild_ribbon, wild_span, wild_text, wild_texts};
use crate::time::Span;

fn hints(hints: &[(&str, &str)]) -> Vec<Hint> {
    hints
        .iter()
        .map(|(key, action)| Hint::new(*key, *action))
        .collect()
}

pub(in crate::screen) fn plan() -> PlanPage {
    let line = |start: &str, depth, name: &str, figures: &str| PlanLine {
        start: start.into(),
        depth,
        name: name.into(),
        figures: figures.into(),
        ..PlanLine::default()
    };
    let mut lines = vec![
        line("", 0, "Class: Tide Line", "30:00"),
        line(
            "0:00",
            0,
            "Talk: Welcome. Easier options are called.",
            "1:00",
        ),
        line("1:00", 0, "Warm-up", "3:30"),
        line("1:00", 1, "March", "1:30"),
        line("2:30", 1, "Arm circle", "2:00"),
        line("4:30", 0, "Ebb", "3 x 40 / 20"),
        line("4:30", 1, "Squat, easier 1", "x 12 · 50 40 30"),
        line("5:30", 1, "Plank tap", ""),
    ];
    lines[7].is_remarked = true;
    lines[4].is_faulty = true;
    PlanPage {
        title: "Tide Line".into(),
        kept: "tide-line.ron · not saved".into(),
        total: "28:45 of 30:00 · 1:15 in hand".into(),
        is_over: false,
        ribbon: Some(ribbon()),
        here: Some(Span::from_secs(270)),
        lines,
        chosen: 6,
        form: None,
        beside: vec![
            Said::head("Squat"),
            Said::line(Role::Quiet, "3 times from 4:30 to 12:40, 2:00 in all"),
            Said::head("A colleague would say"),
            Said::line(
                Role::Trouble,
                "must mend: squats come straight after lunges",
            ),
            Said::head("Said the first time, at 4:30"),
            Said::line(Role::Say, "0:12 before: next squats, feet wide"),
            Said::line(Role::Spare, "0:06 before: knees: sit to a chair"),
        ],
        bring: vec![Said::head("Bring"), Said::line(Role::Next, "mat, band")],
        more: "b".into(),
        word: String::new(),
        is_refused: false,
        hints: hints(&[
            ("m", "a move"),
            ("p", "a part"),
            ("s", "save"),
            ("?", "all keys"),
        ]),
    }
}

pub(in crate::screen) fn form() -> PlanPage {
    let line = |label: &str, text: &str, usual: &str| FormLine {
        label: label.into(),
        text: text.into(),
        usual: usual.into(),
        figure: None,
    };
    let mut page = plan();
    page.form = Some(FormView {
        title: "Squat".into(),
        lines: vec![
            FormLine {
                figure: Some(1),
                ..line("work", "50 40 30", "40")
            },
            line("rest", "", "20"),
            line("how many", "12", ""),
            line("version", "", "the move itself"),
        ],
        chosen: 0,
        is_typing: false,
        hint: "seconds or m:ss; one for all rounds, or one a round: 40 35 30".into(),
    });
    page
}

pub(in crate::screen) fn find() -> FindPage {
    let line = |name: &str, about: &str, is_marked| FoundLine {
        name: name.into(),
        about: about.into(),
        is_marked,
    };
    FindPage {
        title: "A move more".into(),
        field: field("find", "pla", true),
        narrows: vec![
            Narrow {
                label: "works".into(),
                to: "core".into(),
            },
            Narrow {
                label: "spares".into(),
                to: String::new(),
            },
        ],
        turned: 1,
        lines: vec![
            line("Plank", "hands and feet · mat · loads wrists", true),
            line("Plank tap", "forearms · mat", false),
        ],
        chosen: 1,
        card: vec![
            Said::head("Plank tap"),
            Said::line(Role::Next, "forearms · core · mat"),
            Said::line(Role::Say, "Elbows under the shoulders."),
        ],
        word: String::new(),
        hints: hints(&[("enter", "put it in"), ("esc", "back")]),
    }
}

pub(in crate::screen) fn read() -> ReadPage {
    ReadPage {
        title: "Times that fill the slot".into(),
        beside: String::new(),
        says: vec![
            Said::line(
                Role::Now,
                "Tide Line: 28:45 before, 30:00 after, to fill 30:00",
            ),
            Said::line(Role::Quiet, "  recovery of Ebb: 0:45 -> 1:00"),
        ],
        from: 0,
        reach: Reach::default(),
        hints: hints(&[("enter", "take it"), ("esc", "leave it")]),
    }
}

pub(in crate::screen) fn ask() -> AskPage {
    AskPage {
        title: "There is something that is not saved".into(),
        what: "It is of today.".into(),
        field: None,
        choices: vec![
            Choice {
                title: "save, and leave".into(),
                about: "the file has all of it then".into(),
            },
            Choice {
                title: "leave without it".into(),
                about: String::new(),
            },
        ],
        chosen: 0,
        hints: hints(&[("enter", "this"), ("esc", "back")]),
    }
}

/// One of each, by name.
pub(in crate::screen) fn all() -> Vec<(&'static str, Box<dyn Page>)> {
    vec![
        ("plan", Box::new(plan())),
        ("plan, a line", Box::new(form())),
        ("plan, a move", Box::new(find())),
        ("plan, to read", Box::new(read())),
        ("plan, a question", Box::new(ask())),
    ]
}

fn wild_hints(rng: &mut fastrand::Rng) -> Vec<Hint> {
    (0..rng.usize(0..9))
        .map(|_| Hint::new(wild_text(rng), wild_text(rng)))
        .collect()
}

fn wild_said(rng: &mut fastrand::Rng) -> Vec<Said> {
    let texts = wild_texts(rng).into_iter();
    texts
        .map(|text| Said {
            role: Role::ALL[rng.usize(..Role::ALL.len())],
            is_head: rng.bool(),
            text,
        })
        .collect()
}

/// Each with everything in it as bad as it can be.
pub(in crate::screen) fn wild(rng: &mut fastrand::Rng) -> Vec<Box<dyn Page>> {
    let form = FormView {
        title: wild_text(rng),
        lines: (0..rng.usize(0..20))
            .map(|_| FormLine {
                label: wild_text(rng),
                text: wild_text(rng),
                usual: wild_text(rng),
                figure: rng.bool().then(|| rng.usize(..)),
            })
            .collect(),
        chosen: rng.usize(..30),
        is_typing: rng.bool(),
        hint: wild_text(rng),
    };
    let plan = PlanPage {
        title: wild_text(rng),
        kept: wild_text(rng),
        total: wild_text(rng),
        is_over: rng.bool(),
        ribbon: rng.bool().then(|| wild_ribbon(rng)),
        here: rng.bool().then(|| wild_span(rng)),
        lines: (0..rng.usize(0..60))
            .map(|_| PlanLine {
                start: wild_text(rng),
                depth: rng.u16(..),
                name: wild_text(rng),
                figures: wild_text(rng),
                is_faulty: rng.bool(),
                is_remarked: rng.bool(),
            })
            .collect(),
        chosen: rng.usize(..),
        form: rng.bool().then_some(form),
        beside: wild_said(rng),
        bring: wild_said(rng),
        more: wild_text(rng),
        word: if rng.bool() {
            wild_text(rng)
        } else {
            String::new()
        },
        is_refused: rng.bool(),
        hints: wild_hints(rng),
    };
    let find = FindPage {
        title: wild_text(rng),
        field: field(&wild_text(rng), &wild_text(rng), rng.bool()),
        narrows: (0..rng.usize(0..9))
            .map(|_| Narrow {
                label: wild_text(rng),
                to: wild_text(rng),
            })
            .collect(),
        turned: rng.usize(..),
        lines: (0..rng.usize(0..40))
            .map(|_| FoundLine {
                name: wild_text(rng),
                about: wild_text(rng),
                is_marked: rng.bool(),
            })
            .collect(),
        chosen: rng.usize(..),
        card: wild_said(rng),
        word: wild_text(rng),
        hints: wild_hints(rng),
    };
    let read = ReadPage {
        title: wild_text(rng),
        beside: wild_text(rng),
        says: wild_said(rng),
        from: rng.usize(..),
        reach: Reach::default(),
        hints: wild_hints(rng),
    };
    let ask = AskPage {
        title: wild_text(rng),
        what: wild_text(rng),
        field: rng
            .bool()
            .then(|| field(&wild_text(rng), &wild_text(rng), true)),
        choices: (0..rng.usize(0..9))
            .map(|_| Choice {
                title: wild_text(rng),
                about: wild_text(rng),
            })
            .collect(),
        chosen: rng.usize(..),
        hints: wild_hints(rng),
    };
    vec![
        Box::new(plan),
        Box::new(find),
        Box::new(read),
        Box::new(ask),
    ]
}
