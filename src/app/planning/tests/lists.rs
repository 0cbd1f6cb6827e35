//! Moves and parts put in, moved, copied and taken out.

use super::super::adding;
use super::super::plan::{Over, Plan};
use super::{
    ARMS, BRIDGE, CLASS, EBB, LUNGE, MARCH, PLANK, SQUAT, WARM_UP, at, moves, plan, press, samples,
    squeezed,
};
use crate::session::edit::Step;
use crate::session::manuscript::{Manuscript, RowKind as Kind};
use crate::session::{Library, Part};

#[test]
fn moves_are_put_in_copied_moved_and_taken_out_where_the_mark_is() {
    for (line, keys, expected, name) in [
        (
            SQUAT,
            "m =bridge enter esc",
            "march arm-circle squat bridge plank reverse-lunge bridge",
            "Bridge",
        ),
        (
            EBB,
            "m =bridge enter esc",
            "march arm-circle squat plank reverse-lunge bridge bridge",
            "Bridge",
        ),
        (
            MARCH,
            "m =squat enter esc",
            "march squat arm-circle squat plank reverse-lunge bridge",
            "Squat",
        ),
        (
            SQUAT,
            "c",
            "march arm-circle squat squat plank reverse-lunge bridge",
            "Squat",
        ),
        (
            PLANK,
            "x",
            "march arm-circle squat reverse-lunge bridge",
            "Reverse lunge",
        ),
        (LUNGE, "x", "march arm-circle squat plank bridge", "Slack"),
        (
            PLANK,
            ",",
            "march arm-circle plank squat reverse-lunge bridge",
            "Plank",
        ),
        (
            PLANK,
            ".",
            "march arm-circle squat reverse-lunge plank bridge",
            "Plank",
        ),
        (
            LUNGE,
            ".",
            "march arm-circle squat plank reverse-lunge bridge",
            "Reverse lunge",
        ),
        (
            BRIDGE,
            ",",
            "march arm-circle squat plank reverse-lunge bridge",
            "Bridge",
        ),
        (
            WARM_UP,
            ",",
            "march arm-circle squat plank reverse-lunge bridge",
            "Warm-up",
        ),
        (
            EBB,
            ".",
            "march arm-circle bridge squat plank reverse-lunge",
            "Ebb",
        ),
        (EBB, "x", "march arm-circle bridge", "Slack"),
        (
            ARMS,
            "p down enter =cat enter esc",
            "march arm-circle cat-cow squat plank reverse-lunge bridge",
            "Warm-up",
        ),
    ] {
        let plan = at(line, keys);
        assert_eq!(
            moves(&plan).join(" "),
            expected,
            "{keys}: {}",
            plan.word.text
        );
        let here = plan.line().map_or("", |line| &line.name);
        assert!(here.starts_with(name), "{keys}: {here}");
    }
    // The last move of a block does not leave it empty.
    let plan = at(BRIDGE, ",");
    assert!(plan.word.is_refused);
}

/// What is put in is as long as what stands before it; a counted block counts it.
#[test]
fn a_move_more_is_like_the_one_before_it() {
    let plan = at(ARMS, "m =squat enter esc");
    assert!(
        plan.manuscript.text().contains("(\"squat\", \"1:00\")"),
        "{}",
        plan.manuscript.text()
    );
    let mut plan = at(EBB, "enter down down down right right right right esc");
    let text = plan.manuscript.text();
    assert!(
        text.contains("Reps(rounds: 3, rest: 20)"),
        "{} {text}",
        plan.word.text
    );
    assert!(text.contains("Use(move: \"squat\", reps: 10)"), "{text}");
    press(&mut plan, "m =bridge enter esc");
    let text = plan.manuscript.text();
    assert!(text.contains("Use(move: \"bridge\", reps: 10)"), "{text}");
}

/// Each pattern turned into each other, in a ring: what cannot stand beside it is gone, and the class
/// is read all the way.
#[test]
fn a_pattern_is_turned_into_the_others_and_back() {
    let mut plan = at(EBB, "enter down down down");
    let mut seen = Vec::new();
    for _ in 0..5 {
        press(&mut plan, "right");
        assert!(!plan.word.is_refused, "{}", plan.word.text);
        assert!(plan.session().is_some());
        let text = plan.manuscript.text();
        let name = ["Same(", "Rounds(", "Emom(", "Amrap(", "Reps("];
        let count = |name: &str| text.matches(name).count();
        seen.extend(
            name.into_iter()
                .find(|name| count(name) > usize::from(*name == "Rounds(")),
        );
    }
    assert_eq!(seen, ["Rounds(", "Emom(", "Amrap(", "Reps(", "Same("]);
}

#[test]
fn moves_are_done_at_once_and_one_after_another_again() {
    // The clock is the same for all that are done at once: none has a work of its own.
    let plan = at(SQUAT, "g");
    assert!(plan.word.is_refused);
    assert_eq!(plan.manuscript.text(), CLASS);
    let mut plan = at(BRIDGE, "m =squat enter esc up g");
    let text = squeezed(plan.manuscript.text());
    let both = "Together(moves: [\"bridge\", \"squat\"])";
    assert!(text.contains(both), "{} {text}", plan.word.text);
    press(&mut plan, "m =plank enter esc");
    let station = plan.line().map(|line| line.kind);
    assert_eq!(station, Some(Kind::Station), "{}", plan.word.text);
    press(&mut plan, "up up up g");
    let all = "march arm-circle squat plank reverse-lunge bridge squat plank";
    assert_eq!(moves(&plan).join(" "), all, "{}", plan.word.text);
    assert!(!plan.manuscript.text().contains("Together"));
}

/// What is put around a part, or taken from around moves, keeps the lines as a person sets them in,
/// and every comment.
#[test]
fn a_part_that_is_repeated_is_set_in_and_keeps_its_comments() {
    let plan = at(EBB, "p end enter");
    let repeated = "        Repeat(
            times: 2,
            parts: [
                Block(
                    title: \"Ebb\",
                    moves: [
                        \"squat\", // deep
                        Use(move: \"plank\", work: 30),
                        \"reverse-lunge\",
                    ],
                    pattern: Same(rounds: 3, work: 40, rest: 20),
                    recovery: 60,
                ),
            ],
        ),
        Block(title: \"Slack\"";
    let text = plan.manuscript.text();
    assert!(text.contains(repeated), "{} {text}", plan.word.text);

    // The first move of several, set out in lines or in one.
    for (line, keys, name) in [
        (PLANK, "enter delete esc up", "Squat"),
        (BRIDGE, "m =squat enter esc up", "Bridge"),
    ] {
        let mut plan = at(line, keys);
        let before = plan.manuscript.text().to_owned();
        for _ in 0..2 {
            press(&mut plan, "g");
            let text = plan.manuscript.text();
            assert!(text.contains("Together("), "{} {text}", plan.word.text);
            assert!(text.contains("// deep"), "{} {text}", plan.word.text);
            let kind = plan.line().map(|line| line.kind);
            assert_eq!(kind, Some(Kind::Together), "{text}");
            press(&mut plan, "g");
            assert_eq!(plan.manuscript.text(), before, "{}", plan.word.text);
            assert!(!plan.manuscript.text().contains("Together("));
            assert_eq!(plan.line().map(|line| line.name.as_str()), Some(name));
        }
    }
    // What only several at once can have is gone, and that is told.
    let text = CLASS.replace(
        "[\"bridge\"]",
        "[Together(moves: [\"bridge\", \"squat\"], swap: 10)]",
    );
    let mut plan = super::plan(&text);
    plan.chosen = BRIDGE;
    press(&mut plan, "g");
    assert!(
        plan.word.text.contains("without swap"),
        "{}",
        plan.word.text
    );
}

/// However far a pattern is turned, nothing is lost by what it was turned through: back at the first,
/// every byte of the file is as it was. Over every block of every sample, both ways round.
#[test]
fn a_full_ring_of_patterns_gives_the_same_bytes() {
    let mut rings = 0;
    for (name, text) in samples() {
        let mut plan = plan(&text);
        let kinds = plan.lines.iter().enumerate();
        let blocks = kinds.filter(|(_, line)| line.kind == Kind::Block);
        let blocks: Vec<usize> = blocks.map(|(n, _)| n).collect();
        for (nth, block) in blocks.into_iter().enumerate() {
            plan.chosen = block;
            press(&mut plan, "enter");
            let label = |plan: &Plan| match (&plan.over, plan.line()) {
                (Over::Form(form), Some(line)) => form.label(&plan.manuscript, line),
                _ => None,
            };
            while label(&plan) != Some("pattern") {
                press(&mut plan, "down");
            }
            let key = if nth % 2 == 0 { "right" } else { "left" };
            for turn in 1..=5 {
                press(&mut plan, key);
                let told = format!("{name}, {block}, {turn}: {}", plan.word.text);
                if plan.word.is_refused {
                    // What each round has of its own suits no other pattern: that is told at once.
                    assert!(turn == 1 && told.contains("cannot be here"), "{told}");
                    assert_eq!(plan.manuscript.text(), text, "{told}");
                    break;
                }
                assert_eq!(plan.chosen, block, "{told}");
                assert_eq!(label(&plan), Some("pattern"), "{told}");
                if plan.manuscript.text() == text {
                    assert!(turn > 1 && plan.word.text.contains("as it was"), "{told}");
                    break;
                }
                assert!(turn < 5 && plan.session().is_some(), "{told}");
            }
            rings += usize::from(!plan.word.is_refused);
            press(&mut plan, "esc");
        }
    }
    assert!(rings > 15, "{rings}");
}

/// What a pattern has no place for is told, and is there again with the next that has.
#[test]
fn what_a_pattern_drops_is_told_and_comes_back_with_the_next() {
    let mut plan = at(EBB, "enter down down down right right");
    let told = plan.word.text.clone();
    assert!(told.contains("without rest, recovery"), "{told}");
    press(&mut plan, "right");
    let told = plan.word.text.clone();
    for gone in [
        "work",
        "rest",
        "rounds",
        "recovery",
        "times of single moves",
    ] {
        assert!(told.contains(gone), "{gone}: {told}");
    }
    assert!(!plan.manuscript.text().contains("recovery: 60"));
    press(&mut plan, "right");
    let told = plan.word.text.clone();
    assert!(told.contains("10 of each are put in"), "{told}");
    let text = plan.manuscript.text();
    assert!(
        text.contains("recovery: 60") && text.contains("work: 30)"),
        "{text}"
    );
    press(&mut plan, "left right left esc u");
    assert_eq!(plan.manuscript.text(), CLASS);
    // A change in another field is what the next turn begins from.
    let mut plan = at(EBB, "enter down down down right up right down right");
    press(&mut plan, "left");
    assert!(
        plan.manuscript
            .text()
            .contains("Rounds(work: [40, 40, 40], rest: [25])")
    );
}

/// Every part that can be put in, after every line: the class is read, and the mark is in what came.
#[test]
fn every_part_can_be_put_in_behind_every_line() {
    let parts = super::super::adding::PARTS.len();
    for line in 0..=BRIDGE {
        for n in 0..parts {
            // One is drafted, which takes the desk's time.
            if super::super::adding::PARTS[n].name == super::super::adding::DRAFTED {
                continue;
            }
            let mut plan = at(line, "p");
            let before = plan.lines.len();
            press(&mut plan, &"down ".repeat(n));
            press(&mut plan, "enter");
            if matches!(plan.over, Over::Find(_)) {
                press(&mut plan, "=squat enter esc");
            }
            let told = plan.word.text.clone();
            let is_class = line == 0 && n + 1 == parts;
            assert_eq!(
                plan.session().is_some() && !plan.word.is_refused,
                !is_class,
                "{line} {n}: {told}"
            );
            assert!(plan.lines.len() > before || is_class, "{line} {n}: {told}");
            assert!(
                !plan.manuscript.is_changed() || plan.chosen > 0,
                "{line} {n}"
            );
        }
    }
}

/// A block that is put in has a name that no other has, whatever was taken out before.
#[test]
fn a_block_that_is_put_in_has_a_name_of_its_own() {
    let text = CLASS.replace("\"Ebb\"", "\"Block 3\"");
    let of = Manuscript::of("t.ron", &text, &Library::builtin());
    for blocks in 0..3 {
        let parts = adding::PARTS
            .iter()
            .filter(|part| part.text.contains("{title}"));
        for part in parts {
            let mut of = Manuscript::of("t.ron", of.text(), &Library::builtin());
            let at = [Step::Field("parts"), Step::Item(0)];
            for _ in 0..=blocks {
                let change = adding::part(&of, &at, part.text, "squat");
                of.apply(change).expect(part.name);
            }
            let session = of.reading().expect("a class");
            let mut titles: Vec<_> = (session.parts.iter())
                .filter_map(|part| match part {
                    Part::Block(block) => block.title.clone(),
                    _ => None,
                })
                .collect();
            let many = titles.len();
            titles.sort();
            titles.dedup();
            assert_eq!(titles.len(), many, "{titles:?}");
        }
    }
}
