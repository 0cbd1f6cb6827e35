//! `matside completions` and `matside man`: what the shell and the manual reader want to know,
//! both made from the table of arguments, so that they cannot say anything else.

use std::path::Path;

use clap::{Command, CommandFactory as _};
use clap_complete::Shell;
use clap_complete::env::Shells;

use super::args::{Args, Completions, Man};
use super::print;
use super::report::Failure;
use crate::store::{Present, hand_over, make_folder};

/// The variable by which a shell's script asks the program what fits.
pub(super) const ASKED: &str = "MATSIDE_COMPLETE";

/// The script has the shell ask the program, which knows the sessions, records and moves there are.
pub(super) fn completions(asked: &Completions) -> Result<(), Failure> {
    let mut script = Vec::new();
    let name = asked.shell.to_string();
    let shells = Shells::builtins();
    match shells.completer(&name) {
        Some(shell) => shell
            .write_registration(ASKED, "matside", "matside", "matside", &mut script)
            .map_err(anyhow::Error::new)?,
        None => clap_complete::generate(asked.shell, &mut Args::command(), "matside", &mut script),
    }
    // The mark of zsh must stand in the first line.
    let script = String::from_utf8_lossy(&script);
    let script = script.trim_start();
    let mark = script
        .split_inclusive('\n')
        .next()
        .filter(|line| line.starts_with("#compdef"));
    let mark = mark.unwrap_or_default();
    print::result(&format!(
        "{mark}{}{}",
        place(asked.shell),
        &script[mark.len()..]
    ))
}

/// Where the script belongs, as a comment at its head.
fn place(shell: Shell) -> &'static str {
    match shell {
        Shell::Bash => "# Save as ~/.local/share/bash-completion/completions/matside\n",
        Shell::Zsh => "# Save as _matside in a folder of your $fpath\n",
        Shell::Fish => "# Save as ~/.config/fish/completions/matside.fish\n",
        Shell::Elvish => "# Add to ~/.config/elvish/rc.elv\n",
        Shell::PowerShell => "# Add to the file that $PROFILE names\n",
        _ => "",
    }
}

pub(super) fn man(asked: &Man) -> Result<(), Failure> {
    let mut all = Args::command();
    all.build();
    if let Some(folder) = asked.folder.as_deref().filter(|_| asked.all) {
        let present = if asked.force {
            Present::Replaced
        } else {
            Present::Kept
        };
        return pages(&all, folder, present);
    }
    let mut page = &all;
    for name in &asked.command {
        let found = page
            .find_subcommand(name)
            .filter(|one| one.get_name() != "help");
        page = found.ok_or_else(|| unknown(page, name))?;
    }
    print::result(&roff(page)?)
}

fn roff(page: &Command) -> Result<String, Failure> {
    let mut roff = Vec::new();
    clap_mangen::Man::new(page.clone())
        .render(&mut roff)
        .map_err(anyhow::Error::new)?;
    Ok(String::from_utf8_lossy(&roff).into_owned())
}

/// Every page as a file, the program's and those of all commands below it.
fn pages(page: &Command, folder: &Path, present: Present) -> Result<(), Failure> {
    let failed = |path: &Path| {
        let path = path.to_owned();
        move |error| Failure::Create { path, error }
    };
    make_folder(folder).map_err(failed(folder))?;
    let name = page.get_display_name().unwrap_or_else(|| page.get_name());
    let path = folder.join(format!("{name}.1"));
    hand_over(&path, roff(page)?.as_bytes(), present).map_err(failed(&path))?;
    commands(page).try_for_each(|below| pages(below, folder, present))
}

/// The commands below this one that do something.
fn commands(page: &Command) -> impl Iterator<Item = &Command> {
    page.get_subcommands()
        .filter(|one| one.get_name() != "help")
}

fn unknown(page: &Command, name: &str) -> Failure {
    let known: Vec<&str> = commands(page).map(Command::get_name).collect();
    if known.is_empty() {
        return Failure::Usage(format!("`{}` has no commands of its own", page.get_name()));
    }
    Failure::Usage(format!(
        "there is no command `{name}`; the commands are {}",
        known.join(", ")
    ))
}
