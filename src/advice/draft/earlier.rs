//! The moves of the classes drafted before this one for the same wishes, so that it is another: those
//! of their work, or those of their warm-ups and cool-downs.

use std::collections::BTreeMap;

/// How many of the classes before have each move.
#[derive(Clone, Debug, Default)]
pub(super) struct Earlier {
    classes: BTreeMap<String, i64>,
}

impl Earlier {
    /// A class more, with each of its moves once.
    pub(super) fn note<'m>(&mut self, moves: impl IntoIterator<Item = &'m String>) {
        for id in moves {
            *self.classes.entry(id.clone()).or_default() += 1;
        }
    }

    /// What a move counts of `most` that may be known: one where one class has it; where two have it
    /// more than there may be.
    pub(super) fn weighs(&self, id: &str, most: i64) -> i64 {
        match self.classes.get(id) {
            None => 0,
            Some(1) => 1,
            Some(_) => most + 1,
        }
    }

    /// Whether this is the first class.
    pub(super) fn is_none(&self) -> bool {
        self.classes.is_empty()
    }
}
