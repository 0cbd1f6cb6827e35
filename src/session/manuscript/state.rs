//! A text and all that is read of it at once.

use std::ops::Range;
use std::sync::Arc;

use super::super::mask::Masked;
use super::super::read;
use super::super::readable::Readable;
use super::rows::{Row, rows};
use crate::session::fault::{Fault, Faults};
use crate::session::library::Library;
use crate::session::model::Session;

/// A text and what it says.
#[derive(Debug)]
pub(super) struct State {
    pub(super) text: String,
    /// The text taken apart; nothing where it is no text of a session at all.
    pub(super) base: Option<Arc<Readable>>,
    pub(super) reading: Result<Arc<Session>, Faults>,
    /// Every fault that can be told.
    pub(super) faults: Vec<Fault>,
    pub(super) rows: Vec<Row>,
}

impl State {
    pub(super) fn of(name: &str, text: String, library: &Library) -> Self {
        let base = Readable::tolerant(name, &text).map(Arc::new);
        let (reading, faults) = match &base {
            Ok(base) => read_all(base, library),
            Err(_) => all_of(Session::read(name, &text, library)),
        };
        let base = base.ok();
        let rows = rows(base.as_deref(), &text, &faults);
        Self {
            text,
            base,
            reading,
            faults,
            rows,
        }
    }

    /// Whether this one has more faults than another. What could not be taken apart weighs more
    /// than any number of faults behind it.
    pub(super) fn is_worse_than(&self, other: &Self) -> bool {
        self.weight() > other.weight()
    }

    /// How many values it is taken apart into, where nothing is hidden.
    pub(super) fn count(&self) -> Option<isize> {
        let base = self
            .base
            .as_deref()
            .filter(|base| base.masked().is_none())?;
        Some(base.tree().count().cast_signed())
    }

    fn weight(&self) -> (usize, usize) {
        let base = self.base.as_deref();
        let masks = base.map(|base| base.masked().map_or(0, |masked| masked.masks.len()));
        let faults = match &self.reading {
            Err(faults) => faults.count().max(self.faults.len()),
            Ok(_) => 0,
        };
        (masks.unwrap_or(usize::MAX), faults)
    }
}

type Read = (Result<Arc<Session>, Faults>, Vec<Fault>);

fn all_of(read: Result<Session, Faults>) -> Read {
    let faults = read.as_ref().err().map(|faults| faults.iter().cloned());
    let faults = faults.into_iter().flatten().collect();
    (read.map(Arc::new), faults)
}

fn read_all(base: &Readable, library: &Library) -> Read {
    let Some(masked) = base.masked() else {
        return all_of(read::session(base.written(), library));
    };
    let mut faults: Vec<Fault> = masked.masks.iter().map(|mask| mask.fault.clone()).collect();
    faults.extend(behind(base, masked, library));
    faults.sort_by_key(|fault| fault.span.start);
    let reading = read::session(base.written(), library).map(Arc::new);
    (reading, faults)
}

/// The faults of the masked text that don't come of its masks.
fn behind(base: &Readable, masked: &Masked, library: &Library) -> Vec<Fault> {
    let hides_any = |range: &Range<usize>| {
        let mut masks = masked.masks.iter().filter(|mask| mask.is_hiding);
        masks.any(|mask| range.start < mask.range.end && mask.range.start < range.end)
    };
    // Without a move that the class brings along nobody can tell which others are missing.
    let own = base.field(base.tree(), "moves");
    if own.is_some_and(|own| hides_any(&own.range())) {
        return Vec::new();
    }
    let Err(faults) = read::session(&masked.source, library) else {
        return Vec::new();
    };
    let mut around = Vec::new();
    let mut open = vec![base.tree()];
    while let Some(branch) = open.pop() {
        if hides_any(&branch.range) {
            around.push(branch.range.start);
            open.extend(branch.inside.iter().map(|twig| &twig.value));
        }
    }
    let is_own = |fault: &&Fault| !hides_any(&fault.span) && !around.contains(&fault.span.start);
    faults
        .iter()
        .filter(is_own)
        .map(|fault| base.rewritten(fault))
        .collect()
}
