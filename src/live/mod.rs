//! The running class: one state machine, driven from outside.
//!
//! It refuses to know what time it is, and has neither terminal nor loudspeaker nor files. Somebody
//! hands it a [`Moment`](crate::time::Moment) with every input and asks when it wants to be woken;
//! a wake that comes late, early or twice changes nothing that happened.

mod acts;
mod ahead;
mod change;
mod course;
mod easy;
mod edits;
mod fact;
mod gate;
mod hold;
mod input;
mod landing;
mod landings;
mod look;
mod looking_ahead;
mod machine;
mod marks;
mod notices;
mod orders;
mod output;
mod overview;
mod patch;
mod ribbon;
mod rotation;
mod said;
mod spoken;
mod stations;
mod swap;
mod totals;
mod undo;
mod view;
mod wakes;

pub use crate::plan::{Nth, PositionChange};
pub use fact::{Ending, Fact, What};
pub use input::{Act, Harder, HoldReason, Input};
pub use landing::{Change, ChangeKind, Landing};
pub use machine::Live;
pub use notices::name as name_of;
pub use output::{Output, SoundOrder, Wake, WakeReason};
pub use ribbon::{PieceView, Ribbon};
pub use spoken::{Words, is_blind};
pub use view::{
    Asked, Digits, Done, HeldView, MeantView, MoveView, NextView, PromptView, SlotView, Stance,
    StationView, ThenView, TogetherView, VersionView, View, WindowAsked,
};

#[cfg(test)]
mod tests;
