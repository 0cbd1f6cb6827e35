//! What a class has done up to a point: which moves came, how often, and what lies at hand.
//!
//! The past of a running class is what was really taught; the history of a plan goes on from it
//! with what is planned. What is said because of it is not known here.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use super::options::{self, Offer};
use crate::plan::interval::{Interval, Kind};
use crate::plan::transition::uses_mat;
use crate::session::Use;

/// How often a version is offered in a class.
const OFFERS: usize = 2;

/// What has been taught, as far as it matters for what is said later.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Past {
    /// What everyone has at hand, as the session lists it.
    at_hand: Arc<[String]>,
    /// The intervals in which people moved; one begun again counts once.
    seen: HashSet<u32>,
    times: HashMap<String, usize>,
    things: HashSet<String>,
    offers: HashMap<String, usize>,
    mat_lies: bool,
}

impl Past {
    /// Nothing was taught, and these things are at hand.
    #[must_use]
    pub fn at_hand(things: &[String]) -> Self {
        Self {
            at_hand: things.into(),
            ..Self::default()
        }
    }

    /// Counts an interval as taught.
    pub fn add(&mut self, interval: &Interval) {
        if !interval.kind.is_moving() {
            return;
        }
        self.mat_lies |= uses_mat(&interval.moves);
        if self.seen.contains(&interval.id) {
            return;
        }
        let history = History::after(self, None);
        let (easier, harder) = history.offers(interval);
        let offered = easier.into_iter().map(|(_, offer)| offer).chain(harder);
        let offered: Vec<String> = offered.map(|offer| offer.call().to_owned()).collect();
        for call in offered {
            *self.offers.entry(call).or_default() += 1;
        }
        self.seen.insert(interval.id);
        for turn in interval.moves.iter() {
            *self.times.entry(turn.of.id.clone()).or_default() += 1;
            let things = turn.equipment().into_iter();
            self.things.extend(things.map(ToOwned::to_owned));
        }
    }

    /// Whether a mat was used, and so lies where it was put.
    #[must_use]
    pub const fn mat_lies(&self) -> bool {
        self.mat_lies
    }
}

/// The past of a class, and what is planned to come after it up to a point.
#[derive(Clone)]
pub(super) struct History<'a> {
    past: &'a Past,
    times: HashMap<&'a str, usize>,
    things: HashSet<&'a str>,
    /// How often each version was to be offered, by its words.
    offers: HashMap<&'a str, usize>,
    mat_lies: bool,
    last: Option<&'a Interval>,
}

impl<'a> History<'a> {
    /// Nothing is planned yet; `before` is the last interval in which people moved.
    pub(super) fn after(past: &'a Past, before: Option<&'a Interval>) -> Self {
        Self {
            past,
            times: HashMap::new(),
            things: HashSet::new(),
            offers: HashMap::new(),
            mat_lies: past.mat_lies,
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

    /// Whether a thing was used, or lies at hand.
    pub(super) fn had(&self, thing: &str) -> bool {
        self.things.contains(thing) || self.past.things.contains(thing)
    }

    /// How often a move came before an interval that has it.
    pub(super) fn times(&self, interval: &Interval, id: &str) -> usize {
        let past = self.past.times.get(id).copied().unwrap_or(0);
        let planned = self.times.get(id).copied().unwrap_or(0);
        let again = usize::from(self.past.seen.contains(&interval.id));
        (past + planned).saturating_sub(again)
    }

    fn offered(&self, offer: Offer) -> usize {
        let call = offer.call();
        let past = self.past.offers.get(call).copied().unwrap_or(0);
        past + self.offers.get(call).copied().unwrap_or(0)
    }

    /// What is to be offered in an interval: an easier version the first two times that a move
    /// comes, in work a harder one from the second on, and none more than twice in a class.
    pub(super) fn offers<'i>(
        &self,
        interval: &'i Interval,
    ) -> (Vec<(&'i Use, Offer<'i>)>, Option<Offer<'i>>) {
        let (moves, works) = (&interval.moves, interval.kind == Kind::Work);
        let things = &self.past.at_hand;
        let times = |turn: &Use| self.times(interval, &turn.of.id);
        let mut easier: Vec<(&Use, Offer)> = Vec::new();
        let is_new = |easier: &[(&Use, Offer)], offer: Offer| {
            let here = easier.iter().filter(|(_, o)| o.call() == offer.call());
            self.offered(offer) + here.count() < OFFERS
        };
        for turn in moves.iter().filter(|turn| times(turn) < 2) {
            let offer = options::easier(turn, things);
            let offer = offer.filter(|&offer| is_new(&easier, offer));
            easier.extend(offer.map(|offer| (&**turn, offer)));
        }
        let alone = works && moves.len() == 1;
        let alone = moves.first().filter(|turn| alone && times(turn) > 0);
        let harder = alone.and_then(|turn| options::harder(turn, things));
        let harder = harder.filter(|&offer| is_new(&easier, offer));
        (easier, harder)
    }

    /// Counts an interval as done.
    pub(super) fn add(&mut self, interval: &'a Interval) {
        self.mat_lies |= uses_mat(&interval.moves);
        self.last = Some(interval);
        if self.past.seen.contains(&interval.id) {
            return;
        }
        let (easier, harder) = self.offers(interval);
        for offer in easier.into_iter().map(|(_, offer)| offer).chain(harder) {
            *self.offers.entry(offer.call()).or_default() += 1;
        }
        for turn in interval.moves.iter() {
            *self.times.entry(turn.of.id.as_str()).or_default() += 1;
            self.things.extend(turn.equipment());
        }
    }
}
