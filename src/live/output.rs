//! What the class asks of the world, and when it wants to be woken.

use std::sync::Arc;

use super::fact::Fact;
use crate::plan::{Signal, SignalKind};
use crate::time::{Moment, Offset};

/// What the class asks of the world.
#[derive(Clone, Debug, PartialEq)]
pub enum Output {
    /// Of the loudspeaker.
    Sound(SoundOrder),
    /// Of the record.
    Fact(Fact),
}

/// What the class asks of the loudspeaker.
#[derive(Clone, Debug, PartialEq)]
pub enum SoundOrder {
    /// From `at` on the class runs from `from`: play the score's signals as they come due.
    Run {
        /// The signals of the rest of the class.
        score: Arc<[Signal]>,
        /// Where the class is at `at`.
        from: Offset,
        /// When that is.
        at: Moment,
    },
    /// One tone at a moment.
    Strike {
        /// Which.
        kind: SignalKind,
        /// When.
        at: Moment,
    },
    /// Nothing more.
    Hold,
}

/// When the class wants to be woken, and what for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wake {
    /// When.
    pub at: Moment,
    /// What for.
    pub why: WakeReason,
}

/// Why the class wants to be woken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WakeReason {
    /// An interval ends, or the count-in does.
    Boundary,
    /// The digits change.
    Digits,
    /// A prompt or a notice comes or goes.
    Words,
}
