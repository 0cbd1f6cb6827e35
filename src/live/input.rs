//! What can be said to a running class: what the instructor does, and what the world tells.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::landing::Change;
use crate::session::{Load, Move};
use crate::time::{Moment, Span};

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
    /// How far ahead of the clock the loudspeaker has already committed: a count-in begins that
    /// much later, so that its first beep is on time. Kept as a fact, since the class goes on by it.
    Reach(Span),
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
    /// One step easier or harder, or to the next version for a joint or a position, for this move or, between moves, the coming one.
    Step(Harder),
    /// Another move in place of this one, or between moves of the coming one, to the end of its
    /// block. The whole move is kept, so that a record can be read without a library.
    Swap(Arc<Move>),
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
    /// To the next version for a joint or a position.
    Instead,
}

/// Why a class is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum HoldReason {
    /// The instructor stopped it.
    Hold,
    /// A break for everyone.
    Break,
    /// The instructor helps somebody; everybody else keeps moving by themselves.
    Moving,
    /// The laptop slept, the program was stopped, or it ended and was started again.
    Slept,
}

impl Act {
    /// Whether it changes a class that runs, so that it can be taken back. Changes are counted in
    /// the order in which they were made.
    #[must_use]
    pub const fn is_change(&self) -> bool {
        match self {
            Self::GoOn
            | Self::Back
            | Self::Skip
            | Self::Add(_)
            | Self::Take(_)
            | Self::Step(_)
            | Self::Swap(_)
            | Self::OnceMore
            | Self::DropRound
            | Self::GoTo(_)
            | Self::Limits(_)
            | Self::Land(_)
            | Self::CatchUp
            | Self::End => true,
            Self::Begin
            | Self::Hold(_)
            | Self::Resume
            | Self::Mark
            | Self::Undo
            | Self::Slept { .. } => false,
        }
    }
}
