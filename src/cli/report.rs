//! What went wrong, in words, and as an exit status.

use std::io::IsTerminal;
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
    /// What was asked for cannot be.
    #[error("{0}")]
    Asked(String),
    /// A record, or its folder.
    #[error("{0}")]
    Store(#[from] StoreFault),
    /// A file cannot be made.
    #[error("`{}` cannot be written: {}", .0.display(), said(.1))]
    CannotCreate(PathBuf, std::io::Error),
    /// There is no terminal.
    #[error("{0}")]
    NoTerminal(&'static str),
    /// Something of the system.
    #[error("{0:#}")]
    System(#[from] anyhow::Error),
}

impl Failure {
    fn status(&self) -> u8 {
        match self {
            Self::Faults(_) => BAD_DATA,
            Self::Source(error) if error.kind() == SourceKind::NoInput => NO_INPUT,
            Self::Source(_) | Self::System(_) => IO,
            Self::NoTerminal(_) | Self::Asked(_) => USAGE,
            Self::CannotCreate(..) => CANNOT_CREATE,
            Self::Store(fault) => of_store(fault),
        }
    }
}

fn of_store(fault: &StoreFault) -> u8 {
    match fault {
        StoreFault::NoRecord { .. } => NO_INPUT,
        StoreFault::Several { .. } => USAGE,
        StoreFault::Record { .. } | StoreFault::Unknown { .. } | StoreFault::Ended { .. } => {
            BAD_DATA
        }
        _ => IO,
    }
}

/// Tells something that a person should know, and that fails nothing.
#[expect(
    clippy::print_stderr,
    reason = "reports go to standard error, and only here"
)]
pub(super) fn note(text: &str) {
    eprintln!("matside: {text}");
}

/// Tells a failure on standard error.
#[expect(
    clippy::print_stderr,
    reason = "reports go to standard error, and only here"
)]
pub(super) fn failure(failure: &Failure) -> ExitCode {
    match failure {
        Failure::Faults(faults) => eprint!("{faults}"),
        other => eprintln!("matside: {other}"),
    }
    ExitCode::from(failure.status())
}

/// Tells what was wrong with the arguments, or what was asked about them.
#[expect(
    clippy::print_stderr,
    clippy::print_stdout,
    reason = "help is a result, a fault is not"
)]
pub(super) fn usage(usage: &clap::Error) -> ExitCode {
    let text = usage.render();
    if usage.use_stderr() {
        if std::io::stderr().is_terminal() {
            eprint!("{}", text.ansi());
        } else {
            eprint!("{text}");
        }
        ExitCode::from(USAGE)
    } else {
        print!("{text}");
        ExitCode::SUCCESS
    }
}
