//! A text taken apart to its last value, with the place of each: what changes of it go by.
//!
//! The reader takes a value apart when it asks for it; whoever changes a text looks at many places
//! of it, over and over. It refuses to know what a session is.

use std::ops::Range;

use super::source::Source;
use super::tree::{Node, Raw, Shape};
use super::trivia::trimmed;

/// How deep a text is taken apart: repeats in one another with all that is in them are fifteen
/// levels. What lies deeper is one value.
const DEEPEST: usize = 24;

/// A value, and all in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Branch {
    /// Its place with the `Some(..)` around it, if there is one.
    pub(super) whole: Range<usize>,
    /// Its place, name and brackets included.
    pub(super) range: Range<usize>,
    /// The place of the name before its bracket, or of the word that it is.
    pub(super) name: Option<Range<usize>>,
    /// What it is.
    pub(super) kind: Kind,
    /// What is in it.
    pub(super) inside: Vec<Twig>,
}

/// What a value is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// A word alone.
    Word,
    /// A number.
    Number,
    /// A text in quotes.
    Text,
    /// `[a, b]`.
    List,
    /// `(a, b)`, or `()`.
    Tuple,
    /// `(a: 1)`.
    Fields,
    /// Anything else.
    Other,
    /// Something that cannot be read and has no end of its own: it stays where it is.
    Veiled,
}

/// A value in another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Twig {
    /// The place of the name of a field.
    pub(super) key: Option<Range<usize>>,
    /// Its value.
    pub(super) value: Branch,
}

impl Twig {
    /// Its place, the name of the field included.
    pub(super) fn range(&self) -> Range<usize> {
        let start = self
            .key
            .as_ref()
            .map_or(self.value.whole.start, |key| key.start);
        start..self.value.whole.end
    }
}

impl Branch {
    /// Takes a value of a text apart.
    pub(super) fn of(source: &Source, raw: Raw<'_>) -> Self {
        Self::at_depth(source, raw, 0)
    }

    /// The word that begins at a place stands for something else, which ends at another place. `kind`
    /// is what it counts as.
    pub(super) fn veil(&mut self, start: usize, end: usize, kind: Kind) {
        if self.whole.start == start && self.kind == Kind::Word {
            self.whole.end = end;
            self.range.end = end;
            self.name = None;
            self.kind = kind;
            return;
        }
        let holds = |twig: &&mut Twig| twig.value.whole.contains(&start);
        if let Some(twig) = self.inside.iter_mut().find(holds) {
            twig.value.veil(start, end, kind);
        }
    }

    /// How many values it is, itself and all in it.
    pub(super) fn count(&self) -> usize {
        let inside = self.inside.iter().map(|twig| twig.value.count());
        1 + inside.sum::<usize>()
    }

    fn at_depth(source: &Source, raw: Raw<'_>, depth: usize) -> Self {
        let node = Node::of(source, raw);
        let text = raw.get_ron();
        let start = source.range_of(text).start;
        let within = trimmed_to(text, node.range.start - start, node.range.end - start);
        let whole = start + within.start..start + within.end;
        let inner = |raw: Raw<'_>| Self::at_depth(source, raw, depth + 1);
        let twig = |key: Option<&str>, raw: Raw<'_>| Twig {
            key: key.map(|key| source.range_of(key)),
            value: inner(raw),
        };
        let is_open = depth < DEEPEST;
        let (kind, inside) = match node.shape {
            Shape::Word => (Kind::Word, Vec::new()),
            Shape::Whole(_) | Shape::Real(_) => (Kind::Number, Vec::new()),
            Shape::Text(_) => (Kind::Text, Vec::new()),
            Shape::List(items) if is_open => (
                Kind::List,
                items.into_iter().map(|raw| twig(None, raw)).collect(),
            ),
            Shape::Tuple(items) if is_open => (
                Kind::Tuple,
                items.into_iter().map(|raw| twig(None, raw)).collect(),
            ),
            Shape::Fields(fields) if is_open => (
                Kind::Fields,
                (fields.into_iter())
                    .map(|(key, raw)| twig(Some(key), raw))
                    .collect(),
            ),
            _ => (Kind::Other, Vec::new()),
        };
        Self {
            whole,
            name: (node.name).map(|name| node.range.start..node.range.start + name.len()),
            range: node.range,
            kind,
            inside,
        }
    }
}

/// The place of a value in its raw text: that of what it reads as, unless something is around that.
fn trimmed_to(text: &str, start: usize, end: usize) -> Range<usize> {
    if super::trivia::skipped(text, 0) == start {
        start..end
    } else {
        trimmed(text)
    }
}
