//! The timeline: every interval of a class with its start in absolute milliseconds.
//!
//! It refuses to know why an interval is as long as it is, and who is in the room. Whoever changes
//! a running class builds another timeline; this one only lays intervals end to end, so that two
//! neighbours always touch and the total is exactly the sum.

use std::sync::Arc;

use super::expand::expand;
use crate::session::{Session, Use};
use crate::time::{Offset, Span};

/// What an interval is for.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Briefing or demonstration.
    Talk,
    /// Time to show the first move, before work.
    Ready,
    /// A move of the warm-up.
    WarmUp,
    /// Work.
    Work,
    /// Rest between works.
    Rest,
    /// Long recovery, between rounds or parts.
    Recovery,
    /// A move of the cool-down.
    CoolDown,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Self; 7] = [
        Self::Talk,
        Self::Ready,
        Self::WarmUp,
        Self::Work,
        Self::Rest,
        Self::Recovery,
        Self::CoolDown,
    ];

    /// The kind as the outline writes it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Talk => "talk",
            Self::Ready => "ready",
            Self::WarmUp => "warm_up",
            Self::Work => "work",
            Self::Rest => "rest",
            Self::Recovery => "recovery",
            Self::CoolDown => "cool_down",
        }
    }

    /// The kind as the screen names it.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::Talk => "talk",
            Self::Ready => "get ready",
            Self::WarmUp => "warm-up",
            Self::Work => "work",
            Self::Rest => "rest",
            Self::Recovery => "recovery",
            Self::CoolDown => "cool-down",
        }
    }

    /// Whether people move in it: work, warm-up or cool-down.
    #[must_use]
    pub const fn is_moving(self) -> bool {
        matches!(self, Self::WarmUp | Self::Work | Self::CoolDown)
    }
}

/// Where in a block an interval stands; all counted from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// Which block of the class.
    pub block: usize,
    /// What the block is called.
    pub title: Option<Arc<str>>,
    /// The round. A rest belongs to the round of the work before it.
    pub round: usize,
    /// How many rounds the block has.
    pub rounds: usize,
    /// The move's place among the block's moves.
    pub place: usize,
    /// How many moves the block has.
    pub places: usize,
    /// The pass: the round, or the move where a block does all rounds of a move at a time.
    pub pass: usize,
    /// How many passes the block has.
    pub passes: usize,
}

/// One interval of the class.
#[derive(Clone, Debug, PartialEq)]
pub struct Interval {
    /// A number that stays with the interval whatever is changed around it.
    pub id: u32,
    /// What it is for.
    pub kind: Kind,
    /// Where it starts.
    pub start: Offset,
    /// How long it is, or was.
    pub length: Span,
    /// How long the plan made it.
    pub planned: Span,
    /// The part of the session it comes from, counted from 0.
    pub part: usize,
    /// Where in its block it stands, if it is of a block.
    pub place: Option<Arc<Place>>,
    /// The move done in it; more than one where a circuit is repeated freely, none in a rest.
    pub moves: Arc<[Arc<Use>]>,
    /// What the planner wants said in it; empty where nothing was written.
    pub say: Arc<str>,
    /// Whether it lasts until the instructor moves on; its length is then an estimate.
    pub untimed: bool,
}

impl Interval {
    /// Where it ends.
    #[must_use]
    pub fn end(&self) -> Offset {
        self.start + self.length
    }

    /// The move done in it, or the first of a circuit.
    #[must_use]
    pub fn turn(&self) -> Option<&Arc<Use>> {
        self.moves.first()
    }
}

/// Every interval of a class, end to end from offset zero.
#[derive(Clone, Debug, PartialEq)]
pub struct Timeline {
    title: Arc<str>,
    things: Arc<[String]>,
    intervals: Vec<Interval>,
}

impl Timeline {
    /// The class of a session, laid out.
    #[must_use]
    pub fn of(session: &Session) -> Self {
        let plain = Self::laid(session.title.as_str().into(), expand(session));
        Self {
            things: session.equipment.clone().into(),
            ..plain
        }
    }

    /// These intervals laid end to end, with nothing at hand; whatever starts they had are set
    /// anew.
    #[must_use]
    pub fn laid(title: Arc<str>, intervals: Vec<Interval>) -> Self {
        let things = Arc::default();
        let empty = Self {
            title,
            things,
            intervals: Vec::new(),
        };
        empty.with(intervals)
    }

    /// The same class with other intervals, laid end to end.
    #[must_use]
    pub fn with(&self, mut intervals: Vec<Interval>) -> Self {
        let mut at = Offset::ZERO;
        for interval in &mut intervals {
            interval.start = at;
            at = interval.end();
        }
        Self {
            title: self.title.clone(),
            things: self.things.clone(),
            intervals,
        }
    }

    /// What the class is called.
    #[must_use]
    pub fn title(&self) -> &Arc<str> {
        &self.title
    }

    /// What everyone has at hand, as the session lists it.
    #[must_use]
    pub fn things(&self) -> &[String] {
        &self.things
    }

    /// The intervals in order.
    #[must_use]
    pub fn intervals(&self) -> &[Interval] {
        &self.intervals
    }

    /// The length of the whole.
    #[must_use]
    pub fn total(&self) -> Span {
        self.intervals
            .last()
            .map_or(Span::ZERO, |last| last.end().span())
    }

    /// Whether the total is an estimate, since some work is untimed.
    #[must_use]
    pub fn is_estimated(&self) -> bool {
        self.intervals.iter().any(|interval| interval.untimed)
    }

    /// Which interval an offset lies in; a boundary belongs to the later one, the end to none.
    #[must_use]
    pub fn index_at(&self, at: Offset) -> Option<usize> {
        let after = self
            .intervals
            .partition_point(|interval| interval.start <= at);
        let index = after.checked_sub(1)?;
        (at < self.intervals[index].end()).then_some(index)
    }

    /// The first interval from `from` on in which people move.
    #[must_use]
    pub fn next_moving(&self, from: usize) -> Option<usize> {
        (from..self.intervals.len()).find(|&n| self.intervals[n].kind.is_moving())
    }

    /// The time spent in each kind, over the whole.
    #[must_use]
    pub fn time_in(&self, kind: Kind) -> Span {
        self.intervals
            .iter()
            .filter(|interval| interval.kind == kind)
            .map(|interval| interval.length)
            .sum()
    }
}
