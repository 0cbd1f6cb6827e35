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
        ("every-round", include_str!("good/every-round.ron")),
        ("together", include_str!("good/together.ron")),
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

/// What the first lines of a sample say of its length is its length.
#[test]
fn a_sample_is_as_long_as_its_first_lines_say() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sessions");
    let library = Library::builtin();
    for entry in std::fs::read_dir(folder).expect("the folder") {
        let path = entry.expect("an entry").path();
        let name = path.display().to_string();
        let text = std::fs::read_to_string(&path).expect("a text");
        let class = Session::read(&name, &text, &library).expect("read");
        let (total, said) = (Timeline::of(&class).total().to_string(), head(&text));
        assert_eq!(said.as_deref(), Some(total.as_str()), "{name}");
    }
}

/// The first `m:ss` in the comment at the head of a file.
fn head(text: &str) -> Option<String> {
    let comment = text.lines().take_while(|line| line.starts_with("//"));
    let mut words = comment.flat_map(|line| line.split([' ', ',', '.']));
    let time = |word: &&str| {
        word.split_once(':').is_some_and(|(minutes, seconds)| {
            minutes.parse::<u16>().is_ok() && seconds.parse::<u16>().is_ok()
        })
    };
    words.find(time).map(ToOwned::to_owned)
}
