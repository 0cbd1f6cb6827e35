//! Session files as they were written for earlier versions: they load, and expand to the same
//! milliseconds.
//!
//! `tests/older` holds the samples and the tests' own sessions as they once were, and is not changed
//! with them; the published formats have fixed totals anyway. `MATSIDE_BLESS=1` writes the table
//! anew, which is right only where a file was added.

use std::fmt::Write;
use std::path::{Path, PathBuf};

use matside::plan::Timeline;
use matside::session::{Library, Session};

#[test]
#[expect(
    clippy::disallowed_methods,
    reason = "the table is written when it is blessed"
)]
fn older_sessions_expand_to_the_same_milliseconds() {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    let mut now = String::new();
    for file in files(&tests) {
        now += &table(&tests, &file);
    }
    let golden = tests.join("older/times.txt");
    if std::env::var_os("MATSIDE_BLESS").is_some() {
        std::fs::write(&golden, &now).expect("written");
    }
    let before = std::fs::read_to_string(&golden).expect("the table");
    let mut lines = before.lines().zip(now.lines());
    if let Some((before, now)) = lines.find(|(before, now)| before != now) {
        panic!("it was\n{before}\nand is\n{now}");
    }
    assert_eq!(before.lines().count(), now.lines().count());
}

/// The files of the table, in a fixed order.
fn files(tests: &Path) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(tests.join("older"))
        .expect("the folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "ron"))
        .collect();
    files.sort();
    assert!(files.len() >= 14, "only {} files", files.len());
    files
}

/// The intervals of a file, a line each: start and length in milliseconds, kind, whether untimed,
/// where in its block, moves.
fn table(tests: &Path, file: &Path) -> String {
    let name = file.strip_prefix(tests).expect("below tests").display();
    let good = std::fs::read_to_string(tests.join("good/library.ron")).expect("the library");
    let good = Library::read("library.ron", &good).unwrap_or_else(|faults| panic!("{faults}"));
    let text = std::fs::read(file).expect("the file");
    let library = if name.to_string().contains("good-") {
        Library::default().with(good)
    } else {
        Library::builtin()
    };
    let session = Session::read_bytes(&name.to_string(), &text, &library)
        .unwrap_or_else(|faults| panic!("{faults}"));
    let mut out = format!("{name} {}\n", Timeline::of(&session).total());
    for placed in Timeline::of(&session).intervals() {
        let (start, length) = (placed.start.millis(), placed.span().millis());
        let kind = placed.kind.word();
        let place = placed.place.as_ref().map_or_else(String::new, |place| {
            let (round, of) = (place.round.nth, place.place.nth);
            format!(" {}.{round}.{of}", place.block)
        });
        let untimed = if placed.untimed { " untimed" } else { "" };
        let moves: Vec<&str> = placed.moves.iter().map(|turn| &*turn.of.id).collect();
        let moves = moves.join(" ");
        writeln!(out, "{start} {length} {kind}{untimed}{place} {moves}").expect("a text");
    }
    out
}
