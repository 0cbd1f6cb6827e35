//! Names of record files: when the class began, and its title made fit for a file name.

use crate::record::Header;

/// The ending of a record's file name.
pub(super) const RECORD: &str = "jsonl";
/// The ending of a pulse's file name.
pub(super) const PULSE: &str = "pulse";

/// Letters of a title that go into a name.
const LONGEST: usize = 40;

/// The name of a record without its ending: `2026-03-02-1830-tide-line`.
pub(super) fn name_of(header: &Header) -> String {
    let when = header.started.format("%Y-%m-%d-%H%M");
    format!("{when}-{}", slug(&header.session.title))
}

/// Small letters and digits with single hyphens between; never empty, never a path.
fn slug(title: &str) -> String {
    let spaced: String = title
        .chars()
        .flat_map(char::to_lowercase)
        .map(|letter| {
            if letter.is_alphanumeric() {
                letter
            } else {
                ' '
            }
        })
        .take(LONGEST)
        .collect();
    let words: Vec<&str> = spaced.split_whitespace().collect();
    if words.is_empty() {
        return "class".to_owned();
    }
    words.join("-")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_becomes_a_name_that_every_disk_takes() {
        for (title, name) in [
            ("Tide Line", "tide-line"),
            ("  Core & more: 30/15!  ", "core-more-30-15"),
            ("../../etc/passwd", "etc-passwd"),
            ("Équilibre", "équilibre"),
            ("\u{1F9D8} \n", "class"),
            ("", "class"),
        ] {
            assert_eq!(slug(title), name);
        }
        assert!(slug(&"a".repeat(500)).len() <= LONGEST);
    }
}
