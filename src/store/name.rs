//! Names of record files: when the class began, and its title made fit for a file name.

use std::ffi::OsStr;
use std::fmt::Write as _;

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

/// A file's name as it is shown and asked for: what is no text, or would move the cursor, stands as
/// an escape with a backslash.
pub(super) fn shown(name: &OsStr) -> String {
    let mut out = String::new();
    for chunk in name.as_encoded_bytes().utf8_chunks() {
        for letter in chunk.valid().chars() {
            if is_plain(letter) {
                out.push(letter);
            } else {
                out.extend(letter.escape_unicode());
            }
        }
        for byte in chunk.invalid() {
            let _ = write!(out, "\\x{byte:02x}");
        }
    }
    out
}

/// Whether a letter can be printed as it is: no control, nothing that turns the direction of
/// writing, nothing that is not seen.
fn is_plain(letter: char) -> bool {
    let turning = matches!(letter, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}');
    !letter.is_control() && !turning
}

/// Whether one name is that of a copy which a system or a person made of the other: the whole name
/// is in it, and what is added is no number as the shelf gives them.
pub(super) fn is_copy(name: &str, of: &str) -> bool {
    let Some(rest) = name.strip_prefix(of) else {
        return name.contains(of);
    };
    let number = |rest: &str| !rest.is_empty() && rest.bytes().all(|b| b.is_ascii_digit());
    !rest.is_empty() && !rest.strip_prefix('-').is_some_and(number)
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

    /// From memory: how shared folders and file managers name the second of two files.
    #[test]
    fn copies_of_a_record_are_known_by_their_names() {
        let of = "2026-03-02-1830-tide";
        for (name, copy) in [
            ("2026-03-02-1830-tide (conflicted copy 2026-03-03)", true),
            (
                "2026-03-02-1830-tide.sync-conflict-20260303-101112-ABCDEFG",
                true,
            ),
            ("2026-03-02-1830-tide (1)", true),
            ("2026-03-02-1830-tide - Copy", true),
            ("2026-03-02-1830-tide copy 2", true),
            ("Copy of 2026-03-02-1830-tide", true),
            ("2026-03-02-1830-tide~2", true),
            ("2026-03-02-1830-tide", false),
            ("2026-03-02-1830-tide-2", false),
            ("2026-03-02-1830-tide-17", false),
            ("2026-03-02-1831-tide", false),
        ] {
            assert_eq!(is_copy(name, of), copy, "{name}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_name_that_is_no_text_is_shown_without_harm() {
        use std::os::unix::ffi::OsStrExt;
        for (bytes, told) in [
            (&b"plain"[..], "plain"),
            (b"a\xffb", "a\\xffb"),
            (b"\x1b[2J", "\\u{1b}[2J"),
            (b"two\nlines", "two\\u{a}lines"),
            ("right\u{202e}left".as_bytes(), "right\\u{202e}left"),
            ("h\u{e9}".as_bytes(), "h\u{e9}"),
        ] {
            assert_eq!(shown(OsStr::from_bytes(bytes)), told);
        }
    }
}
