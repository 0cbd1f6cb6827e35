//! What can go wrong with files, in words for a person: what it is, where, and what to do.

use std::io;
use std::path::{Path, PathBuf};

use crate::record;

/// What can go wrong with records and settings.
#[derive(Debug, thiserror::Error)]
pub enum StoreFault {
    /// The system refused.
    #[error("`{}` cannot be {doing}: {}", path.display(), said(source))]
    Disk {
        /// What was tried, as a participle.
        doing: &'static str,
        /// With which file or folder.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// Another program is writing the record.
    #[error("`{name}` is being written by another running class; end that first")]
    InUse {
        /// The record.
        name: String,
    },
    /// No record is called that.
    #[error("no record is called `{name}`; `matside records` lists them")]
    NoRecord {
        /// What was looked for.
        name: String,
    },
    /// Several records begin like that.
    #[error("`{name}` fits {count} records; write more of the name")]
    Several {
        /// What was looked for.
        name: String,
        /// How many fit.
        count: usize,
    },
    /// Something that is called like a record.
    #[error("`{name}` is no ordinary file, so it is not read")]
    Special {
        /// What it is called.
        name: String,
    },
    /// The record cannot be read.
    #[error("`{name}`: {fault}")]
    Record {
        /// The record.
        name: String,
        /// Why.
        fault: record::Fault,
    },
    /// The class of the record has an end.
    #[error("the class of `{name}` has ended; it cannot be taken up again")]
    Ended {
        /// The record.
        name: String,
    },
    /// A newer version of the program wrote things that this one does not know.
    #[error(
        "a newer version of the program taught the class of `{name}`; this one would take it up wrongly"
    )]
    Unknown {
        /// The record.
        name: String,
    },
    /// No folder to keep records or settings in.
    #[error(
        "no folder is known for {what}: set `{variable}` to one, since neither XDG folders nor a home folder are set"
    )]
    NoFolder {
        /// For what.
        what: &'static str,
        /// The variable that would name it.
        variable: &'static str,
    },
}

impl StoreFault {
    pub(super) fn disk(doing: &'static str, path: &Path) -> impl FnOnce(io::Error) -> Self {
        let path = path.to_owned();
        move |source| Self::Disk {
            doing,
            path,
            source,
        }
    }
}

/// The system's error in words, with what to do where something can be done.
#[must_use]
pub fn said(error: &io::Error) -> String {
    let words = match error.kind() {
        io::ErrorKind::StorageFull => "the disk is full; make room on it",
        io::ErrorKind::QuotaExceeded => "your share of the disk is used up; make room",
        io::ErrorKind::ReadOnlyFilesystem => "the disk can only be read; choose another folder",
        io::ErrorKind::PermissionDenied => {
            "writing or reading is not allowed there; change its permissions or choose another folder"
        }
        io::ErrorKind::NotFound => "it is not there, or its folder was removed",
        io::ErrorKind::NotADirectory => "a part of its path is no folder",
        io::ErrorKind::FileTooLarge => "the file may not grow any more",
        io::ErrorKind::IsADirectory => "it is a folder",
        _ => {
            let words = error.to_string();
            let number = words.find(" (os error ").unwrap_or(words.len());
            return words[..number].to_lowercase();
        }
    };
    words.to_owned()
}
