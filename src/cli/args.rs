//! The arguments.

use std::path::PathBuf;

use chrono::{NaiveDate, NaiveTime};
use clap::{Args as Group, Parser, Subcommand, ValueEnum, ValueHint};

use crate::time::{Offset, Span};

/// Counts a group-fitness class out, looks ahead, and says in time what has to be said.
///
/// Without a command: choose a session and teach it.
#[derive(Debug, Parser)]
#[command(name = "matside", version, max_term_width = 100)]
pub(super) struct Args {
    /// Leave the configuration and the moves of your own aside, should a fault in them be in the way
    #[arg(long, global = true)]
    pub(super) no_config: bool,
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
    /// What was taught: list, show, note, export, history, delete
    Records {
        #[command(subcommand)]
        asked: Option<Records>,
    },
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

#[derive(Debug, Subcommand)]
pub(super) enum Records {
    /// List what was taught, the earliest first
    List(WhichRecords),
    /// Show one class: planned beside taught
    Show {
        /// The record's name, or enough of it; left out: the last one
        name: Option<String>,
    },
    /// Add how it was, or change it: what is not given stays
    Note(Note),
    /// Hand records to other programs, or make chapter marks for a recording
    Export(Export),
    /// What was worked, week by week
    History(WhichRecords),
    /// Delete a record, for ever
    Delete(Delete),
}

impl Default for Records {
    fn default() -> Self {
        Self::List(WhichRecords::default())
    }
}

/// Which records.
#[derive(Debug, Default, Group)]
pub(super) struct WhichRecords {
    /// Taught on this day or later
    #[arg(long, value_name = "YYYY-MM-DD")]
    pub(super) since: Option<NaiveDate>,
    /// Taught on this day or earlier
    #[arg(long, value_name = "YYYY-MM-DD")]
    pub(super) until: Option<NaiveDate>,
    /// With these words in the title
    #[arg(long, value_name = "WORDS")]
    pub(super) title: Option<String>,
}

#[derive(Debug, Group)]
pub(super) struct Note {
    /// The record's name, or enough of it; left out: the last one
    pub(super) name: Option<String>,
    /// How hard it was for the room, 0 (rest) to 10 (as hard as can be)
    #[arg(long, value_name = "0-10")]
    pub(super) rating: Option<u8>,
    /// How many came
    #[arg(long, value_name = "N")]
    pub(super) people: Option<u32>,
    /// A few words; no names of participants, please
    #[arg(long, value_name = "TEXT")]
    pub(super) words: Option<String>,
}

#[expect(clippy::struct_excessive_bools, reason = "each is a flag of its own")]
#[derive(Debug, Group)]
pub(super) struct Export {
    /// The record's name, or enough of it; left out: all of them, for chapters the last one
    pub(super) name: Option<String>,
    /// A table, a row a class (this is the usual)
    #[arg(long, conflicts_with_all = ["moves", "json", "vtt", "captions"])]
    pub(super) csv: bool,
    /// A table, a row a move
    #[arg(long, conflicts_with_all = ["json", "vtt", "captions"])]
    pub(super) moves: bool,
    /// JSON, an object a class
    #[arg(long, conflicts_with_all = ["vtt", "captions"])]
    pub(super) json: bool,
    /// WebVTT chapters of one class as it was taught
    #[arg(long, conflicts_with = "captions")]
    pub(super) vtt: bool,
    /// WebVTT captions: what there was to say
    #[arg(long)]
    pub(super) captions: bool,
    /// When the recording began; left out: with the class
    #[arg(long, value_name = "HH:MM:SS")]
    pub(super) from: Option<String>,
    /// What a chapter is
    #[arg(long, value_enum, default_value_t = By::Block)]
    pub(super) by: By,
    #[command(flatten)]
    pub(super) which: WhichRecords,
    /// The file to write; - or left out: standard output
    #[arg(short, long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub(super) output: Option<PathBuf>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum By {
    /// A block, the warm-up, a briefing
    Block,
    /// A round
    Round,
    /// A move
    Move,
}

#[derive(Debug, Group)]
pub(super) struct Delete {
    /// The record's name, or enough of it
    pub(super) name: String,
    /// Do not ask
    #[arg(long)]
    pub(super) yes: bool,
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
    pub(super) broken_off: BrokenOff,
    #[command(flatten)]
    pub(super) sound: Sound,
}

/// What becomes of a class that broke off; without any of these it is asked.
#[derive(Clone, Copy, Debug, Default, Group)]
#[group(multiple = false)]
#[expect(clippy::struct_excessive_bools, reason = "each is a flag of its own")]
pub(super) struct BrokenOff {
    /// Go on with a class that broke off, where it stopped
    #[arg(long)]
    pub(super) resume: bool,
    /// Go on with a class that broke off, where the clock says it would be
    #[arg(long)]
    pub(super) catch_up: bool,
    /// Close a class that broke off, and begin afresh
    #[arg(long)]
    pub(super) close: bool,
    /// Begin afresh, and leave what broke off for later
    #[arg(long)]
    pub(super) fresh: bool,
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
