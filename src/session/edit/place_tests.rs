//! Values put in, taken out, copied and moved in files of every layout: what is not meant stays
//! byte for byte, and what is said of a value goes with it.

use super::*;

/// `[a, b]` in many layouts, and what becomes of it.
fn list(text: &str) -> Edits {
    Edits::of("t", text).expect(text)
}

fn item(n: usize) -> Path {
    vec![Step::Item(n)]
}

fn changed(text: &str, change: impl FnOnce(&mut Edits) -> bool) -> String {
    let mut edits = list(text);
    assert!(change(&mut edits), "{text}");
    edits.finish().expect("apart")
}

const LINES: &str =
    "[\n  // all\n  1, // one\n\n  // two\n  /* and */\n  2,// *two\n  3\n  // end\n]";

#[test]
fn a_value_goes_with_what_is_said_of_it() {
    for (n, rest) in [
        (
            0,
            "[\n  // all\n\n  // two\n  /* and */\n  2,// *two\n  3\n  // end\n]",
        ),
        (1, "[\n  // all\n  1, // one\n  3\n  // end\n]"),
        (
            2,
            "[\n  // all\n  1, // one\n\n  // two\n  /* and */\n  2,// *two\n  // end\n]",
        ),
    ] {
        assert_eq!(changed(LINES, |edits| edits.remove(&item(n))), rest);
    }
    // In one line nobody can tell whose a comment is.
    for (text, n, rest) in [
        ("[1, /* a */ 2, 3] // b", 0, "[/* a */ 2, 3] // b"),
        ("[1, /* a */ 2, 3] // b", 1, "[1, /* a */ 3] // b"),
        (
            "[1, /* a */ 2, /* c */ 3] // b",
            2,
            "[1, /* a */ 2 /* c */] // b",
        ),
        ("[1, 2 /* a */ , 3,]", 1, "[1,  /* a */ 3,]"),
        ("[1, 2, 3,]", 2, "[1, 2,]"),
        ("[ 1 ]", 0, "[  ]"),
        ("[1, 2,\n 3, 4]", 1, "[1,\n 3, 4]"),
        ("[1, 2,\n 3, 4]", 2, "[1, 2,\n 4]"),
        ("[1, 2, // b\n 3, 4]", 1, "[1, // b\n 3, 4]"),
        ("[1,\n 2]", 1, "[1]"),
        ("[1\n, 2\n]", 0, "[2\n]"),
        ("[Some(1), Some( 2 ), 3]", 1, "[Some(1), 3]"),
    ] {
        assert_eq!(
            changed(text, |edits| edits.remove(&item(n))),
            rest,
            "{text}"
        );
    }
}

#[test]
fn a_value_is_put_in_as_its_neighbours_stand() {
    for (text, n, new, meant) in [
        (LINES, 0, "9", LINES.replace("  1,", "  9,\n  1,")),
        (LINES, 1, "9", LINES.replace("one\n", "one\n  9,\n")),
        (LINES, 3, "9", LINES.replace("  3\n", "  3,\n  9\n")),
        (
            LINES,
            1,
            "// why\nF(\n  a: \"\n  \", // in it\n) // so",
            LINES.replace(
                "one\n",
                "one\n  // why\n  F(\n    a: \"\n  \", // in it\n  ), // so\n",
            ),
        ),
        ("[1, 2]", 0, "9", "[9, 1, 2]".into()),
        ("[1, 2]", 1, " 9 /* x */", "[1, 9 /* x */, 2]".into()),
        ("[1, 2]", 2, "9", "[1, 2, 9]".into()),
        ("[1, 2,]", 2, "9", "[1, 2, 9,]".into()),
        ("[]", 0, "9", "[9]".into()),
        ("[ // none\r\n]", 0, "9", "[ // none\r\n    9,\r\n]".into()),
        ("[]", 0, "9 // x", "[\n    9, // x\n]".into()),
        (" [1] // y", 1, "9 // x", " [1,\n 9 // x\n ] // y".into()),
        ("[1, 2]", 0, "9 // x", "[\n9, // x\n1, 2]".into()),
        ("[1, // y\n]", 1, "9 // x", "[1, // y\n9, // x\n]".into()),
        ("W(1)", 1, "2", "W(1, 2)".into()),
    ] {
        let made = changed(text, |edits| edits.insert(&item(n), new));
        assert_eq!(made, meant, "{text} with {new} at {n}");
    }
    for (text, n) in [("[1]", 2), ("(a: 1)", 0), ("5", 0)] {
        assert!(!list(text).insert(&item(n), "9"), "{text}");
    }
}

#[test]
fn a_copy_stands_behind_what_it_is_of() {
    for (text, n, meant) in [
        (
            LINES,
            1,
            LINES.replace("  3\n", "\n  // two\n  /* and */\n  2,// *two\n  3\n"),
        ),
        (LINES, 0, LINES.replace("one\n", "one\n  1, // one\n")),
        (LINES, 2, LINES.replace("  3\n", "  3,\n  3\n")),
        ("[1, /* a */ 2]", 1, "[1, /* a */ 2, 2]".into()),
    ] {
        assert_eq!(changed(text, |edits| edits.copy(&item(n))), meant, "{text}");
    }
}

/// However its lines are broken and set in, a value that changes places takes its comment with it,
/// and nothing else changes.
#[test]
fn values_change_places_with_what_is_said_of_them() {
    for (text, from, to, meant) in [
        (
            "[\n  1, // one\n  // so\n  2, // two\n]",
            0,
            1,
            "[\n  // so\n  2, // two\n  1, // one\n]",
        ),
        // Flush left: what goes above a value begins where the value does.
        ("[\n1,\n// why\n2,\n]", 0, 1, "[\n// why\n2,\n1,\n]"),
        ("[\n1,\n2\n]", 1, 0, "[\n2,\n1\n]"),
        // A comment that goes over lines stays whole, and nobody can tell whose it is.
        ("[1, /* a\n b */ 2]", 0, 1, "[2, /* a\n b */ 1]"),
        (
            "[\n  1, /* a\n b */\n  2,\n]",
            0,
            1,
            "[\n  2, /* a\n b */\n  1,\n]",
        ),
        // A comma on the next line stays there.
        (
            "[\n  1 // a\n  ,\n  2,\n]",
            0,
            1,
            "[\n  2 // a\n  ,\n  1,\n]",
        ),
        (
            "[\n  1 /* a */, // x\n  2,\n]",
            0,
            1,
            "[\n  2,\n  1 /* a */, // x\n]",
        ),
    ] {
        for (text, meant) in [
            (text.to_owned(), meant.to_owned()),
            (text.replace('\n', "\r\n"), meant.replace('\n', "\r\n")),
        ] {
            let made = changed(&text, |edits| edits.move_to(&item(from), &item(to)));
            assert_eq!(made, meant, "{text:?}");
        }
    }
}

/// What has no lines of its own is put in so that no comment hides it, and copies keep their breaks.
#[test]
fn nothing_is_put_into_a_comment() {
    for (text, n, new, meant) in [
        (
            "[1, /* m\n x */ ]",
            1,
            "9 // new",
            "[1,\n9, // new\n /* m\n x */ ]",
        ),
        ("[\n  5 // c\n,]", 1, "9", "[\n  5, 9 // c\n,]"),
    ] {
        let made = changed(text, |edits| edits.insert(&item(n), new));
        assert_eq!(made, meant, "{text:?}");
    }
    let text = "[\r\n  // why\r\n  1, // one\r\n  // so\r\n  2, // two\r\n]";
    let made = changed(text, |edits| edits.copy(&item(1)));
    assert_eq!(
        made,
        text.replace("two\r\n", "two\r\n  // so\r\n  2, // two\r\n")
    );
    let made = changed("[1, 2\n// c\n,]", |edits| edits.remove(&item(1)));
    assert!(list(&made).base.tree().inside.len() == 1, "{made}");
}

/// Into another list the lines of a value are set in as those of its new neighbours.
#[test]
fn a_value_is_moved_to_another_list() {
    let step = |path: &[usize]| -> Path { path.iter().map(|n| Step::Item(*n)).collect() };
    let text = "[\n    [\n        1,\n        // two\n        F(\n            a: 2,\n        ), // 2\n    ],\n    [3],\n    [\n  4, // 4\n    ],\n]";
    for (from, to, meant) in [
        (
            [0, 1],
            [2, 0],
            "[\n    [\n        1,\n    ],\n    [3],\n    [\n  // two\n  F(\n      a: 2,\n  ), // 2\n  4, // 4\n    ],\n]",
        ),
        (
            [0, 0],
            [1, 1],
            "[\n    [\n        // two\n        F(\n            a: 2,\n        ), // 2\n    ],\n    [3, 1],\n    [\n  4, // 4\n    ],\n]",
        ),
        (
            [2, 0],
            [1, 0],
            "[\n    [\n        1,\n        // two\n        F(\n            a: 2,\n        ), // 2\n    ],\n    [\n    4, // 4\n    3],\n    [\n    ],\n]",
        ),
    ] {
        let made = changed(text, |edits| edits.move_to(&step(&from), &step(&to)));
        assert_eq!(made, meant);
    }
    let made = changed("[[1, 2], 3, [4]]", |edits| {
        edits.move_to(&step(&[1]), &step(&[2, 1]))
    });
    assert_eq!(made, "[[1, 2], [4, 3]]");
    let mut edits = list("[[1, 2], 3]");
    assert!(!edits.move_to(&step(&[0]), &step(&[0, 1])), "into itself");
    assert!(!edits.move_to(&step(&[0, 5]), &step(&[0])));
}

#[test]
fn a_field_is_written_at_its_usual_place_or_taken_out() {
    let class = "Session(\n    title: \"t\", // so\n    // what\n    parts: [],\n)";
    let slot = class.replace("so\n", "so\n    slot: \"9:00\",\n");
    let put = |text: &str, path: &[Step], name, value| {
        changed(text, |edits| edits.set_field(path, name, value))
    };
    assert_eq!(put(class, &[], "slot", "\"9:00\""), slot);
    assert_eq!(
        put(&slot, &[], "slot", "\"8:00\" // x"),
        slot.replace('9', "8")
    );
    assert_eq!(
        changed(&slot, |edits| edits.unset_field(&[], "slot")),
        class
    );
    for (text, name, meant) in [
        ("\"squat\"", "reps", "Use(move: \"squat\", reps: 5)"),
        (
            "Use(move: \"squat\", note: \"n\")",
            "reps",
            "Use(move: \"squat\", reps: 5, note: \"n\")",
        ),
        (
            "Use(\n  move: \"squat\"\n)",
            "reps",
            "Use(\n  move: \"squat\",\n  reps: 5\n)",
        ),
        ("Ready", "time", "Ready(time: 5)"),
        ("Ready()", "time", "Ready(time: 5)"),
        ("Ready /* ( */ ( )", "time", "Ready /* ( */ ( time: 5)"),
        ("(move: \"squat\")", "reps", "(move: \"squat\", reps: 5)"),
        ("Use(reps: Some(3), x: 1)", "reps", "Use(reps: 5, x: 1)"),
    ] {
        assert_eq!(put(text, &[], name, "5"), meant, "{text}");
    }
    for (text, meant) in [
        ("Use(reps: 3, x: 1)", "Use(x: 1)"),
        ("Use(x: 1, /* r */ reps: 3)", "Use(x: 1 /* r */)"),
        (
            "Use(\n  x: 1,\n  // r\n  reps: 3 // so\n)",
            "Use(\n  x: 1,\n)",
        ),
        ("Use(x: 1)", "Use(x: 1)"),
        ("\"squat\"", "\"squat\""),
    ] {
        assert_eq!(changed(text, |edits| edits.unset_field(&[], "reps")), meant);
    }
    assert!(!list("[1]").set_field(&[], "reps", "5"));
    assert!(!list("[1]").unset_field(&[], "reps"));
}

#[test]
fn a_value_is_set_whatever_it_was() {
    let at = [Step::Field("a"), Step::Item(1)];
    for (text, new, meant) in [
        (
            "(a: [1, 2, // x\n 3])",
            "\"t\"",
            "(a: [1, \"t\", // x\n 3])",
        ),
        ("(a: [1, Some( /* y */ 2 )])", "3 // z", "(a: [1, 3])"),
        (
            "(a: [\n  1,\n  2,\n])",
            "F(\n  b: 1,\n)\n",
            "(a: [\n  1,\n  F(\n    b: 1,\n  ),\n])",
        ),
    ] {
        assert_eq!(changed(text, |edits| edits.set(&at, new)), meant, "{text}");
    }
    assert!(!list("(a: [1])").set(&at, "3"));
    assert_eq!(changed(" 5 // x", |edits| edits.set(&[], "6")), " 6 // x");
}

/// The reader is the judge of which fields a group has.
#[test]
fn the_usual_order_has_the_fields_that_are_read() {
    use crate::session::{Library, Session};
    let library = Library::builtin();
    for (group, order) in usual::ORDER {
        let wrong = format!("{group}(zzzz: 1)");
        let text = match *group {
            "Session" => wrong,
            "Cueing" => format!("Session(cueing: {wrong})"),
            "Use" | "Together" => format!("Session(parts: [Block(moves: [{wrong}])])"),
            "Rounds" | "Same" | "Emom" | "Amrap" | "Reps" => {
                format!("Session(parts: [Block(pattern: {wrong})])")
            }
            _ => format!("Session(parts: [{wrong}])"),
        };
        let faults = Session::read("t", &text, &library).expect_err("a fault");
        let told = faults
            .iter()
            .find(|fault| fault.message.contains("`zzzz`"))
            .expect(group);
        let told = told.help.as_deref().unwrap_or_default();
        let mut known: Vec<&str> = (told.trim_start_matches("possible here: "))
            .split([',', ' '])
            .filter(|word| !word.is_empty() && !["and", "or"].contains(word))
            .map(|word| word.trim_matches('`'))
            .collect();
        let mut order = order.to_vec();
        known.sort_unstable();
        order.sort_unstable();
        assert_eq!(order, known, "{group}");
    }
}
