//! The parts of a class in the order in which they are taught: what is repeated stands there as
//! often as it comes, and what lasts up to a mark knows it.
//!
//! An interval names its part by the place in this list. What a part comes to is not known here.

use super::model::{Part, Session};
use crate::time::Span;

/// Which time of how many a part is taught, counted from 1; none of none where it is not repeated.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Go {
    /// Which.
    pub nth: usize,
    /// Of how many.
    pub of: usize,
}

/// A part as it is taught.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Laid<'a> {
    /// The part; never one that holds others.
    pub part: &'a Part,
    /// Which time it comes.
    pub go: Go,
    /// Up to which place of the class it lasts, where it does.
    pub mark: Option<Span>,
}

impl Session {
    /// The parts as they are taught.
    #[must_use]
    pub fn laid(&self) -> Vec<Laid<'_>> {
        let mut out = Vec::new();
        for part in &self.parts {
            lay(part, Go::default(), None, &mut out);
        }
        out
    }

    /// The part with a place in that list.
    #[must_use]
    pub fn laid_part(&self, nth: usize) -> Option<&Part> {
        let mut left = nth;
        self.parts.iter().find_map(|part| nth_of(part, &mut left))
    }

    /// The part of the file, counted from 0, that the part with a place in that list is, or is in.
    #[must_use]
    pub fn file_part(&self, nth: usize) -> Option<usize> {
        let (mut left, mut parts) = (nth, self.parts.iter());
        parts.position(|part| nth_of(part, &mut left).is_some())
    }
}

fn lay<'a>(part: &'a Part, go: Go, mark: Option<Span>, out: &mut Vec<Laid<'a>>) {
    match part {
        Part::Until { mark, part } => lay(part, go, Some(*mark), out),
        Part::Repeat {
            times,
            parts,
            between,
        } => {
            let times = *times as usize;
            let of = go.of.max(1) * times;
            for nth in 1..=times {
                let nth = (go.nth.max(1) - 1) * times + nth;
                let go = Go { nth, of };
                for part in parts {
                    lay(part, go, mark, out);
                }
                if let Some(between) = between.as_deref().filter(|_| !nth.is_multiple_of(times)) {
                    lay(between, go, mark, out);
                }
            }
        }
        part => out.push(Laid { part, go, mark }),
    }
}

fn nth_of<'a>(part: &'a Part, left: &mut usize) -> Option<&'a Part> {
    match part {
        Part::Until { part, .. } => nth_of(part, left),
        Part::Repeat {
            times,
            parts,
            between,
        } => (1..=*times).find_map(|nth| {
            let between = between.as_deref().filter(|_| nth < *times);
            let mut all = parts.iter().chain(between);
            all.find_map(|part| nth_of(part, left))
        }),
        part => match left.checked_sub(1) {
            None => Some(part),
            Some(less) => {
                *left = less;
                None
            }
        },
    }
}
