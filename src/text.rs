//! Words in lines, as wide as they are on screen. What they say is not known here.

use unicode_width::UnicodeWidthStr;

/// The words in lines of so many columns, the first of which may have other room than those after it.
/// A line is broken between words; a word that is wider than a line stands alone on one.
#[must_use]
pub fn wrap<'a>(
    words: impl IntoIterator<Item = &'a str>,
    first: usize,
    further: usize,
) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let (mut used, mut room) = (0, first);
    for word in words {
        match lines.last_mut() {
            Some(line) if used + 1 + word.width() <= room => {
                line.push(' ');
                line.push_str(word);
                used += 1 + word.width();
            }
            last => {
                room = if last.is_some() { further } else { first };
                used = word.width();
                lines.push(word.to_owned());
            }
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wrapped(text: &str, first: usize, further: usize) -> Vec<String> {
        wrap(text.split_whitespace(), first, further)
    }

    #[test]
    fn words_are_wrapped_whole() {
        assert_eq!(wrapped("one two three", 7, 7), ["one two", "three"]);
        assert_eq!(wrapped("one two three", 3, 9), ["one", "two three"]);
        assert_eq!(wrapped("one incredible", 4, 4), ["one", "incredible"]);
        assert!(wrapped("  ", 7, 7).is_empty());
    }

    /// East Asian letters take two columns (Unicode Standard Annex 11), marks on letters none.
    #[test]
    fn room_is_counted_in_columns_not_in_letters() {
        assert_eq!(wrapped("漢字 漢字", 8, 8), ["漢字", "漢字"]);
        assert_eq!(wrapped("漢字 漢字", 9, 9), ["漢字 漢字"]);
        assert_eq!(
            wrapped("e\u{301}te\u{301} e\u{301}te\u{301}", 7, 7).len(),
            1
        );
    }
}
