//! What a room has: limits that somebody in it must spare, and things at hand.

use super::super::moves::Use;
use super::super::terms::Load;
use super::version::Version;

/// What stands or lies in every room: a mat and a wall (common practice, no source).
const THERE: [&str; 3] = ["mat", "wall", "floor"];

/// What somebody in the room must spare, and what people have with them.
#[derive(Clone, Copy, Debug, Default)]
pub struct Room<'a> {
    /// The limits of everybody in the room, those set in class among them.
    pub limits: &'a [Load],
    /// The things that everybody has at hand; a mat and a wall are there anyway.
    pub things: &'a [String],
}

/// Whether nobody must look for anything first: a version that is chosen because there is no other
/// may need a chair that nobody brought.
#[must_use]
pub fn is_at_hand(version: Version, used: &Use, room: &Room) -> bool {
    let own = used.equipment();
    let here = |thing: &&str| {
        own.contains(thing) || THERE.contains(thing) || room.things.iter().any(|t| t == thing)
    };
    version.equipment().iter().all(here)
}
