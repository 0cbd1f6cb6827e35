//! A bracket put where one was forgotten, in place of a blank, so that nothing has to be hidden.
//!
//! Where it belongs is told by how the lines are set in: a person forgets a bracket, and not the
//! blanks before the line.

use super::super::brackets::{self, Flaw, closing, token};
use super::super::trivia::{indent, line_start, skipped};
use super::chunks::kind_around;
use super::{Fill, Found};

/// The text with one bracket more, if what is in the way is one that was forgotten.
pub(super) fn restored(text: &str) -> Option<Found> {
    let flaw = brackets::flaw(text)?;
    let places = match flaw {
        Flaw::Open(open) => vec![closer(text, open)],
        Flaw::Stray(close) => openers(text, close),
        Flaw::Mismatch { open, close } => {
            let mut places = openers(text, close);
            // What is set in further than the bracket that is open has its own, which is gone.
            let is_deeper = indent(text, close).len() > indent(text, open).len();
            let at = if is_deeper { places.len() } else { 0 };
            places.insert(at, closer(text, open));
            places
        }
        Flaw::Comment(_) | Flaw::String(_) => Vec::new(),
    };
    let found = places.into_iter().flatten().map(|put| found(text, &put));
    found.into_iter().find(|found| is_better(found, flaw))
}

/// Bytes that are put in place of blanks.
type Put = Vec<(usize, u8)>;

fn found(text: &str, put: &Put) -> Found {
    let mut with = text.to_owned();
    for &(at, byte) in put {
        with.replace_range(at..=at, char::from(byte).encode_utf8(&mut [0; 4]));
    }
    let at = put[0].0;
    Found {
        text: with,
        range: at..at + 1,
        fill: Fill::Bracket,
    }
}

/// Whether the brackets fit now and what stands in them is all of one kind, or at least the next
/// that does not fit is further on.
fn is_better(found: &Found, before: Flaw) -> bool {
    let at = found.range.start;
    match brackets::flaw(&found.text) {
        None => [at, at + 1]
            .iter()
            .all(|&at| kind_around(&found.text, at) != Some(false)),
        Some(next) => place(next) > place(before).max(at),
    }
}

const fn place(flaw: Flaw) -> usize {
    match flaw {
        Flaw::Comment(at) | Flaw::String(at) | Flaw::Open(at) | Flaw::Stray(at) => at,
        Flaw::Mismatch { close, .. } => close,
    }
}

/// What closes a bracket: before the first line behind it that is set in no further.
fn closer(text: &str, open: usize) -> Option<Put> {
    let margin = indent(text, open).len();
    let behind = text[open..].find('\n').map(|at| open + at + 1)?;
    let mut starts = starts(text, behind);
    let next = starts.find(|&at| at - line_start(text, at) <= margin);
    let next = next.unwrap_or(text.len());
    let last = last_token(text, open, next)?;
    let closes = closing(text.as_bytes()[open]);
    let is_end = |byte: &u8| matches!(byte, b')' | b']' | b'}' | b',');
    let is_between = text.as_bytes().get(next).is_none_or(is_end);
    let blank = (is_blank(text, last)).then_some(last)?;
    let mut put = vec![(blank, closes)];
    if !is_between {
        let comma = next.checked_sub(1).filter(|&at| at > blank)?;
        if !is_blank(text, comma) || text.as_bytes()[comma] == b'\n' && last_is_comment(text, comma)
        {
            return None;
        }
        put.push((comma, b','));
    }
    Some(put)
}

/// Where the bracket may have been that another one closes: behind the line above that is set in as
/// far, or behind or before the first word of its own line.
fn openers(text: &str, close: usize) -> Vec<Option<Put>> {
    let opens = match text.as_bytes()[close] {
        b')' => b'(',
        b']' => b'[',
        _ => b'{',
    };
    let start = line_start(text, close);
    let first = start + indent(text, close).len();
    if first < close {
        let word = text[first..close]
            .find(|c: char| !c.is_alphanumeric() && c != '_')
            .map_or(close, |long| first + long);
        let behind = Some(word).filter(|&at| at > first && is_blank(text, at));
        let before = first.checked_sub(1).filter(|&at| at >= start);
        return [behind, before]
            .into_iter()
            .map(|at| at.map(|at| vec![(at, opens)]))
            .collect();
    }
    let margin = first - start;
    let above = starts(text, 0)
        .take_while(|&at| at < start)
        .filter(|&at| at - line_start(text, at) == margin)
        .filter(|&at| !matches!(text.as_bytes()[at], b')' | b']' | b'}'))
        .last();
    let at = above.and_then(|above| {
        let end = text[above..].find('\n').map(|at| above + at)?;
        last_token(text, above, end)
    });
    let at = at.filter(|&at| is_blank(text, at));
    vec![at.map(|at| vec![(at, opens)])]
}

/// Where each line begins to say something, from the line that begins at a place.
fn starts(text: &str, from: usize) -> impl Iterator<Item = usize> {
    let mut at = skipped(text, from);
    let mut last = None;
    std::iter::from_fn(move || {
        while at < text.len() {
            let here = at;
            at = skipped(text, token(text, at).ok()?);
            let line = line_start(text, here);
            if last != Some(line) {
                last = Some(line);
                return Some(here);
            }
        }
        None
    })
}

/// Where the last thing that is said before a place ends.
fn last_token(text: &str, from: usize, until: usize) -> Option<usize> {
    let (mut at, mut last) = (from, None);
    while at < until {
        let end = token(text, at).ok()?;
        last = Some(end);
        at = skipped(text, end);
    }
    last
}

fn is_blank(text: &str, at: usize) -> bool {
    text.as_bytes().get(at).is_some_and(u8::is_ascii_whitespace)
}

/// Whether a line ends in a comment that goes on without its break.
fn last_is_comment(text: &str, end: usize) -> bool {
    text[line_start(text, end)..end].contains("//")
}
