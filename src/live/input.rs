//! What the instructor can do to a running class, and what the class asks of the world.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::fact::Fact;
use super::landing::Change;
use crate::plan::{Signal, SignalKind};
use crate::session::Load;
use crate::time::{Moment, Offset, Span};

/// Everything that can be said to a running class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Input {
    /// Nothing but that time has passed.
    Wake,
    /// Something that changes the class, and is kept.
    Act(Act),
    /// Ends the class; the first asks, the second within a few seconds does it.
    End,
    /// The asking is over: do not end.
    Cancel,
    /// The loudspeaker was lost, or is back.
    Sound(bool),
    /// The end of the slot, or that there is none.
    EndsAt(Option<Moment>),
}

/// What changes a class. Each is a fact once it is done, and replaying them gives the same class.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Act {
    /// Start the first interval.
    Begin,
    /// Stop the clock of the class.
    Hold(HoldReason),
    /// Count in and go on.
    Resume,
    /// End this interval now.
    GoOn,
    /// Back to the start of this interval; again within two seconds, the one before.
    Back,
    /// Leave a move out: this one while working, else the coming one and its rest.
    Skip,
    /// This much more time in this interval.
    Add(Span),
    /// This much less time in this interval.
    Take(Span),
    /// One step easier or harder, for this move or, between moves, the coming one.
    Step(Harder),
    /// This move again after itself.
    OnceMore,
    /// Leave out what is left of this round.
    DropRound,
    /// Go to another part of the session, counted from 0.
    GoTo(usize),
    /// Note this moment.
    Mark,
    /// What someone in the room must spare, from now on.
    Limits(Vec<Load>),
    /// Bring the class home by these changes.
    Land(Vec<Change>),
    /// Take the last change of any kind back.
    Undo,
    /// The laptop slept from a moment on, for this long by the wall clock.
    Slept {
        /// When the steady clock was last seen.
        from: Moment,
        /// How long nothing ran.
        gap: Span,
    },
    /// After a sleep, leave out as much class as the sleep lasted.
    CatchUp,
    /// End the class now.
    End,
}

/// Which way an option steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Harder {
    /// Towards the hardest option.
    Harder,
    /// Towards the gentlest option.
    Easier,
}

/// Why a class is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum HoldReason {
    /// The instructor stopped it.
    Hold,
    /// A break for everyone.
    Break,
    /// The laptop slept, the program was stopped, or it ended and was started again.
    Slept,
}

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
