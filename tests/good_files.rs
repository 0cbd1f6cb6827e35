//! Files that must be read: the built-in library and every good session of these tests.

use matside::plan::Timeline;
use matside::session::{Library, Session};

#[test]
fn the_built_in_library_is_read() {
    let text = include_str!("../assets/moves.ron");
    match Library::read("moves.ron", text) {
        Ok(moves) => assert_eq!(Library::builtin().len(), moves.len()),
        Err(faults) => panic!("{faults}"),
    }
}

#[test]
fn the_good_sessions_are_read() {
    let library = Library::read("library.ron", include_str!("good/library.ron")).expect("good");
    let library = Library::default().with(library);
    for (name, text) in [
        ("tide-line", include_str!("good/tide-line.ron")),
        ("every-part", include_str!("good/every-part.ron")),
        ("versions", include_str!("good/versions.ron")),
    ] {
        if let Err(faults) = Session::read(name, text, &library) {
            panic!("{faults}");
        }
    }
}

/// The bounds of a class are told from its parts before it is expanded: at the very bound the
/// expansion must come to the same number.
#[test]
fn the_bound_is_the_expansions_own() {
    let library = Library::builtin();
    let class = |rounds: u32| {
        format!(
            "(title: \"T\", parts: [Ready(time: 0.001), Block(moves: [\"squat\", \"march\"],
              pattern: Same(rounds: {rounds}, work: 0.001, rest: 0.001), recovery: 0)])"
        )
    };
    // One to begin with, and three a round: works and the rest between them.
    let most = Session::read("most", &class(33_333), &library).expect("at the bound");
    assert_eq!(Timeline::of(&most).intervals().len(), 100_000);
    assert!(Session::read("more", &class(33_334), &library).is_err());
}

#[test]
fn the_sessions_that_come_with_the_program_are_read() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sessions");
    let (library, mut files) = (Library::builtin(), 0);
    for entry in std::fs::read_dir(folder).expect("the folder") {
        let path = entry.expect("an entry").path();
        let bytes = std::fs::read(&path).expect("readable");
        if let Err(faults) = Session::read_bytes(&path.to_string_lossy(), &bytes, &library) {
            panic!("{faults}");
        }
        files += 1;
    }
    assert!(files >= 5, "only {files} sessions");
}
