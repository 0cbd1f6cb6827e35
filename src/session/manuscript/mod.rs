//! A plan while it is made: the text of a session file, what it says, and every way back.
//!
//! The text is the truth. A change is a splice in it, after which it is read again; what is shown
//! of a plan is read from the text and never kept beside it. A text with faults is held too: what
//! cannot be taken apart is left alone, and the rest can be changed. It refuses to know files,
//! clocks and keys.

mod change;
mod lookup;
mod merge;
mod rows;
mod state;
mod trail;

#[cfg(test)]
mod tests;

use std::sync::Arc;

use super::edit::Path;
use super::fault::{Fault, Faults};
use super::library::Library;
use super::model::Session;
use super::readable::Readable;
use state::State;
use trail::Trail;

pub use change::{Change, Refused};
pub use merge::{Clash, Clashes, Merged, Take};
pub use rows::{Row, RowKind};

/// The text of a session file that is being changed.
#[derive(Debug)]
pub struct Manuscript {
    name: String,
    library: Library,
    state: State,
    /// The class as it could last be read, where it cannot be read now.
    before: Option<Arc<Session>>,
    saved: String,
    /// Whether the file of what was saved is gone.
    is_gone: bool,
    trail: Trail,
}

impl Manuscript {
    /// A text as it lies in its file, which counts as saved. It never fails: a text with faults is
    /// held too. `name` is its name in faults.
    #[must_use]
    pub fn of(name: &str, text: &str, library: &Library) -> Self {
        Self {
            name: name.to_owned(),
            library: library.clone(),
            state: State::of(name, text.to_owned(), library),
            before: None,
            saved: text.to_owned(),
            is_gone: false,
            trail: Trail::default(),
        }
    }

    /// What it is called in faults.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The text, as it is to lie in the file.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.state.text
    }

    /// The class that the text says.
    ///
    /// # Errors
    /// All faults of the text, as whoever teaches it would be told them.
    pub fn reading(&self) -> Result<&Session, &Faults> {
        self.state.reading.as_deref()
    }

    /// The class as it could last be read: now, or before the change that made it faulty.
    #[must_use]
    pub fn last_good(&self) -> Option<&Session> {
        self.reading().ok().or(self.before.as_deref())
    }

    /// Every fault that can be told, those behind what cannot be taken apart too: more than
    /// [`Self::reading`] tells where brackets, quotes or commas are wrong.
    #[must_use]
    pub fn faults(&self) -> &[Fault] {
        &self.state.faults
    }

    /// Whether there is something that was not saved.
    #[must_use]
    pub fn is_changed(&self) -> bool {
        self.is_gone || self.state.text != self.saved
    }

    /// The text that was last saved, or opened.
    #[must_use]
    pub fn saved_text(&self) -> &str {
        &self.saved
    }

    /// Says that the text has been saved as it is now. The way back stays.
    pub fn saved(&mut self) {
        self.saved.clone_from(&self.state.text);
        self.is_gone = false;
    }

    /// The lines of the plan, from the class itself to its last move.
    #[must_use]
    pub fn rows(&self) -> &[Row] {
        &self.state.rows
    }

    /// Makes a change, and tells where what was changed stands now, if it stands anywhere.
    ///
    /// # Errors
    /// Why not; then everything is as it was. A change after which there are more faults than
    /// before is one that is refused, [`Change::Replace`] excepted.
    pub fn apply(&mut self, change: Change) -> Result<Option<Path>, Refused> {
        self.apply_all(vec![change])
    }

    /// Makes several changes that are one for the person: all or none, and one way back. Each goes by
    /// the text as those before it left it; the faults are counted at the end. Where what was changed
    /// last stands now.
    ///
    /// # Errors
    /// Why not, as in [`Self::apply`].
    pub fn apply_all(&mut self, changes: Vec<Change>) -> Result<Option<Path>, Refused> {
        let deed = changes.last().map_or("", Change::deed);
        let is_forced = changes
            .iter()
            .any(|change| matches!(change, Change::Replace(_)));
        let mut text = self.state.text.clone();
        let mut base = self.state.base.clone();
        let mut stands = None;
        let mut more = Some(0);
        for (n, change) in changes.into_iter().enumerate() {
            if n > 0 {
                base = Readable::tolerant(&self.name, &text).ok().map(Arc::new);
            }
            let made = change.made_in(&text, base.as_ref())?;
            text = made.text;
            stands = made.stands.or(stands);
            more = more.zip(made.more).map(|(so_far, of_it)| so_far + of_it);
        }
        if text == self.state.text {
            return Ok(stands);
        }
        let state = State::of(&self.name, text, &self.library);
        if !is_forced && state.is_worse_than(&self.state) {
            return Err(Refused::more_faults(&self.state, state));
        }
        // A comment that swallows a value is a fault to nobody who reads it.
        let counts = self.state.count().zip(state.count()).zip(more);
        if counts.is_some_and(|((was, is), more)| was + more != is) {
            return Err(Refused::NoPlace);
        }
        self.trail.did(&self.state.text, &state.text, deed);
        self.put(state);
        Ok(stands)
    }

    /// Takes the last change back. Back at the start the text is that of the file, byte for byte.
    /// The line of the text, counted from 1, at which something changed; nothing where there is
    /// nothing to take back.
    pub fn undo(&mut self) -> Option<usize> {
        let (text, at) = self.trail.undo(&self.state.text)?;
        Some(self.went(text, at))
    }

    /// Makes the change again that was taken back last. The line as in [`Self::undo`].
    pub fn redo(&mut self) -> Option<usize> {
        let (text, at) = self.trail.redo(&self.state.text)?;
        Some(self.went(text, at))
    }

    /// What [`Self::undo`] would take back, as a participle: `moved`.
    #[must_use]
    pub fn what_is_undone(&self) -> Option<&'static str> {
        self.trail.back()
    }

    /// What [`Self::redo`] would make again, as a participle.
    #[must_use]
    pub fn what_is_redone(&self) -> Option<&'static str> {
        self.trail.forth()
    }

    /// Says whether what was saved is gone from its file: then all of it is here alone.
    pub const fn set_gone(&mut self, is_gone: bool) {
        self.is_gone = is_gone;
    }

    /// What comes of a text that somebody else has put into the file since it was last saved.
    #[must_use]
    pub fn merge(&self, theirs: &str) -> Merged {
        merge::merged(&self.saved, &self.state.text, theirs)
    }

    /// Takes what came of [`Self::merge`]. From now on `theirs` counts as what was saved, since it
    /// is what lies in the file. The way back stays.
    pub fn settle(&mut self, theirs: &str, merged: String) {
        theirs.clone_into(&mut self.saved);
        self.is_gone = false;
        if merged != self.state.text {
            self.trail.did(&self.state.text, &merged, "merged");
            self.put(State::of(&self.name, merged, &self.library));
        }
    }

    fn went(&mut self, text: String, at: usize) -> usize {
        let line = 1 + text[..at].matches('\n').count();
        self.put(State::of(&self.name, text, &self.library));
        line
    }

    fn put(&mut self, state: State) {
        let old = std::mem::replace(&mut self.state, state);
        if let Ok(session) = old.reading {
            self.before = Some(session);
        }
    }
}
