//! Landing: the changes that end a class on the slot's time.

use serde::{Deserialize, Serialize};

use crate::time::Span;

/// One change to what is left of a class.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Change {
    /// The interval's own number.
    pub id: u32,
    /// What becomes of it.
    pub kind: ChangeKind,
}

/// What becomes of an interval.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ChangeKind {
    /// It gets this length.
    Length(Span),
    /// It is left out.
    Drop,
    /// A copy of it, this long, is put after the interval with the number `after`.
    Copy {
        /// Whose successor the copy becomes (or the copy put there before it).
        after: u32,
        /// How long the copy is.
        length: Span,
    },
}

/// A way to end the class on time.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Landing {
    /// The changes.
    pub changes: Vec<Change>,
    /// The changes as a person understands them, a line each.
    pub lines: Vec<String>,
    /// What remains over the slot, all the same.
    pub over: Span,
    /// What remains in hand.
    pub in_hand: Span,
}
