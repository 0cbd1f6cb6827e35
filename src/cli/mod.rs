//! The command line: what is asked, what is answered, and with which exit status.
//!
//! Standard output carries results only. Faults go to standard error, worded for a person, and the
//! exit status is one of the BSD `sysexits` numbers, so that a script can tell them apart.

mod args;
mod keys;
mod load;
mod moves;
mod moves_page;
mod new;
mod outline;
mod records;
mod report;
mod shell;
mod teach;

use std::process::ExitCode;

use clap::Parser;

use args::{Args, Command};
use load::Own;

/// Runs the program as the command line asks.
#[must_use]
pub fn main() -> ExitCode {
    let args = match Args::try_parse() {
        Ok(args) => args,
        Err(usage) => return report::usage(&usage),
    };
    let own = if args.no_config {
        Own::Aside
    } else {
        Own::Read
    };
    let done = match args.command {
        None => teach::choose(own),
        Some(Command::Teach(asked)) => teach::teach(&asked, own),
        Some(Command::Rehearse(asked)) => teach::rehearse(&asked, own),
        Some(Command::Outline(asked)) => outline::outline(&asked, own),
        Some(Command::Records { asked }) => records::records(&asked.unwrap_or_default()),
        Some(Command::Moves(asked)) => moves::moves(&asked, own),
        Some(Command::New(asked)) => new::new(&asked),
        Some(Command::Keys) => keys::keys(own),
        Some(Command::Completions(asked)) => shell::completions(&asked),
        Some(Command::Man(asked)) => shell::man(&asked),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => report::failure(&failure),
    }
}

/// Writes a result. A reader that has had enough is no failure.
fn result(text: &str) -> Result<(), report::Failure> {
    use std::io::Write;
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(anyhow::Error::new(error).context("standard output").into())
        }
        _ => Ok(()),
    }
}

/// Writes a result into a file that is not there yet; `-` is standard output.
fn written(path: &std::path::Path, text: &str) -> Result<(), report::Failure> {
    if path.as_os_str() == "-" {
        return result(text);
    }
    crate::store::write_new(path, text.as_bytes()).map_err(|error| report::Failure::Create {
        path: path.to_owned(),
        error,
    })
}
