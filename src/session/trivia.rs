//! What stands between the values of a text: blanks, comments and commas.
//!
//! It is asked at places between values alone, and knows nothing of what a value is.

use std::ops::Range;

use super::brackets::token;

/// The first byte at or behind a place that is neither blank nor in a comment.
pub(super) fn skipped(text: &str, mut at: usize) -> usize {
    while let Some(c) = text[at..].chars().next() {
        let is_comment = text[at..].starts_with("//") || text[at..].starts_with("/*");
        at = match token(text, at) {
            Ok(end) if is_comment => end,
            _ if c.is_whitespace() => at + c.len_utf8(),
            _ => return at,
        };
    }
    at
}

/// The comma behind a value that ends at this place, if there is one.
pub(super) fn comma(text: &str, end: usize) -> Option<usize> {
    let next = skipped(text, end);
    text[next..].starts_with(',').then_some(next)
}

/// What of a text is neither blank nor comment at its ends. The text as a whole is well-formed.
pub(super) fn trimmed(text: &str) -> Range<usize> {
    let start = skipped(text, 0);
    let (mut at, mut end) = (start, start);
    while at < text.len() {
        let next = skipped(text, at);
        if next > at {
            at = next;
            continue;
        }
        at = token(text, at).unwrap_or(text.len());
        end = at;
    }
    start..end
}

/// Where the line of a place begins.
pub(super) fn line_start(text: &str, at: usize) -> usize {
    text[..at].rfind('\n').map_or(0, |at| at + 1)
}

/// Where the line of a place ends, its break left out.
pub(super) fn line_end(text: &str, at: usize) -> usize {
    let end = text[at..].find('\n').map_or(text.len(), |long| at + long);
    if end > at && text[..end].ends_with('\r') {
        end - 1
    } else {
        end
    }
}

/// The blanks with which the line of a place begins.
pub(super) fn indent(text: &str, at: usize) -> &str {
    let line = &text[line_start(text, at)..];
    let blank = line.find(|c| c != ' ' && c != '\t').unwrap_or(line.len());
    &line[..blank]
}

/// How lines of a text are broken.
pub(super) fn line_break(text: &str) -> &'static str {
    match text.find('\n') {
        Some(at) if text[..at].ends_with('\r') => "\r\n",
        _ => "\n",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blanks_and_comments_are_passed_over_and_texts_are_not() {
        for (text, expected) in [
            ("  /* a, */ // b,\n , c", Some(18)),
            (", c", Some(0)),
            ("/* /* , */ */,", Some(13)),
            (" )", None),
            ("", None),
            ("/* never closed", None),
        ] {
            assert_eq!(comma(text, 0), expected, "{text}");
        }
        for (text, expected) in [
            (" /* x */ \"a // b\" // y\n", "\"a // b\""),
            ("Some( 5 ) ", "Some( 5 )"),
            ("r#\"//\"#", "r#\"//\"#"),
            ("  ", ""),
        ] {
            assert_eq!(&text[trimmed(text)], expected, "{text}");
        }
    }

    #[test]
    fn lines_end_before_their_break() {
        let text = "\r\n  a\r\n\tb\nc";
        assert_eq!(line_end(text, 0), 0);
        assert_eq!(line_end(text, 3), 5);
        assert_eq!(line_start(text, 4), 2);
        assert_eq!(indent(text, 4), "  ");
        assert_eq!(indent(text, 8), "\t");
        assert_eq!(line_end(text, 10), 11);
        assert_eq!(line_break(text), "\r\n");
        assert_eq!(line_break("a"), "\n");
    }
}
