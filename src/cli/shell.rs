//! `matside completions` and `matside man`: what the shell and the manual reader want to know,
//! both made from the table of arguments, so that they cannot say anything else.

use clap::CommandFactory as _;

use super::args::{Args, Completions, Man};
use super::report::Failure;

pub(super) fn completions(asked: &Completions) -> Result<(), Failure> {
    let mut script = Vec::new();
    clap_complete::generate(asked.shell, &mut Args::command(), "matside", &mut script);
    super::result(&String::from_utf8_lossy(&script))
}

pub(super) fn man(asked: &Man) -> Result<(), Failure> {
    let mut all = Args::command();
    all.build();
    let page = match asked.command.as_deref() {
        None => all,
        Some(name) => {
            let found = all.find_subcommand(name).cloned();
            found.ok_or_else(|| unknown(&all, name))?
        }
    };
    let mut roff = Vec::new();
    clap_mangen::Man::new(page)
        .render(&mut roff)
        .map_err(anyhow::Error::new)?;
    super::result(&String::from_utf8_lossy(&roff))
}

fn unknown(all: &clap::Command, name: &str) -> Failure {
    let known: Vec<&str> = all.get_subcommands().map(clap::Command::get_name).collect();
    Failure::Usage(format!(
        "there is no command `{name}`; the commands are {}",
        known.join(", ")
    ))
}
