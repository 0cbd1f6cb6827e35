//! What is suggested and drafted at the page.

use super::super::plan::Over;
use super::super::plan::Wish;
use super::{BRIDGE, CLASS, EBB, MARCH, PLANK, SQUAT, at, press};

/// Moves that would suit are told with the reason, and one of them takes the place with its version.
#[test]
fn another_move_that_would_suit_takes_the_place() {
    for line in [MARCH, SQUAT, PLANK, BRIDGE] {
        let mut plan = at(line, "i");
        let Over::Ask(ask) = &plan.over else {
            panic!("others are told: {}", plan.word.text);
        };
        let first = ask
            .page()
            .choices
            .first()
            .map(|choice| choice.title.clone());
        let first = first.expect("some would suit");
        press(&mut plan, "enter");
        let name = plan.line().map_or("", |line| &line.name);
        assert!(
            name.starts_with(&first),
            "{name}: {first} {}",
            plan.word.text
        );
        assert!(plan.session().is_some());
        press(&mut plan, "u");
        assert_eq!(plan.manuscript.text(), CLASS);
    }
}

/// A drafted block goes behind the chosen part and can be read; a shape that is none is told.
#[test]
fn a_drafted_block_is_put_in_and_a_shape_that_is_none_is_told() {
    let mut plan = at(EBB, "p end up enter");
    let wishes = press(&mut plan, "enter");
    let [Wish::Draft(shape)] = &wishes[..] else {
        panic!("a shape is asked: {wishes:?}");
    };
    let (session, wish, wishes) = plan.to_draft(shape).expect("a shape");
    let block = crate::advice::draft_block(&session, &wish, &wishes, plan.known());
    let block = block.expect("a block").text;
    let before = plan.manuscript.text().to_owned();
    plan.drafted(&block);
    let Over::Read(read) = &plan.over else {
        panic!("it is shown before it is taken: {}", plan.word.text);
    };
    let told: Vec<String> = read.says.iter().map(|said| said.text.clone()).collect();
    for (turn, why) in block.lines().filter_map(|line| line.split_once(" // ")) {
        assert!(
            told.iter().any(|line| line.trim() == why),
            "{turn}: {told:#?}"
        );
    }
    assert_eq!(plan.manuscript.text(), before);
    press(&mut plan, "esc");
    assert_eq!(plan.manuscript.text(), before, "left");
    plan.drafted(&block);
    press(&mut plan, "enter");
    let session = plan.session().expect("a class");
    assert_eq!(session.parts.len(), 5, "{}", plan.word.text);
    let text = plan.manuscript.text();
    let drafted = text.find("        Block(\n            title: \"On the ");
    assert!(drafted.is_some(), "{text}");
    // The same a second time has a name of its own.
    plan.drafted(&block);
    press(&mut plan, "enter");
    let session = plan.session().expect("a class");
    let titles: Vec<String> = (session.parts.iter())
        .filter_map(|part| match part {
            crate::session::Part::Block(block) => block.title.clone(),
            _ => None,
        })
        .collect();
    let apart: std::collections::BTreeSet<&String> = titles.iter().collect();
    assert_eq!(apart.len(), titles.len(), "{titles:?}");
    assert!(plan.to_draft("some moves").is_err());
}
