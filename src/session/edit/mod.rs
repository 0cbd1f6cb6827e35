//! A session file changed by splices: at the places of values, and nowhere else.
//!
//! Comments, layout and whatever else the file says stay as they are, byte for byte. Why something
//! is changed, and where the text goes, is not known here.

mod bracket;
mod fields;
mod items;
mod lists;
mod piece;
mod placing;
mod times;
mod usual;
mod values;

use std::ops::Range;
use std::sync::Arc;

use super::branch::{Branch, Kind};
use super::fault::Faults;
use super::readable::Readable;
use crate::time::Span;
use bracket::Bracket;

pub use super::path::{Path, Step};
pub use fields::FieldText;
pub use times::{Role, TimeAt, set_times, times};

/// The text of a file, and what is to be changed in it.
///
/// Several changes may be made of one text as long as no two of them are in the same list or
/// group: their places are all those of the text as it is given.
#[derive(Debug)]
pub struct Edits {
    base: Arc<Readable>,
    splices: Vec<Splice>,
    openings: Vec<fields::Opening>,
}

/// A place of the text, and what stands there then.
type Splice = (Range<usize>, String);

impl Edits {
    /// The text of a file, as it lies on the disk.
    ///
    /// # Errors
    /// What no text file of ours can be.
    pub fn of(name: &str, text: &str) -> Result<Self, Faults> {
        Ok(Self::over(Arc::new(Readable::of(name, text)?)))
    }

    /// A text that was taken apart before.
    pub(super) const fn over(base: Arc<Readable>) -> Self {
        Self {
            base,
            splices: Vec::new(),
            openings: Vec::new(),
        }
    }

    /// Writes another time where one stands: a number where it was a number, `m:ss` where it was
    /// that. Whether there was a time.
    pub fn set_time(&mut self, path: &[Step], to: Span) -> bool {
        let written = self.base.at(path).and_then(|at| match at.kind {
            Kind::Number => Some((at.range.clone(), in_seconds(to))),
            Kind::Text => Some((at.range.clone(), format!("\"{to}\""))),
            _ => None,
        });
        let done = written.is_some();
        self.splices.extend(written);
        done
    }

    /// Writes other times where a list of them stands. A list of one stands for all, and gets the
    /// first. Whether there was a list as long.
    pub fn set_times(&mut self, path: &[Step], to: &[Span]) -> bool {
        let Some(long) = self.list(path).map(|list| list.inside.len()) else {
            return false;
        };
        if long != 1 && long != to.len() {
            return false;
        }
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
        let list = self.list(path).and_then(|at| Bracket::of(&self.base, at));
        let splices = list
            .filter(|list| list.units.len() == order.len())
            .and_then(|list| lists::reordered(&list, order));
        self.take(splices)
    }

    /// The text with its changes; nothing where two of them are in one place.
    #[must_use]
    pub fn finish(mut self) -> Option<String> {
        let openings = self.openings.iter().map(fields::Opening::splice);
        self.splices.extend(openings);
        self.base.spliced(self.splices)
    }

    fn list(&self, path: &[Step]) -> Option<&Branch> {
        self.base.at(path).filter(|at| at.kind == Kind::List)
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
mod place_tests;
#[cfg(test)]
mod tests;
