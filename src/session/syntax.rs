//! What ron refuses, in words a person understands, with the place and what to do.
//!
//! It knows the grammar's words and nothing of what a session is.

use std::ops::Range;

use ron::error::{Error, SpannedError};
use ron::value::RawValue;

use super::brackets::{self, Flaw, closing};
use super::fault::Faults;
use super::slips;
use super::source::{Blame, Source, clipped};
use super::tree::Raw;

/// Reads the whole text once, so that all later reading of parts finds it well-formed. `what` says
/// how such a file is written, for whoever left it empty.
pub(super) fn whole<'s>(source: &'s Source, what: &str) -> Result<Raw<'s>, Faults> {
    if source.is_blank() {
        return Err(source.fault(empty(source, what)));
    }
    let raw = RawValue::from_ron(source.text())
        .map_err(|error| source.faults(refused(source, &error), 0).hiding())?;
    match slips::hidden(source.text()) {
        Some(hidden) => Err(source.fault(hidden).hiding()),
        None => Ok(raw),
    }
}

fn empty(source: &Source, what: &str) -> Blame {
    let end = source.text().len() - 1;
    let message = "there is nothing in this file but white space or comments";
    Blame::new(0..end.min(1), message, what)
}

/// The fault ron stopped at, and the bracket behind it, if one explains it.
fn refused(source: &Source, error: &SpannedError) -> Vec<Blame> {
    let at = source.offset(error.span.end.line, error.span.end.col);
    if let Some(open) = long_string_before(source.text(), at) {
        return vec![forgotten_quote(open)];
    }
    if let Some(slip) = slips::first(source.text(), at) {
        return vec![slip];
    }
    let plain = blame(source, at, &error.code);
    match brackets::flaw(source.text()) {
        _ if error.code == Error::ExceededRecursionLimit => vec![plain],
        None => vec![plain],
        Some(flaw) => {
            let cause = unclosed(source, flaw);
            // What stands before the bracket was opened is a fault of its own.
            if at < cause.start {
                vec![plain, cause]
            } else {
                vec![cause]
            }
        }
    }
}

fn forgotten_quote(open: usize) -> Blame {
    let message = "the text that begins here runs over the end of its line";
    Blame::new(
        open..open + 1,
        message,
        "end it with a quote `\"` in the same line",
    )
}

fn unclosed(source: &Source, flaw: Flaw) -> Blame {
    let byte = |at: usize| char::from(source.text().as_bytes()[at]);
    let closer = |at: usize| char::from(closing(source.text().as_bytes()[at]));
    match flaw {
        Flaw::Comment(at) => Blame::new(
            at..at + 2,
            "this comment is never closed",
            "end it with `*/`",
        ),
        Flaw::String(at) => Blame::new(
            at..at + 1,
            "the text that begins here is never closed",
            "end it with a quote `\"`",
        ),
        Flaw::Open(at) => Blame::new(
            at..at + 1,
            format!("the bracket `{}` opened here is never closed", byte(at)),
            &format!("close it with `{}` where its part ends", closer(at)),
        ),
        Flaw::Stray(at) => Blame::new(
            at..at + 1,
            format!("the bracket `{}` closes nothing", byte(at)),
            "take it away, or open its bracket before it",
        ),
        Flaw::Mismatch { open, close } => Blame::new(
            open..open + 1,
            format!(
                "the bracket `{}` opened here is not closed before the `{}` in line {}",
                byte(open),
                byte(close),
                source.line(close)
            ),
            &format!("close it with `{}` before that", closer(open)),
        ),
    }
}

/// ron's error at a byte of the text.
fn blame(source: &Source, at: usize, code: &Error) -> Blame {
    let text = source.text();
    let at = at.min(text.trim_end().len());
    let here = at..at + text[at..].chars().next().map_or(0, char::len_utf8);
    let (message, help): (String, &str) = match code {
        Error::ExpectedComma => return comma(text, here),
        Error::ExpectedMapColon => (
            "after the name of a field comes a colon".into(),
            "fields are written `name: value`",
        ),
        Error::ExpectedIdentifier => (
            "a field's name is expected here".into(),
            "fields are written `name: value`",
        ),
        Error::SuggestRawIdentifier(name) if name.starts_with(|c: char| c.is_ascii_digit()) => (
            "a field's name is expected here, this is a number".into(),
            "a fraction is written with a point, as in 7.5",
        ),
        Error::SuggestRawIdentifier(name) => (
            format!("`{}` is no name of a field", clipped(name)),
            "names of fields have letters and underscores only; a move's name is written in quotes",
        ),
        Error::ExpectedStringEnd => (
            "the text that begins here is never closed".into(),
            "end it with a quote `\"`",
        ),
        Error::InvalidEscape(_) => return escape(text, at),
        Error::TrailingCharacters if text[at..].starts_with(':') => (
            "a file holds one value, and this is a field outside of it".into(),
            "a session is written `Session(title: \"..\", parts: [..])`",
        ),
        Error::TrailingCharacters => (
            "there is something after the end".into(),
            "a file holds one value: take away what follows it",
        ),
        Error::ExceededRecursionLimit => (
            "brackets stand in brackets too deep here".into(),
            "a session needs about eight levels of brackets",
        ),
        Error::UnexpectedChar(c)
            if "\u{201c}\u{201d}\u{201e}\u{ab}\u{bb}\u{2018}\u{2019}".contains(*c) =>
        {
            (
                format!("the quote `{c}` is not a straight one"),
                "texts stand in straight quotes: \"...\"",
            )
        }
        Error::UnexpectedChar(c) => (
            format!("`{}` cannot stand here", clipped(&c.to_string())),
            "a value is a number, a text in quotes, a list `[..]` or a group `Name(..)`",
        ),
        Error::Eof => (
            "the text ends too early".into(),
            "something is missing at the end",
        ),
        Error::NoSuchExtension(_)
        | Error::ExpectedAttribute
        | Error::ExpectedAttributeEnd
        | Error::Message(_) => return settings(text, at),
        Error::ExpectedFloat
        | Error::FloatUnderscore
        | Error::UnderscoreAtBeginning
        | Error::ExpectedInteger
        | Error::InvalidIntegerDigit { .. }
        | Error::IntegerOutOfBounds => (
            "this is no number".into(),
            "numbers are written as 45 or 7.5",
        ),
        Error::Utf8Error(_) => (
            "the escapes here give no text".into(),
            "write the letters themselves",
        ),
        _ => (
            "this cannot be read".into(),
            "a value is a number, a text in quotes, a list `[..]` or a group `Name(..)`",
        ),
    };
    Blame::new(here, message, help)
}

/// Something follows a value, and it is no comma.
fn comma(text: &str, here: Range<usize>) -> Blame {
    let before = &text[..here.start];
    let after_word = before
        .trim_end()
        .ends_with(|c: char| c.is_alphanumeric() || c == '_');
    let close_to_number = before.ends_with(|c: char| c.is_ascii_digit());
    let (message, help) = match text[here.clone()].chars().next() {
        Some('-') if names_a_field(&text[here.start..]) => (
            "a hyphen cannot stand here",
            "the names of fields have underscores, as in `words_per_minute`",
        ),
        Some('-') => (
            "a hyphen cannot stand here",
            "a name with a hyphen is written in quotes, as in \"side-plank\"",
        ),
        Some('=') => (
            "after the name of a field comes a colon",
            "fields are written `name: value`",
        ),
        Some(';') => (
            "a semicolon cannot stand here",
            "things that follow one another have a comma between them",
        ),
        Some(c) if c.is_alphabetic() && close_to_number => (
            "a number stands without a unit",
            "a time is a number of seconds, or written as \"0:45\"",
        ),
        _ if after_word => (
            "a comma or a colon is missing before this",
            "fields are written `name: value`, and have a comma between them",
        ),
        _ => (
            "a comma is missing before this",
            "things that follow one another have a comma between them",
        ),
    };
    Blame::new(here, message, help)
}

/// Whether the rest of a word ends in a colon.
fn names_a_field(rest: &str) -> bool {
    let after = rest.trim_start_matches(|c: char| c.is_alphanumeric() || c == '-' || c == '_');
    after.trim_start().starts_with(':')
}

fn escape(text: &str, at: usize) -> Blame {
    let slash = text[..at].rfind('\\').unwrap_or(at);
    let message = "the backslash here begins no escape that is known";
    Blame::new(
        slash..at,
        message,
        "write `\\\\` for a backslash and `\\\"` for a quote",
    )
}

fn settings(text: &str, at: usize) -> Blame {
    let place = text.find('#').map_or(at..at, |mark| mark..mark + 1);
    let message = "settings of the file format are not used here";
    Blame::new(place, message, "take the lines away that begin with `#!`")
}

/// The start of a text in quotes that ends right before `at` and runs over several lines: most
/// likely its closing quote was forgotten, and the next text's opening quote has closed it.
fn long_string_before(text: &str, at: usize) -> Option<usize> {
    let body = text[..at].trim_end().strip_suffix('"')?;
    let open = body.rfind('"')?;
    body[open..].contains('\n').then_some(open)
}
