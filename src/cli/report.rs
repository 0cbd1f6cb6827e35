//! What went wrong, in words, and as an exit status.

use std::io::IsTerminal;
use std::process::ExitCode;

use crate::session::Faults;
use crate::store::{SourceError, SourceKind};

/// Wrong arguments (`EX_USAGE`).
const USAGE: u8 = 64;
/// A file with faults (`EX_DATAERR`).
const BAD_DATA: u8 = 65;
/// A file that is not there (`EX_NOINPUT`).
const NO_INPUT: u8 = 66;
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
            Self::NoTerminal(_) => USAGE,
        }
    }
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
