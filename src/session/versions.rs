//! Which versions of a move may be offered to whom: one answer for the voice, the screen and the
//! keys.
//!
//! A room has limits: what somebody in it must spare. A version is clean for a room if it loads
//! none of them, and it is offered only if it brings none of them. Nobody is told whose limit is
//! whose, so that the version for a limit must be clean for the whole room, as if one person had
//! them all. It is a reminder for the instructor, no medical advice. This file refuses to know
//! how any of it is said, and when.

use std::sync::Arc;

use super::library::Library;
use super::moves::{Move, MoveOption, Pick, Use};
use super::terms::{Action, Impact, Load, Position, Sides};
use crate::session::met;

/// What stands or lies in every room: a mat and a wall (common practice, no source).
const THERE: [&str; 3] = ["mat", "wall", "floor"];
/// Things to sit on: with one of them, sitting is not sitting on the floor.
const SEATS: [&str; 3] = ["chair", "stool", "bench"];
/// Another move may ask for so many METs more than the one it replaces.
const MORE_EFFORT: f64 = 2.0;

/// What somebody in the room must spare, and what people have with them.
#[derive(Clone, Copy, Debug, Default)]
pub struct Room<'a> {
    /// The limits of everybody in the room.
    pub limits: &'a [Load],
    /// The things that everybody has at hand; a mat and a wall are there anyway.
    pub things: &'a [String],
}

/// A move in one of its versions: as it stands, or by one of its options.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Version<'a> {
    of: &'a Move,
    pick: Option<Pick>,
    option: Option<&'a MoveOption>,
}

impl<'a> Version<'a> {
    /// A version of a move; the move as it stands where it has no such option.
    #[must_use]
    pub fn of(of: &'a Move, pick: Option<Pick>) -> Self {
        let option = pick.and_then(|pick| of.option(pick));
        let pick = pick.filter(|_| option.is_some());
        Self { of, pick, option }
    }

    /// Which option it is; nothing for the move as it stands.
    #[must_use]
    pub const fn pick(self) -> Option<Pick> {
        self.pick
    }

    /// The option; nothing for the move as it stands.
    #[must_use]
    pub const fn option(self) -> Option<&'a MoveOption> {
        self.option
    }

    /// The other move that stands in, where the option is one.
    #[must_use]
    pub fn stand_in(self) -> Option<&'a Move> {
        self.option?.stand_in.as_ref()?.of.as_deref()
    }

    /// The move whose words and data these are, if no option changes them.
    fn whole(self) -> Option<&'a Move> {
        match self.option {
            None => Some(self.of),
            Some(_) => self.stand_in(),
        }
    }

    /// Whether everything about it is known: a move that stands in has been looked up.
    fn is_known(self) -> bool {
        let looks_elsewhere = self.option.is_some_and(|option| option.stand_in.is_some());
        !looks_elsewhere || self.stand_in().is_some()
    }

    /// The words by which it is offered.
    #[must_use]
    pub fn call(self) -> &'a str {
        self.option.map_or(&self.of.call, |option| &option.call)
    }

    /// Where the body is.
    #[must_use]
    pub fn position(self) -> Position {
        let own = self.option.and_then(|option| option.position);
        let other = self.stand_in().map(|of| of.position);
        own.or(other).unwrap_or(self.of.position)
    }

    /// How hard the feet meet the floor.
    #[must_use]
    pub fn impact(self) -> Impact {
        if let Some(of) = self.whole() {
            return of.impact;
        }
        let own = self.option.and_then(|option| option.impact);
        let lands = !self.spares_outright(Load::Jump);
        own.unwrap_or(match self.of.impact {
            Impact::High if !lands => Impact::Low,
            impact => impact,
        })
    }

    /// How it is shared between the sides.
    #[must_use]
    pub fn sides(self) -> Sides {
        let own = self.option.and_then(|option| option.sides);
        let other = self.stand_in().map(|of| of.sides);
        own.or(other).unwrap_or(self.of.sides)
    }

    /// The energy code.
    #[must_use]
    pub fn energy(self) -> Option<&'a str> {
        let own = self.option.and_then(|option| option.energy.as_deref());
        own.or_else(|| self.whole().unwrap_or(self.of).energy.as_deref())
    }

    /// How to get into it; the words of the move itself are never said of another version.
    #[must_use]
    pub fn setup(self) -> Option<&'a str> {
        let own = self.option.and_then(|option| option.setup.as_deref());
        let whole = self.whole().map(|of| of.setup.as_str());
        own.or(whole).filter(|text| !text.is_empty())
    }

    /// The form cues; those of the move itself are never said of another version.
    #[must_use]
    pub fn form(self) -> &'a [String] {
        let own = self.option.map(|option| option.form.as_slice());
        let own = own.filter(|form| !form.is_empty());
        own.or(self.whole().map(|of| of.form.as_slice()))
            .unwrap_or_default()
    }

    /// What it loads: what the move does, less what the option spares, and what it adds; with what
    /// its place and its landing ask by themselves.
    #[must_use]
    pub fn loads(self) -> Vec<Load> {
        let whole = self.whole();
        let own = whole.unwrap_or(self.of).loads.iter().copied();
        let own = own.filter(|load| whole.is_some() || !self.spares_outright(*load));
        let added = self.option.filter(|_| whole.is_none());
        let added = added.iter().flat_map(|option| &option.adds).copied();
        let jump = (self.impact() == Impact::High).then_some(Load::Jump);
        let asked = self.position().asks().into_iter().chain(jump);
        let asked = asked.filter(|load| !self.spares_outright(*load));
        let mut loads = Vec::with_capacity(8);
        for load in own.chain(added).chain(asked) {
            if !loads.contains(&load) {
                loads.push(load);
            }
        }
        loads
    }

    fn spares_outright(self, load: Load) -> bool {
        let option = self.option.filter(|option| option.stand_in.is_none());
        option.is_some_and(|option| option.spares.contains(&load))
    }

    /// What it loads that the move as it stands does not.
    #[must_use]
    pub fn adds(self) -> Vec<Load> {
        less(self.loads(), &Self::of(self.of, None).loads())
    }

    /// What the move as it stands loads and this does not.
    #[must_use]
    pub fn spares(self) -> Vec<Load> {
        less(Self::of(self.of, None).loads(), &self.loads())
    }

    /// What each person needs. On the feet or on a chair nobody needs the mat of a floor move.
    #[must_use]
    pub fn equipment(self) -> Vec<&'a str> {
        let base = self.whole().unwrap_or(self.of);
        let own = self.option.map_or(&[][..], |option| &option.equipment);
        let mut needs: Vec<&str> = Vec::new();
        for thing in base.equipment.iter().chain(own) {
            if !needs.contains(&thing.as_str()) {
                needs.push(thing);
            }
        }
        let moves_up = self.option.is_some_and(|o| o.position.is_some()) && self.level(&needs) > 0;
        if moves_up && self.of.position != self.position() {
            needs.retain(|thing| *thing != "mat");
        }
        needs
    }

    /// 0 on the floor, 1 on a seat, 2 on the feet.
    fn level(self, things: &[&str]) -> u8 {
        match self.position() {
            Position::Seated if things.iter().any(|thing| SEATS.contains(thing)) => 1,
            position if position.is_upright() => 2,
            _ => 0,
        }
    }

    /// How far the body goes from here to another version: nowhere, between seat and feet, or
    /// from or to the floor.
    fn way(self, to: Self) -> u8 {
        match (self.level(&self.equipment()), to.level(&to.equipment())) {
            (a, b) if a == b => 0,
            (0, _) | (_, 0) => 2,
            _ => 1,
        }
    }

    /// The limits of a list that it loads, each once.
    fn meets(self, limits: &[Load]) -> Vec<Load> {
        let loads = self.loads();
        let mut met: Vec<Load> = Vec::new();
        for &load in limits {
            if loads.contains(&load) && !met.contains(&load) {
                met.push(load);
            }
        }
        met
    }

    /// Whether going there from where these are loaded brings none of these limits.
    fn brings_none(self, from: &[Load], limits: &[Load]) -> bool {
        less(self.meets(limits), from).is_empty()
    }
}

fn less(mut loads: Vec<Load>, these: &[Load]) -> Vec<Load> {
    loads.retain(|load| !these.contains(load));
    loads
}

/// Whether nobody must look for anything first.
fn is_at_hand(version: Version, used: &Use, room: &Room) -> bool {
    let own = used.equipment();
    let here = |thing: &&str| {
        own.contains(thing) || THERE.contains(thing) || room.things.iter().any(|t| t == thing)
    };
    version.equipment().iter().all(here)
}

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
    /// nothing where there is none: then it is said before class, and [`elsewhere`] knows others.
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
    /// Of `harder`, the one that is said: same position, and everybody has what it needs. Where
    /// everybody does an option of another kind, it is the move as it stands.
    pub harder_said: Option<Harder<'a>>,
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
        version.position() == now.position()
            && is_at_hand(version, used, room)
            && !matches!(version.pick, Some(Pick::Easier(_)))
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

fn rungs(used: &Use, picks: Vec<Option<Pick>>) -> impl Iterator<Item = Version<'_>> {
    let versions = picks
        .into_iter()
        .map(|pick| Version::of(&used.of, pick))
        .filter(|version| version.is_known());
    let now = used.version().pick();
    versions.filter(move |version| version.pick() != now)
}

fn easier_from(of: &Move, n: usize) -> impl Iterator<Item = Option<Pick>> + use<> {
    (n..of.easier.len()).map(|n| Some(Pick::Easier(n)))
}

fn instead_of(of: &Move) -> impl Iterator<Item = Option<Pick>> + use<> {
    (0..of.instead.len()).map(|n| Some(Pick::Instead(n)))
}

fn harder_from(of: &Move, n: usize) -> impl Iterator<Item = Option<Pick>> + use<> {
    (n..of.harder.len()).map(|n| Some(Pick::Harder(n)))
}

fn down_to(n: usize, pick: fn(usize) -> Pick) -> impl Iterator<Item = Option<Pick>> {
    (0..n).rev().map(move |n| Some(pick(n)))
}

/// The ladder of ease below the version in force.
fn below(used: &Use) -> Vec<Option<Pick>> {
    let of = &used.of;
    match used.version().pick() {
        None | Some(Pick::Instead(_)) => easier_from(of, 0).collect(),
        Some(Pick::Easier(n)) => easier_from(of, n + 1).collect(),
        Some(Pick::Harder(n)) => down_to(n, Pick::Harder)
            .chain([None])
            .chain(easier_from(of, 0))
            .collect(),
    }
}

/// What is harder than the version in force.
fn above(used: &Use) -> Vec<Option<Pick>> {
    let of = &used.of;
    match used.version().pick() {
        None => harder_from(of, 0).collect(),
        Some(Pick::Harder(n)) => harder_from(of, n + 1).collect(),
        Some(Pick::Easier(n)) => down_to(n, Pick::Easier)
            .chain([None])
            .chain(harder_from(of, 0))
            .collect(),
        Some(Pick::Instead(_)) => [None].into_iter().chain(harder_from(of, 0)).collect(),
    }
}

/// The versions for a joint or a position, from the one in force round to the one before it.
fn round_instead(used: &Use) -> Vec<Option<Pick>> {
    let all: Vec<Option<Pick>> = instead_of(&used.of).collect();
    match used.version().pick() {
        Some(Pick::Instead(n)) => {
            let (before, after) = all.split_at(n);
            let after = after.iter().copied();
            after.chain([None]).chain(before.iter().copied()).collect()
        }
        _ => all,
    }
}

/// Where a version for a limit is looked for: never among the harder ones, and nearest first.
fn for_a_limit(used: &Use) -> Vec<Option<Pick>> {
    let of = &used.of;
    let mut picks = below(used);
    picks.extend(round_instead(used));
    if let Some(Pick::Easier(n)) = used.version().pick() {
        picks.extend(down_to(n, Pick::Easier));
    }
    if !picks.contains(&None) {
        picks.push(None);
    }
    picks.retain(|pick| !matches!(pick, Some(Pick::Harder(n)) if *n >= of.harder.len()));
    picks
}

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

#[cfg(test)]
mod tests;
