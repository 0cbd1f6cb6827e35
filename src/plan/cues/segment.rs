//! One segment of the class: from the start of a move to the start of the next.
//!
//! What is said in it depends on what came before it, never on what is chosen elsewhere, but for
//! what the segment before left over.

use std::ops::Range;

use super::occurrence::Occurrence;
use crate::time::Offset;

/// From the start of one move to the start of the next.
pub(super) struct Segment<'a> {
    pub(super) now: Option<Occurrence<'a>>,
    pub(super) between: Range<usize>,
    pub(super) next: Option<Occurrence<'a>>,
}

impl Segment<'_> {
    /// Where it begins.
    pub(super) fn begin(&self) -> Offset {
        let now = self.now.as_ref();
        now.map_or(Offset::ZERO, |now| now.interval.start)
    }

    /// Its intervals, in order.
    pub(super) fn intervals(&self) -> impl DoubleEndedIterator<Item = usize> + Clone {
        let now = self.now.as_ref().map(|now| now.at);
        now.into_iter().chain(self.between.clone())
    }
}
