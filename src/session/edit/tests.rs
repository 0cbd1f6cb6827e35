//! Edits against files of every layout: what is not meant stays byte for byte.

use super::*;
use crate::session::{Library, Session};

const FILE: &str = "\u{feff}// Ebb /* not the end\r
Session( title : \"T\",  /* slot: 9 */ slot: \"30:00\",
    parts: [
        Talk(say: \"45, \\\"1:00\\\" // no\", time: Some( 45 )),
        WarmUp([(\"march\", \"1:00\"), /* then */ (Use(move: \"squat\", easier: 1), 7.5),]), // warm
        Block(moves: [
                // all of it
                \"squat\",            // sit back
                // the second
                // has two lines
                Use(
                    move: \"lunge\", rest: 20, // long
                ),  // step
                \"plank\" // last, without a comma
            ],
            pattern: Rounds(work: [ 50 , /* top */ 40, 30, ], rest: [25])),
    ],
) // end";

fn part(n: usize) -> Path {
    vec![Step::Field("parts"), Step::Item(n)]
}

fn path(n: usize, steps: &[Step]) -> Path {
    let mut path = part(n);
    path.extend_from_slice(steps);
    path
}

fn edits() -> Edits {
    Edits::of("t", FILE).expect("a text")
}

#[test]
fn nothing_changed_is_the_same_file() {
    assert_eq!(edits().finish().expect("apart"), FILE);
}

/// Each time of the file, given another value, changes its own digits and no other byte.
#[test]
fn a_time_is_written_as_it_was_written_and_nothing_else_changes() {
    use Step::{Field, Item};
    let pattern = |name, n| [Field("pattern"), Field(name), Item(n)];
    for (path, to, was, is) in [
        (
            path(0, &[Field("time")]),
            50_000,
            "Some( 45 )",
            "Some( 50 )",
        ),
        (
            path(1, &[Item(0), Item(0), Item(1)]),
            75_500,
            "\"march\", \"1:00\"",
            "\"march\", \"1:15.5\"",
        ),
        (
            path(1, &[Item(0), Item(1), Item(1)]),
            8_250,
            "easier: 1), 7.5",
            "easier: 1), 8.25",
        ),
        (path(2, &pattern("work", 0)), 45_000, "[ 50 ,", "[ 45 ,"),
        (
            path(2, &pattern("rest", 0)),
            15_000,
            "rest: [25]",
            "rest: [15]",
        ),
        (
            path(2, &[Field("moves"), Item(1), Field("rest")]),
            25_000,
            "rest: 20,",
            "rest: 25,",
        ),
    ] {
        let mut edits = edits();
        assert!(edits.set_time(&path, Span::from_millis(to)), "{path:?}");
        assert_eq!(
            edits.finish().expect("apart"),
            FILE.replacen(was, is, 1),
            "{path:?}"
        );
    }
    assert!(!edits().set_time(&path(0, &[Field("say")][..0]), Span::ZERO));
    assert!(!edits().set_time(&path(9, &[Field("time")]), Span::ZERO));
}

#[test]
fn a_list_of_one_stands_for_all() {
    let at = |name| path(2, &[Step::Field("pattern"), Step::Field(name)]);
    let mut edits = edits();
    assert!(edits.set_times(&at("rest"), &[Span::from_secs(20); 3]));
    assert!(edits.set_times(&at("work"), &[45, 35, 25].map(Span::from_secs)));
    assert!(!edits.set_times(&at("work"), &[Span::from_secs(45); 2]));
    let told = edits.finish().expect("apart");
    assert!(
        told.contains("[ 45 , /* top */ 35, 25, ], rest: [20]"),
        "{told}"
    );
}

/// What is said of a move goes with it; what is said of the list stays.
#[test]
fn moves_take_their_comments_along() {
    let mut edits = edits();
    assert!(edits.reorder(&path(2, &[Step::Field("moves")]), &[2, 1, 0]));
    let told = edits.finish().expect("apart");
    let list = "        Block(moves: [
                // all of it
                \"plank\", // last, without a comma
                // the second
                // has two lines
                Use(
                    move: \"lunge\", rest: 20, // long
                ),  // step
                \"squat\"            // sit back
            ],";
    assert!(told.contains(list), "{told}");
    let again = Session::read("t", &told, &Library::builtin()).expect("whole");
    assert_eq!(again.parts.len(), 3);

    let mut edits = self::edits();
    assert!(edits.reorder(&path(2, &[Step::Field("moves")]), &[1, 0, 2]));
    let told = edits.finish().expect("apart");
    let list = "                // all of it
                // the second
                // has two lines
                Use(
                    move: \"lunge\", rest: 20, // long
                ),  // step
                \"squat\",            // sit back
                \"plank\" // last";
    assert!(told.contains(list), "{told}");
}

#[test]
fn moves_in_one_line_change_places_and_comments_stay() {
    let text = "Session(title: \"t\", parts: [Block(moves: [\"squat\", /* a */ \"lunge\", \"plank\"], // b\n pattern: Same(rounds: 1, work: 30, rest: 10))])";
    let mut edits = Edits::of("t", text).expect("a text");
    assert!(edits.reorder(&path(0, &[Step::Field("moves")]), &[1, 2, 0]));
    let told = edits.finish().expect("apart");
    assert!(
        told.contains("[\"lunge\", /* a */ \"plank\", \"squat\"], // b\n"),
        "{told}"
    );
}

/// What is said behind the bracket of a list is said of the list: no comment comes beside it, and
/// none before the bracket.
#[test]
fn a_list_that_ends_in_the_line_of_its_last_move_keeps_its_comments() {
    let text = "Session(title: \"t\", parts: [Block(moves: [
    // to begin with
    \"squat\", // sit back
    \"lunge\"], // b
    pattern: Same(rounds: 1, work: 30, rest: 10))])";
    let mut edits = Edits::of("t", text).expect("a text");
    assert!(edits.reorder(&path(0, &[Step::Field("moves")]), &[1, 0]));
    let told = edits.finish().expect("apart");
    let list = "[
    // to begin with
    \"lunge\", // sit back
    \"squat\"], // b
";
    assert!(told.contains(list), "{told}");
}

/// Over every sample: each time that is told stands where it is said to stand.
#[test]
fn every_time_of_every_sample_is_found_and_can_be_set() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sessions");
    let mut seen = 0;
    for entry in std::fs::read_dir(folder).expect("the folder") {
        let text = std::fs::read_to_string(entry.expect("an entry").path()).expect("text");
        let session = Session::read("t", &text, &Library::builtin()).expect("whole");
        let mut new = times(&session);
        let mut edits = Edits::of("t", &text).expect("a text");
        for of in &mut new {
            for span in of.spans.iter_mut().filter(|span| !span.is_zero()) {
                *span += Span::from_secs(1);
            }
            let done = if of.is_list {
                edits.set_times(&of.path, &of.spans)
            } else {
                edits.set_time(&of.path, of.spans[0])
            };
            assert!(done, "{of:?}");
            seen += 1;
        }
        let again = Session::read("t", &edits.finish().expect("apart"), &Library::builtin())
            .expect("whole");
        assert_eq!(again, set_times(&session, &new));
        assert_ne!(again, session);
    }
    assert!(seen > 150, "{seen}");
}
