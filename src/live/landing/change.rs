//! A change to what is left of a class, as it is kept in the record.
//!
//! It refuses to know places in a timeline: intervals are named by their own numbers, which stay.

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
    /// A copy of it as [`Copy`](Self::Copy) makes one, that stands in another round.
    Round {
        /// Whose successor the copy becomes (or the copy put there before it).
        after: u32,
        /// How long the copy is.
        length: Span,
        /// The round in which it stands, counted from 1.
        round: usize,
    },
}
