//! A session file changed by splices: at the places of values, and nowhere else.
//!
//! Comments, layout and whatever else the file says stay as they are, byte for byte. Why something
//! is changed, and where the text goes, is not known here.

mod fields;
mod lists;
mod times;

use std::ops::Range;

use super::fault::Faults;
use super::source::Source;
use super::syntax;
use super::tree::{Node, Shape};
use crate::time::Span;

pub use fields::FieldText;
pub use times::{Role, TimeAt, set_times, times};

/// A step from a value to one inside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Step {
    /// The field of a group.
    Field(&'static str),
    /// The value of a list or tuple, counted from 0.
    Item(usize),
}

/// The way from the whole file to a value.
pub type Path = Vec<Step>;

/// The text of a file, and what is to be changed in it.
#[derive(Debug)]
pub struct Edits {
    source: Source,
    /// What was before the text and is no part of it: a byte order mark, or nothing.
    mark: &'static str,
    splices: Vec<(Range<usize>, String)>,
    openings: Vec<fields::Opening>,
}

impl Edits {
    /// The text of a file, as it lies on the disk.
    ///
    /// # Errors
    /// What no text file of ours can be.
    pub fn of(name: &str, text: &str) -> Result<Self, Faults> {
        let mark = if text.starts_with('\u{feff}') {
            "\u{feff}"
        } else {
            ""
        };
        let source = Source::of(name, text)?;
        syntax::whole(&source, "a session is `Session(..)`")?;
        Ok(Self {
            source,
            mark,
            splices: Vec::new(),
            openings: Vec::new(),
        })
    }

    /// Writes another time where one stands: a number where it was a number, `m:ss` where it was
    /// that. Whether there was a time.
    pub fn set_time(&mut self, path: &[Step], to: Span) -> bool {
        let written = self.at(path, |node| match node.shape {
            Shape::Whole(_) | Shape::Real(_) => Some((node.range.clone(), in_seconds(to))),
            Shape::Text(_) => Some((node.range.clone(), format!("\"{to}\""))),
            _ => None,
        });
        let Some(Some(splice)) = written else {
            return false;
        };
        self.splices.push(splice);
        true
    }

    /// Writes other times where a list of them stands. A list of one stands for all, and gets the
    /// first. Whether there was a list as long.
    pub fn set_times(&mut self, path: &[Step], to: &[Span]) -> bool {
        let long = self.at(path, |node| match &node.shape {
            Shape::List(items) => Some(items.len()),
            _ => None,
        });
        let Some(Some(long)) = long.filter(|long| *long == Some(1) || *long == Some(to.len()))
        else {
            return false;
        };
        let mut path = path.to_vec();
        (0..long).zip(to).all(|(n, to)| {
            path.push(Step::Item(n));
            let done = self.set_time(&path, *to);
            path.pop();
            done
        })
    }

    /// Puts the values of a list into another order: first the one that is now at `order[0]`. What
    /// is said of a value on lines of its own above it, or behind it in its line, goes with it.
    /// Whether there was a list as long.
    pub fn reorder(&mut self, path: &[Step], order: &[usize]) -> bool {
        let source = &self.source;
        let items = self.at(path, |node| match &node.shape {
            Shape::List(items) => {
                let ranges = items.iter().map(|raw| Node::of(source, raw).range);
                Some(ranges.collect::<Vec<_>>())
            }
            _ => None,
        });
        let Some(Some(items)) =
            items.filter(|items| items.as_ref().is_some_and(|i| i.len() == order.len()))
        else {
            return false;
        };
        let splices = lists::reordered(self.source.text(), &items, order);
        self.splices.extend(splices);
        true
    }

    /// The text with its changes.
    #[must_use]
    pub fn finish(mut self) -> String {
        let openings = self.openings.iter().map(fields::Opening::splice);
        self.splices.extend(openings);
        self.splices.sort_by_key(|(range, _)| range.start);
        let text = self.source.text();
        // The reader puts a line break behind the text, which is not part of it.
        let text = &text[..text.len() - 1];
        let mut out = self.mark.to_owned();
        let mut from = 0;
        for (range, new) in &self.splices {
            out.push_str(&text[from..range.start]);
            out.push_str(new);
            from = range.end;
        }
        out.push_str(&text[from..]);
        out
    }

    /// Something of the value at a path, if there is one.
    fn at<T>(&self, path: &[Step], of: impl FnOnce(&Node<'_>) -> T) -> Option<T> {
        let raw = syntax::whole(&self.source, "").ok()?;
        let mut node = Node::of(&self.source, raw);
        for step in path {
            let inner = match (step, &node.shape) {
                (Step::Field(name), Shape::Fields(fields)) => {
                    fields.iter().find(|(key, _)| key == name)?.1
                }
                (Step::Item(n), Shape::List(items) | Shape::Tuple(items)) => *items.get(*n)?,
                _ => return None,
            };
            node = Node::of(&self.source, inner);
        }
        Some(of(&node))
    }
}

/// A time as a file writes it in seconds.
fn in_seconds(span: Span) -> String {
    let (whole, millis) = (span.millis() / 1000, span.millis() % 1000);
    if millis == 0 {
        return whole.to_string();
    }
    format!("{whole}.{millis:03}")
        .trim_end_matches('0')
        .to_owned()
}

#[cfg(test)]
mod tests;
