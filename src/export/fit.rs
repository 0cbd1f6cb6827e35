//! Text in columns: as wide as it is on screen, and no wider than there is room.

use unicode_width::UnicodeWidthStr;

/// The words with spaces behind them, so wide on screen.
pub(super) fn padded(words: &str, width: usize) -> String {
    format!("{words}{}", " ".repeat(width.saturating_sub(words.width())))
}

/// The page with its long lines broken between words; what goes on is set two columns in. A word
/// that is wider than the page stays whole.
pub(super) fn wrapped(page: &str, width: usize) -> String {
    page.lines().map(|line| wrapped_line(line, width)).collect()
}

fn wrapped_line(line: &str, width: usize) -> String {
    if line.width() <= width {
        return format!("{}\n", line.trim_end());
    }
    let indent = line.len() - line.trim_start().len();
    let mut out = " ".repeat(indent);
    let mut used = indent;
    for word in line.trim().split(' ') {
        if used > indent + 2 && used + word.width() > width {
            out.truncate(out.trim_end().len());
            used = indent + 2;
            out.push('\n');
            out.push_str(&" ".repeat(used));
        }
        out.push_str(word);
        out.push(' ');
        used += word.width() + 1;
    }
    format!("{}\n", out.trim_end())
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
