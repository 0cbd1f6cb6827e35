//! What is to be run and with what, as it was asked for: handed on from the arguments.

use std::path::PathBuf;
use std::sync::Arc;

use chrono::NaiveTime;

use super::settings::Settings;
use crate::session::{Library, Session};
use crate::store::{Cache, Shelf};
use crate::time::{Offset, Span};

/// What is to be run, and with what.
#[derive(Debug)]
pub(crate) struct Run {
    /// What.
    pub(crate) what: Wanted,
    /// How long the room is ours.
    pub(crate) room: SlotAsked,
    /// Whether the signals begin muted.
    pub(crate) muted: bool,
    /// Keys, sound and looks.
    pub(crate) settings: Settings,
    /// Where classes are recorded, if anywhere.
    pub(crate) shelf: Option<Shelf>,
    /// Where spoken prompts are kept, if anywhere.
    pub(crate) cache: Option<Cache>,
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
pub(crate) enum Wanted {
    /// A session chosen from a list.
    Choose,
    /// This class, live.
    Teach(Arc<Session>),
    /// A class planned at a page.
    Plan(PlanAsked),
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

/// The class that is to be planned.
#[derive(Debug)]
pub(crate) struct PlanAsked {
    /// Its file, which may not be there yet; nothing where it is named when it is saved.
    pub(crate) file: Option<PathBuf>,
    /// The text of a class that is begun.
    pub(crate) begun: String,
    /// Where plans that were not saved are kept aside.
    pub(crate) aside: Option<PathBuf>,
}

/// How long the room is ours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum SlotAsked {
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

/// What is to become of a class that broke off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Answer {
    /// Go on where it stopped.
    WhereItStopped,
    /// Go on where the clock says it would be.
    WhereTheClockSays,
    /// It is over.
    Close,
    /// Leave it as it is for now.
    Later,
}
