//! Plans that are made, with faults and without.

use super::*;
use crate::session::edit::Step::{Field, Item};
use crate::session::edit::{Path, Step};

const CLASS: &str = "// mine
Session(
    title: \"Ebb\", // a tide
    parts: [
        Talk(time: 30, say: \"Hello.\"),
        WarmUp([(\"march\", 60), Use(move: \"inchworm\", reps: 6)]),
        // the work
        Block(
            moves: [
                \"squat\", // sit back
                Together(moves: [\"step-jack\", \"wall-sit\"]),
            ],
            pattern: Same(rounds: 2, work: 40, rest: 20),
        ),
        Repeat(times: 2, parts: [Recover(time: 30, move: \"march\")]),
    ],
)
";

fn plan(text: &str) -> Manuscript {
    Manuscript::of("t.ron", text, &Library::builtin())
}

fn part(n: usize, rest: &[Step]) -> Path {
    [&[Field("parts"), Item(n)], rest].concat()
}

/// The rows as a person would read them: kind, place, lines, faults.
fn told(plan: &Manuscript) -> Vec<String> {
    let row = |row: &Row| {
        let faults: Vec<&str> = row
            .faults
            .iter()
            .map(|fault| fault.message.as_str())
            .collect();
        let value = row.path.as_ref().map(|path| {
            let value = plan.value(path).expect("a value");
            value.lines().next().unwrap_or_default().to_owned()
        });
        let (kind, lines) = (row.kind, &row.lines);
        let dots = ".".repeat(row.depth);
        let value = value.unwrap_or_else(|| "-".into());
        format!(
            "{dots}{kind:?} {}-{} {value} {}",
            lines.start,
            lines.end - 1,
            faults.join("; ")
        )
    };
    plan.rows()
        .iter()
        .map(|of| row(of).trim_end().to_owned())
        .collect()
}

#[test]
fn a_whole_plan_has_a_row_for_each_thing() {
    let plan = plan(CLASS);
    assert!(plan.reading().is_ok());
    assert_eq!(
        told(&plan),
        [
            "Class 2-17 Session(",
            ".Talk 5-5 Talk(time: 30, say: \"Hello.\")",
            ".WarmUp 6-6 WarmUp([(\"march\", 60), Use(move: \"inchworm\", reps: 6)])",
            "..Step 6-6 (\"march\", 60)",
            "..Step 6-6 Use(move: \"inchworm\", reps: 6)",
            ".Block 8-14 Block(",
            "..Move 10-10 \"squat\"",
            "..Together 11-11 Together(moves: [\"step-jack\", \"wall-sit\"])",
            "...Station 11-11 \"step-jack\"",
            "...Station 11-11 \"wall-sit\"",
            ".Repeat 15-15 Repeat(times: 2, parts: [Recover(time: 30, move: \"march\")])",
            "..Recover 15-15 Recover(time: 30, move: \"march\")",
        ]
    );
    let turn = |n: usize| {
        plan.rows()[n]
            .turn
            .as_ref()
            .and_then(|path| plan.value(path))
    };
    assert_eq!(turn(3), Some("\"march\""));
    assert_eq!(turn(4), Some("Use(move: \"inchworm\", reps: 6)"));
    assert_eq!((turn(6), turn(11)), (Some("\"squat\""), Some("\"march\"")));
    assert_eq!((turn(1), turn(5)), (None, None));
    for (line, row) in [
        (1, 0),
        (3, 0),
        (5, 1),
        (6, 3),
        (7, 0),
        (9, 5),
        (11, 8),
        (99, 11),
    ] {
        assert_eq!(plan.row_at_line(line), row, "line {line}");
    }
    assert_eq!(
        plan.fields(&part(0, &[])),
        [("time", "30"), ("say", "\"Hello.\"")]
    );
    assert_eq!(plan.name_of(&part(2, &[Field("pattern")])), Some("Same"));
    assert_eq!(plan.items(&part(2, &[Field("moves")])), 2);
    assert_eq!(plan.line_of(&part(2, &[Field("pattern")])), Some(13));
}

/// Mistakes as hands make them: what is faulty has a row with its words, and all the rest is there.
#[test]
#[expect(clippy::too_many_lines, reason = "a table")]
fn a_plan_with_faults_opens_and_the_rest_of_it_can_be_changed() {
    for (right, wrong, row) in [
        // A quote, a bracket, a comma forgotten.
        (
            "\"Hello.\"",
            "\"Hello.",
            ".Faulty 5-5 Talk(time: 30, say: \"Hello.) the text that begins here",
        ),
        (
            "\"Hello.\")",
            "\"Hello.\"",
            ".Faulty 5-5 Talk(time: 30, say: \"Hello.\" the bracket `(`",
        ),
        (
            "30, say",
            "30 say",
            ".Talk 5-5 Talk(time: 30 say: \"Hello.\") ",
        ),
        (
            "(time: 30,",
            "time: 30,",
            ".Faulty 5-5 Talktime: 30, say: \"Hello.\")",
        ),
        (
            "60)",
            "60s)",
            "..Step 6-6 (\"march\", 60s) a number stands without a unit",
        ),
        ("\"march\", 60", "march, 60", "..Step 6-6 (march, 60)"),
        (
            "WarmUp([",
            "WarmUp(",
            ".Faulty 6-6 WarmUp((\"march\", 60), Use(move: \"inchworm\", reps: 6)]) the bracket",
        ),
        (
            "                \"squat\",",
            "                \"squat\"",
            "..Faulty 10-11 \"squat\" // sit back a comma or a colon is missing",
        ),
        (
            "moves: [\n",
            "moves: \n",
            ".Block 8-14 Block( `moves` takes a list of moves in square brackets",
        ),
        (
            "            pattern: Same(rounds: 2,",
            "            pattern: Same(rounds 2,",
            "..Faulty 13-13 - a comma or a colon is missing",
        ),
        (
            "40, rest: 20),\n        ),",
            "40, rest: 20),",
            ".Block 8-13 Block( the bracket `(`",
        ),
        // Wrong, and well-formed.
        (
            "Talk(time",
            "Tlak(time",
            ".Faulty 5-5 Tlak(time: 30, say: \"Hello.\") ",
        ),
        (
            "\"squat\"",
            "\"sqat\"",
            "..Move 10-10 \"sqat\" there is no move `sqat`",
        ),
        (
            "title",
            "titel",
            "Class 2-17 Session( a session has no field `titel`",
        ),
    ] {
        assert!(CLASS.contains(right), "{right}");
        let text = CLASS.replacen(right, wrong, 1);
        let mut plan = plan(&text);
        let rows = told(&plan);
        assert!(plan.reading().is_err(), "{wrong}");
        assert!(
            rows.iter().any(|told| told.starts_with(row)),
            "{wrong}: {rows:#?}"
        );
        let count = plan.faults().len();
        assert_eq!(
            plan.rows()
                .iter()
                .map(|row| row.faults.len())
                .sum::<usize>(),
            count
        );
        // The last part is there, is changed, and nothing else is.
        let last = plan
            .rows()
            .iter()
            .rfind(|row| row.kind == RowKind::Repeat)
            .expect(wrong);
        let at = last.path.clone().expect("a place");
        let (field, text) = ("times", "3".to_owned());
        plan.apply(Change::Put { at, field, text }).expect(wrong);
        assert_eq!(
            plan.text(),
            CLASS
                .replacen(right, wrong, 1)
                .replace("times: 2", "times: 3")
        );
        // Mended, it reads.
        let mended = plan.text().replacen(wrong, right, 1);
        plan.apply(Change::Replace(mended)).expect("taken");
        assert!(plan.reading().is_ok(), "{wrong}");
        assert_eq!((plan.undo().is_some(), plan.undo().is_some()), (true, true));
        assert!(!plan.is_changed());
    }
}

/// Any one bracket forgotten, in every sample: nearly all of the class is still there to be changed.
#[test]
fn a_bracket_that_is_forgotten_hides_little() {
    let samples = concat!(env!("CARGO_MANIFEST_DIR"), "/sessions");
    let library = Library::builtin();
    let (mut tried, mut hidden) = (0, Vec::new());
    for entry in std::fs::read_dir(samples).expect("the samples") {
        let path = entry.expect("a file").path();
        let text = std::fs::read_to_string(&path).expect("a text");
        let whole = Manuscript::of("s.ron", &text, &library).rows().len();
        let brackets: Vec<_> = text.match_indices(['(', ')', '[', ']']).collect();
        let ends = [brackets[0], brackets[brackets.len() - 1]];
        for (at, bracket) in brackets.into_iter().step_by(7).chain(ends) {
            let mut broken = text.clone();
            broken.replace_range(at..=at, "");
            let plan = Manuscript::of("s.ron", &broken, &library);
            let left = plan.rows().len();
            tried += 1;
            if left * 2 < whole {
                let line = 1 + text[..at].matches('\n').count();
                hidden.push(format!(
                    "{left} of {whole}: `{bracket}` in {}:{line}",
                    path.display()
                ));
            }
        }
    }
    assert!(
        hidden.len() * 50 < tried,
        "{} of {tried}\n{}",
        hidden.len(),
        hidden.join("\n")
    );
}

/// What a word processor makes of quotes, and letters beyond those of English, are told where they
/// stand, at every place of a class, and what stands beside them can be changed.
#[test]
fn letters_of_more_than_a_byte_are_faults_like_others() {
    let library = Library::builtin();
    let signs = ['\u{201c}', '\u{201d}', '\u{dc}', '\u{1f9d8}'];
    let places = CLASS.char_indices().filter(|(_, c)| !c.is_whitespace());
    for (n, (at, _)) in places.step_by(4).enumerate() {
        for long in [0, 1] {
            let mut text = CLASS.to_owned();
            let sign = signs[n % signs.len()];
            text.replace_range(at..at + long, sign.encode_utf8(&mut [0; 4]));
            let mut plan = Manuscript::of("t.ron", &text, &library);
            let values = plan.rows().iter().filter(|row| row.path.is_some()).cloned();
            for row in values.collect::<Vec<_>>() {
                let path = row.path.unwrap_or_default();
                if let Some((Item(n), list)) = path.split_last() {
                    let to = [list, &[Item(n + 1)]].concat();
                    let _ = plan.apply(Change::Move { from: path, to });
                    while plan.undo().is_some() {}
                    assert_eq!(plan.text(), text);
                }
            }
        }
    }
}

/// A row that is no value goes by itself, and what stands beside it stays.
#[test]
fn what_is_no_value_is_cut_out_by_itself() {
    for (right, wrong, left) in [
        (
            "\"squat\", // sit back",
            "\"squat\", , // sit back",
            "\"squat\",  // sit back",
        ),
        ("rounds: 2, work", "rounds 2, work", " work"),
        (
            "        // the work\n",
            "        // the work\n        ((\n",
            "        // the work\n",
        ),
    ] {
        let text = CLASS.replace(right, wrong);
        let mut plan = plan(&text);
        let faulty = plan.rows().iter().find_map(|row| row.bytes.clone());
        let bytes = faulty.unwrap_or_else(|| panic!("{wrong}: {:#?}", told(&plan)));
        plan.apply(Change::Cut(bytes)).expect(wrong);
        assert_eq!(plan.text(), CLASS.replace(right, left));
    }
}

/// Several mistakes far from each other are several rows.
#[test]
fn every_mistake_has_a_row_of_its_own() {
    let text = CLASS
        .replace("\"Hello.\")", "\"Hello.\"")
        .replace("60)", "60s)")
        .replace("\"wall-sit\"", "\"wall-set\"")
        .replace("times: 2", "times 2");
    let plan = plan(&text);
    let faulty: Vec<usize> = (plan.rows().iter())
        .filter(|row| !row.faults.is_empty())
        .map(|row| row.lines.start)
        .collect();
    assert_eq!(faulty, [5, 6, 11, 15], "{:#?}", told(&plan));
    assert_eq!(plan.reading().expect_err("faults").count(), 1);
}

/// A faulty line is mended where it stands, also where that shows what was behind it.
#[test]
fn a_faulty_row_is_mended_by_its_lines() {
    let text = CLASS
        .replace("30, say: \"Hello.\")", "30 say: \"Hello.")
        .replace("squat", "sqat");
    let mut plan = plan(&text);
    let row = plan
        .rows()
        .iter()
        .find(|row| row.kind == RowKind::Faulty)
        .expect("one")
        .clone();
    assert_eq!(row.lines, 5..6);
    let worse = Change::Lines {
        lines: row.lines.clone(),
        text: "        Talk((time: 30),".into(),
    };
    let before = plan.text().to_owned();
    assert!(matches!(
        plan.apply(worse),
        Ok(_) | Err(Refused::MoreFaults { .. })
    ));
    while plan.undo().is_some() {}
    assert_eq!(plan.text(), before);
    let mended = Change::Lines {
        lines: row.lines,
        text: "        Talk(time: 30, tell: \"x\"),".into(),
    };
    plan.apply(mended).expect("better than no text");
    let messages: Vec<&str> = plan
        .faults()
        .iter()
        .map(|fault| fault.message.as_str())
        .collect();
    assert_eq!(
        messages,
        ["a `Talk` has no field `tell`", "there is no move `sqat`"]
    );
}

/// Values that cannot be read are written anew, copied around and taken out like others.
#[test]
fn a_faulty_value_is_one_that_can_be_changed() {
    let talk = "        Talk(time: 30, say: \"Hello.\"),\n";
    let seconds = part(1, &[Item(0), Item(0), Item(1)]);
    for (right, wrong, at, new) in [
        ("60)", "60s)", seconds, "60"),
        (
            "\"Hello.\"),\n",
            "\"Hello.\",\n",
            part(0, &[]),
            talk.trim().trim_end_matches(','),
        ),
        (
            "\"Hello.\"),\n",
            "\"Hello.),\n",
            part(0, &[]),
            talk.trim().trim_end_matches(','),
        ),
        (
            "\"Hello.\"),\n",
            "\"Hello.\", // said\n",
            part(0, &[]),
            talk.trim().trim_end_matches(','),
        ),
    ] {
        let text = CLASS.replacen(right, wrong, 1);
        let mut plan = plan(&text);
        let after = CLASS.replacen(right, &right.replace('\n', " // said\n"), 1);
        let meant = if wrong.contains("//") {
            after
        } else {
            CLASS.to_owned()
        };
        let text = new.to_owned();
        plan.apply(Change::Set {
            at: at.clone(),
            text,
        })
        .expect(wrong);
        assert_eq!(plan.text(), meant);
        plan.undo();
        if at.len() == 2 {
            plan.apply(Change::Delete(at.clone())).expect(wrong);
            assert_eq!(plan.text(), CLASS.replace(talk, ""));
            plan.undo();
            plan.apply(Change::Insert {
                at,
                text: "Ready(time: 5)".into(),
            })
            .expect(wrong);
            assert!(
                plan.text()
                    .contains("parts: [\n        Ready(time: 5),\n        Talk(")
            );
        }
    }
}

#[test]
fn what_makes_it_worse_is_refused_and_says_why() {
    let mut plan = plan(CLASS);
    let moves = part(2, &[Field("moves")]);
    let at = |n| [moves.clone(), vec![Item(n)]].concat();
    let set = |at: Path, text: &str| Change::Set {
        at,
        text: text.into(),
    };
    for (change, words) in [
        (
            set(at(0), "\"sqat\""),
            "there is no move `sqat`; did you mean \"squat\"?",
        ),
        (set(at(0), "\"squat"), "`\"squat` is no single value: "),
        (set(at(0), "1, 2"), "`1, 2` is no single value: "),
        (set(at(0), " "), "nothing was written"),
        (
            set(at(7), "1"),
            "there is nothing here that can be changed so",
        ),
        (
            Change::Move {
                from: part(3, &[]),
                to: part(3, &[Field("parts"), Item(0)]),
            },
            "this cannot be moved into itself",
        ),
        (Change::Delete(part(1, &[Item(0)])), "a `WarmUp` takes"),
        (Change::Delete(Vec::new()), "there is nothing here"),
    ] {
        let told = format!("{change:?}");
        let why = plan.apply(change).expect_err(&told);
        assert!(why.to_string().starts_with(words), "{told}: {why}");
        assert_eq!(plan.text(), CLASS);
    }
    assert_eq!(plan.what_is_undone(), None);
}

#[test]
fn what_was_changed_is_followed() {
    let mut plan = plan(CLASS);
    let stands = |plan: &mut Manuscript, change| {
        let path = plan.apply(change).expect("made").expect("a place");
        plan.value(&path).map(str::to_owned)
    };
    let from = part(0, &[]);
    let to = part(3, &[Field("parts"), Item(1)]);
    let moved = stands(&mut plan, Change::Move { from, to });
    assert_eq!(moved.as_deref(), Some("Talk(time: 30, say: \"Hello.\")"));
    let path = part(1, &[Field("moves"), Item(0)]);
    let copied = stands(&mut plan, Change::Copy(path.clone()));
    assert_eq!(copied.as_deref(), Some("\"squat\""));
    let put = Change::Put {
        at: path,
        field: "reps",
        text: "8".into(),
    };
    let put = stands(&mut plan, put);
    assert_eq!(put.as_deref(), Some("Use(move: \"squat\", reps: 8)"));
    assert_eq!(plan.what_is_undone(), Some("changed"));
    plan.saved();
    assert!(!plan.is_changed());
    assert_eq!(plan.undo(), Some(9));
    assert!(plan.is_changed());
    assert_eq!(
        (plan.what_is_undone(), plan.what_is_redone()),
        (Some("copied"), Some("changed"))
    );
    while plan.undo().is_some() {}
    assert_eq!(plan.text(), CLASS);
}

#[test]
fn several_changes_are_one_or_none() {
    let mut plan = plan(CLASS);
    let put = |field, text: &str| Change::Put {
        at: Vec::new(),
        field,
        text: text.into(),
    };
    plan.apply_all(vec![
        put("slot", "\"20:00\""),
        put("slot", "\"30:00\""),
        put("people", "9"),
    ])
    .expect("made");
    assert!(
        plan.text()
            .contains("slot: \"30:00\",\n    people: 9,\n    parts")
    );
    plan.undo();
    assert_eq!((plan.text(), plan.what_is_undone()), (CLASS, None));
    let refused = plan.apply_all(vec![put("people", "9"), put("slot", "3")]);
    assert!(
        matches!(refused, Err(Refused::MoreFaults { .. })),
        "{refused:?}"
    );
    assert_eq!(plan.text(), CLASS);
}

/// What is no session at all is held as well.
#[test]
fn anything_opens() {
    for text in [
        "",
        "// only this",
        "5",
        "[1, 2]",
        "\0",
        "(((((",
        "\"",
        "Session",
        "}{",
        "\u{feff}\u{feff}",
    ] {
        let mut plan = plan(text);
        assert!(
            plan.reading().is_err() && !plan.rows().is_empty(),
            "{text:?}"
        );
        assert!(!plan.faults().is_empty(), "{text:?}");
        assert_eq!(plan.text(), text);
        let _ = plan.apply(Change::Delete(part(0, &[])));
        plan.apply(Change::Replace(CLASS.into())).expect("taken");
        assert!(plan.reading().is_ok());
        plan.undo();
        assert_eq!(plan.text(), text);
        assert!(plan.last_good().is_some(), "as it was in between");
    }
}

#[test]
fn a_foreign_change_is_settled() {
    let mut plan = plan(CLASS);
    let slot = |text: &str| Change::Put {
        at: Vec::new(),
        field: "slot",
        text: text.into(),
    };
    plan.apply(slot("\"20:00\"")).expect("made");
    let theirs = CLASS.replace("Hello.", "Good evening.");
    let Merged::Clean(both) = plan.merge(&theirs) else {
        panic!("other lines");
    };
    plan.settle(&theirs, both);
    assert!(plan.text().contains("20:00") && plan.text().contains("evening"));
    assert!(plan.is_changed() && plan.merge(&theirs) == Merged::Same);
    let Merged::Both(clashes) =
        plan.merge(&theirs.replace("a tide\n", "a tide\n    slot: \"25:00\",\n"))
    else {
        panic!("the same place");
    };
    assert_eq!(
        clashes.iter().map(|clash| clash.line).collect::<Vec<_>>(),
        [4]
    );
    plan.undo();
    assert!(!plan.text().contains("evening"), "the way back stays");
}
