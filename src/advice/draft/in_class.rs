//! The moves of a class, and what each is there for.

use std::sync::Arc;

use crate::plan::{Kind, Timeline};
use crate::session::{Doing, Part, Session, Step, Use};

/// Where a move stands, as far as its reason differs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum For {
    WarmUp,
    Work,
    CoolDown,
}

/// Every move of a class with what it is there for, in order.
pub(super) fn turns(session: &Session) -> Vec<(Arc<Use>, For)> {
    let of_part = |part: &Part| -> Vec<(Arc<Use>, For)> {
        let steps = |steps: &[Step], place| {
            steps
                .iter()
                .map(|step| (Arc::clone(&step.turn), place))
                .collect()
        };
        match part {
            Part::WarmUp(of) => steps(of, For::WarmUp),
            Part::CoolDown(of) => steps(of, For::CoolDown),
            Part::Block(block) => {
                let turns = block.moves.iter().flat_map(Doing::moves);
                turns.map(|turn| (Arc::clone(turn), For::Work)).collect()
            }
            _ => Vec::new(),
        }
    };
    session
        .laid()
        .iter()
        .flat_map(|laid| of_part(laid.part))
        .collect()
}

/// The moves of the work of a class with the seconds that each has, in order.
pub(super) fn worked(session: &Session) -> Vec<(Arc<Use>, u64)> {
    let timeline = Timeline::of(session);
    let works = timeline
        .intervals()
        .iter()
        .filter(|one| one.kind == Kind::Work);
    let mut found: Vec<(Arc<Use>, u64)> = Vec::new();
    for one in works {
        let share = one.span().secs_floor() / one.moves.len().max(1) as u64;
        for turn in one.moves.iter() {
            match found
                .iter_mut()
                .find(|(known, _)| known.of.id == turn.of.id && known.pick == turn.pick)
            {
                Some((_, secs)) => *secs += share,
                None => found.push((Arc::clone(turn), share)),
            }
        }
    }
    found
}
