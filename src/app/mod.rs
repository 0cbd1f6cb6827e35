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
mod did;
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
mod lent;
mod limits;
mod meaning;
mod opening;
mod overlay;
mod planning;
mod run;
mod search;
mod settings;
mod shell;
mod signal;
mod slot;
mod speech_settings;
mod stage;
mod stood;
mod strokes;
mod talking;
mod terminal;
mod trial;
mod tty;
mod tuning;
mod waits;
mod wires;
#[cfg(test)]
mod words_tests;
mod written;

use std::sync::Arc;

use crate::screen::{Palette, Theme};
use crate::sound;
use crate::store::Cache;
pub(crate) use clock::wall;
pub(crate) use comeback::{STILL_TODAY, broken_off};
pub(crate) use run::{Answer, ComeBack, PlanAsked, Run, SlotAsked, Wanted};
pub(crate) use settings::Ground;
pub use settings::Settings;

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

/// Shows the page on which sound is set; gives what was chosen, or nothing where all is to stay.
///
/// # Errors
/// The terminal cannot be had.
pub(crate) fn tune(settings: &Settings, keep: Option<Cache>) -> anyhow::Result<Option<Settings>> {
    let hush = Arc::new(sound::hush_stderr()?);
    let mut shell = shell::Shell::take(theme(settings.ground), hush.clone())?;
    let chosen = tuning::open(&mut shell, settings, keep);
    drop(shell);
    hush.lift();
    Ok(chosen)
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
