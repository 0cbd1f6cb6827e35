//! Slips of whoever writes a file: ways to write that other programs take and this one does not.
//!
//! ron tells where it stopped, which is often behind the slip. So the text is walked over up to
//! there, and the first thing that nobody writes on purpose is told, with how it is written here.

use std::ops::Range;

use super::brackets::token;
use super::source::{Blame, clipped};
use super::unseen;

/// The first slip that begins at or before `stop`, where ron gave up.
pub(super) fn first(text: &str, stop: usize) -> Option<Blame> {
    walk(text, stop, slip)
}

/// The first word with a character in it that is not seen. ron takes some of them for letters.
pub(super) fn hidden(text: &str) -> Option<Blame> {
    walk(text, text.len(), |text, at, c, _| {
        is_word(c).then(|| hidden_in(&text[at..], at))?
    })
}

/// Walks over what is no text and no comment, word by word, up to what is looked for.
fn walk(
    text: &str,
    stop: usize,
    look: impl Fn(&str, usize, char, &[usize]) -> Option<Blame>,
) -> Option<Blame> {
    let (mut at, mut open) = (0, Vec::new());
    while at <= stop && at < text.len() {
        let c = text[at..].chars().next()?;
        // A quote that never ends, and the like: the brackets' part tells of it.
        let end = token(text, at).ok()?;
        if end > at + c.len_utf8() && c != '\'' {
            at = end;
            continue;
        }
        match c {
            '(' | '[' | '{' => open.push(at),
            ')' | ']' | '}' => drop(open.pop()),
            _ => {}
        }
        if let Some(blame) = look(text, at, c, &open) {
            return Some(blame);
        }
        at = match c {
            c if is_word(c) => at + word(&text[at..]).len(),
            _ => end,
        };
    }
    None
}

fn slip(text: &str, at: usize, c: char, open: &[usize]) -> Option<Blame> {
    let rest = &text[at..];
    match c {
        '\'' | '`' | '\u{2018}' | '\u{2019}' | '\u{201c}' | '\u{201d}' | '\u{201e}' | '\u{ab}'
        | '\u{bb}' => Some(quotes(rest, at, c)),
        '#' if !rest.starts_with("#!") || at > 0 => Some(comment(at, 1, "#")),
        '-' if rest.starts_with("--") => Some(comment(at, 2, "--")),
        '{' => braces(text, at),
        ':' => colon(text, at, open),
        '0'..='9' => number(rest, at),
        c if !c.is_ascii() || c.is_control() => unseen_one(at, c),
        c if is_word(c) => unquoted(text, at).or_else(|| hidden_in(rest, at)),
        _ => None,
    }
}

fn is_word(c: char) -> bool {
    c.is_alphanumeric() || c == '_' || unseen::name(c).is_some() && !unseen::is_space(c)
}

fn word(rest: &str) -> &str {
    let end = rest.find(|c: char| !is_word(c)).unwrap_or(rest.len());
    &rest[..end]
}

fn at_start(at: usize, long: usize, message: impl Into<String>, help: &str) -> Blame {
    Blame::new(at..at + long, message, help)
}

/// A quote that is no double straight one, with the text in it written right.
fn quotes(rest: &str, at: usize, c: char) -> Blame {
    let line = rest.lines().next().unwrap_or(rest);
    let inner = &line[c.len_utf8()..];
    let closing =
        |c: char| "'`\"\u{2018}\u{2019}\u{201c}\u{201d}\u{201e}\u{ab}\u{bb}\u{b4}".contains(c);
    let kind = match c {
        '\'' => "a single one".to_owned(),
        '`' => "a backtick".to_owned(),
        c => format!("`{c}`"),
    };
    let message = format!("texts stand in straight double quotes, this is {kind}");
    let help = match inner.find(closing) {
        Some(end) if end > 0 => format!("write \"{}\"", clipped(&inner[..end])),
        _ => "write \"...\"".into(),
    };
    at_start(at, c.len_utf8(), message, &help)
}

fn comment(at: usize, long: usize, mark: &str) -> Blame {
    let message = format!("`{mark}` begins no comment here");
    at_start(at, long, message, "a comment begins with `//`")
}

/// `Block{..}`: a name with braces.
fn braces(text: &str, at: usize) -> Option<Blame> {
    let before = text[..at].trim_end();
    let start = before.rfind(|c: char| !is_word(c)).map_or(0, |i| {
        i + before[i..].chars().next().map_or(1, char::len_utf8)
    });
    let name = &before[start..];
    let named = name.starts_with(|c: char| c.is_alphabetic());
    let message = format!("`{}` has braces here", clipped(name));
    let help = format!(
        "what has a name stands in round brackets: `{}(..)`",
        clipped(name)
    );
    named.then(|| at_start(at, 1, message, &help))
}

/// A colon after a text in quotes, in round brackets.
fn colon(text: &str, at: usize, open: &[usize]) -> Option<Blame> {
    let before = text[..at].trim_end().strip_suffix('"')?;
    let bracket = *open.last()?;
    let first = text[bracket + 1..].trim_start().starts_with('"');
    if !text[bracket..].starts_with('(') || !first {
        return None;
    }
    let inner = &before[before.rfind('"')? + 1..];
    let named = text[..bracket].ends_with(|c: char| c.is_alphanumeric());
    let field = inner.chars().all(|c| c.is_ascii_lowercase() || c == '_');
    let value = value_after(&text[at + 1..]);
    let (message, help) = if named && field {
        let help = format!("write {inner}: {value}");
        ("the name of a field stands without quotes", help)
    } else {
        let help = format!("write (\"{}\", {value})", clipped(inner));
        ("between a move and its time stands a comma", help)
    };
    Some(at_start(at, 1, message, &help))
}

fn value_after(rest: &str) -> String {
    let end = rest.find([',', ')', ']', '\n']).unwrap_or(rest.len());
    let value = rest[..end].trim();
    if value.is_empty() {
        "..".into()
    } else {
        clipped(value)
    }
}

/// A number with a unit behind it, or a time without its quotes.
fn number(rest: &str, at: usize) -> Option<Blame> {
    let digits = end_of(rest, |c| c.is_ascii_digit() || c == '.' || c == '_');
    let after = &rest[digits..];
    let next = after.chars().next()?;
    if !unseen::is_space(next)
        && let Some(blame) = unseen_one(at + digits, next)
    {
        return Some(blame);
    }
    let colon = after.strip_prefix([':', '\u{2032}']);
    if colon.is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit())) {
        let long = digits
            + end_of(after, |c| {
                c.is_ascii_digit() || ":.\u{2032}\u{2033}".contains(c)
            });
        let written = rest[..long]
            .replace('\u{2032}', ":")
            .replace('\u{2033}', "");
        let message = "a time with minutes and seconds stands in quotes";
        return Some(at_start(at, long, message, &format!("write \"{written}\"")));
    }
    let gap = end_of(after, |c| c == ' ');
    let unit = &after[gap..][..end_of(&after[gap..], |c| {
        c.is_alphabetic() || "\u{2032}\u{2033}'".contains(c)
    })];
    let number = &rest[..digits];
    let exponent =
        ["e", "E"].contains(&unit) && after[1..].starts_with(|c: char| "+-0123456789".contains(c));
    let other_base = number == "0" && ["x", "b", "o"].iter().any(|base| unit.starts_with(base));
    if unit.is_empty() || gap == 0 && (exponent || other_base) {
        return None;
    }
    let message = "a number stands without a unit";
    let help = with_unit(number, unit).unwrap_or_else(|| format!("leave it away: {number}"));
    Some(Blame::new(
        at..at + digits + gap + unit.len(),
        message,
        &help,
    ))
}

fn end_of(rest: &str, goes_on: impl Fn(char) -> bool) -> usize {
    rest.find(|c: char| !goes_on(c)).unwrap_or(rest.len())
}

/// How a number with this unit of time is written.
pub(super) fn with_unit(number: &str, unit: &str) -> Option<String> {
    let unit = unit.to_lowercase();
    let of_minutes = |minutes: f64| {
        let secs = crate::time::Span::parse_secs(minutes * 60.0);
        secs.ok().map(|span| format!("write \"{span}\""))
    };
    match unit.trim_end_matches('.') {
        "s" | "sec" | "secs" | "second" | "seconds" | "\u{2033}" => {
            Some(format!("leave the unit away: {number}"))
        }
        "m" | "min" | "mins" | "minute" | "minutes" | "\u{2032}" => {
            of_minutes(number.parse().ok()?)
        }
        "h" | "hr" | "hrs" | "hour" | "hours" => of_minutes(number.parse::<f64>().ok()? * 60.0),
        _ => None,
    }
}

/// A character that is not seen, where code stands.
fn unseen_one(at: usize, c: char) -> Option<Blame> {
    let name = unseen::name(c).filter(|_| !matches!(c, '\t' | '\n' | '\r'))?;
    let help = if unseen::is_space(c) {
        "delete it, and put an ordinary space there"
    } else {
        "delete it: it is not seen, but it is there"
    };
    Some(at_start(
        at,
        c.len_utf8(),
        format!("here stands {name}"),
        help,
    ))
}

/// The same within a word.
fn hidden_in(rest: &str, at: usize) -> Option<Blame> {
    let mut letters = word(rest).char_indices();
    letters.find_map(|(n, c)| unseen_one(at + n, c).filter(|_| !c.is_alphanumeric()))
}

/// Words where one value is expected: a text without its quotes.
fn unquoted(text: &str, at: usize) -> Option<Blame> {
    let before = text[..at].trim_end().chars().next_back()?;
    if !matches!(before, ':' | '[' | ',' | '(') {
        return None;
    }
    let rest = &text[at..];
    let words = rest[..end_of(rest, |c| is_word(c) || " -'!?&".contains(c))].trim_end();
    let next = rest[words.len()..].trim_start().chars().next()?;
    let several = words.contains([' ', '-'])
        && words
            .split(' ')
            .all(|word| !word.starts_with(|c: char| c.is_ascii_digit()));
    let known = ["true", "false", "None", "Some"].contains(&words);
    if !several || known || !matches!(next, ',' | ')' | ']') || hidden_in(rest, at).is_some() {
        return None;
    }
    let message = "a text or a name of more than one word stands in quotes";
    let help = format!("write \"{}\"", clipped(words));
    Some(Blame::new(place(at, words), message, &help))
}

fn place(at: usize, words: &str) -> Range<usize> {
    at..at + words.len()
}

#[cfg(test)]
mod tests {
    use crate::session::{Library, Session};

    /// The first fault of a class with this in it.
    fn told(text: &str) -> (String, String) {
        let faults = Session::read("t", text, &Library::builtin()).expect_err(text);
        let report = faults.to_string();
        assert!(
            report.ends_with("more may follow when this is mended"),
            "{report}"
        );
        let first = faults.iter().next().expect("a fault");
        let marked = &text[first.span.clone()];
        (marked.to_owned(), first.help.clone().unwrap_or_default())
    }

    /// Ways of writing from memory: of shells, of other formats for data, of word processors, and of
    /// how times are written on paper.
    #[test]
    #[expect(clippy::too_many_lines, reason = "a table")]
    fn each_slip_is_told_where_it_begins_with_the_way_it_is_written_here() {
        for (slip, marked, help) in [
            ("Ready(time: 45s)", "45s", "leave the unit away: 45"),
            ("Ready(time: 45 sec)", "45 sec", "leave the unit away: 45"),
            (
                "Ready(time: 7.5 seconds)",
                "7.5 seconds",
                "leave the unit away: 7.5",
            ),
            ("Ready(time: 45 min)", "45 min", "write \"45:00\""),
            ("Ready(time: 1.5min)", "1.5min", "write \"1:30\""),
            ("Ready(time: 1 h)", "1 h", "write \"1:00:00\""),
            ("Ready(time: 1:30)", "1:30", "write \"1:30\""),
            ("Ready(time: 0:45.5)", "0:45.5", "write \"0:45.5\""),
            ("Ready(time: 1:02:30)", "1:02:30", "write \"1:02:30\""),
            ("WarmUp([(\"march\", 1:30)])", "1:30", "write \"1:30\""),
            (
                "Ready(time: 1\u{2032}30\u{2033})",
                "1\u{2032}30\u{2033}",
                "write \"1:30\"",
            ),
            (
                "Talk(time: 20, say: 'Hello there')",
                "'",
                "write \"Hello there\"",
            ),
            ("Talk(time: 20, say: `Hello`)", "`", "write \"Hello\""),
            (
                "Talk(time: 20, say: \u{201c}Hello\u{201d})",
                "\u{201c}",
                "write \"Hello\"",
            ),
            (
                "Talk(time: 20, say: \u{ab}Hello\u{bb})",
                "\u{ab}",
                "write \"Hello\"",
            ),
            (
                "Talk(time: 20, say: Hello all)",
                "Hello all",
                "write \"Hello all\"",
            ),
            (
                "Block(moves: [side-plank], pattern: x)",
                "side-plank",
                "write \"side-plank\"",
            ),
            (
                "Ready{time: 20}",
                "{",
                "what has a name stands in round brackets: `Ready(..)`",
            ),
            (
                "Ready {time: 20}",
                "{",
                "what has a name stands in round brackets: `Ready(..)`",
            ),
            (
                "Ready(time: 20), # first",
                "#",
                "a comment begins with `//`",
            ),
            (
                "Ready(time: 20), -- first",
                "--",
                "a comment begins with `//`",
            ),
            (
                "WarmUp([(\"arm-circle\": 45)])",
                ":",
                "write (\"arm-circle\", 45)",
            ),
            (
                "WarmUp([(\"march\": \"1:30\")])",
                ":",
                "write (\"march\", \"1:30\")",
            ),
            ("Ready(\"time\": 20)", ":", "write time: 20"),
            (
                "Block(moves: [\"squat\"], pattern: Same(rounds: 3x, work: 4, rest: 2))",
                "3x",
                "leave it away: 3",
            ),
            (
                "Ready(\u{a0}time: 20)",
                "\u{a0}",
                "delete it, and put an ordinary space there",
            ),
            (
                "Ready(time:\u{202f}20)",
                "\u{202f}",
                "delete it, and put an ordinary space there",
            ),
            (
                "Ready(time:\u{3000}20)",
                "\u{3000}",
                "delete it, and put an ordinary space there",
            ),
            (
                "Ready(ti\u{ad}me: 20)",
                "\u{ad}",
                "delete it: it is not seen, but it is there",
            ),
            (
                "Ready(\u{200b}time: 20)",
                "\u{200b}",
                "delete it: it is not seen, but it is there",
            ),
            (
                "Rea\u{200d}dy(time: 20)",
                "\u{200d}",
                "delete it: it is not seen, but it is there",
            ),
            (
                "Ready(time: 2\u{2060}0)",
                "\u{2060}",
                "delete it: it is not seen, but it is there",
            ),
            (
                "Ready(time: 20\u{feff})",
                "\u{feff}",
                "delete it: it is not seen, but it is there",
            ),
        ] {
            let text =
                format!("Session(title: \"T\", // it's\n brief: \"1:30 # 45s\", parts: [{slip}])");
            assert_eq!(told(&text), (marked.to_owned(), help.to_owned()), "{slip}");
        }
    }

    /// What looks like a slip and is none is read.
    #[test]
    fn what_may_be_written_is_no_slip() {
        for part in [
            "Ready(time: 1e1)",
            "Ready(time: 0x14)",
            "Ready(time: 2_0)",
            "Talk(time: 20, say: r#\"1:30 'a' # {x}\"#)",
            "Ready(time: 20 /* 45s it's # */)",
            "Talk(time: 20, say: \"na\u{ef}ve\u{a0}\u{2013} it\u{2019}s\")",
        ] {
            let text = format!("Session(title: \"T\", parts: [{part}])");
            let read = Session::read("t", &text, &Library::builtin());
            assert!(read.is_ok(), "{part}: {}", read.expect_err("faults"));
            // Nor is it taken for one where another fault follows it.
            let broken = text.replace("])", ";])");
            let faults = Session::read("t", &broken, &Library::builtin()).expect_err("a fault");
            let first = faults.iter().next().expect("a fault");
            assert_eq!(&broken[first.span.clone()], ";", "{part}: {faults}");
        }
    }
}
