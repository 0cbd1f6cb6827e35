//! `matside teach` and `matside rehearse`: from the arguments to the running screen.

use std::io::IsTerminal;
use std::sync::Arc;

use super::args::{BrokenOff, Rehearse, Sound, Teach};
use super::load::{self, Own};
use super::report::Failure;
use crate::app::{self, Answer, ComeBack, Room, Run, What};
use crate::session::Library;
use crate::store::{Places, Shelf};
use crate::time::Offset;

pub(super) fn choose(own: Own) -> Result<(), Failure> {
    needs_terminal()?;
    let library = load::library(own)?;
    run(&with(What::Choose, library, &Sound::default(), own)?)
}

pub(super) fn teach(asked: &Teach, own: Own) -> Result<(), Failure> {
    needs_terminal()?;
    let library = load::library(own)?;
    let session = load::session(asked.which.session.as_deref(), &library)?;
    let what = What::Teach(Arc::new(session));
    let room = match (asked.ends_at, asked.slot) {
        (Some(hour), _) => Room::Until(hour),
        (None, Some(slot)) => Room::For(slot),
        (None, None) => Room::AsPlanned,
    };
    let come_back = come_back(asked.broken_off);
    run(&Run {
        room,
        come_back,
        ..with(what, library, &asked.sound, own)?
    })
}

const fn come_back(asked: BrokenOff) -> ComeBack {
    match asked {
        BrokenOff { resume: true, .. } => ComeBack::Do(Answer::WhereItStopped),
        BrokenOff { catch_up: true, .. } => ComeBack::Do(Answer::WhereTheClockSays),
        BrokenOff { close: true, .. } => ComeBack::Do(Answer::Close),
        BrokenOff { fresh: true, .. } => ComeBack::Do(Answer::Later),
        _ => ComeBack::Ask,
    }
}

pub(super) fn rehearse(asked: &Rehearse, own: Own) -> Result<(), Failure> {
    needs_terminal()?;
    let library = load::library(own)?;
    let session = load::session(asked.which.session.as_deref(), &library)?;
    let what = What::Rehearse {
        session: Arc::new(session),
        pace: asked.pace,
        from: asked.at.unwrap_or(Offset::ZERO),
    };
    run(&Run {
        room: asked.slot.map_or(Room::AsPlanned, Room::For),
        ..with(what, library, &asked.sound, own)?
    })
}

fn needs_terminal() -> Result<(), Failure> {
    if std::io::stdout().is_terminal() && std::io::stdin().is_terminal() {
        return Ok(());
    }
    Err(Failure::NoTerminal(
        "a class is taught on a terminal; run this in one, or print the class with `matside outline`",
    ))
}

fn with(what: What, library: Library, sound: &Sound, own: Own) -> Result<Run, Failure> {
    let settings = load::settings(own)?;
    let settings = match sound.sound_offset {
        Some(offset) => settings.with_sound_offset(offset),
        None => settings,
    };
    let builtin = load::session(None, &library)?;
    let places = Places::of(|name| std::env::var_os(name)).ok();
    Ok(Run {
        what,
        room: Room::AsPlanned,
        muted: sound.mute,
        settings,
        shelf: places.map(|places| Shelf::at(places.records())),
        come_back: ComeBack::Ask,
        builtin: Arc::new(builtin),
        library,
    })
}

fn run(run: &Run) -> Result<(), Failure> {
    let told = app::run(run)?;
    super::result(&told)
}
