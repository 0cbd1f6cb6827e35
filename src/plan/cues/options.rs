//! Which other version of a move is offered to everyone in the room.
//!
//! An option that only spares a joint or a position (`on your fists` for the wrists) makes the
//! move no easier for anybody else: it is said for its limit alone. So is one that needs a thing
//! which nobody brought, or that takes the body between the floor and the feet. It refuses to know
//! how often an option has been offered, and who is in the room.

use crate::plan::transition::is_of_the_room;
use crate::session::{Load, Move, MoveOption, Pick, Position, Use};

/// Another version of a move.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Offer<'a> {
    /// An option of the move.
    Version(&'a MoveOption),
    /// The move as it stands, where an option is in force.
    Full(&'a str),
}

impl<'a> Offer<'a> {
    /// The words by which it is known.
    pub(super) fn call(self) -> &'a str {
        match self {
            Self::Version(option) => &option.call,
            Self::Full(call) => call,
        }
    }
}

/// The next easier version than the one in force: where everybody does a harder one, the move
/// itself.
pub(super) fn easier<'a>(used: &'a Use, things: &[String]) -> Option<Offer<'a>> {
    let of = &*used.of;
    let fits = |option: &&MoveOption| {
        let up = option.position.unwrap_or(of.position).is_upright();
        up == used.position().is_upright() && is_at_hand(option, used, things)
    };
    let eases = |option: &&MoveOption| fits(option) && is_for_all(of, option);
    let found = match used.pick {
        None | Some(Pick::Instead(_)) => of.easier.iter().find(eases),
        Some(Pick::Easier(n)) => of.easier.iter().skip(n + 1).find(eases),
        Some(Pick::Harder(_)) => return Some(Offer::Full(&of.call)),
    };
    found.map(Offer::Version)
}

/// The next harder version than the one in force, in the same position: where everybody does an
/// easier one, the move itself.
pub(super) fn harder<'a>(used: &'a Use, things: &[String]) -> Option<Offer<'a>> {
    let of = &*used.of;
    let stays = |position: Option<Position>| position.unwrap_or(of.position) == used.position();
    let fits = |option: &&MoveOption| stays(option.position) && is_at_hand(option, used, things);
    let found = match used.pick {
        None => of.harder.iter().find(fits),
        Some(Pick::Harder(n)) => of.harder.iter().skip(n + 1).find(fits),
        Some(Pick::Easier(_) | Pick::Instead(_)) => {
            return stays(None).then_some(Offer::Full(&of.call));
        }
    };
    found.map(Offer::Version)
}

/// Whether nothing must be found first: a mat and a wall are there (common practice, no source).
pub(super) fn is_at_hand(option: &MoveOption, used: &Use, things: &[String]) -> bool {
    let own = used.equipment();
    option.equipment.iter().all(|thing| {
        own.contains(&thing.as_str())
            || thing == "mat"
            || is_of_the_room(thing)
            || things.contains(thing)
    })
}

/// Whether an option eases the effort, and not just what a joint or a position asks.
fn is_for_all(of: &Move, option: &MoveOption) -> bool {
    let kneels = matches!(of.position, Position::Kneeling | Position::HandsAndKnees);
    let is_effort = |load: &Load| match load {
        Load::Wrist | Load::Elbow | Load::Neck | Load::Supine | Load::HeadDown => false,
        Load::Knee | Load::Ankle => !kneels,
        _ => true,
    };
    option.spares.is_empty() || option.spares.iter().any(is_effort)
}
