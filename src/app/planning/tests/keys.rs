//! Keys that write a value, each against what the file says then.

use super::{ARMS, CLASS, EBB, MARCH, PLANK, SLACK, SQUAT, TALK, at, press, squeezed};

/// Each of these is one key, or one word typed, and the file says just that more or less.
#[test]
#[expect(clippy::too_many_lines, reason = "a table")]
fn a_key_changes_what_it_says_and_nothing_else() {
    for (line, keys, was, is) in [
        (0, "right", "\"30:00\"", "\"31:00\""),
        (0, "left", "\"30:00\"", "\"29:00\""),
        (0, "4 0 =:00 enter", "\"30:00\"", "\"40:00\""),
        (
            0,
            "enter down enter =s_out enter",
            "\"Tide\"",
            "\"Tides out\"",
        ),
        (0, "4 5 enter", "\"30:00\"", "\"45:00\""),
        (TALK, "right", "time: 30", "time: 35"),
        (TALK, "enter down s down s tab s up s enter esc", "", ""),
        (TALK, "enter down enter =_Sit. up", "Hi.", "Hi. Sit."),
        (TALK, "enter =45 down", "time: 30", "time: 45"),
        (TALK, "left left", "time: 30", "time: 20"),
        (TALK, "=45 enter", "time: 30", "time: 45"),
        (TALK, "=1:30 enter", "time: 30", "time: \"1:30\""),
        (TALK, "=45 esc", "", ""),
        // Keys of the list, pressed where figures stand.
        (TALK, "enter v f s enter esc esc", "", ""),
        (TALK, "=9 backspace =75 enter", "time: 30", "time: 75"),
        (
            TALK,
            "enter enter delete =until_2:00 enter",
            "time: 30",
            "time: Until(\"2:00\")",
        ),
        (MARCH, "left", "(\"march\", 45)", "(\"march\", 40)"),
        (ARMS, "right", "\"1:00\"", "\"1:05\""),
        (
            MARCH,
            "enter down down right",
            "(\"march\", 45)",
            "(Use(move: \"march\", easier: 1), 45)",
        ),
        (EBB, "right", "rounds: 3, work: 40", "rounds: 3, work: 45"),
        (
            EBB,
            "enter down right",
            "work: 40, rest: 20",
            "work: 40, rest: 25",
        ),
        (EBB, "enter down down right", "rounds: 3", "rounds: 4"),
        (
            EBB,
            "enter enter delete =40_35_30 enter",
            "Same(rounds: 3, work: 40, rest: 20)",
            "Rounds(work: [40, 35, 30], rest: [20])",
        ),
        (
            EBB,
            "enter end up up up right",
            "recovery: 60",
            "recovery: 65",
        ),
        (
            SQUAT,
            "right",
            "\"squat\", // deep",
            "Use(move: \"squat\", work: 45), // deep",
        ),
        (
            SQUAT,
            "enter down down right",
            "\"squat\",",
            "Use(move: \"squat\", reps: 6),",
        ),
        (
            SQUAT,
            "enter down down =12_10_8 enter",
            "\"squat\",",
            "Use(move: \"squat\", reps: [12, 10, 8]),",
        ),
        (
            SQUAT,
            "enter end up enter =chest_|_-_|_heels enter",
            "\"squat\",",
            "Use(move: \"squat\", note: [\"chest\", None, \"heels\"]),",
        ),
        (
            PLANK,
            "enter delete",
            "Use(move: \"plank\", work: 30)",
            "Use(move: \"plank\")",
        ),
        (
            PLANK,
            "w =side-plank enter",
            "move: \"plank\"",
            "move: \"side-plank\"",
        ),
        (SQUAT, "w =goblet enter", "\"squat\",", "\"goblet-squat\","),
        (SLACK, "enter right", "work: [40, 35]", "work: [45, 40]"),
        (
            SLACK,
            "enter tab tab right",
            "work: [40, 35]",
            "work: [40, 40]",
        ),
        (
            SLACK,
            "enter tab tab tab right",
            "work: [40, 35]",
            "work: [45, 40]",
        ),
        (
            0,
            "enter down down down enter =wrist,knee enter",
            "equipment",
            "limits: [Wrist, Knee], equipment",
        ),
        (0, "l w esc", "equipment", "limits: [Wrist], equipment"),
        (0, "l w w esc", "equipment", "limits: [], equipment"),
        (
            0,
            "enter down down down down enter =,_band enter",
            "[\"mat\"]",
            "[\"mat\", \"band\"]",
        ),
    ] {
        let plan = at(line, keys);
        let expected = squeezed(&CLASS.replacen(was, is, 1));
        let told = &plan.word.text;
        assert_eq!(squeezed(plan.manuscript.text()), expected, "{keys}: {told}");
        assert!(plan.session().is_some(), "{keys}");
        let comments = CLASS.matches("//").count();
        assert_eq!(
            plan.manuscript.text().matches("//").count(),
            comments,
            "{keys}"
        );
    }
}

/// A letter is a key of the list pressed in the wrong place: the words that stand there stay, and it is
/// told how they are written. What is left by an arrow is written, and that is told.
#[test]
fn words_are_begun_by_enter_alone_and_what_is_left_is_told() {
    for (line, to, typed) in [
        (TALK, "down", "=_Sit."),
        (0, "down", "=s"),
        (0, "down down", "=low"),
        (0, "down down down down", "=,_band"),
        (SQUAT, "end", "=soft"),
    ] {
        let mut plan = at(line, &format!("enter {to}"));
        let over = plan.over.clone();
        for letter in ["s", "x", "4", "-", "space"] {
            press(&mut plan, letter);
            assert_eq!(plan.word.text, "enter begins to write", "{line}: {letter}");
            assert!(
                plan.word.is_refused && plan.over == over,
                "{line}: {letter}"
            );
        }
        assert_eq!(plan.manuscript.text(), CLASS);
        press(&mut plan, &format!("enter {typed} up"));
        let told = &plan.word;
        assert!(told.text.starts_with("written: "), "{line}: {}", told.text);
        let typed = typed.trim_start_matches('=').replace('_', " ");
        assert!(
            told.text.ends_with(&typed) && !told.is_refused,
            "{}",
            told.text
        );
        assert_ne!(plan.manuscript.text(), CLASS);
    }
}
