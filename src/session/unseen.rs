//! Characters that are not seen, and what they are called.

/// The name of a character that a person does not see, or takes for an ordinary space.
pub(super) fn name(c: char) -> Option<&'static str> {
    Some(match c {
        '\t' => "a tab",
        '\n' | '\r' => "the end of a line",
        '\u{a0}' => "a no-break space",
        '\u{ad}' => "a soft hyphen",
        '\u{200b}' => "a zero width space",
        '\u{200c}' | '\u{200d}' => "a zero width joiner",
        '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {
            "a mark that turns the direction of writing"
        }
        '\u{2028}' | '\u{2029}' => "a line separator",
        '\u{202f}' => "a narrow no-break space",
        '\u{2000}'..='\u{200a}' | '\u{205f}' | '\u{3000}' => "a space of another width",
        '\u{2060}' => "a word joiner",
        '\u{feff}' => "a byte order mark",
        '\u{1b}' => "an escape character",
        c if c.is_control() => "a control character",
        _ => return None,
    })
}

/// Whether it stands where a space is meant, so that one should take its place.
pub(super) fn is_space(c: char) -> bool {
    c.is_whitespace()
}
