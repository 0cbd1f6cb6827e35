//! Several moves at once: who does what where people are shared between stations, partners or levels.
//!
//! A block's place is either one move for everybody, or several at a time. The clock is the same for
//! all of them, so nothing here has a time of its own besides the place's. How a rotation lies in
//! time is not known here.

use std::sync::Arc;

use super::moves::Use;
use crate::time::Span;

/// What is done at a place of a block.
#[derive(Clone, Debug, PartialEq)]
pub enum Doing {
    /// One move, by everybody.
    One(Arc<Use>),
    /// Several moves at once, each by a group.
    Together(Arc<Together>),
}

impl From<Arc<Use>> for Doing {
    fn from(turn: Arc<Use>) -> Self {
        Self::One(turn)
    }
}

/// Several moves done at the same time by people in groups.
#[derive(Clone, Debug, PartialEq)]
pub struct Together {
    /// The stations in the order in which people stand; at least two.
    pub stations: Vec<Arc<Use>>,
    /// From the end of a work to the start of the next; the block's rest where nothing is said.
    pub swap: Option<Span>,
    /// Whether people go on to the next station at each swap.
    pub rotates: bool,
    /// Whether the works last until the instructor moves on.
    pub by_key: bool,
    /// Work time in place of the pattern's.
    pub work: Option<Span>,
    /// Rest after the last work in place of the pattern's.
    pub rest: Option<Span>,
}

impl Together {
    /// These stations, everybody going from one to the next, with the times of the block.
    #[must_use]
    pub const fn of(stations: Vec<Arc<Use>>) -> Self {
        Self {
            stations,
            swap: None,
            rotates: true,
            by_key: false,
            work: None,
            rest: None,
        }
    }

    /// How many works it takes until everybody has done everything.
    #[must_use]
    pub fn works(&self) -> usize {
        if self.rotates { self.stations.len() } else { 1 }
    }
}

impl Doing {
    /// The moves in it: one, or the stations in order.
    #[must_use]
    pub fn moves(&self) -> &[Arc<Use>] {
        match self {
            Self::One(turn) => std::slice::from_ref(turn),
            Self::Together(together) => &together.stations,
        }
    }

    /// The one move, or that of the first station.
    #[must_use]
    pub fn first(&self) -> Option<&Arc<Use>> {
        self.moves().first()
    }

    /// The same moves, to be changed.
    pub fn moves_mut(&mut self) -> &mut [Arc<Use>] {
        match self {
            Self::One(turn) => std::slice::from_mut(turn),
            Self::Together(together) => &mut Arc::make_mut(together).stations,
        }
    }

    /// How many works it has in a round.
    #[must_use]
    pub fn works(&self) -> usize {
        match self {
            Self::One(_) => 1,
            Self::Together(together) => together.works(),
        }
    }

    /// Work time in place of the pattern's, in a round counted from 0.
    #[must_use]
    pub fn work(&self, round: usize) -> Option<Span> {
        match self {
            Self::One(turn) => turn.in_round(round).work,
            Self::Together(together) => together.work,
        }
    }

    /// Rest after it in place of the pattern's, in a round counted from 0.
    #[must_use]
    pub fn rest(&self, round: usize) -> Option<Span> {
        match self {
            Self::One(turn) => turn.in_round(round).rest,
            Self::Together(together) => together.rest,
        }
    }

    /// How many repetitions a work of it has in a round counted from 0: of several at once the most.
    #[must_use]
    pub fn reps(&self, round: usize) -> Option<u32> {
        let moves = self.moves().iter();
        moves.filter_map(|turn| turn.in_round(round).reps).max()
    }

    /// Whether its works last until the instructor moves on, whatever the pattern says.
    #[must_use]
    pub fn is_by_key(&self) -> bool {
        matches!(self, Self::Together(together) if together.by_key)
    }

    /// Its moves in all the ways in which they come.
    pub fn each(&self) -> impl Iterator<Item = &Arc<Use>> {
        self.moves().iter().flat_map(Use::each)
    }
}
