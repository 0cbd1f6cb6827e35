//! The running class: one state machine, driven from outside.
//!
//! It refuses to know what time it is, and has neither terminal nor loudspeaker nor files. Somebody
//! hands it a [`Moment`](crate::time::Moment) with every input and asks when it wants to be woken;
//! a wake that comes late, early or twice changes nothing that happened.

mod acts;
mod ahead;
mod done;
mod edit;
mod fact;
mod input;
mod landing;
mod look;
mod machine;
mod orders;
mod ribbon;
mod said;
mod stands;
mod undo;
mod view;
mod wakes;
mod whole;

pub use crate::plan::Body;
pub use fact::{Ending, Fact, What};
pub use input::{Act, Harder, HoldReason, Input, Output, SoundOrder, Wake, WakeReason};
pub use landing::{Change, ChangeKind, Landing, apply, apply_running};
pub use machine::Live;
pub use ribbon::{PieceView, Ribbon};
pub use view::{
    Asked, Digits, Done, HeldView, MoveView, NextView, PromptView, SlotView, Stance, ThenView,
    VersionView, View,
};

#[cfg(test)]
mod tests;
