//! The words of a class: what is to be said, when, and what could not be.

use serde::{Deserialize, Serialize};

use crate::time::{Offset, Span};

/// What a prompt is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PromptKind {
    /// The coming move by name, with its change of position.
    Preview,
    /// How to get into it.
    Setup,
    /// What to fetch for it.
    Fetch,
    /// Another version of it.
    Option,
    /// How it is done well.
    Form,
    /// Half of the work is done.
    Half,
    /// Change sides.
    Switch,
    /// Seconds left.
    Seconds,
    /// A recovery, or the end of the class, comes.
    Recover,
    /// What the planner wrote for a briefing, a recovery or a move, what changes in the next round,
    /// or the list of a circuit.
    Brief,
}

impl PromptKind {
    /// Whether it is said at its time or not at all.
    pub(super) const fn is_call(self) -> bool {
        matches!(self, Self::Half | Self::Switch | Self::Seconds)
    }
}

/// Words with their time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Prompt {
    /// When it begins to be said.
    pub at: Offset,
    /// When it has been said.
    pub until: Offset,
    /// What it is about.
    pub kind: PromptKind,
    /// The words.
    pub say: String,
    /// The interval in which it is said, by its place in the timeline.
    pub interval: usize,
    /// The interval which it is about.
    pub about: usize,
    /// The number of that interval, which stays with it whatever is changed around it.
    pub id: u32,
    /// Whether it is for a limit of someone in the room.
    pub marked: bool,
}

impl Prompt {
    /// The same words so much later, where each interval has another place.
    #[must_use]
    pub fn moved(&self, place: impl Fn(usize) -> usize, by: Span) -> Self {
        Self {
            at: self.at + by,
            until: self.until + by,
            interval: place(self.interval),
            about: place(self.about),
            ..self.clone()
        }
    }
}

/// Words for which there was no time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unplaced {
    /// The interval which they are about.
    pub about: usize,
    /// What they are about.
    pub kind: PromptKind,
    /// The words.
    pub say: String,
    /// Whether they are for a limit of someone in the room.
    pub marked: bool,
    /// How much time was missing.
    pub short: Span,
    /// Why they could not be placed.
    pub why: String,
}

/// Something that was shown to be said while its interval ran.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heard {
    /// The number of the interval in which it was said.
    pub said_in: u32,
    /// The number of the interval which it was about.
    pub about: u32,
    /// What it was about.
    pub kind: PromptKind,
    /// The words.
    pub say: String,
    /// When it began to be said.
    pub at: Offset,
    /// When it had been said.
    pub until: Offset,
}
