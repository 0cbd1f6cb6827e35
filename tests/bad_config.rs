//! Every file of `tests/bad_config` is refused with exactly the report that lies beside it.
//!
//! `MATSIDE_BLESS=1` writes the reports anew; read each of them before it is committed.

#[path = "support/golden.rs"]
mod golden;

use std::path::Path;

use matside::app::Settings;

#[test]
fn every_bad_configuration_has_its_report() {
    golden::every_report("bad_config", 17, |name, path| {
        let bytes = std::fs::read(path).expect("readable");
        let faults = Settings::read(name, &bytes, Some(Path::new("/home/ada")));
        format!("{}\n", faults.expect_err(name))
    });
}
