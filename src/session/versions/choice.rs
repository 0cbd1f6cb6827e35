//! What may be offered of a move at its place in the class, and to whom.

use super::super::moves::Use;
use super::super::terms::Load;
use super::room::{Room, is_at_hand};
use super::rungs::{above, below, for_a_limit, round_instead, rungs};
use super::version::Version;

/// A harder version, with what is said beside it where it meets a limit of the room.
#[derive(Clone, Debug, PartialEq)]
pub struct Harder<'a> {
    /// The version.
    pub version: Version<'a>,
    /// The limits of the room that it meets.
    pub meets: Vec<Load>,
    /// The clean version that is said with it for those; nothing where it meets none.
    pub with: Option<Version<'a>>,
}

/// What may be offered of a move at its place in the class.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice<'a> {
    /// The version that everyone does.
    pub now: Version<'a>,
    /// The limits of the room that it meets.
    pub met: Vec<Load>,
    /// The version for those limits, clean for the whole room. Nothing where nothing is met, and
    /// nothing where there is none: then it is said before class, and [`elsewhere()`](super::elsewhere::elsewhere) knows others.
    pub spare: Option<Version<'a>>,
    /// The ladder of ease from here, the nearest first: what the key for easier walks. A rung that
    /// would bring a limit of the room is left out.
    pub easier: Vec<Version<'a>>,
    /// The versions for a joint or a position, for a key of their own, in their order and round to
    /// the move as it stands.
    pub instead: Vec<Version<'a>>,
    /// The harder versions from here, the nearest first; one that meets a limit of the room is
    /// there only with the version for that limit.
    pub harder: Vec<Harder<'a>>,
    /// Of `easier`, the one that is said: everybody has what it needs and stays where they are.
    pub easier_said: Option<Version<'a>>,
    /// Of `harder`, the one that is said: same position, and everybody has what it needs.
    pub harder_said: Option<Harder<'a>>,
}

impl<'a> Choice<'a> {
    /// The next easier version: the one that is said, or where none is, the nearest. What the key
    /// for easier leads to, and what stands on the screen.
    #[must_use]
    pub fn next_easier(&self) -> Option<Version<'a>> {
        self.easier_said.or_else(|| self.easier.first().copied())
    }

    /// The next harder version, by the same rule.
    #[must_use]
    pub fn next_harder(&self) -> Option<&Harder<'a>> {
        self.harder_said.as_ref().or_else(|| self.harder.first())
    }

    /// The next version for a joint or a position: the one for tonight's limits first, if it is of
    /// that list.
    #[must_use]
    pub fn next_instead(&self) -> Option<Version<'a>> {
        let spare = self.spare.filter(|spare| self.instead.contains(spare));
        spare.or_else(|| self.instead.first().copied())
    }
}

/// Everything that may be offered of a move, for the room that it is offered to.
#[must_use]
pub fn choose<'a>(used: &'a Use, room: &Room) -> Choice<'a> {
    let now = used.version();
    let from = now.loads();
    let met = now.meets(room.limits);
    let spare = sparing(used, room.limits, room);
    let easier: Vec<Version> = rungs(used, below(used))
        .filter(|version| version.brings_none(&from, room.limits))
        .collect();
    let instead = rungs(used, round_instead(used))
        .filter(|version| version.brings_none(&from, room.limits))
        .collect();
    let clean = if met.is_empty() { Some(now) } else { spare };
    let harder: Vec<Harder> = rungs(used, above(used))
        .filter_map(|version| guarded(version, clean, room))
        .collect();
    let stays = |version: &Version| now.way(*version) == 0 && is_at_hand(*version, used, room);
    let fits = |harder: &&Harder| {
        let version = harder.version;
        version.position() == now.position() && is_at_hand(version, used, room)
    };
    Choice {
        now,
        met,
        spare,
        easier_said: easier.iter().copied().find(stays),
        harder_said: harder.iter().find(fits).cloned(),
        easier,
        instead,
        harder,
    }
}

/// The version for one person's limits: it spares all of them that the version in force meets, and
/// brings none of anybody's. Of those that do, one with what is at hand comes before one for which
/// something must be fetched, the one that leaves the body where it is before others, and then the
/// nearest. Nothing where the version in force meets none of them, or no version will do.
#[must_use]
pub fn sparing<'a>(used: &'a Use, person: &[Load], room: &Room) -> Option<Version<'a>> {
    let now = used.version();
    if now.meets(person).is_empty() {
        return None;
    }
    let from = now.loads();
    let clean = |version: &Version| {
        version.meets(person).is_empty() && version.brings_none(&from, room.limits)
    };
    rungs(used, for_a_limit(used))
        .filter(clean)
        .min_by_key(|version| (!is_at_hand(*version, used, room), now.way(*version)))
}

/// A harder version as the room may hear of it, if it may: with the clean one where it meets a limit.
fn guarded<'a>(
    version: Version<'a>,
    clean: Option<Version<'a>>,
    room: &Room,
) -> Option<Harder<'a>> {
    let meets = version.meets(room.limits);
    let with = clean.filter(|_| !meets.is_empty());
    (meets.is_empty() || with.is_some()).then_some(Harder {
        version,
        meets,
        with,
    })
}
