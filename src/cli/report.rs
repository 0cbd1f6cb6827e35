//! What went wrong, in words, and as an exit status.

use std::io::{self, IsTerminal, Write as _};
use std::path::PathBuf;
use std::process::ExitCode;

use crate::session::Faults;
use crate::store::{SourceError, SourceKind, StoreFault, said};

/// Wrong arguments (`EX_USAGE`).
const USAGE: u8 = 64;
/// A file with faults (`EX_DATAERR`).
const BAD_DATA: u8 = 65;
/// A file that is not there (`EX_NOINPUT`).
const NO_INPUT: u8 = 66;
/// A file that cannot be made (`EX_CANTCREAT`).
const CANNOT_CREATE: u8 = 73;
/// An error of reading, writing or the terminal (`EX_IOERR`).
const IO: u8 = 74;

/// Why a command could not be done.
#[derive(Debug, thiserror::Error)]
pub(super) enum Failure {
    /// A file has faults.
    #[error("{0}")]
    Faults(Faults),
    /// A file cannot be read.
    #[error("{0}")]
    Source(SourceError),
    /// A record, or its folder.
    #[error("{0}")]
    Store(#[from] StoreFault),
    /// A record is damaged, and there are ways to what can be read.
    #[error("{fault}\n  {ways}")]
    Damaged {
        /// The damage.
        fault: StoreFault,
        /// The ways.
        ways: String,
    },
    /// There is no terminal that could show a class.
    #[error("{0}")]
    NoTerminal(String),
    /// Files with faults that were told already.
    #[error("{0}")]
    Checked(String),
    /// Something asked for cannot be done so.
    #[error("{0}")]
    Usage(String),
    /// Nothing is there that fits.
    #[error("{0}")]
    NotFound(String),
    /// A file cannot be made.
    #[error("`{}` cannot be made: {}", path.display(), refused(error))]
    Create {
        /// The file.
        path: PathBuf,
        /// What the system says.
        error: io::Error,
    },
    /// Something of the system.
    #[error("{0:#}")]
    System(#[from] anyhow::Error),
}

impl Failure {
    fn status(&self) -> u8 {
        match self {
            Self::Faults(_) | Self::Checked(_) => BAD_DATA,
            Self::Source(error) if error.kind() == SourceKind::NoInput => NO_INPUT,
            Self::Source(_) | Self::System(_) => IO,
            Self::NoTerminal(_) | Self::Usage(_) => USAGE,
            Self::NotFound(_) => NO_INPUT,
            Self::Create { .. } => CANNOT_CREATE,
            Self::Store(fault) | Self::Damaged { fault, .. } => of_store(fault),
        }
    }
}

fn of_store(fault: &StoreFault) -> u8 {
    match fault {
        StoreFault::NoRecord { .. } => NO_INPUT,
        StoreFault::Several { .. } => USAGE,
        StoreFault::Special { .. }
        | StoreFault::Record { .. }
        | StoreFault::Unknown { .. }
        | StoreFault::Ended { .. } => BAD_DATA,
        _ => IO,
    }
}

/// Tells something that a person should know, and that fails nothing.
pub(super) fn note(text: &str) {
    tell(&format!("matside: {text}\n"));
}

/// What the system says about a file that cannot be made, with what to do.
fn refused(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::AlreadyExists => {
            "there is one already; give it another name, or add --force to write over it".into()
        }
        io::ErrorKind::IsADirectory => "it is a folder; give the name of a file in it".into(),
        _ => said(error),
    }
}

/// Tells a failure on standard error.
pub(super) fn failure(failure: &Failure) -> ExitCode {
    match failure {
        Failure::Faults(faults) => tell(&format!("{faults}\n")),
        other => tell(&format!("matside: {other}\n")),
    }
    ExitCode::from(failure.status())
}

/// Tells what was wrong with the arguments.
pub(super) fn usage(usage: &clap::Error) -> ExitCode {
    let text = usage.render();
    if io::stderr().is_terminal() {
        put(&text.ansi().to_string());
    } else {
        put(&text.to_string());
    }
    ExitCode::from(USAGE)
}

/// Tells a report. Names of files and what stands in damaged ones may hold anything, and nothing
/// in a report may move the cursor.
pub(super) fn tell(text: &str) {
    put(&safe(text));
}

/// A text without anything that could move the cursor but the ends of its lines.
pub(super) fn safe(text: &str) -> String {
    let safe = |c: char| match c {
        '\n' | '\t' => c,
        _ if c.is_control() => '?',
        _ => c,
    };
    text.chars().map(safe).collect()
}

/// Reports go to standard error, and only here. Where nobody listens there is nothing to do.
fn put(text: &str) {
    let mut to = io::stderr().lock();
    let _ = to.write_all(text.as_bytes()).and_then(|()| to.flush());
}
