//! One leg of the class: from the start of a move to the start of the next, and what is said in it.
//!
//! Each interval of a leg is a room of its own, for which the most important set is chosen exactly
//! (see `choose`). In which room a thing is asked for is settled by rule before:
//! - the preview in the interval before the start that is nearest to it and leaves its lead; where
//!   none does, in short words, late in the move before; where its end does not leave it, anywhere
//!   in that move, but never before that move began;
//! - limits, setup, note and option after the preview, in its interval and those after it up to the
//!   start; the lead binds only the preview. Whatever had no room there, early in the move itself;
//! - the rest in the move which it is about.
//!
//! So a leg depends on what came before it, never on what is chosen elsewhere, but for the words
//! that were left over before its own move. It refuses to know the legs after it.

use std::ops::Range;

use super::choose::{Places, choose};
use super::cues::{Prompt, Unplaced};
use super::desk::{AIR, Desk, Told, release};
use super::home::Home;
use super::room::{Ask, MOST, Rank, order};
use super::speech::BREATH;
use super::turn::Turn;
use super::wants::{self, Want};
use crate::time::Offset;

/// From the start of one move to the start of the next.
pub(super) struct Leg<'a> {
    pub(super) now: Option<Turn<'a>>,
    pub(super) between: Range<usize>,
    pub(super) next: Option<Turn<'a>>,
}

impl Leg<'_> {
    /// Where it begins.
    pub(super) fn begin(&self) -> Offset {
        let now = self.now.as_ref();
        now.map_or(Offset::ZERO, |now| now.interval.start)
    }

    /// The first interval before the next move in which more may be said of it: the preview's
    /// own, or the one after the move in which the preview lies; none where nothing announces it.
    pub(super) fn first_room(&self, home: Option<&Home>) -> Option<usize> {
        let home = home.filter(|home| home.heard || home.room.is_some())?;
        let room = home.room.unwrap_or(self.between.start);
        Some(room.max(self.between.start))
    }

    /// Whether it ends with the start of this interval.
    pub(super) fn leads_to(&self, interval: usize) -> bool {
        self.next.as_ref().is_some_and(|next| next.at == interval)
    }
}

/// The prompts of a leg, and what is left for the next move's own time.
#[derive(Debug, Default)]
pub(super) struct Said {
    pub(super) prompts: Vec<Prompt>,
    pub(super) unplaced: Vec<Unplaced>,
    pub(super) left: Vec<Want>,
}

impl Desk<'_> {
    /// Everything said in a leg, given the words left over from before its own move.
    pub(super) fn leg(&self, leg: &Leg, left: &[Want], told: &Told) -> Said {
        let home = leg.next.as_ref().map(|next| self.home(leg, next, told));
        let mut said = Said::default();
        if let Some(now) = &leg.now {
            self.moving(leg, now, left, home.as_ref(), told, &mut said);
        }
        self.between(leg, home.as_ref(), told, &mut said);
        if let (Some(next), Some(home)) = (&leg.next, &home) {
            said.unplaced.extend(self.fault(leg, next, home));
        }
        said
    }

    /// What is left over for a move's own time by the intervals before it.
    pub(super) fn left_before(&self, leg: &Leg) -> Vec<Want> {
        let told = Told::default();
        let home = leg.next.as_ref().map(|next| self.home(leg, next, &told));
        let mut said = Said::default();
        self.between(leg, home.as_ref(), &told, &mut said);
        said.left
    }

    fn moving(
        &self,
        leg: &Leg,
        now: &Turn,
        left: &[Want],
        home: Option<&Home>,
        told: &Told,
        said: &mut Said,
    ) {
        let interval = now.interval;
        let (begin, end) = (interval.start, interval.end());
        let early = (begin + BREATH, self.half(now.at));
        let mut asks = self.calls(now.at);
        asks.extend(
            left.iter()
                .map(|want| self.ask(want.clone(), now.at, early)),
        );
        let during = wants::during(now, self.limits).into_iter();
        asks.extend(during.map(|want| self.ask(want, now.at, (begin + AIR, end))));
        asks.extend(self.circuit(now));
        asks.extend(self.ending(leg, now));
        asks.extend(
            home.filter(|home| home.room == Some(now.at))
                .map(|home| home.ask.clone()),
        );
        self.speak(now.at, asks, Some(now), told, said);
    }

    fn between(&self, leg: &Leg, home: Option<&Home>, told: &Told, said: &mut Said) {
        let at = home.and_then(|home| home.room.filter(|room| leg.between.contains(room)));
        let next = leg.next.as_ref();
        let mut wants = next.map_or_else(Vec::new, |next| wants::ahead(next, self.limits));
        let first = leg.first_room(home);
        let brief = self.brief(leg, home, told);
        for n in leg.between.clone() {
            let mut asks = self.written(n);
            let here = brief.iter().filter(|(room, _)| *room == n);
            asks.extend(here.map(|(_, ask)| ask.clone()));
            let preview = home.filter(|_| at == Some(n)).map(|home| &home.ask);
            asks.extend(preview.cloned());
            if let Some(next) = leg.next.as_ref().filter(|_| first.is_some_and(|k| k <= n)) {
                let from = preview.map_or(self.open(n), |preview| preview.from);
                let range = (from, self.interval(n).end());
                asks.extend(wants.drain(..).map(|want| self.ask(want, next.at, range)));
            }
            self.speak(n, asks, leg.next.as_ref(), told, said);
            if n + 1 < leg.between.end {
                wants.append(&mut said.left);
            }
        }
        said.left.append(&mut wants);
    }

    /// Chooses what is said in a room, and keeps the rest: for the move itself, or as unplaced.
    fn speak(
        &self,
        n: usize,
        mut asks: Vec<Ask>,
        turn: Option<&Turn>,
        told: &Told,
        said: &mut Said,
    ) {
        asks.retain_mut(|ask| release(ask, told) && (told.said.is_empty() || !told.has(ask)));
        asks.sort_by_key(|ask| ask.order);
        asks.truncate(MOST);
        chain(&mut asks);
        let room = self.room(n, told);
        let places = choose(&room, &asks);
        for k in 0..asks.len() {
            if places.iter().any(|place| place.0 == k) {
                continue;
            }
            let ask = &asks[k];
            let ahead = ask.about > n && turn.is_some_and(|turn| turn.at == ask.about);
            if ahead && matches!(ask.rank, Rank::Limit | Rank::Setup | Rank::Option) {
                said.left.push(want_of(ask));
            } else if ask.rank != Rank::Extra {
                said.unplaced
                    .push(self.unplaced(n, &room, &asks, &places, k));
            }
        }
        said.prompts.extend(self.prompts(n, asks, places));
    }
}

fn want_of(ask: &Ask) -> Want {
    Want {
        kind: ask.kind,
        rank: ask.rank,
        marked: ask.marked,
        order: ask.order,
        say: ask.say.clone(),
    }
}

/// A sentence of the planner's own makes sense only after the one before it.
fn chain(asks: &mut [Ask]) {
    let written: Vec<usize> = (0..asks.len())
        .filter(|&k| asks[k].order == order::WRITTEN)
        .collect();
    for (nth, &k) in written.iter().enumerate() {
        asks[k].needs = nth.checked_sub(1).map(|before| written[before]);
    }
}

impl Desk<'_> {
    fn prompts(
        &self,
        n: usize,
        mut asks: Vec<Ask>,
        mut places: Places,
    ) -> impl Iterator<Item = Prompt> {
        let intervals = self.timeline.intervals();
        places.sort_by_key(|place| place.1);
        places.into_iter().map(move |(k, at)| Prompt {
            at,
            until: at + asks[k].long,
            kind: asks[k].kind,
            say: std::mem::take(&mut asks[k].say),
            interval: n,
            about: asks[k].about,
            id: intervals[asks[k].about].id,
            marked: asks[k].marked,
        })
    }
}
