//! The command line: what is asked, what is answered, and with which exit status.
//!
//! Standard output carries results only. Faults go to standard error, worded for a person, and the
//! exit status is one of the BSD `sysexits` numbers, so that a script can tell them apart.

mod args;
mod arrange;
mod check;
mod complete;
mod effort;
mod fit;
mod folders;
mod keys;
mod load;
mod moves;
mod moves_page;
mod new;
mod outline;
mod records;
mod report;
mod review;
mod search;
mod sessions;
mod sheet;
mod shell;
mod spelling;
mod teach;
mod terminal;

use std::process::ExitCode;

use clap::{CommandFactory as _, Parser};

use args::{Args, Command};
use load::Own;

use crate::store::{Present, hand_over};

/// Runs the program as the command line asks.
#[must_use]
pub fn main() -> ExitCode {
    // A shell that asks what fits is answered, and nothing else is done.
    clap_complete::CompleteEnv::with_factory(Args::command)
        .var(shell::ASKED)
        .complete();
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
        Some(Command::Check(asked)) => check::check(&asked, own),
        Some(Command::Review(asked)) => review::review(&asked, own),
        Some(Command::Effort(asked)) => effort::effort(&asked, own),
        Some(Command::Fit(asked)) => fit::fit(&asked, own),
        Some(Command::Arrange(asked)) => arrange::arrange(&asked, own),
        Some(Command::Sheet(asked)) => sheet::sheet(&asked, own),
        Some(Command::Sessions) => sessions::sessions(own),
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

/// Writes a result to where it was asked for: a file, or standard output.
fn written(to: &args::Output, text: &str) -> Result<(), report::Failure> {
    let Some(path) = to.output.as_deref().filter(|path| path.as_os_str() != "-") else {
        return result(text);
    };
    let present = if to.force {
        Present::Replaced
    } else {
        Present::Kept
    };
    hand_over(path, text.as_bytes(), present).map_err(|error| report::Failure::Create {
        path: path.to_owned(),
        error,
    })
}

/// So many of something: `1 file`, `3 files`.
fn plural(count: usize, noun: &str) -> String {
    crate::export::counted(count, noun)
}

/// Rows in columns, two spaces apart.
fn columns<const N: usize>(rows: &[[String; N]]) -> String {
    use unicode_width::UnicodeWidthStr as _;
    let mut widest = [0; N];
    for row in rows {
        for (cell, widest) in row.iter().zip(&mut widest) {
            *widest = cell.width().max(*widest);
        }
    }
    let mut page = String::new();
    for row in rows {
        let mut line = String::new();
        for (cell, widest) in row.iter().zip(widest) {
            line.push_str(cell);
            line.push_str(&" ".repeat(widest - cell.width() + 2));
        }
        page.push_str(line.trim_end());
        page.push('\n');
    }
    page
}
