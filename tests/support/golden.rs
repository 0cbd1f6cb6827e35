//! Files that are refused, each with the report that must lie beside it.

use std::path::Path;

/// Compares the report on every `.ron` file of a folder below `tests` with the `.txt` beside it; a
/// report without its file is a mistake, and so are fewer than `least` files. `MATSIDE_BLESS=1`
/// writes the reports anew.
#[expect(
    clippy::disallowed_methods,
    reason = "the reports are written when they are blessed"
)]
pub(crate) fn every_report(folder: &str, least: usize, report: impl Fn(&str, &Path) -> String) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests")
        .join(folder);
    let bless = std::env::var_os("MATSIDE_BLESS").is_some();
    let (mut files, mut different) = (0, Vec::new());
    for entry in std::fs::read_dir(folder).expect("the folder") {
        let path = entry.expect("an entry").path();
        if path.extension().is_none_or(|ending| ending != "ron") {
            let file = path.with_extension("ron");
            assert!(file.exists(), "{} has no file", path.display());
            continue;
        }
        files += 1;
        let name = path.file_name().and_then(|n| n.to_str()).expect("a name");
        let (now, beside) = (report(name, &path), path.with_extension("txt"));
        if bless {
            std::fs::write(&beside, &now).expect("written");
        }
        let before = std::fs::read_to_string(&beside).unwrap_or_default();
        if now != before {
            different.push(format!("--- {}\n{before}+++\n{now}\n", path.display()));
        }
    }
    assert!(different.is_empty(), "{}", different.concat());
    assert!(files >= least, "only {files} files were found");
}
