//! What changes with the coming block or round, and what must be brought for it.
//!
//! Where the preview lies is not known here, but that it comes after these words; where there is
//! too little room before it, a few of them may come after it.

use super::context::Context;
use super::draft::{Draft, Wording, each_by_itself, within};
use super::occurrence::Occurrence;
use super::order;
use super::phrases::{self, Times, Words};
use super::prompt::PromptKind;
use super::topics::{Importance, Topic};
use super::window::{Hold, Worth};
use crate::plan::interval::Kind;
use crate::plan::speech::span;

impl Draft<'_, '_, '_> {
    /// Asks for what changes with the coming move.
    pub(super) fn brief(&mut self, next: &Occurrence) {
        if !next.bring.is_empty() {
            let say = phrases::bring(&next.bring);
            let topic = Topic::new(PromptKind::Fetch, Importance::Brief, say);
            let variants = self.by_pause(&topic.say, order::BRING, Worth::NONE);
            self.ask_in(&topic, next.at, true, variants);
        }
        let words = if self.is_only_rest() {
            Words::Short
        } else {
            Words::Full
        };
        let Some(full) = self.context.changes(next, words) else {
            return;
        };
        let short = self.context.changes(next, Words::Short);
        let early = Worth::of(Importance::Words.rank(), 1);
        let in_full = Worth::of(Importance::Words.rank(), 2);
        let mut variants = self.by_pause(&full, order::BRIEF, in_full);
        let short = short.unwrap_or_else(|| full.clone());
        if short != full {
            variants.extend(self.by_pause(&short, order::BRIEF, early));
        }
        variants.extend(self.by_pause(&short, order::SETUP, Worth::NONE));
        let topic = Topic::new(PromptKind::Brief, Importance::Brief, full);
        self.ask_in(&topic, next.at, true, variants);
    }

    /// The same words in each pause, the nearest to the coming move first.
    fn by_pause(&self, say: &str, order: u8, bonus: Worth) -> Vec<Wording> {
        let ranges = self.pauses().map(|(stretch, n)| {
            let range = (self.context.open(n), self.context.interval(n).end);
            within(stretch, range, Hold::Early, bonus)
        });
        let ranges: Vec<_> = ranges.collect();
        each_by_itself(say, order, ranges)
    }

    fn is_only_rest(&self) -> bool {
        let mut pauses = self.segment.between.clone();
        pauses.all(|n| self.context.interval(n).kind == Kind::Rest)
    }
}

impl Context<'_> {
    fn changes(&self, next: &Occurrence, words: Words) -> Option<String> {
        let timed = !next.interval.untimed;
        let now = self.times(next.at);
        if next.opens_block() {
            let place = next.interval.place.as_ref();
            let cap = place.and_then(|place| place.cap);
            let cap = cap.map(|cap| format!("{} at the most", span(cap)));
            let times = timed.then(|| now.said());
            let times: Vec<String> = times.into_iter().chain(cap).collect();
            let times = (!times.is_empty()).then(|| times.join(", "));
            return phrases::block(next, times, words);
        }
        if !next.opens_round() {
            return None;
        }
        let before = self.first_of_round_before(next).filter(|_| timed);
        phrases::round(next, before.map(|n| self.times(n)), now, words)
    }

    fn times(&self, n: usize) -> Times {
        let rest = self.timeline.intervals().get(n + 1);
        Times {
            work: self.interval(n).planned,
            rest: rest
                .filter(|rest| rest.kind == Kind::Rest)
                .map(|rest| rest.planned),
        }
    }

    fn first_of_round_before(&self, next: &Occurrence) -> Option<usize> {
        let place = next.interval.place.as_ref()?;
        let of = |n: &usize| self.interval(*n).place.as_ref();
        (0..next.at)
            .rev()
            .take_while(|n| {
                of(n).is_some_and(|p| p.block == place.block && p.round.nth + 2 > place.round.nth)
            })
            .find(|n| {
                self.interval(*n).kind == Kind::Work && of(n).is_some_and(|p| p.place.nth == 1)
            })
    }
}
