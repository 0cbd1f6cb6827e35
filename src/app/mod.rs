//! The program as it runs: the clock, the terminal, the keys, and the loop that ties them together.
//!
//! Only here is a clock read, and only here does anything wait. What happens in a class is decided
//! by `live`; this room carries inputs in and outputs out, and must never hold the class up.

mod clock;
mod desk;
mod keys;
mod shell;
mod stage;
mod terminal;
mod wires;

use std::path::PathBuf;
use std::sync::Arc;

use chrono::NaiveTime;

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
    /// How many milliseconds earlier the sound is sent, where it was asked for.
    pub sound_offset: Option<i64>,
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

/// The folder of the user's configuration: `MATSIDE_CONFIG`, or `matside` in the XDG folder.
#[must_use]
pub fn config_folder() -> Option<PathBuf> {
    let of = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty());
    if let Some(folder) = of("MATSIDE_CONFIG") {
        return Some(folder.into());
    }
    let base = of("XDG_CONFIG_HOME")
        .map(PathBuf::from)
        .or_else(|| of("HOME").map(|home| PathBuf::from(home).join(".config")));
    base.map(|base| base.join("matside"))
}
