//! The command line: what is asked, what is answered, and with which exit status.
//!
//! Standard output carries results only. Faults go to standard error, worded for a person, and the
//! exit status is one of the BSD `sysexits` numbers, so that a script can tell them apart.

mod args;
mod arrange;
mod check;
mod complete;
mod devices;
mod draft;
mod effort;
mod fit;
mod folders;
mod keep;
mod keys;
mod load;
mod moves;
mod moves_page;
mod new;
mod outline;
mod plan;
mod print;
mod records;
mod report;
mod review;
mod sessions;
mod sheet;
mod shell;
mod spelling;
mod teach;
mod terminal;
mod track;
mod typed;
mod wished;

use std::process::ExitCode;

use clap::{CommandFactory as _, Parser};

use args::{Args, Command};
use load::Own;
use report::Failure;

/// Runs the program as the command line asks.
#[must_use]
pub fn main() -> ExitCode {
    // A shell that asks what fits is answered, and nothing else is done.
    clap_complete::CompleteEnv::with_factory(Args::command)
        .var(shell::ASKED)
        .complete();
    let args = match Args::try_parse() {
        Ok(args) => args,
        Err(usage) if usage.use_stderr() => return report::usage(&usage),
        // A page of help, or the version.
        Err(asked) => return ended(print::result(&asked.render().to_string())),
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
        Some(Command::Plan(asked)) => plan::plan(&asked, own),
        Some(Command::Outline(asked)) => outline::outline(&asked, own),
        Some(Command::Track(asked)) => track::track(&asked, own),
        Some(Command::Devices(asked)) => devices::devices(&asked, own),
        Some(Command::Check(asked)) => check::check(&asked, own),
        Some(Command::Review(asked)) => review::review(&asked, own),
        Some(Command::Effort(asked)) => effort::effort(&asked, own),
        Some(Command::Fit(asked)) => fit::fit(&asked, own),
        Some(Command::Arrange(asked)) => arrange::arrange(&asked, own),
        Some(Command::Draft(asked)) => draft::draft(&asked, own),
        Some(Command::Sheet(asked)) => sheet::sheet(&asked, own),
        Some(Command::Sessions) => sessions::sessions(own),
        Some(Command::Records { asked }) => records::records(&asked.unwrap_or_default(), own),
        Some(Command::Moves(asked)) => moves::moves(&asked, own),
        Some(Command::New(asked)) => new::new(&asked, own),
        Some(Command::Keys) => keys::keys(own),
        Some(Command::Completions(asked)) => shell::completions(&asked),
        Some(Command::Man(asked)) => shell::man(&asked),
    };
    ended(done)
}

fn ended(done: Result<(), Failure>) -> ExitCode {
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => report::failure(&failure),
    }
}
