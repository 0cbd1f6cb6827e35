//! The moves and versions that could be in the class: those that spare what the room must spare and
//! are not to be left out.

use std::sync::Arc;

use super::shape::Ground;
use super::wishes::{Level, Wishes};
use crate::advice::effort::UNKNOWN;
use crate::session::{Action, Impact, Library, Load, Move, Pick, Region, Sides, Use, met};

/// A move in a version, with what the choice goes by.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    /// The move in its version.
    pub(super) turn: Arc<Use>,
    /// The place of the move in the library.
    pub(super) nth: usize,
    /// Where people are.
    pub(super) ground: Ground,
    /// What it costs in MET.
    pub(super) met: f64,
    /// What it loads.
    pub(super) loads: Vec<Load>,
    /// How hard the feet meet the floor.
    pub(super) impact: Impact,
    /// How it is shared between the sides.
    pub(super) sides: Sides,
}

impl Candidate {
    fn of(of: &Arc<Move>, nth: usize, pick: Option<Pick>) -> Self {
        let turn = Use {
            pick,
            ..Use::plain(Arc::clone(of))
        };
        let version = turn.version();
        let own = version.energy().and_then(met);
        let met = own.or_else(|| met(UNKNOWN)).unwrap_or_default();
        Self {
            nth,
            ground: Ground::of(&turn),
            met,
            loads: version.loads(),
            impact: version.impact(),
            sides: version.sides(),
            turn: Arc::new(turn),
        }
    }

    /// The move's id.
    pub(super) fn id(&self) -> &str {
        &self.turn.of.id
    }

    /// What it does.
    pub(super) fn action(&self) -> Option<Action> {
        self.turn.of.action
    }

    /// Whether it is for warm-up or cool-down alone.
    pub(super) fn is_gentle(&self) -> bool {
        let action = self.action();
        matches!(
            action,
            None | Some(Action::Mobilise | Action::Stretch | Action::Breathe)
        )
    }

    /// Whether it is named for a region, first or not.
    pub(super) fn works(&self, region: Region) -> bool {
        self.turn.of.regions.contains(&region)
    }

    /// The things it needs besides a mat and what stands in the room.
    pub(super) fn things(&self) -> Vec<&str> {
        let mut things = self.turn.version().equipment();
        things.retain(|thing| !["mat", "wall", "floor"].contains(thing));
        things
    }

    /// Whether there is enough of what it needs, where the people are shared between so many places.
    pub(super) fn has_its_kit(&self, wishes: &Wishes, places: usize) -> bool {
        let things = self.turn.version().equipment();
        things.iter().all(|thing| wishes.has(thing, places))
    }
}

/// Every move in every version that may be done by everybody in this room. Versions that are other
/// moves of the library stand there by themselves.
pub(super) fn candidates(wishes: &Wishes, library: &Library) -> Vec<Candidate> {
    let each = library.iter().enumerate();
    let wanted = each.filter(|(_, of)| !wishes.leave_out.contains(&of.id));
    wanted
        .flat_map(|(nth, of)| of_move(wishes, of, nth))
        .collect()
}

/// Those that were not in the last class, or are wished again.
pub(super) fn not_of_the_last_class(wishes: &Wishes, all: &[Candidate]) -> Vec<Candidate> {
    let fresh = all.iter().filter(|one| !wishes.is_too_fresh(one.id()));
    fresh.cloned().collect()
}

fn of_move(wishes: &Wishes, of: &Arc<Move>, nth: usize) -> Vec<Candidate> {
    let is_clean = |one: &Candidate| !one.loads.iter().any(|load| wishes.limits.contains(load));
    let plain = Candidate::of(of, nth, None);
    let plain_is_clean = is_clean(&plain);
    let may = |pick: &Pick| match pick {
        Pick::Easier(_) => true,
        Pick::Instead(_) => !plain_is_clean,
        Pick::Harder(_) => wishes.level == Level::Advanced,
    };
    let own = of
        .options()
        .filter(|(pick, option)| option.stand_in.is_none() && may(pick));
    let versions = own.map(|(pick, _)| Candidate::of(of, nth, Some(pick)));
    std::iter::once(plain)
        .chain(versions)
        .filter(is_clean)
        .collect()
}
