//! What a window is given: stretches of time, things worth saying, calls.

use super::worth::{Rank, Worth};
use crate::time::{Offset, Span};

/// A piece of the window in which people do one thing: the work itself, then each pause.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in super::super) struct Stretch {
    /// Where it begins.
    pub(in super::super) from: Offset,
    /// Where it ends.
    pub(in super::super) until: Offset,
    /// What is counted aloud: no prompt may touch it. In any order; it may reach past the stretch.
    pub(in super::super) closed: Vec<(Offset, Offset)>,
    /// Least silence between two prompts whose places may be chosen.
    pub(in super::super) gap: Span,
    /// How much of it may be speech; what was already spoken is taken off.
    pub(in super::super) budget: Span,
}

/// Where in its range a prompt should stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in super::super) enum Hold {
    /// As early as it can.
    Early,
    /// As late as it can without pushing another away.
    Late,
}

/// A part of one stretch in which a variant may be said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in super::super) struct Range {
    /// The stretch, by its place in the window.
    pub(in super::super) stretch: usize,
    /// The earliest beginning.
    pub(in super::super) from: Offset,
    /// The latest end.
    pub(in super::super) by: Offset,
    pub(in super::super) hold: Hold,
    /// What is gained on top where it is said here and in this variant.
    pub(in super::super) bonus: Worth,
    /// Said before this only as far as the rest that is said would have no room otherwise.
    pub(in super::super) soft_from: Option<Offset>,
}

/// One way to put an ask into words.
#[derive(Clone, Debug)]
pub(in super::super) struct Variant<T> {
    /// The words, or what stands for them.
    pub(in super::super) say: T,
    /// How long it takes to say, with breath.
    pub(in super::super) long: Span,
    /// Everything but calls is said in the order of this number, then of the asks.
    pub(in super::super) order: u8,
    /// Where it may be said. Among ranges of the same bonus the earliest place counts.
    pub(in super::super) ranges: Vec<Range>,
}

/// Something worth saying, at a place that may be chosen.
#[derive(Clone, Debug)]
pub(in super::super) struct Ask<T> {
    pub(in super::super) rank: Rank,
    /// The ask, by its place in the window, without which this one makes no sense: it is said
    /// earlier, or this one is not said.
    pub(in super::super) needs: Option<usize>,
    /// Whether it announces what comes after the stretch; it may stand close to a call.
    pub(in super::super) coming: bool,
    /// At most one of them is said; where it makes no difference to the worth, the first.
    pub(in super::super) variants: Vec<Variant<T>>,
}

/// Something that is said at its time or not at all.
#[derive(Clone, Debug)]
pub(in super::super) struct Call<T> {
    /// The words, or what stands for them.
    pub(in super::super) say: T,
    pub(in super::super) rank: Rank,
    /// The stretch, by its place in the window.
    pub(in super::super) stretch: usize,
    pub(in super::super) at: Offset,
    /// How long it takes to say, with breath.
    pub(in super::super) long: Span,
}

/// From the start of one move to the start of the next.
#[derive(Clone, Debug)]
pub(in super::super) struct Window<T> {
    /// In order of time; none begins before the one before it ends.
    pub(in super::super) stretches: Vec<Stretch>,
    pub(in super::super) asks: Vec<Ask<T>>,
    pub(in super::super) calls: Vec<Call<T>>,
}
