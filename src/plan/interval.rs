//! An interval of a class: what is done in it, for how long, and where in its block it stands.
//!
//! Where it lies in time is not known here; that is the timeline's. So an interval is the same
//! value however the class before it is changed, and a changed class shares those it keeps.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::nth::Nth;
use super::rotation::Rotation;
use crate::session::{Sides, Use};
use crate::time::{Offset, Span};

/// The shortest work whose half is called (common practice, no source).
const HALF_FROM: Span = Span::from_secs(30);

/// What an interval is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
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
    /// A plain window: practice, a game.
    Free,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Self; 8] = [
        Self::Talk,
        Self::Ready,
        Self::WarmUp,
        Self::Work,
        Self::Rest,
        Self::Recovery,
        Self::CoolDown,
        Self::Free,
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
            Self::Free => "free",
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
            Self::Free => "free",
        }
    }

    /// Whether people move in it: work, warm-up or cool-down.
    #[must_use]
    pub const fn is_moving(self) -> bool {
        matches!(self, Self::WarmUp | Self::Work | Self::CoolDown)
    }
}

/// How a block goes through its works: what its pattern was, whatever is changed while it runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Shape {
    /// All moves once, then the next round.
    Rounds,
    /// All sets of a move, then the next move.
    Sets,
    /// A move starts each so often, whatever the one before took.
    Grid {
        /// From one start to the next.
        every: Span,
    },
    /// One window in which the moves are repeated freely.
    Window,
}

impl Shape {
    /// Whether starts keep to a grid.
    #[must_use]
    pub const fn is_grid(self) -> bool {
        matches!(self, Self::Grid { .. })
    }
}

/// Where in a block an interval stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// Which block of the class, counted from 1.
    pub block: usize,
    /// What the block is called.
    pub title: Option<Arc<str>>,
    /// How the block goes through its works.
    pub shape: Shape,
    /// The round. A rest belongs to the round of the work before it.
    pub round: Nth,
    /// The move's place among the block's moves.
    pub place: Nth,
    /// The pass: the round, or the move where a block does all sets of a move at a time.
    pub pass: Nth,
    /// The window of the grid; none of none in other blocks.
    pub window: Nth,
    /// How many windows of the grid a round takes; 0 in other blocks.
    pub windows: usize,
    /// Who does what, where several moves are done at once. A rest has that of the work before it.
    pub rotation: Option<Arc<Rotation>>,
    /// After which time the block ends by itself, if it does.
    pub cap: Option<Span>,
}

/// One interval of the class, wherever it lies.
#[derive(Clone, Debug, PartialEq)]
pub struct Interval {
    /// A number that stays with the interval whatever is changed around it.
    pub id: u32,
    /// What it is for.
    pub kind: Kind,
    /// How long it is to be when it begins.
    pub length: Span,
    /// How long the session made it.
    pub planned: Span,
    /// The part of the session it comes from, counted from 0.
    pub part: usize,
    /// Where in its block it stands, if it is of a block.
    pub place: Option<Arc<Place>>,
    /// The move done in it; more than one where a circuit is repeated freely, none in a rest in
    /// which people stand still.
    pub moves: Arc<[Arc<Use>]>,
    /// What the planner wants said in it; empty where nothing was written.
    pub say: Arc<str>,
    /// Whether it lasts until the instructor moves on; its length is then an estimate.
    pub untimed: bool,
    /// Which time its part comes; none of none where it is not repeated.
    pub go: Nth,
    /// Up to which place of the class it lasts, whatever comes before it.
    pub mark: Option<Offset>,
}

impl Interval {
    /// The move done in it, or the first of a circuit.
    #[must_use]
    pub fn turn(&self) -> Option<&Arc<Use>> {
        self.moves.first()
    }

    /// Whether people keep moving in it although it is a pause.
    #[must_use]
    pub fn is_active_pause(&self) -> bool {
        !self.kind.is_moving() && !self.moves.is_empty()
    }

    /// Whether many moves are repeated freely in it.
    #[must_use]
    pub fn is_circuit(&self) -> bool {
        self.moves.len() > 1 && self.rotation().is_none()
    }

    /// Who does what in it, where several moves are done at once; in a pause, before it.
    #[must_use]
    pub fn rotation(&self) -> Option<&Rotation> {
        self.place.as_ref()?.rotation.as_deref()
    }

    /// The same, where people move in it: each of its moves is then a station.
    #[must_use]
    pub fn together(&self) -> Option<&Rotation> {
        self.rotation().filter(|_| self.kind.is_moving())
    }

    /// Whether it belongs to the same going round of the stations as another.
    #[must_use]
    pub fn is_of_rotation(&self, other: &Self) -> bool {
        let key = |of: &Self| {
            let place = of.place.as_ref().filter(|place| place.rotation.is_some())?;
            Some((place.block, place.round.nth, place.place.nth))
        };
        key(self).is_some() && key(self) == key(other)
    }

    /// Whether it is a pause in which people go on to their next station.
    #[must_use]
    pub fn is_swap(&self) -> bool {
        let goes_on = |rotation: &Rotation| !rotation.turn.is_last();
        self.kind == Kind::Rest && self.rotation().is_some_and(goes_on)
    }

    /// Whether the round of the stations that it is of has begun before it and goes on with it.
    #[must_use]
    pub fn continues_rotation(&self) -> bool {
        self.together()
            .is_some_and(|rotation| rotation.turn.nth > 1)
    }

    /// Whether it is one window in which moves are repeated freely.
    #[must_use]
    pub fn is_window(&self) -> bool {
        let place = self.place.as_ref();
        place.is_some_and(|place| place.shape == Shape::Window)
    }

    /// The block it is of, counted from 1.
    #[must_use]
    pub fn block(&self) -> Option<usize> {
        self.place.as_ref().map(|place| place.block)
    }

    /// The block and the pass of it that it is of.
    #[must_use]
    pub fn pass(&self) -> Option<(usize, usize)> {
        let place = self.place.as_ref();
        place.map(|place| (place.block, place.pass.nth))
    }

    /// From one start to the next, where it is of a block whose starts keep to a grid.
    #[must_use]
    pub fn grid(&self) -> Option<Span> {
        match self.place.as_ref()?.shape {
            Shape::Grid { every } => Some(every),
            _ => None,
        }
    }

    /// Whether people change sides in the middle of it.
    #[must_use]
    pub fn has_sides(&self) -> bool {
        let is_each = |turn: &Arc<Use>| turn.version().sides() == Sides::Each;
        let done = self.moves.iter().filter(|_| !self.is_circuit());
        self.kind.is_moving() && !self.untimed && done.into_iter().any(is_each)
    }

    /// When people change sides in an interval of its kind that is this long.
    #[must_use]
    pub fn switch_in(&self, length: Span) -> Option<Span> {
        self.has_sides().then(|| length.half())
    }

    /// When half of the work is done and told, in an interval of its kind that is this long.
    #[must_use]
    pub fn half_in(&self, length: Span) -> Option<Span> {
        let is_free = self.kind == Kind::Free;
        let told = is_free || self.kind == Kind::Work && !self.untimed && !self.has_sides();
        (told && length >= HALF_FROM).then(|| length.half())
    }
}
