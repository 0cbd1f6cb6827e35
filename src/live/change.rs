//! A change that was made, and the way back from it.

use super::course::Remaining;
use super::patch::Patch;
use super::said::Said;
use crate::session::Load;
use crate::time::Offset;

/// A change that can be taken back.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Change {
    /// Changes are counted from 1, those taken back too.
    pub(super) number: u32,
    /// What it did, in words.
    pub(super) what: String,
    /// Where the class was.
    pub(super) at: Offset,
    pub(super) back: Back,
    /// What was said up to there, and was to be said.
    pub(super) said: Said,
}

/// The way back.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Back {
    /// What is to come was changed; whether it is worth taking back in part.
    Bend(Patch, bool),
    /// What ran was left.
    Jump(Remaining),
    /// What someone must spare was changed.
    Limits(Vec<Load>),
}
