//! `matside keys`: the table of keys in force, and where it can be changed.

use std::fmt::Write as _;

use super::load::{self, Own};
use super::print;
use super::report::Failure;

pub(super) fn keys(own: Own) -> Result<(), Failure> {
    let settings = load::settings(own)?;
    let rows = settings.help().into_iter();
    let rows = rows.map(|(key, word, _, help)| [key, word.into(), help.into()]);
    let mut page = print::columns(&rows.collect::<Vec<_>>());
    let _ = writeln!(page, "\nPreset {}. {}", settings.preset_word(), place());
    print::result(&page)
}

fn place() -> String {
    match load::config_path() {
        Some(path) if path.exists() => format!("Settings: {}", path.display()),
        Some(path) => format!("There is no {} yet.", path.display()),
        None => "No folder for settings is known: set MATSIDE_CONFIG to one.".into(),
    }
}
