//! Other moves that would suit at a place of a class.

use std::sync::Arc;

use super::candidate::{Candidate, candidates};
use super::earlier::Earlier;
use super::frame::{Purpose, cool_fits, warm_fits};
use super::in_class::{For, turns, worked};
use super::reason::reason;
use super::shape::{BlockWish, Ground};
use super::wishes::Wishes;
use super::worth::{suits, worth};
use super::written::used;
use crate::advice::likeness::region;
use crate::session::edit::Step;
use crate::session::{Block, Doing, Library, Order, Part, Pick, Session, Use};

/// How many are told.
const TOLD: usize = 12;
/// For what is like the move that stands there: region, action.
const LIKE: (i64, i64) = (25, 15);
/// For a thing that nobody has brought.
const NEW_THING: i64 = 30;

/// Another move for a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alternative {
    /// The move as a file names it: `"squat"`, or a `Use` with its version.
    pub text: String,
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// The version, if not the move itself.
    pub pick: Option<Pick>,
    /// Why it would suit.
    pub why: String,
}

/// Where a move stands.
enum Spot<'a> {
    Step(&'a Arc<Use>, For),
    Place(&'a Arc<Use>, &'a Block),
}

/// Other moves that would suit where one stands, the best first: of the same ground, clean for the
/// limits, with the kit there is, and none that the class has already. `at` is the place of the move
/// in the file, or of its step in a warm-up or cool-down; where no move stands there, there are none.
#[must_use]
pub fn alternatives(
    session: &Session,
    at: &[Step],
    wishes: &Wishes,
    library: &Library,
) -> Vec<Alternative> {
    let [Step::Field("parts"), rest @ ..] = at else {
        return Vec::new();
    };
    let Some(spot) = spot(&session.parts, rest) else {
        return Vec::new();
    };
    let all = candidates(wishes, library);
    let here = turns(session);
    let is_new = |one: &&Candidate| here.iter().all(|(turn, _)| turn.of.id != one.id());
    let work = worked(session);
    let purpose = Purpose {
        wishes,
        work: &work,
        earlier: &Earlier::default(),
    };
    let judge = |one: &Candidate| judged(one, &spot, &purpose);
    let new = all.iter().filter(is_new);
    let mut judged: Vec<(i64, &Candidate)> =
        new.filter_map(|one| Some((judge(one)?, one))).collect();
    for (points, one) in &mut judged {
        let missing = one
            .things()
            .iter()
            .any(|thing| !session.equipment.iter().any(|known| known == thing));
        *points -= if missing { NEW_THING } else { 0 };
    }
    judged.sort_by_key(|(points, one)| (std::cmp::Reverse(*points), one.nth));
    let mut told: Vec<&Candidate> = Vec::new();
    for (_, one) in judged {
        if told.len() < TOLD && told.iter().all(|known| known.nth != one.nth) {
            told.push(one);
        }
    }
    told.into_iter()
        .map(|one| alternative(one, wishes, &spot))
        .collect()
}

fn alternative(one: &Candidate, wishes: &Wishes, spot: &Spot) -> Alternative {
    let place = match spot {
        Spot::Step(_, place) => *place,
        Spot::Place(..) => For::Work,
    };
    Alternative {
        text: used(&one.turn),
        id: one.id().to_owned(),
        name: one.turn.of.name.clone(),
        pick: one.turn.pick,
        why: reason(&one.turn, wishes, place),
    }
}

/// What a move is worth at the spot; nothing where it does not suit.
fn judged(one: &Candidate, spot: &Spot, purpose: &Purpose) -> Option<i64> {
    match spot {
        Spot::Step(now, For::WarmUp) => {
            Some(warm_fits(one, purpose, Ground::of(now))? + like(one, now))
        }
        Spot::Step(now, _) => Some(cool_fits(one, purpose, Ground::of(now))? + like(one, now)),
        Spot::Place(now, block) => {
            let (wish, ground) = (wish_of(block, now), Ground::of(now));
            let fits = suits(one, purpose.wishes, &wish, ground);
            fits.then(|| worth(one, purpose.wishes, ground) + like(one, now))
        }
    }
}

fn like(one: &Candidate, now: &Use) -> i64 {
    let same_region = region(&one.turn) == region(now);
    let same_action = one.action() == now.of.action;
    i64::from(same_region) * LIKE.0 + i64::from(same_action) * LIKE.1
}

/// The shape of a block that is there.
fn wish_of(block: &Block, now: &Use) -> BlockWish {
    let stations = block
        .moves
        .iter()
        .any(|doing| matches!(doing, Doing::Together(_)));
    BlockWish {
        moves: block.moves.iter().map(|doing| doing.moves().len()).sum(),
        pattern: block.pattern.clone(),
        reps: now.reps,
        ground: None,
        stations,
        by_move: block.order == Order::ByMove,
    }
}

fn spot<'a>(parts: &'a [Part], path: &[Step]) -> Option<Spot<'a>> {
    let [Step::Item(n), rest @ ..] = path else {
        return None;
    };
    let mut part = parts.get(*n)?;
    if let Part::Until { part: inner, .. } = part {
        part = inner;
    }
    match (part, rest) {
        (Part::Repeat { parts, .. }, [Step::Field("parts"), rest @ ..]) => spot(parts, rest),
        (Part::WarmUp(steps), [Step::Item(0), Step::Item(k), ..]) => {
            Some(Spot::Step(&steps.get(*k)?.turn, For::WarmUp))
        }
        (Part::CoolDown(steps), [Step::Item(0), Step::Item(k), ..]) => {
            Some(Spot::Step(&steps.get(*k)?.turn, For::CoolDown))
        }
        (Part::Block(block), [Step::Field("moves"), Step::Item(k), rest @ ..]) => {
            in_block(block, *k, rest)
        }
        _ => None,
    }
}

fn in_block<'a>(block: &'a Block, k: usize, rest: &[Step]) -> Option<Spot<'a>> {
    let turn = match (block.moves.get(k), rest) {
        (Some(Doing::Together(of)), [Step::Field("moves"), Step::Item(station), ..]) => {
            of.stations.get(*station)?
        }
        (Some(Doing::One(turn)), _) => turn,
        // All moves of the block are its stations.
        _ => match &block.moves[..] {
            [Doing::Together(of)] => of.stations.get(k)?,
            _ => return None,
        },
    };
    Some(Spot::Place(turn, block))
}
