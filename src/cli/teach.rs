//! `matside teach` and `matside rehearse`: from the arguments to the running screen.

use std::io::IsTerminal;
use std::sync::Arc;

use super::args::{BrokenOff, Rehearse, Sound, Teach};
use super::load::{self, Own};
use super::report::Failure;
use super::{folders, print, terminal};
use crate::app::{self, Answer, ComeBack, Run, SlotAsked, Wanted};
use crate::record::{Wall, wall};
use crate::session::Library;
use crate::store::{Places, Shelf};
use crate::time::Offset;

pub(super) fn choose(own: Own) -> Result<(), Failure> {
    needs_terminal()?;
    let library = load::library(own)?;
    run(&Run {
        lost: resumable(BrokenOff::default(), None)?,
        ..with(Wanted::Choose, library, &Sound::default(), own)?
    })
}

pub(super) fn teach(asked: &Teach, own: Own) -> Result<(), Failure> {
    needs_terminal()?;
    let library = load::library(own)?;
    let named = asked.which.session.as_deref();
    let session = folders::session(named, &library, own)?;
    let lost = resumable(asked.broken_off, named.map(|_| session.title.as_str()))?;
    let what = Wanted::Teach(Arc::new(session));
    let room = match (asked.ends_at, asked.slot) {
        (Some(hour), _) => SlotAsked::Until(hour),
        (None, Some(slot)) => SlotAsked::For(slot),
        (None, None) => SlotAsked::AsPlanned,
    };
    let come_back = come_back(asked.broken_off);
    run(&Run {
        room,
        come_back,
        lost,
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
    let session = folders::session(asked.which.session.as_deref(), &library, own)?;
    let what = Wanted::Rehearse {
        session: Arc::new(session),
        pace: asked.pace,
        from: asked.at.unwrap_or(Offset::ZERO),
        go: asked.go,
    };
    run(&Run {
        room: asked.slot.map_or(SlotAsked::AsPlanned, SlotAsked::For),
        ..with(what, library, &asked.sound, own)?
    })
}

pub(super) fn needs_terminal() -> Result<(), Failure> {
    if !(std::io::stdout().is_terminal() && std::io::stdin().is_terminal()) {
        return Err(Failure::NoTerminal(
            "a class is taught on a terminal; run this in one, or print the class with `matside outline`".into(),
        ));
    }
    let set = |name: &str| std::env::var(name).ok();
    match terminal::lacks(set) {
        Some(why) => Err(Failure::NoTerminal(why)),
        None => Ok(()),
    }
}

/// Wanted a record of today that cannot be read means for a class that broke off, in a sentence for
/// the page that offers one. Wanted was asked for unasked must be clear: the class that was named,
/// and none passed over.
fn resumable(asked: BrokenOff, named: Option<&str>) -> Result<String, Failure> {
    let Ok(shelf) = load::shelf() else {
        return Ok(String::new());
    };
    let now = app::wall();
    let offered = app::broken_off(&shelf, now).map(|class| class.summary);
    let do_it = asked.resume || asked.catch_up || asked.close;
    let listing = match shelf.listing() {
        Ok(listing) => listing,
        Err(fault) if do_it => return Err(fault.into()),
        // A folder that cannot be read stops no class; that it is not recorded is told in it.
        Err(_) => return Ok(String::new()),
    };
    let today = |when: Wall| wall::since(now, when) <= app::STILL_TODAY;
    let lost = listing.unreadable.into_iter().rev().find(|one| {
        let later = |when| offered.as_ref().is_none_or(|class| class.started <= when);
        one.when.is_some_and(|when| today(when) && later(when))
    });
    let sentence = lost.as_ref().map_or_else(String::new, |lost| {
        format!(
            " A later record, {}, cannot be read, so its class cannot be resumed.",
            lost.name
        )
    });
    match (offered, lost) {
        (_, Some(lost)) if do_it && named.is_none() => {
            let ways = "so its class cannot be resumed; an earlier one can, where its session is named; `--fresh` begins afresh";
            Err(Failure::Damaged { fault: lost.fault, ways: ways.into() })
        }
        (None, Some(lost)) if do_it => Err(Failure::Damaged {
            fault: lost.fault,
            ways: "so its class cannot be resumed; `--fresh` begins afresh".into(),
        }),
        (None, None) if asked.resume || asked.catch_up => Err(Failure::NotFound(
            "no class broke off in the last 12 hours; leave --resume and --catch-up away to begin one".into(),
        )),
        (Some(class), _) if do_it && named.is_some_and(|named| named != class.title) => {
            Err(Failure::Usage(format!(
                "the class that broke off is `{}`, not `{}`; without a session named, `matside teach --resume` goes on with it, and `--fresh` leaves it for later",
                class.title,
                named.unwrap_or_default()
            )))
        }
        (None, Some(lost)) => {
            super::report::note(&lost.to_string());
            Ok(sentence)
        }
        _ => Ok(sentence),
    }
}

pub(super) fn with(
    what: Wanted,
    library: Library,
    sound: &Sound,
    own: Own,
) -> Result<Run, Failure> {
    let settings = load::settings(own)?;
    let settings = match sound.sound_offset {
        Some(offset) => settings.with_sound_offset(offset),
        None => settings,
    };
    let builtin = load::demo(&library)?;
    let places = Places::of(|name| std::env::var_os(name)).ok();
    Ok(Run {
        what,
        room: SlotAsked::AsPlanned,
        muted: sound.mute,
        settings,
        shelf: places.map(|places| Shelf::at(places.records())),
        cache: super::load::words_cache(),
        come_back: ComeBack::Ask,
        lost: String::new(),
        builtin: Arc::new(builtin),
        library,
    })
}

pub(super) fn run(run: &Run) -> Result<(), Failure> {
    let told = app::run(run)?;
    print::result(&told)
}
