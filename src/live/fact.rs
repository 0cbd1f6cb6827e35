//! What happened in a class, as it is kept: the only truth about it.

use serde::{Deserialize, Serialize};

use super::input::Act;
use crate::plan::Kind;
use crate::session::Pick;
use crate::time::{Moment, Offset, Span};

/// Something that happened, with its time.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Fact {
    /// When it happened by the steady clock of the class.
    pub at: Moment,
    /// Where the class was.
    pub offset: Offset,
    /// What it was.
    pub what: What,
}

/// What can happen in a class.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum What {
    /// An interval began. Follows from the plan and the acts; kept so that a record can be read
    /// without them.
    Entered {
        /// The interval's own number.
        id: u32,
        /// What it is for.
        kind: Kind,
        /// How long it is to be.
        length: Span,
        /// The part of the session.
        part: usize,
        /// The block, counted from 1.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        block: Option<usize>,
        /// The round, counted from 1.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        round: Option<usize>,
        /// The moves, by their words in the library.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        moves: Vec<String>,
        /// The option in force.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        pick: Option<Pick>,
        /// Where the moves are done at once, each by a group: which of the works it is until
        /// everybody has been everywhere, counted from 1.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        together: Option<usize>,
    },
    /// The instructor, or the landing she took, changed something.
    Did(Act),
    /// A change was taken back: which, counted from 1 in the order in which they were made
    /// ([`Act::is_change`]), those taken back too.
    Undid(u32),
    /// The end of the slot was set, or taken away.
    EndsAt(Option<Moment>),
    /// The loudspeaker was lost (`false`) or came back (`true`).
    Sound(bool),
    /// How far ahead of the clock the loudspeaker commits, from now on.
    Reach(Span),
    /// The class is over.
    Ended(Ending),
}

/// How a class ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Ending {
    /// It ran to its end.
    Completed,
    /// The instructor ended it.
    Stopped,
    /// The program was ended from outside, or crashed, and the class was not taken up again.
    Broken,
}
