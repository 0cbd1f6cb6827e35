//! What the planner wrote for an interval, and what changes with the coming block or round.
//!
//! It refuses to know where the preview lies, but that it comes after these words.

use super::cues::PromptKind;
use super::desk::{Desk, Told};
use super::home::Home;
use super::leg::Leg;
use super::phrases::{self, Times, Words};
use super::room::{Ask, Rank, order};
use super::speech::sentences;
use super::timeline::Kind;
use super::turn::Turn;
use super::wants::{self, Want};

impl Desk<'_> {
    /// The planner's own words for an interval, sentence by sentence.
    pub(super) fn written(&self, n: usize) -> Vec<Ask> {
        let interval = self.interval(n);
        let range = (self.open(n), interval.end());
        let pieces = sentences(&interval.say).into_iter();
        pieces
            .map(|say| self.ask(brief_want(order::WRITTEN, say), n, range))
            .collect()
    }

    /// What changes with the coming move, and the interval where it is said: the longest before
    /// the preview. In the preview's own it gives way: in few words, or after the preview.
    pub(super) fn brief(&self, leg: &Leg, home: Option<&Home>, told: &Told) -> Vec<(usize, Ask)> {
        let Some(next) = &leg.next else {
            return Vec::new();
        };
        let preview = home.filter(|home| home.room.is_some_and(|n| leg.between.contains(&n)));
        let at = preview.and_then(|home| home.room);
        let last = at.map_or(leg.between.end, |home| home + 1);
        let longest = (leg.between.start..last).max_by_key(|&n| (self.interval(n).length, n));
        let Some(n) = longest else {
            return Vec::new();
        };
        let range = (self.open(n), self.interval(n).end());
        let ask = |want| self.ask(want, next.at, range);
        let mut out: Vec<Ask> = Vec::new();
        if !next.bring.is_empty() {
            let say = phrases::bring(&next.bring);
            let kind = PromptKind::Fetch;
            out.push(ask(Want {
                kind,
                ..brief_want(order::BRING, say)
            }));
        }
        if let Some(full) = self.changes(next, self.words_in(n)) {
            let full = ask(brief_want(order::BRIEF, full));
            let short = self.changes(next, Words::Short);
            let short = short.map(|say| ask(brief_want(order::BRIEF, say)));
            let more = leg.first_room(home).is_some_and(|first| first <= n);
            let preview = preview.filter(|_| at == Some(n));
            let before = |ask: &Ask, least: Rank| {
                let others = self.heavier(n, next, preview, more.then_some(least));
                let mut asks: Vec<&Ask> = others.iter().chain(&out).chain([ask]).collect();
                asks.sort_by_key(|ask| ask.order);
                self.fit(n, &asks, told)
            };
            let fits = |ask: &Ask| before(ask, Rank::Limit);
            let all_fit = |ask: &&Ask| before(ask, Rank::Setup);
            let mut whole = [Some(&full), short.as_ref()].into_iter().flatten();
            let whole = whole.find(all_fit).cloned();
            let brief = whole.or_else(|| fits(&full).then(|| full.clone()));
            let brief = brief.or_else(|| {
                let short = short.clone()?;
                let late = order::SETUP;
                let order = if fits(&short) { short.order } else { late };
                Some(Ask { order, ..short })
            });
            out.extend(brief);
        }
        out.into_iter().map(|ask| (n, ask)).collect()
    }

    /// What is wanted in the same interval: the planner's words, the preview, and where more is
    /// said there, what counts as much as `least` and comes before the move.
    fn heavier(&self, n: usize, next: &Turn, home: Option<&Home>, least: Option<Rank>) -> Vec<Ask> {
        let mut out = self.written(n);
        out.extend(home.map(|home| home.ask.clone()));
        if let Some(least) = least {
            let from = home.map_or(self.open(n), |home| home.ask.from);
            let range = (from, self.interval(n).end());
            let wants = wants::ahead(next, self.limits).into_iter();
            let wants = wants.filter(|want| want.rank >= least);
            out.extend(wants.map(|want| self.ask(want, next.at, range)));
        }
        out
    }

    fn words_in(&self, n: usize) -> Words {
        match self.interval(n).kind {
            Kind::Rest => Words::Short,
            _ => Words::Full,
        }
    }

    fn changes(&self, next: &Turn, words: Words) -> Option<String> {
        let timed = !next.interval.untimed;
        let now = self.times(next.at);
        if next.opens_block() {
            return phrases::block(next, timed.then(|| now.said()), words);
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

    fn first_of_round_before(&self, next: &Turn) -> Option<usize> {
        let place = next.interval.place.as_ref()?;
        let of = |n: &usize| self.interval(*n).place.as_ref();
        (0..next.at)
            .rev()
            .take_while(|n| {
                of(n).is_some_and(|p| p.block == place.block && p.round + 2 > place.round)
            })
            .find(|n| self.interval(*n).kind == Kind::Work && of(n).is_some_and(|p| p.place == 1))
    }
}

fn brief_want(order: u8, say: String) -> Want {
    Want {
        kind: PromptKind::Brief,
        rank: Rank::Brief,
        marked: false,
        order,
        say,
    }
}
