//! `matside teach` and `matside rehearse`: from the arguments to the running screen.

use std::io::IsTerminal;
use std::sync::Arc;

use super::args::{Rehearse, Sound, Teach};
use super::load;
use super::report::Failure;
use crate::app::{self, Room, Run, Settings};
use crate::session::Session;
use crate::time::Offset;

pub(super) fn choose() -> Result<(), Failure> {
    teach(&Teach::default())
}

pub(super) fn teach(asked: &Teach) -> Result<(), Failure> {
    let (session, settings) = loaded(asked.which.session.as_deref())?;
    let room = match (asked.ends_at, asked.slot) {
        (Some(hour), _) => Room::Until(hour),
        (None, Some(slot)) => Room::For(slot),
        (None, None) => Room::AsPlanned,
    };
    run(&Run {
        room,
        ..with_sound(session, settings, &asked.sound)
    })
}

pub(super) fn rehearse(asked: &Rehearse) -> Result<(), Failure> {
    let (session, settings) = loaded(asked.which.session.as_deref())?;
    run(&Run {
        room: asked.slot.map_or(Room::AsPlanned, Room::For),
        rehearsal: Some(asked.pace),
        from: asked.at.unwrap_or(Offset::ZERO),
        ..with_sound(session, settings, &asked.sound)
    })
}

fn loaded(asked: Option<&std::path::Path>) -> Result<(Arc<Session>, Settings), Failure> {
    if !(std::io::stdout().is_terminal() && std::io::stdin().is_terminal()) {
        return Err(Failure::NoTerminal(
            "a class is taught on a terminal; run this in one, or print the class with `matside outline`",
        ));
    }
    let settings = load::settings()?;
    let library = load::library()?;
    let session = load::session(asked, &library)?.session;
    Ok((Arc::new(session), settings))
}

/// What the command line says of the sound goes before the configuration.
fn with_sound(session: Arc<Session>, settings: Settings, sound: &Sound) -> Run {
    let settings = match sound.sound_offset {
        Some(offset) => settings.with_sound_offset(offset),
        None => settings,
    };
    Run {
        session,
        room: Room::AsPlanned,
        rehearsal: None,
        from: Offset::ZERO,
        muted: sound.mute,
        settings,
    }
}

fn run(run: &Run) -> Result<(), Failure> {
    let told = app::run(run)?;
    super::result(&told)
}
