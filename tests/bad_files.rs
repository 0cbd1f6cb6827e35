//! Every file of `tests/bad` is refused with exactly the report that lies beside it.
//!
//! `MATSIDE_BLESS=1` writes the reports anew; read each of them before it is committed.

use std::path::Path;

use matside::session::{Library, Session};

/// The report on a file; those called `library-...` are libraries, the others sessions.
fn report(path: &Path, library: &Library) -> String {
    let name = path.file_name().and_then(|n| n.to_str()).expect("a name");
    let bytes = std::fs::read(path).expect("readable");
    let faults = if name.starts_with("library-") {
        Library::read_bytes(name, &bytes).map(|_| ())
    } else {
        Session::read_bytes(name, &bytes, library).map(|_| ())
    };
    format!("{}\n", faults.expect_err(name))
}

#[test]
#[expect(
    clippy::disallowed_methods,
    reason = "the reports are written when they are blessed"
)]
fn every_bad_file_has_its_report() {
    let text = include_str!("good/library.ron");
    let library = Library::default().with(Library::read("library.ron", text).expect("good"));
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad");
    let bless = std::env::var_os("MATSIDE_BLESS").is_some();
    let (mut files, mut different) = (0, Vec::new());
    for entry in std::fs::read_dir(folder).expect("the folder") {
        let path = entry.expect("an entry").path();
        if path.extension().is_none_or(|e| e != "ron") {
            assert!(
                path.with_extension("ron").exists(),
                "{} has no file",
                path.display()
            );
            continue;
        }
        files += 1;
        let (now, beside) = (report(&path, &library), path.with_extension("txt"));
        if bless {
            std::fs::write(&beside, &now).expect("written");
        }
        let before = std::fs::read_to_string(&beside).unwrap_or_default();
        if now != before {
            different.push(format!("--- {}\n{before}+++\n{now}\n", path.display()));
        }
    }
    assert!(different.is_empty(), "{}", different.concat());
    assert!(files >= 40, "only {files} files were found");
}
