//! The program as it runs: the clock, the terminal, the keys, and the loop that ties them together.
//!
//! Only here is a clock read, and only here does anything wait. What happens in a class is decided
//! by `live`; this room carries inputs in and outputs out, and must never hold the class up.

mod actions;
mod after;
mod awake;
mod card;
mod chooser;
mod clock;
mod comeback;
mod desk;
mod ears;
mod errand;
mod flow;
mod footer;
mod hands;
#[cfg(test)]
mod heard_tests;
mod hours;
mod keys;
mod landing;
mod last_time;
mod limits;
mod opening;
mod overlay;
mod search;
mod settings;
mod shell;
mod signal;
mod slot;
mod stage;
mod stood;
mod strokes;
mod terminal;
mod trial;
mod tty;
mod wires;

use std::sync::Arc;
use std::time::Duration;

use chrono::NaiveTime;

use crate::screen::{Hint, Palette, Theme};
use crate::session::{Library, Session};
use crate::sound;
use crate::store::Shelf;
use crate::time::{Offset, Span};
pub(crate) use clock::wall;
pub(crate) use comeback::{Answer, STILL_TODAY, broken_off};
pub(crate) use settings::Ground;
pub use settings::Settings;

/// How long a page waits at most before it looks at the hour and the loudspeaker again.
const LOOK: Duration = Duration::from_secs(1);
/// How long leaving waits for the disk.
const FINISH: Duration = Duration::from_secs(3);

/// What is to be run, and with what.
#[derive(Debug)]
pub(crate) struct Run {
    /// What.
    pub(crate) what: What,
    /// How long the room is ours.
    pub(crate) room: Room,
    /// Whether the signals begin muted.
    pub(crate) muted: bool,
    /// Keys, sound and looks.
    pub(crate) settings: Settings,
    /// Where classes are recorded, if anywhere.
    pub(crate) shelf: Option<Shelf>,
    /// Whether a class that broke off is offered.
    pub(crate) come_back: ComeBack,
    /// What has to be told of records that cannot be taken up, where one is offered.
    pub(crate) lost: String,
    /// The demonstration class.
    pub(crate) builtin: Arc<Session>,
    /// The moves.
    pub(crate) library: Library,
}

/// What is to be run.
#[derive(Debug)]
pub(crate) enum What {
    /// A session chosen from a list.
    Choose,
    /// This class, live.
    Teach(Arc<Session>),
    /// A rehearsal.
    Rehearse {
        /// The class.
        session: Arc<Session>,
        /// How many times as fast as the clock.
        pace: u32,
        /// Where it begins.
        from: Offset,
        /// Whether it begins without the page of the class.
        go: bool,
    },
}

/// How long the room is ours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Room {
    /// As long as the session says, from when the class begins; for ever where it says nothing.
    AsPlanned,
    /// So long from now.
    For(Span),
    /// Until this hour.
    Until(NaiveTime),
}

/// Whether a class that broke off is offered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum ComeBack {
    /// Ask.
    Ask,
    /// Do this, unasked.
    Do(Answer),
}

/// Runs what was asked for on the terminal, until it is over or left, and tells in a line what was
/// done.
///
/// # Errors
/// The terminal cannot be had. Nothing that happens once a class runs ends it.
pub(crate) fn run(run: &Run) -> anyhow::Result<String> {
    let hush = Arc::new(sound::hush_stderr()?);
    let shell = shell::Shell::take(theme(run.settings.ground), hush.clone())?;
    let told = flow::Flow::new(run, shell).go();
    hush.lift();
    Ok(told)
}

fn theme(ground: Ground) -> Theme {
    let of = |name: &str| std::env::var(name).ok();
    let palette = Palette::of_environment(
        of("COLORTERM").as_deref(),
        of("TERM").as_deref(),
        of("NO_COLOR").as_deref(),
    );
    Theme::of(palette, ground == Ground::Light)
}

/// Keys and what they do, for a footer.
fn hints(pairs: &[(&str, &str)]) -> Vec<Hint> {
    pairs
        .iter()
        .map(|(key, action)| Hint::new(*key, *action))
        .collect()
}
