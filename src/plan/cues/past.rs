//! What a class has done up to a point: which moves came, how often, and what lies at hand.
//!
//! The past of a running class is what was really taught; the history of a plan goes on from it
//! with what is planned. What is said because of it is not known here.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use crate::plan::interval::{Interval, Kind};
use crate::plan::rotation::Rotation;
use crate::plan::transition::{is_set_out, leaves_mat};

use crate::session::{Choice, Harder, Load, Room, Use, Version, choose};

/// How often a version is offered in a class.
const OFFERS: usize = 2;
/// How often a move came before a harder version of it is offered (common practice, no source).
const HARDER_FROM: usize = 2;

/// What has been taught, as far as it matters for what is said later.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Past {
    /// What everyone has at hand, as the session lists it.
    at_hand: Arc<[String]>,
    /// What somebody in the room must spare.
    limits: Arc<[Load]>,
    /// The intervals in which people moved; one begun again counts once.
    seen: HashSet<u32>,
    times: HashMap<String, usize>,
    /// How often a move came in the warm-up: that is not the move in full.
    warm: HashMap<String, usize>,
    things: HashSet<String>,
    offers: HashMap<String, usize>,
    mat_lies: bool,
    /// The stations that were explained, by their key.
    explained: HashSet<String>,
}

impl Past {
    /// Nothing was taught to this room.
    #[must_use]
    pub fn of(room: &Room) -> Self {
        Self {
            at_hand: room.things.into(),
            limits: room.limits.into(),
            ..Self::default()
        }
    }

    /// From now on this is what somebody in the room must spare.
    pub fn spare(&mut self, limits: &[Load]) {
        self.limits = limits.into();
    }

    /// Counts an interval as taught.
    pub fn add(&mut self, interval: &Interval) {
        if !interval.kind.is_moving() {
            return;
        }
        self.mat_lies |= leaves_mat(interval);
        if self.seen.contains(&interval.id) {
            return;
        }
        let limits = self.limits.clone();
        let history = History::after(self, None, &limits);
        let offered: Vec<String> = history
            .offers(interval)
            .versions()
            .map(|version| version.call().to_owned())
            .collect();
        for call in offered {
            *self.offers.entry(call).or_default() += 1;
        }
        self.seen.insert(interval.id);
        if interval.together().is_some() {
            self.explained.insert(stations_of(interval));
        }
        let set_out = is_set_out(interval);
        for turn in interval.moves.iter() {
            let times = match interval.kind {
                Kind::WarmUp => &mut self.warm,
                _ => &mut self.times,
            };
            // In a rotation each person comes to a move once.
            let again = interval.continues_rotation();
            *times.entry(turn.of.id.clone()).or_default() += usize::from(!again);
            let things = turn.equipment().into_iter().filter(|_| !set_out);
            self.things.extend(things.map(ToOwned::to_owned));
        }
    }

    /// Whether a mat was used, and so lies where it was put.
    #[must_use]
    pub const fn mat_lies(&self) -> bool {
        self.mat_lies
    }
}

/// The station that something is said of in a work, so many on from the first: another one in each
/// work of a rotation, so that all have as much.
pub(super) fn in_turn(rotation: &Rotation, on: usize) -> usize {
    (rotation.turn.nth.saturating_sub(1) + on) % rotation.stations.max(1)
}

/// The stations of an interval, as they are known again in another round or another block.
fn stations_of(interval: &Interval) -> String {
    // Where the announcement names who does what, it says how many too.
    let announced = |of: &Rotation| !of.is_walked() && !of.groups.is_empty();
    let counts = !interval.together().is_some_and(announced);
    let each = interval.moves.iter().map(|used| {
        let (id, note) = (&used.of.id, used.note.as_deref().unwrap_or_default());
        let reps = used.reps.filter(|_| counts);
        format!("{id} {:?} {reps:?} {note}", used.pick)
    });
    each.collect::<Vec<_>>().join("\n")
}

/// Other versions that are offered in an interval.
#[derive(Clone, Debug, Default)]
pub(super) struct Offers<'a> {
    /// The easier version of each move that has one to offer.
    pub(super) easier: Vec<(&'a Use, Version<'a>)>,
    /// The harder version.
    pub(super) harder: Option<Harder<'a>>,
}

impl<'a> Offers<'a> {
    fn versions(&self) -> impl Iterator<Item = Version<'a>> {
        let easier = self.easier.iter().map(|(_, version)| *version);
        easier.chain(self.harder.iter().map(|harder| harder.version))
    }
}

/// The past of a class, and what is planned to come after it up to a point.
#[derive(Clone)]
pub(super) struct History<'a> {
    past: &'a Past,
    limits: &'a [Load],
    times: HashMap<&'a str, usize>,
    warm: HashMap<&'a str, usize>,
    things: HashSet<&'a str>,
    /// How often each version was to be offered, by its words.
    offers: HashMap<&'a str, usize>,
    mat_lies: bool,
    explained: HashSet<String>,
    last: Option<&'a Interval>,
}

impl<'a> History<'a> {
    /// Nothing is planned yet; `before` is the last interval in which people moved.
    pub(super) fn after(past: &'a Past, before: Option<&'a Interval>, limits: &'a [Load]) -> Self {
        Self {
            past,
            limits,
            times: HashMap::new(),
            warm: HashMap::new(),
            things: HashSet::new(),
            offers: HashMap::new(),
            mat_lies: past.mat_lies,
            explained: HashSet::new(),
            last: before,
        }
    }

    /// The last interval in which people move.
    pub(super) const fn last(&self) -> Option<&'a Interval> {
        self.last
    }

    /// Whether a mat lies where it was put.
    pub(super) const fn mat_lies(&self) -> bool {
        self.mat_lies
    }

    /// Whether the stations of an interval were explained before.
    pub(super) fn is_explained(&self, interval: &Interval) -> bool {
        if interval.together().is_none() {
            return false;
        }
        let key = stations_of(interval);
        self.explained.contains(&key) || self.past.explained.contains(&key)
    }

    /// Whether a thing was used, or lies at hand.
    pub(super) fn had(&self, thing: &str) -> bool {
        self.things.contains(thing) || self.past.things.contains(thing)
    }

    /// How often a move came before an interval that has it. In work, what came in the warm-up
    /// does not count.
    pub(super) fn times(&self, interval: &Interval, id: &str) -> usize {
        let past = self.past.times.get(id).copied().unwrap_or(0);
        let planned = self.times.get(id).copied().unwrap_or(0);
        let warm = || {
            let past = self.past.warm.get(id).copied().unwrap_or(0);
            past + self.warm.get(id).copied().unwrap_or(0)
        };
        // It is there already: by itself, or by the work with which its rotation began.
        let seen = self.past.seen.contains(&interval.id);
        let again = usize::from(seen || interval.continues_rotation());
        let all = past
            + planned
            + if interval.kind == Kind::Work {
                0
            } else {
                warm()
            };
        all.saturating_sub(again)
    }

    fn offered(&self, version: Version) -> usize {
        let call = version.call();
        let past = self.past.offers.get(call).copied().unwrap_or(0);
        past + self.offers.get(call).copied().unwrap_or(0)
    }

    fn choice<'i>(&self, turn: &'i Use) -> Choice<'i> {
        let (limits, things) = (self.limits, &*self.past.at_hand);
        choose(turn, &Room { limits, things })
    }

    /// What is to be offered in an interval: an easier version the first two times that a move
    /// comes, in work a harder one from the third on, and none more than twice in a class. What a
    /// warm-up had of a move does not count.
    pub(super) fn offers<'i>(&self, interval: &'i Interval) -> Offers<'i> {
        let (moves, works) = (&interval.moves, interval.kind == Kind::Work);
        let times = |turn: &Use| self.times(interval, &turn.of.id);
        let mut easier: Vec<(&Use, Version)> = Vec::new();
        let is_new = |easier: &[(&Use, Version)], version: Version| {
            let here = easier.iter().filter(|(_, o)| o.call() == version.call());
            self.offered(version) + here.count() < OFFERS
        };
        let in_turn = interval
            .together()
            .map(|of| in_turn(of, of.stations.div_ceil(4)));
        let is_asked = |station: usize| in_turn.is_none_or(|in_turn| in_turn == station);
        let asked = moves.iter().enumerate().filter(|(n, _)| is_asked(*n));
        for turn in asked.map(|(_, turn)| turn).filter(|turn| times(turn) < 2) {
            let said = self.choice(turn).easier_said;
            let said = said.filter(|&version| is_new(&easier, version));
            easier.extend(said.map(|version| (&**turn, version)));
        }
        let alone = works && moves.len() == 1;
        let alone = moves
            .first()
            .filter(|turn| alone && times(turn) >= HARDER_FROM);
        let harder = alone.and_then(|turn| self.choice(turn).harder_said);
        let harder = harder.filter(|harder| is_new(&easier, harder.version));
        Offers { easier, harder }
    }

    /// Counts an interval as done.
    pub(super) fn add(&mut self, interval: &'a Interval) {
        self.mat_lies |= leaves_mat(interval);
        self.last = Some(interval);
        if self.past.seen.contains(&interval.id) {
            return;
        }
        let offers = self.offers(interval);
        for version in offers.versions() {
            *self.offers.entry(version.call()).or_default() += 1;
        }
        if interval.together().is_some() {
            self.explained.insert(stations_of(interval));
        }
        let set_out = is_set_out(interval);
        for turn in interval.moves.iter() {
            let times = match interval.kind {
                Kind::WarmUp => &mut self.warm,
                _ => &mut self.times,
            };
            let again = interval.continues_rotation();
            *times.entry(turn.of.id.as_str()).or_default() += usize::from(!again);
            self.things
                .extend(turn.equipment().into_iter().filter(|_| !set_out));
        }
    }
}
