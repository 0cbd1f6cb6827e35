//! Every file of `tests/bad_config` is refused with exactly the report that lies beside it.
//!
//! `MATSIDE_BLESS=1` writes the reports anew; read each of them before it is committed.

use std::path::Path;

use matside::app::Settings;

#[test]
#[expect(
    clippy::disallowed_methods,
    reason = "the reports are written when they are blessed"
)]
fn every_bad_configuration_has_its_report() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad_config");
    let bless = std::env::var_os("MATSIDE_BLESS").is_some();
    let (mut files, mut different) = (0, Vec::new());
    for entry in std::fs::read_dir(folder).expect("the folder") {
        let path = entry.expect("an entry").path();
        let beside = path.with_extension("txt");
        if path == beside {
            assert!(path.with_extension("ron").exists(), "{}", path.display());
            continue;
        }
        files += 1;
        let name = path.file_name().and_then(|n| n.to_str()).expect("a name");
        let bytes = std::fs::read(&path).expect("readable");
        let faults = Settings::read(name, &bytes, Some(Path::new("/home/ada")));
        let now = format!("{}\n", faults.expect_err(name));
        if bless {
            std::fs::write(&beside, &now).expect("written");
        }
        let before = std::fs::read_to_string(&beside).unwrap_or_default();
        if now != before {
            different.push(format!("--- {}\n{before}+++\n{now}\n", path.display()));
        }
    }
    assert!(different.is_empty(), "{}", different.concat());
    assert!(files >= 16, "only {files} files were found");
}
