//! A list or a group as it is written: where its values stand, on lines of their own or not, and
//! which comments are whose.

use std::ops::Range;

use crate::session::brackets::token;
use crate::session::branch::{Branch, Kind, Twig};
use crate::session::readable::Readable;
use crate::session::trivia::{comma, line_end, line_start, skipped};

/// A value with brackets, and what is in it.
pub(super) struct Bracket<'t> {
    /// The text as it is written.
    pub(super) written: &'t str,
    /// The text by which it is taken apart: where commas and comments are.
    pub(super) text: &'t str,
    pub(super) of: &'t Branch,
    /// Whether it is a list or tuple with values in it; else it has fields, or could.
    pub(super) is_list: bool,
    /// Behind the bracket that opens it.
    pub(super) open: usize,
    /// The bracket that closes it.
    pub(super) close: usize,
    /// The places of the values, with the names of fields.
    pub(super) units: Vec<Range<usize>>,
}

/// The lines on which a value stands alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Lines {
    /// Where its first line begins.
    pub(super) start: usize,
    /// Where the comment lines above it begin, if there are any that are said of it.
    pub(super) above: usize,
    /// Where its last line ends, without its break.
    pub(super) end: usize,
    /// Where the next line begins.
    pub(super) next: usize,
    /// The comma behind it.
    pub(super) comma: Option<usize>,
}

impl<'t> Bracket<'t> {
    /// A value of a text, if it is a list, a tuple or a group.
    pub(super) fn of(base: &'t Readable, of: &'t Branch) -> Option<Self> {
        let text = base.layout();
        let is_list = match of.kind {
            Kind::List => true,
            Kind::Tuple => !of.inside.is_empty(),
            Kind::Fields => false,
            _ => return None,
        };
        let bracket = skipped(
            text,
            of.name.as_ref().map_or(of.range.start, |name| name.end),
        );
        Some(Self {
            written: base.text(),
            text,
            of,
            is_list,
            open: bracket + 1,
            close: of.range.end - 1,
            units: of.inside.iter().map(Twig::range).collect(),
        })
    }

    /// Whether a value can be taken from its place: what cannot be read may have no end.
    pub(super) fn is_loose(&self, n: usize) -> bool {
        let twig = self.of.inside.get(n);
        twig.is_some_and(|twig| twig.value.kind != Kind::Veiled)
    }

    /// The lines of a value, if nothing else stands on them.
    pub(super) fn lines(&self, n: usize) -> Option<Lines> {
        let (text, unit) = (self.text, self.units.get(n)?);
        let start = line_start(text, unit.start);
        if !text[start..unit.start].trim().is_empty() {
            return None;
        }
        let end = line_end(text, unit.end);
        let next = text[end..].find('\n').map(|at| end + at + 1)?;
        let comma = comma(text, unit.end);
        if comma.is_some_and(|comma| comma >= end) {
            return None;
        }
        let is_last = n + 1 == self.units.len();
        let behind = comma.map_or(unit.end, |comma| comma + 1);
        // A comment behind it may go on in the next line, and then the lines aren't its own.
        let is_rest_said = skipped(text, behind) >= next && is_between(text, behind, next);
        let is_alone = is_rest_said && (is_last || comma.is_some());
        is_alone.then(|| Lines {
            start,
            above: self.above(n, start),
            end,
            next,
            comma,
        })
    }

    /// Where the comment lines above a value begin that stands on a line of its own. Those above
    /// the first say something of the whole.
    fn above(&self, n: usize, start: usize) -> usize {
        let Some(before) = n.checked_sub(1).and_then(|n| self.units.get(n)) else {
            return start;
        };
        let end = line_end(self.text, before.end);
        let next = self.text[end..].find('\n').map_or(start, |at| end + at + 1);
        let is_said = next < start
            && skipped(self.text, next) >= start
            && is_between(self.text, before.end, next);
        if is_said { next } else { start }
    }
}

/// Whether a place stands in no comment or text that begins behind another place.
pub(super) fn is_between(text: &str, mut from: usize, at: usize) -> bool {
    while from < at {
        from = token(text, from).unwrap_or(text.len());
    }
    from == at
}
