//! The file of a plan that is being made: opened, watched for what others do to it, saved whole.
//!
//! What the text says is not known here, nor what is to be done about a text that somebody else
//! has put there.

use std::io;
use std::path::{Path, PathBuf};

use super::fault::StoreFault;
use super::handed::{Present, hand_over};
use super::source::{SourceError, SourceKind, read_source};
use crate::session::{Faults, Library, Session};

const NO_PLAN: &str = "somebody has put something there that is no plan";

/// A file, and what was last seen in it.
#[derive(Clone, Debug)]
pub struct PlanFile {
    path: PathBuf,
    /// What was in it when it was last read or written; nothing where it was not there.
    seen: Option<String>,
}

/// Why a file was not opened as a plan.
#[derive(Debug, thiserror::Error)]
pub enum NotOpened {
    /// It cannot be read.
    #[error(transparent)]
    Source(#[from] SourceError),
    /// It is no text.
    #[error(transparent)]
    NoText(#[from] Faults),
}

/// What has become of a file since it was last seen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Meanwhile {
    /// Nothing.
    Same,
    /// It has another text.
    Changed(String),
    /// It is not there any more.
    Gone,
    /// It cannot be read any more, and why.
    Unread(String),
}

/// What came of saving.
#[derive(Clone, Debug, PartialEq, Eq)]
#[must_use]
pub enum Saving {
    /// The text is in the file.
    Done,
    /// Somebody else has changed the file to this text; nothing was written.
    Changed(String),
}

impl PlanFile {
    /// Opens a file with its text; nothing where it is not there yet.
    ///
    /// # Errors
    /// [`NotOpened`] where something is there that is no plan.
    pub fn open(path: &Path) -> Result<(Self, Option<String>), NotOpened> {
        let seen = match text_of(path) {
            Err(NotOpened::Source(SourceError::Missing(_))) => None,
            read => Some(read?),
        };
        let file = Self {
            path: path.to_owned(),
            seen: seen.clone(),
        };
        Ok((file, seen))
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// What was last seen in it; nothing where it was not there.
    #[must_use]
    pub fn seen(&self) -> Option<&str> {
        self.seen.as_deref()
    }

    /// Whether it was there when it was last seen.
    #[must_use]
    pub const fn is_there(&self) -> bool {
        self.seen.is_some()
    }

    /// What has become of it since it was last opened, saved or heeded.
    #[must_use]
    pub fn look(&self) -> Meanwhile {
        match (text_of(&self.path), &self.seen) {
            (Ok(text), Some(seen)) if text == *seen => Meanwhile::Same,
            (Ok(text), _) => Meanwhile::Changed(text),
            (Err(NotOpened::Source(SourceError::Missing(_))), None) => Meanwhile::Same,
            (Err(NotOpened::Source(SourceError::Missing(_))), Some(_)) => Meanwhile::Gone,
            (Err(why), _) => Meanwhile::Unread(why.to_string()),
        }
    }

    /// Puts a text into it, whole: the old or the new one is there whatever happens, unless the file
    /// has other names or its folder takes no new file, where it is written in its place. Links are
    /// followed and the mode of the file is kept. Where somebody else has changed it meanwhile nothing
    /// is written; only what is done in the very moment of writing goes unnoticed. One that is gone
    /// is made again.
    ///
    /// # Errors
    /// What the system says.
    pub fn save(&mut self, text: &str) -> Result<Saving, StoreFault> {
        // Whoever is just writing it may be seen between two halves of a letter.
        let seen = match self.look() {
            Meanwhile::Unread(_) => self.look(),
            seen => seen,
        };
        match seen {
            Meanwhile::Changed(theirs) if theirs != text => return Ok(Saving::Changed(theirs)),
            Meanwhile::Unread(_) => return Err(self.no_plan()),
            _ => {}
        }
        hand_over(&self.path, text.as_bytes(), Present::Replaced)
            .map_err(StoreFault::disk("saved", &self.path))?;
        self.seen = Some(text.to_owned());
        Ok(Saving::Done)
    }

    /// Takes note of a text that somebody else has put there: the next saving goes over it.
    pub fn heeded(&mut self, theirs: &str) {
        self.seen = Some(theirs.to_owned());
    }

    /// Why what cannot be read is not written over unseen.
    fn no_plan(&self) -> StoreFault {
        let why = match text_of(&self.path) {
            Err(NotOpened::Source(SourceError::Io { error, .. })) => error,
            Err(NotOpened::Source(source)) if source.kind() == SourceKind::NoInput => {
                io::Error::new(io::ErrorKind::InvalidInput, NO_PLAN)
            }
            _ => io::Error::new(io::ErrorKind::InvalidData, NO_PLAN),
        };
        StoreFault::disk("saved", &self.path)(why)
    }
}

fn text_of(path: &Path) -> Result<String, NotOpened> {
    let bytes = read_source(path)?;
    match String::from_utf8(bytes) {
        Ok(text) => Ok(text),
        Err(bytes) => {
            let name = path.display().to_string();
            let read = Session::read_bytes(&name, bytes.as_bytes(), &Library::default());
            let why = read.err().map_or(
                SourceError::Missing(path.to_owned()).into(),
                NotOpened::NoText,
            );
            Err(why)
        }
    }
}

#[cfg(test)]
#[expect(clippy::disallowed_methods, reason = "a test is somebody else")]
mod tests {
    use std::fs;

    use super::*;

    fn saved(file: &mut PlanFile, text: &str) -> Saving {
        file.save(text).expect("saved")
    }

    #[test]
    fn what_somebody_else_has_written_is_never_written_over() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("ebb.ron");
        let (mut file, text) = PlanFile::open(&path).expect("a new one");
        assert_eq!((text, file.look()), (None, Meanwhile::Same));
        assert_eq!(saved(&mut file, "one"), Saving::Done);
        assert_eq!(fs::read_to_string(&path).expect("there"), "one");

        fs::write(&path, "two").expect("written");
        assert_eq!(file.look(), Meanwhile::Changed("two".into()));
        assert_eq!(saved(&mut file, "mine"), Saving::Changed("two".into()));
        assert_eq!(fs::read_to_string(&path).expect("there"), "two");
        file.heeded("two");
        assert_eq!(file.look(), Meanwhile::Same);
        fs::write(&path, "three").expect("written");
        assert_eq!(saved(&mut file, "mine"), Saving::Changed("three".into()));
        // The same text from two hands is no quarrel.
        assert_eq!(saved(&mut file, "three"), Saving::Done);

        fs::remove_file(&path).expect("removed");
        assert_eq!(file.look(), Meanwhile::Gone);
        assert_eq!(saved(&mut file, "mine"), Saving::Done);
        assert_eq!(fs::read_to_string(&path).expect("there"), "mine");

        // Somebody makes the file of a plan that was none when it was begun.
        let path = folder.path().join("flow.ron");
        let (mut file, _) = PlanFile::open(&path).expect("a new one");
        fs::write(&path, "theirs").expect("written");
        assert_eq!(saved(&mut file, "mine"), Saving::Changed("theirs".into()));
    }

    #[test]
    fn what_is_no_plan_is_neither_opened_nor_written_over() {
        let folder = tempfile::tempdir().expect("a folder");
        assert!(PlanFile::open(folder.path()).is_err());
        let path = folder.path().join("ebb.ron");
        fs::write(&path, b"\xff\xfe").expect("written");
        let why = PlanFile::open(&path).expect_err("no text").to_string();
        assert!(why.contains("UTF-16"), "{why}");

        let _ = fs::remove_file(&path);
        let (mut file, _) = PlanFile::open(&path).expect("a new one");
        fs::write(&path, b"\xff").expect("written");
        assert!(matches!(file.look(), Meanwhile::Unread(_)));
        assert!(file.save("mine").is_err());
        assert_eq!(fs::read(&path).expect("there"), b"\xff");
        let nowhere = folder.path().join("none").join("a.ron");
        let (mut file, _) = PlanFile::open(&nowhere).expect("a new one");
        let why = file.save("mine").expect_err("no folder").to_string();
        assert!(why.contains("its folder was removed"), "{why}");
    }
}
