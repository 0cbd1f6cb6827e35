//! What the class asks of the world, and when it wants to be woken.

use super::fact::Fact;
use crate::plan::Score;
use crate::time::Moment;

/// What the class asks of the world.
#[derive(Clone, Debug, PartialEq)]
pub enum Output {
    /// Of the loudspeaker.
    Sound(SoundOrder),
    /// Of the record.
    Fact(Fact),
}

/// What the class asks of the loudspeaker: from a moment on, this is what is to be heard. What was
/// due before that moment by an earlier order stays as it was. An order may be given again at any
/// moment and changes nothing by that.
#[derive(Clone, Debug, PartialEq)]
pub struct SoundOrder {
    /// From when on.
    pub from: Moment,
    /// What, from then on; strikes before that moment count for nothing.
    pub score: Score,
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
