//! A class as it was planned: the validated form of a session file.

use std::ops::RangeInclusive;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::moves::Use;
use super::terms::Load;
use super::together::Doing;
use crate::time::Span;

/// A whole class, checked and with its moves looked up.
#[derive(Clone, Debug, PartialEq)]
pub struct Session {
    /// What the class is called.
    pub title: String,
    /// How long the room is ours, if the file says so.
    pub slot: Option<Span>,
    /// What the planner wants to remember; empty where nothing was written.
    pub brief: String,
    /// What someone in the room must spare.
    pub limits: Vec<Load>,
    /// How many people are expected, if the file says so.
    pub people: Option<u32>,
    /// What the groups are called where several moves are done at once; empty where they have no
    /// names.
    pub groups: Vec<String>,
    /// What everyone needs.
    pub equipment: Vec<String>,
    /// How many of a thing the room has, where that is not enough for any number of people.
    pub stock: Vec<(String, u32)>,
    /// How prompts and signals are laid.
    pub cueing: Cueing,
    /// The class, from its first part to its last.
    pub parts: Vec<Part>,
}

/// One part of a class.
#[derive(Clone, Debug, PartialEq)]
pub enum Part {
    /// Briefing or demonstration.
    Talk {
        /// How long.
        time: Span,
        /// What is said.
        say: String,
    },
    /// Time to show the first move; counted in.
    Ready {
        /// How long.
        time: Span,
    },
    /// Moves back to back to begin with.
    WarmUp(Vec<Step>),
    /// Work and rest by a pattern.
    Block(Block),
    /// One long recovery.
    Recover {
        /// How long.
        time: Span,
        /// What is said.
        say: String,
        /// What is done in it, if people keep moving.
        turn: Option<Arc<Use>>,
    },
    /// Moves back to back to end with.
    CoolDown(Vec<Step>),
    /// A plain window: practice, a game, work led by feel. Nothing is counted in it.
    Free {
        /// How long.
        time: Span,
        /// What it is called, if anything.
        title: Option<String>,
        /// What is said.
        say: String,
    },
    /// Several parts in order, so often.
    Repeat {
        /// How often.
        times: u32,
        /// The parts; at least one, and none that lasts up to a mark.
        parts: Vec<Part>,
        /// The recovery between two goes.
        between: Option<Box<Part>>,
    },
    /// A talk, getting ready, a recovery or a free window that lasts up to a place of the class.
    Until {
        /// That place.
        mark: Span,
        /// The part, as long as it is if all before it goes as planned.
        part: Box<Part>,
    },
}

/// A move of a warm-up or cool-down, timed or counted.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// The move.
    pub turn: Arc<Use>,
    /// How long; nothing where it is counted, and the instructor moves on.
    pub time: Option<Span>,
}

impl Step {
    /// How long it is, or is thought to be: a repetition of a counted one is planned at three
    /// seconds.
    #[must_use]
    pub fn length(&self) -> Span {
        let counted = || PACE * u64::from(self.turn.reps.unwrap_or(1));
        self.time.unwrap_or_else(counted)
    }
}

/// Planned time of one repetition where a file says nothing: common practice, no source.
pub(super) const PACE: Span = Span::from_secs(3);

/// Work and rest by a pattern.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// What it is called, if anything.
    pub title: Option<String>,
    /// What is done in it, in order; at least one.
    pub moves: Vec<Doing>,
    /// How work and rest follow one another.
    pub pattern: Pattern,
    /// What stands after each pass but the last, in place of that pass's rest.
    pub recovery: Option<Span>,
    /// Whether a pass is a round or a move.
    pub order: Order,
    /// What is done in its rests, if people keep moving: an active rest is a rest.
    pub between: Option<Arc<Use>>,
    /// Whether the rest also stands after the last work.
    pub last_rest: bool,
}

/// How work and rest follow one another in a block.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Pattern {
    /// One entry a round, both lists equally long.
    Rounds {
        /// Work of each round.
        work: Vec<Span>,
        /// Rest in each round.
        rest: Vec<Span>,
    },
    /// Every round alike.
    Same {
        /// How many.
        rounds: u32,
        /// Work each time.
        work: Span,
        /// Rest between.
        rest: Span,
    },
    /// Every minute on the minute, or after another time: a move starts each time, the remainder
    /// of the window is rest.
    Emom {
        /// How many windows.
        #[serde(alias = "minutes")]
        times: u32,
        /// From one start to the next.
        #[serde(default = "minute")]
        every: Span,
        /// Work in each, less than the window. Where it is left out, a place that has none of its
        /// own has repetitions, and the whole window for them.
        #[serde(default)]
        work: Option<Span>,
    },
    /// As many rounds as possible in one window.
    Amrap {
        /// The window.
        time: Span,
    },
    /// Counted repetitions, untimed: the instructor moves on.
    Reps {
        /// How many rounds.
        rounds: u32,
        /// Rest between.
        rest: Span,
        /// Planned time of one repetition.
        pace: Span,
        /// After which time the block ends by itself, if it does. Where the repetitions would take
        /// longer at their pace, they are planned so that they just fit.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cap: Option<Span>,
    },
}

/// The window of an EMOM where nothing else is said.
const fn minute() -> Span {
    Pattern::MINUTE
}

impl Pattern {
    /// The window of an EMOM where nothing else is said.
    pub const MINUTE: Span = Span::from_secs(60);

    /// How many rounds a block of so many moves goes through.
    #[must_use]
    pub fn rounds(&self, moves: usize) -> usize {
        match self {
            Self::Rounds { work, .. } => work.len(),
            Self::Same { rounds, .. } | Self::Reps { rounds, .. } => *rounds as usize,
            Self::Emom { times, .. } => (*times as usize).div_ceil(moves.max(1)),
            Self::Amrap { .. } => 1,
        }
    }
}

/// The order in which a block goes through its moves and rounds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Order {
    /// All moves once, then the next round.
    #[default]
    ByRound,
    /// All rounds of a move, then the next move.
    ByMove,
}

/// How prompts and signals are laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cueing {
    /// Words spoken in a minute. Default 140: speech runs at 125 to 150 words a minute
    /// (Lucas, The Art of Public Speaking).
    pub words_per_minute: u32,
    /// Beeps before a start or a stop, one second apart. Default 3.
    pub count: u32,
    /// Seconds left at which this is said once. Default 10 s.
    pub warn: Span,
    /// Least time between the end of a preview and the start it announces. Default 4 s, the
    /// longer end of 4 to 8 counts at 128 beats a minute.
    pub lead: Span,
    /// Added where the body goes between standing and the floor. Default 5 s, an inference from
    /// 4.1 s, SD 1.1 s, for getting up (Bohannon & Lusardi 2004).
    pub change: Span,
    /// Added between two floor positions. Default 2 s, an inference.
    pub shift: Span,
    /// Added where a thing must be fetched. Default 4 s, an inference.
    pub fetch: Span,
    /// Added where people go on to the next station. Default 5 s, an inference: six metres at a
    /// comfortable 1.3 m a second (Bohannon 1997, from memory).
    #[serde(default = "move_on")]
    pub move_on: Span,
}

const fn move_on() -> Span {
    Span::from_secs(5)
}

impl Default for Cueing {
    fn default() -> Self {
        Self {
            words_per_minute: 140,
            count: 3,
            warn: Span::from_secs(10),
            lead: Span::from_secs(4),
            change: Span::from_secs(5),
            shift: Span::from_secs(2),
            fetch: Span::from_secs(4),
            move_on: move_on(),
        }
    }
}

impl Cueing {
    /// How slow and how fast speech may be said to run.
    pub(super) const WORDS_PER_MINUTE: RangeInclusive<u32> = 60..=240;
    /// How many beeps there may be.
    pub(super) const COUNT: RangeInclusive<u32> = 0..=10;

    /// How long before a start or stop the count begins.
    #[must_use]
    pub const fn count_span(&self) -> Span {
        Span::from_secs(self.count as u64)
    }
}
