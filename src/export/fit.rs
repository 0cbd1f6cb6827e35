//! Text in columns: as wide as it is on screen, and no wider than there is room.

use std::fmt::Display;

use unicode_width::UnicodeWidthStr;

use crate::text;

/// The words with spaces behind them, so wide on screen.
pub(super) fn padded(words: &str, width: usize) -> String {
    format!("{words}{}", " ".repeat(width.saturating_sub(words.width())))
}

/// So many of something, by its noun: `1 round`, `3 rounds`.
#[must_use]
pub fn counted(count: impl TryInto<u64> + Display + Copy, noun: &str) -> String {
    match (count.try_into(), noun) {
        (Ok(1), _) => format!("1 {noun}"),
        (_, noun) if noun.ends_with('s') => format!("{count} {noun}es"),
        _ => format!("{count} {noun}s"),
    }
}

/// The page with its long lines broken between words; what goes on is set two columns in. A word
/// that is wider than the page stays whole.
pub(super) fn wrapped(page: &str, width: usize) -> String {
    page.lines().map(|line| wrapped_line(line, width)).collect()
}

fn wrapped_line(line: &str, width: usize) -> String {
    // A record that was written by other means may hold anything.
    let line = line.replace(char::is_control, "?");
    if line.width() <= width {
        return format!("{}\n", line.trim_end());
    }
    let indent = line.len() - line.trim_start().len();
    let (margin, further) = (" ".repeat(indent), " ".repeat(indent + 2));
    let words = line.trim().split(' ');
    broken(&margin, &further, words, width)
}

/// The words in lines of so many columns, `head` before the first line and `further` before the
/// others. A word that is wider than a line stands alone in one.
#[must_use]
pub fn broken<'a>(
    head: &str,
    further: &str,
    words: impl IntoIterator<Item = &'a str>,
    width: usize,
) -> String {
    let room = |before: &str| width.saturating_sub(before.width());
    let lines = text::wrap(words, room(head), room(further));
    let before = std::iter::once(head).chain(std::iter::repeat(further));
    let mut out = String::new();
    for (before, line) in before.zip(&lines) {
        let whole = format!("{before}{line}");
        out.push_str(whole.trim_end());
        out.push('\n');
    }
    if lines.is_empty() {
        out = format!("{}\n", head.trim_end());
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_lines_go_on_two_columns_in() {
        assert_eq!(
            wrapped("  2026-03-02  fold, reach, squat\nshort\n", 20),
            "  2026-03-02  fold,\n    reach, squat\nshort\n"
        );
        assert_eq!(wrapped("\n", 3), "\n");
        assert_eq!(wrapped("unbreakable words", 3), "unbreakable\n  words\n");
    }
}
