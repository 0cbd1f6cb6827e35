//! The journal: entries written to a record one by one, each safe before the next is taken.
//!
//! It refuses to know what a file is; it has a [`Medium`] that takes bytes and makes them safe. A
//! write or sync that fails poisons the journal: what was accepted before is whole, and nothing
//! more is tried, since after a failed sync nobody knows what is on the disk.

use std::io;
use std::sync::Arc;

use super::fault::said;
use super::lack::Lack;
use crate::record::{Body, Entry, Header, Wall};

/// What a journal writes to.
pub trait Medium {
    /// Puts the bytes behind what is there.
    ///
    /// # Errors
    /// What went wrong; a part of the bytes may have been written.
    fn append(&mut self, bytes: &[u8]) -> io::Result<()>;

    /// Makes what was written safe against a power cut.
    ///
    /// # Errors
    /// What went wrong.
    fn sync(&mut self) -> io::Result<()>;

    /// What the place of it does not give.
    fn lacks(&self) -> &[Lack] {
        &[]
    }

    /// Whether what was written can still be found again.
    ///
    /// # Errors
    /// What became of it.
    fn is_there(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// The class is not recorded, or not any more.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("not recording: {why}")]
pub struct NotRecording {
    /// What happened, for a person to read.
    pub why: Arc<str>,
}

impl NotRecording {
    /// Not recording for this reason.
    #[must_use]
    pub fn since(why: impl Into<Arc<str>>) -> Self {
        Self { why: why.into() }
    }
}

/// A writer of entries.
#[derive(Debug)]
pub struct Journal<M> {
    medium: M,
    next: u64,
    poison: Option<NotRecording>,
}

impl<M: Medium> Journal<M> {
    /// Begins a record with its first line.
    ///
    /// # Errors
    /// The first line could not be made safe.
    pub fn begin(medium: M, header: &Header) -> Result<Self, NotRecording> {
        let mut journal = Self::go_on(medium, 1);
        journal.write(&header.line())?;
        Ok(journal)
    }

    /// Goes on with a record that ends in a whole line; `next` is the number of the next entry.
    #[must_use]
    pub const fn go_on(medium: M, next: u64) -> Self {
        Self {
            medium,
            next,
            poison: None,
        }
    }

    /// Writes an entry and makes it safe; gives its number.
    ///
    /// # Errors
    /// It could not be made safe, or something before it could not.
    pub fn append(&mut self, wall: Wall, body: Body) -> Result<u64, NotRecording> {
        let n = self.next;
        self.write(&Entry { n, wall, body }.line())?;
        self.next += 1;
        Ok(n)
    }

    /// Looks whether the record can still be found; poisons the journal where it cannot.
    ///
    /// # Errors
    /// It cannot, or the journal was poisoned before.
    pub fn look(&mut self) -> Result<(), NotRecording> {
        self.unless_poisoned(Medium::is_there)
    }

    /// What the place of the record does not give.
    pub fn lacks(&self) -> &[Lack] {
        self.medium.lacks()
    }

    /// Why nothing more is recorded, if that is so.
    #[must_use]
    pub const fn poison(&self) -> Option<&NotRecording> {
        self.poison.as_ref()
    }

    /// What it wrote to.
    pub fn into_medium(self) -> M {
        self.medium
    }

    fn write(&mut self, line: &[u8]) -> Result<(), NotRecording> {
        self.unless_poisoned(|medium| {
            medium.append(line)?;
            medium.sync()
        })
    }

    fn unless_poisoned(
        &mut self,
        doing: impl FnOnce(&mut M) -> io::Result<()>,
    ) -> Result<(), NotRecording> {
        if let Some(poison) = &self.poison {
            return Err(poison.clone());
        }
        doing(&mut self.medium).map_err(|error| {
            let poison = NotRecording::since(said(&error));
            self.poison = Some(poison.clone());
            poison
        })
    }
}
