//! Versions and other moves that would take away what trouble is left in an order.

use std::sync::Arc;

use super::problem::{self, Problem};
use crate::plan::Timeline;
use crate::session::{Library, Part, Room, Session, Use, choose, elsewhere};

/// How many remedies are told.
const TOLD: usize = 3;
/// How many other moves of the library are tried at each place.
const TRIED: usize = 4;

/// Something else in the place of a move, and what that takes away.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remedy {
    /// The move, by its id.
    pub of: String,
    /// What is done in its place, in words.
    pub instead: String,
    /// By how much the trouble becomes less.
    pub less: u64,
}

/// What would help most, one for each move at most, the best first.
pub(super) fn remedies(
    session: &Session,
    timeline: &Timeline,
    part: usize,
    order: &[usize],
    library: &Library,
) -> Vec<Remedy> {
    let Part::Block(block) = &session.parts[part] else {
        return Vec::new();
    };
    let room = Room {
        limits: &session.limits,
        things: &session.equipment,
    };
    let total = |moves: &[Arc<Use>]| {
        let problem = Problem::with(block, moves.to_vec(), session, timeline, part);
        problem.trouble(order).total()
    };
    let given = problem::moves(block);
    let now = total(&given);
    if now == 0 || order.len() > super::EXACT {
        return Vec::new();
    }
    let mut found: Vec<Remedy> = Vec::new();
    for (n, turn) in given.iter().enumerate() {
        let tried = others(turn, library, &room)
            .into_iter()
            .map(|(other, instead)| {
                let mut moves = given.clone();
                moves[n] = Arc::new(other);
                (now.saturating_sub(total(&moves)), instead)
            });
        let best = tried
            .max_by_key(|(less, _)| *less)
            .filter(|(less, _)| *less > 0);
        found.extend(best.map(|(less, instead)| Remedy {
            of: turn.of.id.clone(),
            instead,
            less,
        }));
    }
    found.sort_by_key(|remedy| std::cmp::Reverse(remedy.less));
    found.truncate(TOLD);
    found
}

/// The versions of a move that everybody might do, and other moves like it.
fn others(turn: &Use, library: &Library, room: &Room) -> Vec<(Use, String)> {
    let choice = choose(turn, room);
    let versions = choice.easier.into_iter().chain(choice.instead);
    let versions = versions
        .filter(|version| version.pick().is_some())
        .map(|version| {
            let other = Use {
                pick: version.pick(),
                ..turn.clone()
            };
            (other, format!("the version \"{}\"", version.call()))
        });
    let moves = elsewhere(turn, library, room)
        .into_iter()
        .take(TRIED)
        .map(|of| {
            let other = Use {
                of: of.clone(),
                pick: None,
                ..turn.clone()
            };
            (other, format!("`{}` of the library", of.id))
        });
    versions.chain(moves).collect()
}
