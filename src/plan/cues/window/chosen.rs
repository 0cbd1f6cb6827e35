//! What comes of a window: what is said in it, and what is not.

use super::worth::Worth;
use crate::time::{Offset, Span};

/// An ask or a call of a window, by its place in the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(in super::super) enum Item {
    Ask { ask: usize, variant: usize },
    Call(usize),
}

/// Something said, with its time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in super::super) struct Said {
    pub(in super::super) item: Item,
    pub(in super::super) stretch: usize,
    pub(in super::super) at: Offset,
    pub(in super::super) until: Offset,
}

/// Something not said. Of an ask, the variant is its shortest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in super::super) struct Missed {
    pub(in super::super) item: Item,
    pub(in super::super) why: Lack,
}

/// Why something is not said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in super::super) enum Lack {
    /// The ask that it needs is not said before it either.
    Needed(usize),
    /// There is nowhere to say it: no range, or only before an ask that it needs.
    Nowhere,
    /// There is too little room beside what is said.
    Room(Opening),
}

/// What is open to something in the stretch that leaves it most.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) struct Opening {
    pub(in super::super) stretch: usize,
    /// The longest time in one piece.
    pub(in super::super) time: Span,
    /// The speech still allowed.
    pub(in super::super) allowance: Span,
    /// How long it would take.
    pub(in super::super) long: Span,
}

impl Opening {
    /// How much can be said here.
    pub(in super::super) fn room(&self) -> Span {
        self.time.min(self.allowance)
    }

    /// Whether it is the allowance, not the time, that is short.
    pub(in super::super) fn is_over_budget(&self) -> bool {
        self.allowance < self.time
    }
}

/// What is said in a window, and what is not.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(in super::super) struct Selection {
    /// In order of time.
    pub(in super::super) said: Vec<Said>,
    /// The asks, then the calls.
    pub(in super::super) missed: Vec<Missed>,
    pub(in super::super) worth: Worth,
}
