//! Kept records of each version of the format: what was once written stays readable, and tells
//! the same.
//!
//! They were written by the version they are named after and are never written again. With
//! `MATSIDE_WRITE_FIXTURE` set to a file's name this test writes one that is missing.

use std::fs;
use std::path::PathBuf;

use matside::record::{Body, Entry, Summary, Taught, Version, read};
use matside::session::{Library, Session};

use crate::sample::{bytes, entries, eventful, header, hour_class, note, short_class, start};

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/records")
}

fn eventful_with_note() -> Vec<Entry> {
    let mut told = entries(eventful(start()));
    told.push(Entry {
        n: told.len() as u64 + 1,
        wall: start(),
        body: Body::Note(note()),
    });
    told
}

/// All that came with version 2.0: moves at once with groups, lists by round, counted beside timed, a
/// cap, what is repeated, a mark, a free window, an active rest.
const TIDES: &str = r#"(title: "All tides", people: 9, groups: ["red", "blue"], cueing: (move_on: 6), parts: [
    Talk(time: Until(45), say: "Welcome."),
    WarmUp([("march", 30), Use(move: "squat", reps: 6, effort: 3)]),
    Repeat(times: 2, between: Recover(time: 40, move: "march"), parts: [
        Block(title: "Ring", moves: ["squat", "plank-tap", Use(move: "bridge", reps: [12, 10])],
            pattern: Rounds(work: [40, 30], rest: [15]), order: Stations, recovery: 50, last_rest: true)]),
    Block(moves: [Together(moves: ["squat", Use(move: "lunge", easier: 1)], swap: 10, ends: ByKey),
            Together(moves: ["march", "step-jack"], rotate: false, work: 20, rest: 5)],
        pattern: Same(rounds: 1, work: 40, rest: 20), between: "march"),
    Block(moves: [Together(moves: [Use(move: "squat", reps: 8), "march"])],
        pattern: Reps(rounds: 2, rest: 20, cap: "4:00")),
    Block(moves: ["march", Together(moves: ["squat", "lunge"])], pattern: Emom(every: 90, times: 3, work: 60)),
    Free(time: 60, title: "Play", say: "As you like."),
    CoolDown([("child-pose", 30)])])"#;

#[test]
fn version_2_0_is_read_as_it_was_written() {
    let session = Session::read("all tides", TIDES, &Library::builtin());
    let session = session.unwrap_or_else(|faults| panic!("{faults}"));
    let told = entries(crate::sample::as_planned(&session, start()));
    let path = folder().join("v2-0-tides.jsonl");
    if std::env::var("MATSIDE_WRITE_FIXTURE").as_deref() == Ok("v2-0-tides") && !path.exists() {
        fs::write(&path, bytes(&header(session.clone(), start()), &told)).unwrap();
    }
    let back = read(&fs::read(&path).unwrap()).unwrap();
    assert_eq!(back.header.version, Version { major: 2, minor: 0 });
    assert_eq!((&back.entries, back.torn.as_ref()), (&told, None));
    assert!(back.header.session == session);
    // Three works in each of four rounds, then two, one, two twice and two.
    let taught = Taught::of(&back.header, back.facts_on_the_wall());
    let at_once = taught.pieces.iter().filter_map(|piece| piece.together);
    let at_once: Vec<usize> = at_once.collect();
    let rings = [1, 2, 3].repeat(4);
    assert_eq!(at_once, [rings, vec![1, 2, 1, 1, 2, 1, 2, 1, 2]].concat());
}

#[test]
fn version_1_0_is_read_as_it_was_written() {
    let eventful = (header(short_class(), start()), eventful_with_note());
    let hour = hour_class("Long Shore", 0);
    let planned = entries(crate::sample::as_planned(&hour, start()));
    let hour = (header(hour, start()), planned);
    for (name, (header, told)) in [("v1-0-eventful", eventful), ("v1-0-hour", hour)] {
        let path = folder().join(format!("{name}.jsonl"));
        if std::env::var("MATSIDE_WRITE_FIXTURE").as_deref() == Ok(name) && !path.exists() {
            fs::write(&path, bytes(&header, &told)).unwrap();
        }
        let back = read(&fs::read(&path).unwrap()).unwrap();
        assert_eq!(back.header.version, Version { major: 1, minor: 0 });
        assert_eq!(
            (back.header.session, back.entries, back.torn),
            (header.session, told, None)
        );
    }
}

#[test]
fn a_torn_record_of_version_1_0_is_read_up_to_the_tear() {
    let back = read(&fs::read(folder().join("v1-0-torn.jsonl")).unwrap()).unwrap();
    assert_eq!(back.torn.map(|torn| torn.line), Some(12));
    assert_eq!(back.entries, eventful_with_note()[..10]);
    assert_eq!(Summary::of(&back).ending, None);
}
