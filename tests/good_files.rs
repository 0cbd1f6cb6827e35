//! Files that must be read: the built-in library and every good session of these tests.

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
    ] {
        if let Err(faults) = Session::read(name, text, &library) {
            panic!("{faults}");
        }
    }
}
