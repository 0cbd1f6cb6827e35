//! `matside keys`: the table of keys in force, and where it can be changed.

use std::fmt::Write as _;

use unicode_width::UnicodeWidthStr;

use super::load::{self, Own};
use super::report::Failure;

pub(super) fn keys(own: Own) -> Result<(), Failure> {
    let settings = load::settings(own)?;
    let rows = settings.help();
    let mut page = String::new();
    let widest = |width: fn(&(String, &str, &str, &str)) -> usize| rows.iter().map(width).max();
    let keys = widest(|row| row.0.width()).unwrap_or(0);
    let words = widest(|row| row.1.len()).unwrap_or(0);
    for (key, word, _, help) in &rows {
        let gap = " ".repeat(keys - key.width());
        let _ = writeln!(page, "{key}{gap}  {word:words$}  {help}");
    }
    let _ = writeln!(page, "\nPreset {}. {}", settings.preset_word(), place());
    super::result(&page)
}

fn place() -> String {
    match load::config_path() {
        Some(path) if path.exists() => format!("Settings: {}", path.display()),
        Some(path) => format!("There is no {} yet.", path.display()),
        None => "No folder for settings is known: set MATSIDE_CONFIG to one.".into(),
    }
}
