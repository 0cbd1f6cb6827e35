//! A move in one of its versions, and all that is true of it then.
//!
//! What the move says of itself is never said of a version: that has its own words, those of the
//! move that stands in, or none.

use super::super::moves::{Move, MoveOption, Pick};
use super::super::terms::{Impact, Load, Position, Sides};

/// Things to sit on: with one of them, sitting is not sitting on the floor.
const SEATS: [&str; 3] = ["chair", "stool", "bench"];

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
    pub(super) fn is_known(self) -> bool {
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

    /// Whether what changes at half is the way round and not the side: arms circle backward from
    /// half. Its set-up says so, or where it has none, that of the move itself.
    #[must_use]
    pub fn turns_about(self) -> bool {
        let setup = self.setup().unwrap_or(&self.of.setup);
        self.sides() == Sides::Each && setup.contains("from half")
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

    /// How to breathe in it; the words of the move itself are never said of another version.
    #[must_use]
    pub fn breath(self) -> Option<&'a str> {
        self.whole()?.breath.as_deref()
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
    pub(super) fn way(self, to: Self) -> u8 {
        match (self.level(&self.equipment()), to.level(&to.equipment())) {
            (a, b) if a == b => 0,
            (0, _) | (_, 0) => 2,
            _ => 1,
        }
    }

    /// The limits of a list that it loads, each once.
    #[must_use]
    pub fn meets(self, limits: &[Load]) -> Vec<Load> {
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
    pub(super) fn brings_none(self, from: &[Load], limits: &[Load]) -> bool {
        less(self.meets(limits), from).is_empty()
    }
}

fn less(mut loads: Vec<Load>, these: &[Load]) -> Vec<Load> {
    loads.retain(|load| !these.contains(load));
    loads
}
