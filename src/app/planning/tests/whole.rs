//! Classes from the first key to the last: undone, mended, previewed, wished for.

use super::super::finding::Taught;
use super::super::plan::Over;
use super::super::plan::Wish;
use super::{CLASS, SQUAT, at, moves, plan, press};

/// Undo goes back to the bytes of the file, redo to what was.
#[test]
fn everything_is_taken_back_and_made_again() {
    let keys = "right down right down m =squat enter esc down x c , . enter down right esc l w esc";
    let mut plan = at(0, keys);
    let changed = plan.manuscript.text().to_owned();
    assert_ne!(changed, CLASS);
    let mut back = 0;
    while plan.manuscript.what_is_undone().is_some() {
        press(&mut plan, "u");
        back += 1;
    }
    assert_eq!(plan.manuscript.text(), CLASS);
    assert!(!plan.manuscript.is_changed());
    press(&mut plan, "u");
    assert!(plan.word.is_refused);
    press(&mut plan, &"r ".repeat(back));
    assert_eq!(plan.manuscript.text(), changed);
}

/// From nothing to a whole class by keys alone; what stands in the file is what the README says of
/// such a class.
#[test]
fn a_class_is_made_from_nothing() {
    let text = include_str!("../../../../assets/plan.ron");
    let mut plan = plan(text);
    press(
        &mut plan,
        "=40:00 enter end p down enter =march enter =arm_circle enter esc \
         p =x esc p down down enter p down down down enter =squat enter =plank enter esc \
         p end up up up enter =child enter esc s",
    );
    let session = plan.session().expect("a class");
    assert_eq!(session.slot, Some(crate::time::Span::from_secs(2400)));
    assert_eq!(session.parts.len(), 5);
    assert_eq!(moves(&plan).len(), 5, "{:?}", moves(&plan));
}

/// In every sample each line of a move comes at some time, and something is said of it beside.
#[test]
fn each_move_of_every_sample_comes_and_is_told_beside() {
    let samples = concat!(env!("CARGO_MANIFEST_DIR"), "/sessions");
    for entry in std::fs::read_dir(samples).expect("the samples") {
        let path = entry.expect("a file").path();
        let text = std::fs::read_to_string(&path).expect("a text");
        let plan = plan(&text);
        let becomes = plan.becomes.as_ref().expect("a class");
        for line in plan.lines.iter().filter(|line| line.id.is_some()) {
            let told = format!("{}: {}", path.display(), line.name);
            assert!(becomes.start(line).is_some(), "{told}");
            assert!(becomes.beside(line).len() > 2, "{told}");
        }
    }
}

/// A file with faults opens: its fault is told with the caret, the rest is changed, and it cannot be
/// rehearsed before it is mended.
#[test]
fn a_file_with_faults_can_be_mended_at_the_page() {
    let text = CLASS.replace("\"squat\", // deep", "\"sqaut\", // deep");
    let mut plan = plan(&text);
    assert!(plan.session().is_none());
    let faulty = plan.lines.iter().position(|line| !line.faults.is_empty());
    assert_eq!(faulty, Some(SQUAT));
    assert_eq!(press(&mut plan, "t"), []);
    assert!(plan.word.is_refused);
    press(&mut plan, "down right");
    assert!(
        plan.manuscript.text().contains("time: 35"),
        "{}",
        plan.word.text
    );
    plan.chosen = SQUAT;
    press(&mut plan, "w =squat enter");
    assert!(plan.session().is_some(), "{}", plan.word.text);
}

#[test]
fn what_needs_a_file_or_a_clock_is_wished() {
    let mut changed = at(0, "right");
    assert_eq!(press(&mut changed, "s"), [Wish::Save]);
    assert_eq!(press(&mut changed, "q"), []);
    assert_eq!(press(&mut changed, "enter"), [Wish::SaveAndLeave]);
    assert_eq!(press(&mut changed, "q down enter"), [Wish::Leave(true)]);
    assert_eq!(
        press(&mut changed, "q down down enter"),
        [Wish::Leave(false)]
    );
    assert_eq!(press(&mut changed, "q esc"), []);
    let mut same = at(0, "");
    assert_eq!(press(&mut same, "esc"), [Wish::Leave(false)]);
    let line = CLASS
        .lines()
        .position(|line| line.contains("squat"))
        .expect("there")
        + 1;
    same.chosen = SQUAT;
    assert_eq!(press(&mut same, "e"), [Wish::Editor(line)]);
    let wishes = press(&mut same, "t down enter");
    assert!(
        matches!(wishes[..], [Wish::Rehearse(from, 10)] if from.span().secs_floor() == 135),
        "{wishes:?}"
    );
    assert_eq!(
        press(&mut same, "h enter"),
        [Wish::Sheet("tide.html".into())]
    );
    let mut new = at(0, "");
    new.is_named = false;
    assert_eq!(
        press(&mut new, "s enter"),
        [Wish::SaveAs("tide.ron".into())]
    );
}

/// Previews change nothing until they are taken.
#[test]
fn a_preview_is_taken_or_left() {
    for key in ["f", "o", "v"] {
        let mut plan = at(0, key);
        assert!(
            !matches!(plan.over, Over::None),
            "{key}: {}",
            plan.word.text
        );
        press(&mut plan, "esc");
        assert_eq!(plan.manuscript.text(), CLASS);
    }
    let mut plan = at(0, "=12:00 enter f down enter");
    let before = plan.manuscript.text().to_owned();
    press(&mut plan, "enter");
    let session = plan.session().expect("a class");
    let total = crate::plan::Timeline::of(session).total();
    assert_ne!(plan.manuscript.text(), before, "{}", plan.word.text);
    assert_eq!(total, crate::time::Span::from_secs(720));
}

/// A move that was taught lately is told so where it is looked for.
#[test]
fn what_was_taught_is_known_where_a_move_is_looked_for() {
    let mut plan = at(SQUAT, "m");
    plan.taught = Taught::from([("squat".to_owned(), 3)]);
    press(&mut plan, "=squat");
    let Over::Find(find) = &plan.over else {
        panic!("a move is looked for");
    };
    let card = plan.found(find).card;
    assert!(
        card.iter().any(|said| said.text == "taught 3 days ago"),
        "{card:?}"
    );
}
