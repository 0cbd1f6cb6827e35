//! Other moves of the library, for a place whose own move has no clean version.

use std::sync::Arc;

use super::super::energy::met;
use super::super::library::Library;
use super::super::moves::{Move, Use};
use super::super::terms::Action;
use super::room::{Room, is_at_hand};
use super::version::Version;

/// Another move may ask for so many METs more than the one it replaces.
const MORE_EFFORT: f64 = 2.0;

/// Other moves of the library for a place whose move has no clean version: clean for the room, of
/// the same action or region, with what is at hand, no harder on the feet and not much harder at
/// all. The likest first.
#[must_use]
pub fn elsewhere<'a>(used: &Use, library: &'a Library, room: &Room) -> Vec<&'a Arc<Move>> {
    let now = used.version();
    let mut found: Vec<(_, &Arc<Move>)> = (library.iter())
        .filter(|of| of.id != used.of.id && suits(of, used, room))
        .map(|of| (unlikeness(of, used, now), of))
        .collect();
    found.sort_by_key(|(unlikeness, _)| *unlikeness);
    found.into_iter().map(|(_, of)| of).collect()
}

fn suits(of: &Move, used: &Use, room: &Room) -> bool {
    let version = Version::of(of, None);
    let same_region = of.regions.first() == used.of.regions.first();
    let same_action = of.action.is_some() && of.action == used.of.action;
    (same_region || same_action)
        && is_gentle(of.action) == is_gentle(used.of.action)
        && of.impact <= used.of.impact
        && effort(of.energy.as_deref()) <= effort(used.of.energy.as_deref()) + MORE_EFFORT
        && version.meets(room.limits).is_empty()
        && is_at_hand(version, used, room)
}

const fn is_gentle(action: Option<Action>) -> bool {
    matches!(
        action,
        Some(Action::Mobilise | Action::Stretch | Action::Breathe)
    )
}

fn effort(code: Option<&str>) -> f64 {
    code.and_then(met).unwrap_or(0.0)
}

/// What is different, the weightiest first.
fn unlikeness(of: &Move, used: &Use, now: Version) -> (u8, bool, bool, bool, u64) {
    let version = Version::of(of, None);
    let effort = (effort(of.energy.as_deref()) - effort(now.energy())).abs() * 10.0;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "tenths of a MET, none of them below 0"
    )]
    let tenths = effort.round() as u64;
    (
        now.way(version),
        of.action != used.of.action,
        of.regions.first() != used.of.regions.first(),
        version.position() != now.position(),
        tenths,
    )
}
