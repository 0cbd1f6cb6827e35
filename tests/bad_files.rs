//! Every file of `tests/bad` is refused with exactly the report that lies beside it.
//!
//! `MATSIDE_BLESS=1` writes the reports anew; read each of them before it is committed.

#[path = "support/golden.rs"]
mod golden;

use std::path::Path;

use matside::session::{Library, Session};

/// The report on a file; those called `library-...` are libraries, the others sessions.
fn report(name: &str, path: &Path, library: &Library) -> String {
    let bytes = std::fs::read(path).expect("readable");
    let faults = if name.starts_with("library-") {
        Library::read_bytes(name, &bytes).map(|_| ())
    } else {
        Session::read_bytes(name, &bytes, library).map(|_| ())
    };
    format!("{}\n", faults.expect_err(name))
}

#[test]
fn every_bad_file_has_its_report() {
    let text = include_str!("good/library.ron");
    let library = Library::default().with(Library::read("library.ron", text).expect("good"));
    golden::every_report("bad", 40, |name, path| report(name, path, &library));
}
