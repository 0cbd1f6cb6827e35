//! The arguments.

use std::path::PathBuf;

use chrono::NaiveTime;
use clap::{Args as Group, Parser, Subcommand, ValueHint};

use crate::time::{Offset, Span};

/// Counts a group-fitness class out, looks ahead, and says in time what has to be said.
///
/// Without a command: choose a session and teach it.
#[derive(Debug, Parser)]
#[command(name = "matside", version, max_term_width = 100)]
pub(super) struct Args {
    #[command(subcommand)]
    pub(super) command: Option<Command>,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Teach a session live
    Teach(Teach),
    /// Run through a session, as fast as you like
    Rehearse(Rehearse),
    /// Print a session: its intervals, what to say, its signals
    Outline(Outline),
    /// Search the library of moves, and show them
    Moves(Moves),
    /// Print a commented session file to start from
    New(New),
    /// Print the keys in force, and where they can be changed
    Keys,
    /// Print the script that lets a shell complete the arguments
    Completions(Completions),
    /// Print a page of the manual
    Man(Man),
}

/// Which session.
#[derive(Debug, Default, Group)]
pub(super) struct Which {
    /// The session file, or the name of one in `sessions`; left out: the demonstration class
    #[arg(value_hint = ValueHint::FilePath)]
    pub(super) session: Option<PathBuf>,
}

/// How the signals are heard.
#[derive(Debug, Default, Group)]
pub(super) struct Sound {
    /// Begin with the signals muted
    #[arg(long)]
    pub(super) mute: bool,
    /// Send the sound this many milliseconds earlier, for a loudspeaker that is late
    #[arg(long, value_name = "MS", allow_negative_numbers = true, value_parser = clap::value_parser!(i64).range(-1000..=1000))]
    pub(super) sound_offset: Option<i64>,
}

#[derive(Debug, Default, Group)]
pub(super) struct Teach {
    #[command(flatten)]
    pub(super) which: Which,
    /// When the room must be left, by the clock on the wall
    #[arg(long, value_name = "HH:MM", value_parser = hour, conflicts_with = "slot")]
    pub(super) ends_at: Option<NaiveTime>,
    /// How long the room is ours from now on
    #[arg(long, value_name = "MM:SS", value_parser = span)]
    pub(super) slot: Option<Span>,
    #[command(flatten)]
    pub(super) sound: Sound,
}

#[derive(Debug, Default, Group)]
pub(super) struct Rehearse {
    #[command(flatten)]
    pub(super) which: Which,
    /// How many times as fast as the clock, 1 to 60
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=60))]
    pub(super) pace: u32,
    /// Where in the class to begin
    #[arg(long, value_name = "MM:SS", value_parser = offset)]
    pub(super) at: Option<Offset>,
    /// How long the room would be ours
    #[arg(long, value_name = "MM:SS", value_parser = span)]
    pub(super) slot: Option<Span>,
    #[command(flatten)]
    pub(super) sound: Sound,
}

#[derive(Debug, Default, Group)]
pub(super) struct Outline {
    #[command(flatten)]
    pub(super) which: Which,
    /// As JSON
    #[arg(long, conflicts_with = "csv")]
    pub(super) json: bool,
    /// The intervals as a table
    #[arg(long)]
    pub(super) csv: bool,
}

#[derive(Debug, Default, Group)]
pub(super) struct Moves {
    /// What to look for: each word in a name, position, region, muscle, load or thing needed
    pub(super) words: Vec<String>,
    /// The move of this id and no other
    #[arg(long, value_name = "ID", conflicts_with = "words")]
    pub(super) show: Option<String>,
    /// Everything about each move that is found
    #[arg(long)]
    pub(super) full: bool,
}

#[derive(Debug, Group)]
pub(super) struct New {
    /// The title of the class
    pub(super) name: String,
    /// The file to make; left out or `-`: standard output
    #[arg(short, long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub(super) output: Option<PathBuf>,
}

#[derive(Debug, Group)]
pub(super) struct Completions {
    /// For which shell
    pub(super) shell: clap_complete::Shell,
}

#[derive(Debug, Group)]
pub(super) struct Man {
    /// The command; left out: the program
    pub(super) command: Option<String>,
}

fn span(text: &str) -> Result<Span, String> {
    let read = match text.parse::<f64>() {
        Ok(secs) => Span::parse_secs(secs),
        Err(_) => Span::parse_clock(text),
    };
    match read {
        Ok(span) if span.is_zero() => Err("give a time longer than zero".into()),
        Ok(span) => Ok(span),
        Err(error) => Err(error.to_string()),
    }
}

fn offset(text: &str) -> Result<Offset, String> {
    match Span::parse_clock(text) {
        Ok(span) => Ok(Offset::ZERO + span),
        Err(error) => Err(error.to_string()),
    }
}

fn hour(text: &str) -> Result<NaiveTime, String> {
    NaiveTime::parse_from_str(text, "%H:%M")
        .map_err(|_| "give the hour and minute, such as 18:45".into())
}
