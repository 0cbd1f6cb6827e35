//! What was worked in a block, and what lay between: works with their pauses, by passes.

use super::plan::{Plan, Stations};
use super::stretches::Stretch;
use super::turn::Turn;
use crate::plan::{Kind, Shape};
use crate::time::Span;

/// A work, and the pause after it.
pub(super) struct Work {
    pub(super) turn: Turn,
    /// Where several moves were done at once, all of them.
    pub(super) stations: Option<Stations>,
    pub(super) ran: Span,
    /// Whether it was counted, and lasted until the instructor went on.
    pub(super) untimed: bool,
    /// The pause, by what was done in it.
    pub(super) pauses: Vec<Pause>,
    round: Option<usize>,
    place: Option<usize>,
}

/// A pause, or a part of one, in which one thing was done.
pub(super) struct Pause {
    pub(super) ran: Span,
    /// What was done in it, if people kept moving.
    pub(super) turn: Option<Turn>,
    /// Whether it was a recovery.
    recovers: bool,
}

/// What was done in a pause, or in several.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Meanwhile<'a> {
    /// There was no pause.
    NoPause,
    /// People stood still, or one move was done.
    One(Option<&'a Turn>),
    /// One thing after another.
    Several,
}

impl Work {
    /// How long the pause after it was.
    pub(super) fn gap(&self) -> Span {
        self.pauses.iter().map(|pause| pause.ran).sum()
    }

    /// Whether some of that pause was a recovery.
    pub(super) fn recovers(&self) -> bool {
        self.pauses.iter().any(|pause| pause.recovers)
    }

    /// Whether both are sets of one move at one place.
    fn is_set_of(&self, other: &Self) -> bool {
        match self.place.zip(other.place) {
            // A move taken in turn differs from round to round, and keeps its place.
            Some((place, others)) => place == others,
            None => self.turn.id == other.turn.id,
        }
    }

    /// What was done in that pause.
    pub(super) fn meanwhile(&self) -> Meanwhile<'_> {
        match &self.pauses[..] {
            [] => Meanwhile::NoPause,
            [one] => Meanwhile::One(one.turn.as_ref()),
            _ => Meanwhile::Several,
        }
    }
}

impl Meanwhile<'_> {
    /// What was done in two pauses.
    pub(super) fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::NoPause, one) | (one, Self::NoPause) => one,
            (one, other) if one == other => one,
            _ => Self::Several,
        }
    }
}

/// The works with what lies between them. The first stretch is a work.
pub(super) fn works(stretches: &[Stretch], plan: &Plan) -> Vec<Work> {
    let mut works: Vec<Work> = Vec::new();
    for one in stretches {
        let turn = plan.turn(one);
        match (one.kind, turn, works.last_mut()) {
            (Kind::Work, Some(turn), _) => works.push(Work {
                turn,
                stations: plan.stations(one),
                ran: one.ran,
                untimed: plan.is_untimed(one),
                pauses: Vec::new(),
                round: one.round,
                place: plan.place(one),
            }),
            (kind, turn, Some(work)) => rest(&mut work.pauses, kind, one.ran, turn),
            (_, _, None) => {}
        }
    }
    works
}

fn rest(pauses: &mut Vec<Pause>, kind: Kind, ran: Span, turn: Option<Turn>) {
    let recovers = kind == Kind::Recovery;
    match pauses.last_mut().filter(|pause| pause.turn == turn) {
        Some(pause) => {
            pause.ran += ran;
            pause.recovers |= recovers;
        }
        None => pauses.push(Pause {
            ran,
            turn,
            recovers,
        }),
    }
}

/// The works by passes: rounds, or where all sets of a move are done together, moves. A pass in
/// which several things were done in the pauses is several.
pub(super) fn passes(works: &[Work], shape: Shape) -> Vec<&[Work]> {
    let same = |a: &Work, b: &Work| match shape {
        Shape::Sets => a.is_set_of(b),
        _ => a.round == b.round,
    };
    works.chunk_by(same).flat_map(even_pauses).collect()
}

fn even_pauses(pass: &[Work]) -> Vec<&[Work]> {
    let mut out = Vec::new();
    let (mut from, mut so_far) = (0, Meanwhile::NoPause);
    for (nth, work) in pass[..pass.len() - 1].iter().enumerate() {
        let with_this = so_far.and(work.meanwhile());
        if with_this == Meanwhile::Several {
            out.push(&pass[from..=nth]);
            (from, so_far) = (nth + 1, Meanwhile::NoPause);
        } else {
            so_far = with_this;
        }
    }
    out.push(&pass[from..]);
    out
}
