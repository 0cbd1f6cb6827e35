//! What stands between two commas around a place, from the innermost bracket outwards.

use std::ops::Range;

use super::super::brackets::token;
use super::super::trivia::skipped;
use super::{Fill, Found};

/// A bracket that is open, and what stands in it since its last comma.
struct Open {
    is_round: bool,
    /// Where the first and the last thing since then stand.
    from: Option<usize>,
    to: usize,
    /// Behind the first colon since then.
    value: Option<usize>,
    /// Whether the place that is looked for is in it.
    is_around: bool,
    /// How many things with a colon there were in it, and how many without.
    kinds: [usize; 2],
}

impl Open {
    const fn at(bracket: u8) -> Self {
        Self {
            is_round: bracket == b'(',
            from: None,
            to: 0,
            value: None,
            is_around: false,
            kinds: [0; 2],
        }
    }

    /// What stands before a comma is over.
    fn next(&mut self) {
        if self.from.take().is_some() {
            self.kinds[usize::from(self.value.take().is_none())] += 1;
        }
    }
}

/// Walks over a text, and tells of each comma or end of a bracket: what stands in the bracket since
/// the last comma, where the comma is, and whether the bracket ends. Stops where it is told to.
fn walk(text: &str, place: usize, mut see: impl FnMut(&mut Open, Range<usize>, bool) -> bool) {
    let mut open: Vec<Open> = Vec::new();
    let mut at = skipped(text, 0);
    let mut is_reached = false;
    while at < text.len() {
        let Ok(end) = token(text, at) else { return };
        if !is_reached && end > place {
            is_reached = true;
            for open in &mut open {
                open.is_around = true;
            }
        }
        let byte = text.as_bytes()[at];
        let ended = match byte {
            b',' => open
                .last_mut()
                .is_some_and(|open| see(open, at..end, false)),
            b')' | b']' | b'}' => open
                .pop()
                .is_some_and(|mut open| see(&mut open, at..at, true)),
            _ => false,
        };
        if ended {
            return;
        }
        if let Some(open) = open.last_mut() {
            if byte == b',' {
                open.next();
            } else {
                open.from.get_or_insert(at);
                open.to = end;
            }
            if byte == b':' {
                open.value.get_or_insert(end);
            }
        }
        if matches!(byte, b'(' | b'[' | b'{') {
            open.push(Open::at(byte));
        }
        at = skipped(text, end);
    }
}

/// The texts in which something around a place is masked, the least of them first. The brackets of
/// the text fit.
pub(super) fn around(text: &str, place: usize) -> Vec<Found> {
    let mut found = Vec::new();
    walk(text, place, |open, comma, _| {
        if std::mem::take(&mut open.is_around) {
            masks(text, open, comma, &mut found);
        }
        false
    });
    found
}

/// Whether what stands in the bracket around a place is all of one kind: values, or fields where it
/// is a round one. The brackets of the text fit.
pub(super) fn is_alike(text: &str, place: usize) -> bool {
    kind_around(text, place) == Some(true)
}

/// The same, and nothing where there is no bracket around the place.
pub(super) fn kind_around(text: &str, place: usize) -> Option<bool> {
    let mut is_alike = None;
    walk(text, place, |open, _, is_end| {
        let is_it = is_end && open.is_around;
        if is_it {
            open.next();
            let [fields, values] = open.kinds;
            is_alike = Some(fields == 0 || values == 0 && open.is_round);
        }
        is_it
    });
    is_alike
}

/// The ways to mask what stands before a comma, or before the end of its bracket.
fn masks(text: &str, chunk: &Open, comma: Range<usize>, found: &mut Vec<Found>) {
    let Some(from) = chunk.from else {
        // A comma with nothing before it is one too many.
        found.extend(Found::of(text, comma, Fill::Blank));
        return;
    };
    let whole = from..chunk.to;
    if let Some(value) = chunk.value.filter(|_| chunk.is_round) {
        let value = skipped(text, value)..chunk.to;
        if value.start < value.end {
            found.extend(Found::of(text, value, Fill::Word));
        }
    } else {
        found.extend(Found::of(text, whole.clone(), Fill::Word));
    }
    found.extend(Found::of(text, from..comma.end.max(whole.end), Fill::Blank));
}
