//! Finds the bracket, string or comment that was opened and never closed.
//!
//! ron reports where it stopped, which for a forgotten bracket is often the end of the file; a
//! person needs the place where it was opened. So this walks over the text once, and only after
//! ron has refused it. It knows strings, characters and comments, and no other part of the grammar.

/// What the walk found; the numbers are bytes from the start of the text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Flaw {
    /// A comment without its end.
    Comment(usize),
    /// A string without its end.
    String(usize),
    /// A bracket that is still open at the end.
    Open(usize),
    /// A closing bracket that closes nothing.
    Stray(usize),
    /// A closing bracket of another kind than the last one opened.
    Mismatch { open: usize, close: usize },
}

/// The first flaw in the order of the text, if there is one.
pub(super) fn flaw(text: &str) -> Option<Flaw> {
    let (marks, broken_off) = marks(text);
    let bytes = text.as_bytes();
    let mut open = Vec::new();
    for (n, &at) in marks.iter().enumerate() {
        if !is_closing(bytes[at]) {
            open.push(at);
            continue;
        }
        match open.pop() {
            None => return Some(Flaw::Stray(at)),
            Some(from) if closing(bytes[from]) == bytes[at] => {}
            Some(from) => {
                open.push(from);
                let without = broken_off.is_none() && balanced(bytes, open, &marks[n + 1..]);
                let mismatch = Flaw::Mismatch {
                    open: from,
                    close: at,
                };
                return Some(if without { Flaw::Stray(at) } else { mismatch });
            }
        }
    }
    broken_off.or_else(|| open.pop().map(Flaw::Open))
}

/// The brackets outside strings and comments, up to the one that is never closed.
pub(super) fn marks(text: &str) -> (Vec<usize>, Option<Flaw>) {
    let (mut at, mut marks) = (0, Vec::new());
    while let Some(&byte) = text.as_bytes().get(at) {
        if is_closing(byte) || matches!(byte, b'(' | b'[' | b'{') {
            marks.push(at);
            at += 1;
            continue;
        }
        match token(text, at) {
            Ok(end) => at = end,
            Err(flaw) => return (marks, Some(flaw)),
        }
    }
    (marks, None)
}

/// Whether the rest of the brackets closes exactly what is open: then the closing bracket before
/// them was one too many, and no opening one was forgotten.
fn balanced(bytes: &[u8], mut open: Vec<usize>, rest: &[usize]) -> bool {
    for &at in rest {
        if !is_closing(bytes[at]) {
            open.push(at);
        } else if open
            .pop()
            .is_none_or(|from| closing(bytes[from]) != bytes[at])
        {
            return false;
        }
    }
    open.is_empty()
}

pub(super) const fn is_closing(byte: u8) -> bool {
    matches!(byte, b')' | b']' | b'}')
}

/// The bracket that closes one.
pub(super) const fn closing(open: u8) -> u8 {
    match open {
        b'(' => b')',
        b'[' => b']',
        _ => b'}',
    }
}

/// The end of the string, character or comment that begins here, or of this one byte.
pub(super) fn token(text: &str, at: usize) -> Result<usize, Flaw> {
    let rest = &text[at..];
    if rest.starts_with("//") {
        return Ok(at + rest.find('\n').unwrap_or(rest.len()));
    }
    if rest.starts_with("/*") {
        return comment_end(rest)
            .map(|end| at + end)
            .ok_or(Flaw::Comment(at));
    }
    if rest.starts_with('"') {
        return string_end(rest).map(|end| at + end).ok_or(Flaw::String(at));
    }
    if let Some(hashes) = raw_string(text, at) {
        let ending = format!("\"{}", "#".repeat(hashes));
        let from = hashes + 2;
        let end = rest[from..].find(&ending).ok_or(Flaw::String(at))?;
        return Ok(at + from + end + ending.len());
    }
    if let Some(end) = character_end(rest) {
        return Ok(at + end);
    }
    Ok(at + rest.chars().next().map_or(1, char::len_utf8))
}

fn comment_end(rest: &str) -> Option<usize> {
    let (mut level, mut at) = (0_usize, 0);
    loop {
        at += rest[at..].find(['/', '*'])?;
        match rest.as_bytes().get(at..at + 2) {
            Some(b"/*") => (level, at) = (level + 1, at + 2),
            Some(b"*/") => (level, at) = (level - 1, at + 2),
            _ => at += 1,
        }
        if level == 0 {
            return Some(at);
        }
    }
}

fn string_end(rest: &str) -> Option<usize> {
    let mut at = 1;
    loop {
        at += rest[at..].find(['"', '\\'])?;
        if rest.as_bytes()[at] == b'"' {
            return Some(at + 1);
        }
        at += 1 + rest[at + 1..].chars().next()?.len_utf8();
    }
}

/// How many hashes a raw string that begins here has.
fn raw_string(text: &str, at: usize) -> Option<usize> {
    let inside_word = text[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_');
    let rest = text[at..].strip_prefix('r').filter(|_| !inside_word)?;
    let hashes = rest.bytes().take_while(|b| *b == b'#').count();
    rest[hashes..].starts_with('"').then_some(hashes)
}

fn character_end(rest: &str) -> Option<usize> {
    let inner = rest.strip_prefix('\'')?;
    if inner.starts_with('\\') {
        return inner
            .get(2..)?
            .find('\'')
            .filter(|n| *n < 10)
            .map(|n| n + 4);
    }
    let first = inner.chars().next()?.len_utf8();
    inner[first..].starts_with('\'').then_some(first + 2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_flaw_is_found_and_what_only_looks_like_one_is_not() {
        for (text, expected) in [
            ("(a: [1, 2], b: {})", None),
            ("(a: [1, 2)", Some(Flaw::Mismatch { open: 4, close: 9 })),
            ("(a: [1, 2]", Some(Flaw::Open(0))),
            ("(a))", Some(Flaw::Stray(3))),
            ("(a: [b(c))], d: 1)", Some(Flaw::Stray(9))),
            (r#"("]", '[', r"\", "\"(")"#, None),
            (r##"(r#"a"("#, r"]")"##, None),
            ("( // ]\n /* ( /* [ */ ] */ )", None),
            ("( /* /* */ )", Some(Flaw::Comment(2))),
            (r#"("a, b)"#, Some(Flaw::String(1))),
            (r#"("a\"#, Some(Flaw::String(1))),
            ("(it's, [that's])", None),
            (r"('\'', '\u{28}')", None),
            ("", None),
        ] {
            assert_eq!(flaw(text), expected, "{text}");
        }
    }
}
