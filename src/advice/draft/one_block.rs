//! One block drafted for a class that is there: other moves than it has, and most of what it lacks.

use std::collections::BTreeSet;

use super::candidate::{candidates, not_of_the_last_class};
use super::class;
use super::earlier::Earlier;
use super::fault::CannotDraft;
use super::in_class::{For, turns, worked};
use super::reason::reason;
use super::shape::{BlockWish, Ground};
use super::wishes::Wishes;
use super::work::{Placed, work};
use super::written;
use crate::advice::arrange::{Pins, arrange};
use crate::advice::names::blocks;
use crate::session::{Library, Part, Session, Use};

/// A block that could be put into a class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DraftedBlock {
    /// Its text, from `Block(` to its bracket, with the reason of each move in a comment; not
    /// set in.
    pub text: String,
    /// Why each move is in it, by the moves' ids.
    pub reasons: Vec<(String, String)>,
    /// Its points by the wishes.
    pub total: i64,
    /// What no choice has more than.
    pub bound: i64,
}

/// The best block of a shape for a class: no move that the class has already, and more of the regions
/// and actions of which it has little.
///
/// # Errors
/// A shape that cannot be taught, or for which too few moves suit.
pub fn draft_block(
    session: &Session,
    block: &BlockWish,
    wishes: &Wishes,
    library: &Library,
) -> Result<DraftedBlock, CannotDraft> {
    let shape = block.to_string();
    let wish = block.clone().checked().map_err(|why| CannotDraft::Shape {
        shape: shape.clone(),
        why,
    })?;
    let has: BTreeSet<String> = turns(session)
        .into_iter()
        .map(|(turn, _)| turn.of.id.clone())
        .collect();
    let mut wishes = wishes.clone();
    wishes
        .leave_out
        .extend(has.into_iter().filter(|id| !wishes.have.contains(id)));
    let candidates = candidates(&wishes, library);
    let already = worked(session);
    let last = already.last().map(|(turn, _)| Ground::of(turn));
    let grounds = match wish.ground {
        Some(ground) => vec![ground],
        // Where people are already, before they go elsewhere.
        None => [
            last.unwrap_or(Ground::Standing),
            Ground::Standing,
            Ground::Floor,
        ]
        .to_vec(),
    };
    let fresh = not_of_the_last_class(&wishes, &candidates);
    let in_order = [&fresh, &candidates].into_iter();
    let mut tries = in_order.flat_map(|from| grounds.iter().map(move |&ground| (from, ground)));
    let found = tries.find_map(|(from, ground)| {
        let placed = [Placed {
            wish: wish.clone(),
            ground,
        }];
        Some((
            ground,
            work(&wishes, &placed, from, &already, &Earlier::default())?,
        ))
    });
    let (ground, mut work) = found.ok_or(CannotDraft::TooFew { shape })?;
    let moves = work.blocks.pop().unwrap_or_default();
    let made = class::alone(&wishes, &Placed { wish, ground }, &moves);
    let mut with = session.clone();
    with.parts.push(Part::Block(made));
    let nth = with.parts.iter().flat_map(blocks).count();
    let pins = Pins {
        block: Some(nth),
        ..Pins::default()
    };
    let (_, with) = arrange(&with, &Library::default(), &pins);
    let Some(Part::Block(made)) = with.parts.last() else {
        return Err(CannotDraft::NoFrame("block"));
    };
    let why = |turn: &Use, place| reason(turn, &wishes, place);
    let each = moves
        .iter()
        .map(|turn| (turn.of.id.clone(), why(turn, For::Work)));
    let reasons = each.collect();
    let text = written::block(made, &why, 0);
    Ok(DraftedBlock {
        text,
        reasons,
        total: work.total,
        bound: work.bound,
    })
}
