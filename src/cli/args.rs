//! The arguments.

use std::path::PathBuf;

use chrono::{NaiveDate, NaiveTime};
use clap::{ArgGroup, Args as Group, Parser, Subcommand, ValueEnum, ValueHint};
use clap_complete::ArgValueCandidates;

use super::complete;
use super::typed::{bits, day, hour, offset, one_of, people, rating, span};
use super::wished::{Focus, exertion, focus, kit, level, limit, nth_of_three};
use crate::advice::{BlockWish, Exertion, Kit, Level};
use crate::session::Load;
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
    /// Plan a session at a page: its parts and moves, and what they become
    Plan(Plan),
    /// Print a session: its intervals, what to say, its signals
    #[command(after_help = crate::export::OUTLINE_FIELDS)]
    Outline(Outline),
    /// Make a sound file of a session: its signals, and its words if you like
    Track(Track),
    /// List the sound devices, and the program that speaks; set them by ear
    Devices(Devices),
    /// Read sessions and tell what is wrong with them
    Check(Check),
    /// Tell what a colleague would say about a plan
    Review(Review),
    /// Estimate what a plan asks of a body: MET-minutes, energy, work to rest
    Effort(Effort),
    /// Find timings that fill the slot to the second
    Fit(Fit),
    /// Find the order of moves in each block that gives least trouble
    Arrange(Arrange),
    /// Draft three classes for tonight from wishes; you decide
    #[command(after_help = DRAFT_WORDS)]
    Draft(Draft),
    /// Make a page to print: the class at a glance, its blocks, what to say (HTML, one file)
    Sheet(Sheet),
    /// List the sessions that are found, with their length and when they were last taught
    Sessions,
    /// What was taught: list, show, note, export, history, delete
    Records {
        #[command(subcommand)]
        asked: Option<Records>,
    },
    /// Search the library of moves, and show them
    Moves(Moves),
    /// Print a session file to start from
    New(New),
    /// Print the keys in force, and where they can be changed
    Keys,
    /// Print the script that lets a shell complete the arguments
    Completions(Completions),
    /// Print a page of the manual, or make all of them
    Man(Man),
}

#[derive(Debug, Subcommand)]
pub(super) enum Records {
    /// List what was taught, the earliest first
    List(WhichRecords),
    /// Show one class: planned beside taught
    Show(Show),
    /// Add how it was, or change it: what is not given stays
    Note(Note),
    /// Hand records to other programs, or make chapter marks for a recording
    #[command(after_help = crate::export::columns())]
    Export(Export),
    /// What was worked, week by week
    History(WhichRecords),
    /// Keep a class as it was taught, as a session file
    Keep(Keep),
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
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = day)]
    pub(super) since: Option<NaiveDate>,
    /// Taught on this day or earlier
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = day)]
    pub(super) until: Option<NaiveDate>,
    /// With these words in the title
    #[arg(long, value_name = "WORDS")]
    pub(super) title: Option<String>,
}

#[derive(Debug, Group)]
pub(super) struct Show {
    /// The record's name, or enough of it; left out: the last one
    #[arg(add = ArgValueCandidates::new(complete::records))]
    pub(super) name: Option<String>,
    /// Of a damaged record, show what stands before the damage; the file is left as it is
    #[arg(long)]
    pub(super) as_far_as_possible: bool,
}

#[derive(Debug, Group)]
pub(super) struct Note {
    /// The record's name, or enough of it; left out: the last one
    #[arg(add = ArgValueCandidates::new(complete::records))]
    pub(super) name: Option<String>,
    /// How hard it was for the room, 0 (rest) to 10 (as hard as can be)
    #[arg(long, value_name = "0-10", value_parser = rating)]
    pub(super) rating: Option<u8>,
    /// How many came
    #[arg(long, value_name = "N", value_parser = people)]
    pub(super) people: Option<u32>,
    /// A few words; no names of participants, please
    #[arg(long, value_name = "TEXT")]
    pub(super) words: Option<String>,
}

#[expect(clippy::struct_excessive_bools, reason = "each is a flag of its own")]
#[derive(Debug, Group)]
#[command(group = ArgGroup::new("track").args(["vtt", "captions"]))]
pub(super) struct Export {
    /// The record's name, or enough of it; left out: all of them, for chapters the last one
    #[arg(add = ArgValueCandidates::new(complete::records))]
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
    #[arg(long, value_name = "HH:MM:SS", requires = "track", conflicts_with_all = ["csv", "moves", "json"])]
    pub(super) from: Option<String>,
    /// What a chapter is; left out: a block
    #[arg(long, value_enum, requires = "vtt", conflicts_with_all = ["csv", "moves", "json", "captions"])]
    pub(super) by: Option<By>,
    #[command(flatten)]
    pub(super) which: WhichRecords,
    #[command(flatten)]
    pub(super) to: Output,
}

/// Where a result goes.
#[derive(Debug, Default, Group)]
pub(super) struct Output {
    /// The file to write; - or left out: standard output
    #[arg(short, long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub(super) output: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long, requires = "output")]
    pub(super) force: bool,
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
pub(super) struct Keep {
    /// The record's name, or enough of it; left out: the last one
    #[arg(add = ArgValueCandidates::new(complete::records))]
    pub(super) name: Option<String>,
    /// Another title than that of the class
    #[arg(long, value_name = "TITLE")]
    pub(super) title: Option<String>,
    #[command(flatten)]
    pub(super) to: Output,
}

#[derive(Debug, Group)]
pub(super) struct Delete {
    /// The record's name, or enough of it
    #[arg(add = ArgValueCandidates::new(complete::records))]
    pub(super) name: String,
    /// Do not ask; the whole name must be given
    #[arg(long)]
    pub(super) yes: bool,
}

/// Which session.
#[derive(Debug, Default, Group)]
pub(super) struct Which {
    /// The session file, or the name of one in a folder of sessions; left out: the demonstration
    /// class
    #[arg(add = ArgValueCandidates::new(complete::sessions), value_hint = ValueHint::FilePath)]
    pub(super) session: Option<PathBuf>,
}

#[derive(Debug, Default, Group)]
pub(super) struct Plan {
    /// The session file, or the name of one in a folder of sessions; a new one where it is not there;
    /// left out: one that is named when it is saved
    #[arg(add = ArgValueCandidates::new(complete::sessions), value_hint = ValueHint::FilePath)]
    pub(super) file: Option<PathBuf>,
}

#[derive(Debug, Default, Group)]
pub(super) struct Check {
    /// The session files, or names of some; left out: all that are found, and the settings
    #[arg(value_name = "SESSION", add = ArgValueCandidates::new(complete::sessions), value_hint = ValueHint::FilePath)]
    pub(super) sessions: Vec<PathBuf>,
}

#[derive(Debug, Default, Group)]
pub(super) struct Review {
    #[command(flatten)]
    pub(super) which: Which,
    /// As JSON
    #[arg(long)]
    pub(super) json: bool,
    /// Fail (status 65) where something must be mended or thought of again
    #[arg(long)]
    pub(super) strict: bool,
}

#[derive(Debug, Default, Group)]
pub(super) struct Effort {
    #[command(flatten)]
    pub(super) which: Which,
    /// The body weight for which energy is estimated
    #[arg(long, value_name = "KG", default_value_t = 70, value_parser = clap::value_parser!(u16).range(25..=300))]
    pub(super) weight: u16,
    /// As JSON
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Default, Group)]
pub(super) struct Fit {
    #[command(flatten)]
    pub(super) which: Which,
    /// What the class is to fill, in minutes or as MM:SS; left out: the `slot` of the session
    #[arg(long, value_name = "MINUTES", value_parser = span)]
    pub(super) slot: Option<Span>,
    /// What is to be left of it to clear the room, in minutes or as MM:SS
    #[arg(long, value_name = "MINUTES", value_parser = span)]
    pub(super) leave: Option<Span>,
    /// As JSON
    #[arg(long)]
    pub(super) json: bool,
    #[command(flatten)]
    pub(super) to: Output,
}

#[derive(Debug, Default, Group)]
pub(super) struct Arrange {
    #[command(flatten)]
    pub(super) which: Which,
    /// The one block to arrange, counted from 1
    #[arg(long, value_name = "N")]
    pub(super) block: Option<usize>,
    /// The move that must come first, where a block has it
    #[arg(long, value_name = "MOVE", add = ArgValueCandidates::new(complete::moves))]
    pub(super) first: Option<String>,
    /// The move that must come last, where a block has it
    #[arg(long, value_name = "MOVE", add = ArgValueCandidates::new(complete::moves))]
    pub(super) last: Option<String>,
    /// As JSON
    #[arg(long)]
    pub(super) json: bool,
    #[command(flatten)]
    pub(super) to: Output,
}

/// The words of a wish, below the help of `draft`.
const DRAFT_WORDS: &str = "\
A SHAPE is `4 moves 3x40/20` (3 rounds of 40 s work and 20 s rest), `6 stations 2x45/15`,
`4 moves 50,40,30/25,20,15` (a round each), `4 moves emom 12x40`, `4 moves amrap 8:00` or
`4 moves reps 3x12/20`; behind it `standing`, `chair` or `floor`, and `by-move`.
A draft is no advice: the instructor decides. Law, the venue's rules and licensed practice come first.";

#[derive(Debug, Group)]
pub(super) struct Draft {
    /// How long the room is yours, in minutes or as MM:SS
    #[arg(long, value_name = "MINUTES", default_value = "45", value_parser = span)]
    pub(super) slot: Span,
    /// What is to be left of it to clear the room, in minutes or as MM:SS
    #[arg(long, value_name = "MINUTES", default_value = "2", value_parser = span)]
    pub(super) leave: Span,
    /// A block, once for each; left out: by the length of the slot
    #[arg(long = "block", value_name = "SHAPE")]
    pub(super) blocks: Vec<BlockWish>,
    /// For whom: beginner, mixed or advanced
    #[arg(long, value_name = "LEVEL", default_value = "mixed", value_parser = level)]
    pub(super) level: Level,
    /// What somebody in the room must spare, such as Wrist,Knee
    #[arg(long, value_name = "LIMITS", value_delimiter = ',', value_parser = limit)]
    pub(super) limits: Vec<Load>,
    /// What there is for everybody, such as band,dumbbells; or how many: band:6
    #[arg(long, value_name = "THINGS", value_delimiter = ',', value_parser = kit)]
    pub(super) kit: Vec<Kit>,
    /// How many people come
    #[arg(long, value_name = "N", value_parser = people)]
    pub(super) people: Option<u32>,
    /// Regions or actions to have more of, such as legs,pull
    #[arg(long, value_name = "WORDS", value_delimiter = ',', value_parser = focus)]
    pub(super) focus: Vec<Focus>,
    /// How hard: light, moderate or vigorous
    #[arg(long, value_name = "EFFORT", default_value = "moderate", value_parser = exertion)]
    pub(super) effort: Exertion,
    /// How many weeks of records are looked back on; 0: none
    #[arg(long, value_name = "N", default_value_t = 4, value_parser = clap::value_parser!(u32).range(0..=52))]
    pub(super) weeks: u32,
    /// A move to have; may be given more than once
    #[arg(long, value_name = "MOVE", add = ArgValueCandidates::new(complete::moves))]
    pub(super) have: Vec<String>,
    /// A move to leave out; may be given more than once
    #[arg(long, value_name = "MOVE", add = ArgValueCandidates::new(complete::moves))]
    pub(super) without: Vec<String>,
    /// What the class is to be called, behind the word Draft
    #[arg(long, value_name = "TITLE")]
    pub(super) title: Option<String>,
    /// Another number drafts other classes, the same number the same
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub(super) seed: u64,
    /// Which of the three is written
    #[arg(long, value_name = "1-3", default_value_t = 1, value_parser = nth_of_three)]
    pub(super) choose: usize,
    /// As JSON
    #[arg(long)]
    pub(super) json: bool,
    #[command(flatten)]
    pub(super) to: Output,
}

/// The paper that a page is made for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum PaperSize {
    /// 210 by 297 mm
    #[default]
    A4,
    /// 8.5 by 11 inches
    Letter,
}

#[derive(Debug, Default, Group)]
pub(super) struct Sheet {
    #[command(flatten)]
    pub(super) which: Which,
    /// A card for each move of the blocks, in large type, one a page
    #[arg(long, conflicts_with = "cover")]
    pub(super) stations: bool,
    /// A cover for whoever teaches it tonight
    #[arg(long)]
    pub(super) cover: bool,
    /// The paper
    #[arg(long, value_enum, default_value_t)]
    pub(super) paper: PaperSize,
    /// Larger letters
    #[arg(long)]
    pub(super) large: bool,
    #[command(flatten)]
    pub(super) to: Output,
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
    /// How long the room is ours from now on, in minutes or as MM:SS
    #[arg(long, value_name = "MINUTES", value_parser = span)]
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
    /// Where in the class to begin, in minutes or as MM:SS
    #[arg(long, value_name = "MINUTES", value_parser = offset)]
    pub(super) at: Option<Offset>,
    /// How long the room would be ours, in minutes or as MM:SS
    #[arg(long, value_name = "MINUTES", value_parser = span)]
    pub(super) slot: Option<Span>,
    /// Begin at once, without the page of the class
    #[arg(long)]
    pub(super) go: bool,
    #[command(flatten)]
    pub(super) sound: Sound,
}

#[derive(Debug, Default, Group)]
pub(super) struct Outline {
    #[command(flatten)]
    pub(super) which: Which,
    /// On one page: the parts, their moves and times
    #[arg(long, conflicts_with_all = ["json", "csv"])]
    pub(super) short: bool,
    /// As JSON
    #[arg(long, conflicts_with = "csv")]
    pub(super) json: bool,
    /// The intervals as a table
    #[arg(long)]
    pub(super) csv: bool,
}

#[derive(Debug, Default, Group)]
pub(super) struct Devices {
    /// Set device, offset, volume and voice against a flash; kept in the configuration
    #[arg(long)]
    pub(super) set: bool,
}

#[derive(Debug, Group)]
#[expect(clippy::struct_excessive_bools, reason = "each is a flag of its own")]
pub(super) struct Track {
    #[command(flatten)]
    pub(super) which: Which,
    /// The WAV file to make
    #[arg(short, long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub(super) output: PathBuf,
    /// Write over a file that is there
    #[arg(long)]
    pub(super) force: bool,
    /// Speak the prompts, by the speaker program of the configuration
    #[arg(long)]
    pub(super) words: bool,
    /// Where in the class to begin, in minutes or as MM:SS
    #[arg(long, value_name = "MINUTES", value_parser = offset)]
    pub(super) from: Option<Offset>,
    /// How much of it, in minutes or as MM:SS
    #[arg(long = "for", value_name = "MINUTES", value_parser = span)]
    pub(super) long: Option<Span>,
    /// Frames a second, 44100 or 48000
    #[arg(long, value_name = "HZ", default_value_t = 48_000, value_parser = one_of::<44_100, 48_000>)]
    pub(super) rate: u32,
    /// Bits a sample, 16 or 24
    #[arg(long, value_name = "N", default_value_t = 16, value_parser = bits)]
    pub(super) bits: u16,
    /// One channel in place of two
    #[arg(long)]
    pub(super) mono: bool,
    /// Make WebVTT chapters beside it: the same name with the ending .vtt
    #[arg(long)]
    pub(super) chapters: bool,
}

#[derive(Debug, Default, Group)]
pub(super) struct Moves {
    /// What to look for: a name, position, region, muscle, load or thing needed
    pub(super) words: Vec<String>,
    /// The move of this id or name and no other
    #[arg(long, value_name = "MOVE", conflicts_with = "words", add = ArgValueCandidates::new(complete::moves))]
    pub(super) show: Option<String>,
    /// The words that a `Move` of your own may use, as a file spells them
    #[arg(long = "words", conflicts_with_all = ["words", "show", "full"])]
    pub(super) spelling: bool,
    /// Everything about each move that is found
    #[arg(long)]
    pub(super) full: bool,
}

#[derive(Debug, Group)]
pub(super) struct New {
    /// The title of the class
    pub(super) name: String,
    /// Begin from another session, or from a class as it was taught: a file, or the name of a
    /// session or record
    #[arg(long, value_name = "SESSION|RECORD", add = ArgValueCandidates::new(complete::sources), value_hint = ValueHint::FilePath)]
    pub(super) from: Option<PathBuf>,
    #[command(flatten)]
    pub(super) to: Output,
}

#[derive(Debug, Group)]
pub(super) struct Completions {
    /// For which shell
    pub(super) shell: clap_complete::Shell,
}

#[derive(Debug, Group)]
pub(super) struct Man {
    /// The command, as in `man records export`; left out: the program
    pub(super) command: Vec<String>,
    /// Every page as a file of its own, in the folder that `-o` names
    #[arg(long, requires = "folder", conflicts_with = "command")]
    pub(super) all: bool,
    /// The folder for the pages; it is made if need be
    #[arg(short = 'o', long = "output", value_name = "DIR", requires = "all", value_hint = ValueHint::DirPath)]
    pub(super) folder: Option<PathBuf>,
    /// Write over pages that are there
    #[arg(long, requires = "all")]
    pub(super) force: bool,
}
