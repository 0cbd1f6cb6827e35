//! Good files with random damage: they are read or refused, and nothing else happens.

use fastrand::Rng;
use matside::plan::Timeline;
use matside::session::{Doing, Library, Part, Session};
use matside::time::Span;

const ROUNDS: usize = 20_000;

/// One random wound: a bit turned, a stretch lost, doubled or moved, a telling piece put in.
fn damage(rng: &mut Rng, bytes: &mut Vec<u8>) {
    const PIECES: [&[u8]; 16] = [
        b"(",
        b")",
        b"[",
        b"]",
        b"\"",
        b",",
        b"-",
        b"0",
        b"9999999999",
        b"/*",
        b"//",
        b"\\",
        b"\0",
        b"\xff",
        b"Some(",
        b"None",
    ];
    let at = rng.usize(..=bytes.len());
    let end = (at + rng.usize(..24)).min(bytes.len());
    match rng.u8(..5) {
        0 if at < bytes.len() => bytes[at] ^= 1 << rng.u8(..8),
        1 => drop(bytes.drain(at..end)),
        2 => {
            let stretch = bytes[at..end].to_vec();
            bytes.splice(at..at, stretch);
        }
        3 => {
            let stretch: Vec<u8> = bytes.drain(at..end).collect();
            let to = rng.usize(..=bytes.len());
            bytes.splice(to..to, stretch);
        }
        _ => drop(bytes.splice(at..at, PIECES[rng.usize(..PIECES.len())].iter().copied())),
    }
}

/// What must hold of every session that is read, whatever it was read from.
fn assert_whole(session: &Session) {
    assert!(!session.title.trim().is_empty());
    assert!((60..=240).contains(&session.cueing.words_per_minute) && session.cueing.count <= 10);
    assert!(!session.parts.is_empty());
    let timeline = Timeline::of(session);
    assert!((1..=100_000).contains(&timeline.intervals().len()));
    assert!((Span::from_millis(1)..=Span::from_secs(12 * 3600)).contains(&timeline.total()));
    session.parts.iter().for_each(assert_part_whole);
}

fn assert_part_whole(part: &Part) {
    match part {
        Part::Block(block) => {
            assert!(!block.moves.is_empty());
            for turn in block.moves.iter().flat_map(Doing::moves) {
                assert_eq!(turn.pick.is_some(), turn.option().is_some());
            }
        }
        Part::WarmUp(steps) | Part::CoolDown(steps) => assert!(!steps.is_empty()),
        Part::Repeat { times, parts, .. } => {
            assert!(*times > 0 && !parts.is_empty());
            parts.iter().for_each(assert_part_whole);
        }
        Part::Until { part, .. } => assert_part_whole(part),
        Part::Talk { .. } | Part::Ready { .. } | Part::Recover { .. } | Part::Free { .. } => {}
    }
}

/// Every fault points into the text, in order.
fn assert_in_place(faults: &matside::session::Faults, bytes: &[u8]) {
    assert!(faults.count() > 0);
    assert!(faults.iter().map(|f| (f.line, f.column)).is_sorted());
    for fault in faults {
        let lines = bytes.split(|b| *b == b'\n').count() + 1;
        assert!(
            (1..=lines).contains(&fault.line) && fault.column > 0,
            "{fault}"
        );
        assert!(
            !fault.message.is_empty() && fault.line_text.chars().count() < 600,
            "{fault}"
        );
        assert!(
            !fault
                .to_string()
                .contains(|c: char| c.is_control() && c != '\n'),
            "{fault:?}"
        );
    }
}

#[test]
fn damaged_files_are_read_whole_or_refused() {
    let moves = include_str!("good/library.ron");
    let library = Library::default().with(Library::read("library.ron", moves).expect("good"));
    let good: [&[u8]; 2] = [
        include_bytes!("good/tide-line.ron"),
        include_bytes!("good/every-part.ron"),
    ];
    let mut rng = Rng::with_seed(0x7153);
    let mut read = 0;
    for round in 0..ROUNDS {
        let mut bytes = good[round % good.len()].to_vec();
        for _ in 0..rng.usize(1..4) {
            damage(&mut rng, &mut bytes);
        }
        match Session::read_bytes("damaged", &bytes, &library) {
            Ok(session) => {
                assert_whole(&session);
                read += 1;
            }
            Err(faults) => assert_in_place(&faults, &bytes),
        }
    }
    // Both ways are taken often, or this test tells nothing.
    assert!(
        (ROUNDS / 20..ROUNDS * 19 / 20).contains(&read),
        "{read} were read"
    );
}

#[test]
fn damaged_libraries_are_read_whole_or_refused() {
    let good = include_bytes!("good/library.ron");
    let mut rng = Rng::with_seed(0x11b2);
    for _ in 0..ROUNDS / 10 {
        let mut bytes = good.to_vec();
        damage(&mut rng, &mut bytes);
        match Library::read_bytes("damaged", &bytes) {
            Ok(moves) => assert!(
                moves
                    .iter()
                    .all(|m| !m.id.is_empty() && !m.regions.is_empty())
            ),
            Err(faults) => assert_in_place(&faults, &bytes),
        }
    }
}
