//! The program as it runs: the clock, the terminal, the keys, and the loop that ties them together.
//!
//! Only here is a clock read, and only here does anything wait. What happens in a class is decided
//! by `live`; this room carries inputs in and outputs out, and must never hold the class up.

mod awake;
mod clock;
mod desk;
mod keys;
mod settings;
mod shell;
mod stage;
mod terminal;
mod wires;

use std::sync::Arc;

use chrono::NaiveTime;

pub use settings::Settings;

use crate::session::Session;
use crate::time::{Offset, Span};

/// What is to be run.
#[derive(Clone, Debug)]
pub struct Run {
    /// The class.
    pub session: Arc<Session>,
    /// How long the room is ours.
    pub room: Room,
    /// For a rehearsal, how many times as fast as the clock; nothing for a class.
    pub rehearsal: Option<u32>,
    /// Where a rehearsal begins.
    pub from: Offset,
    /// Whether the signals begin muted.
    pub muted: bool,
    /// Keys, sound and looks.
    pub settings: Settings,
}

/// How long the room is ours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Room {
    /// As long as the session says, from when the class begins; for ever where it says nothing.
    AsPlanned,
    /// So long from now.
    For(Span),
    /// Until this hour.
    Until(NaiveTime),
}

/// Runs a class on the terminal, to its end or until the instructor leaves, and tells in a line
/// what was done.
///
/// # Errors
/// The terminal cannot be had. Nothing that happens once a class runs ends it.
pub fn run(run: &Run) -> anyhow::Result<String> {
    stage::run(run)
}
