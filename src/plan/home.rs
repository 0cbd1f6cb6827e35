//! Where the preview of a coming move has its place.
//!
//! Settled by rule, before anything is chosen. A preview outweighs all but the switch of sides, so
//! where it fits beside that it is said. It refuses to know what else is said there.

use super::cues::PromptKind;
use super::desk::{Desk, Told, release};
use super::leg::Leg;
use super::phrases::{self, Words};
use super::room::{Ask, Hold, Rank, order};
use super::speech::{BREATH, saying};
use super::turn::Turn;
use super::wants::{self, Want};
use crate::time::{Offset, Span};

/// The last stretch of a move, in which the next one is announced where its rest is too short.
const END: Span = Span::from_secs(8);

/// Where the preview is asked for.
pub(super) struct Home {
    /// In which interval; none where no room was found.
    pub(super) room: Option<usize>,
    pub(super) ask: Ask,
    /// How much of the lead is missing where it is said late.
    pub(super) late: Span,
    /// Whether it has been said already.
    pub(super) heard: bool,
}

impl Desk<'_> {
    /// Where the preview of the move that ends a leg is asked for.
    pub(super) fn home(&self, leg: &Leg, next: &Turn, told: &Told) -> Home {
        let start = next.interval.start;
        let by = start.before(next.lead(self.cueing));
        let mut nowhere = Home {
            room: None,
            ask: self.preview(next, Words::Short, (start, start)),
            late: Span::ZERO,
            heard: false,
        };
        let full = self.preview(next, Words::Full, (start, start));
        nowhere.heard = told.has(&nowhere.ask) || told.has(&full);
        if nowhere.heard {
            return nowhere;
        }
        let fading = if next.times == 0 {
            &[Words::Full, Words::Short][..]
        } else {
            &[Words::Short]
        };
        for &words in fading {
            for n in leg.between.clone().rev() {
                let mut ask = self.preview(next, words, (self.open(n), by));
                let count = self.cueing.count_span();
                let by = by.min(self.interval(n).end().before(count));
                let horizon = by.before(ask.long + self.talk_of(next) + END);
                ask.from = ask.from.max(horizon);
                if self.fits(n, &ask, told) {
                    return found(n, ask);
                }
            }
        }
        self.home_in_move(leg, next, by, told)
            .or_else(|| self.home_late(leg, next, told))
            .unwrap_or(nowhere)
    }

    fn home_in_move(&self, leg: &Leg, next: &Turn, by: Offset, told: &Told) -> Option<Home> {
        let now = leg.now.as_ref()?;
        let begin = now.interval.start + BREATH;
        let mut ask = self.preview(next, Words::Short, (begin, by));
        ask.coming = true;
        ask.order = order::COMING;
        if now.interval.untimed {
            ask.by = by.min(self.half(now.at));
            return self.fits(now.at, &ask, told).then(|| found(now.at, ask));
        }
        ask.hold = Hold::Late;
        let room = self.room(now.at, told);
        let end = room.closed.iter().map(|zone| zone.0);
        let end = end.filter(|&at| at > begin).min().unwrap_or(room.until);
        let late = end.min(by).before(ask.long + END);
        [late.max(begin), begin].into_iter().find_map(|from| {
            let ask = Ask {
                from,
                ..ask.clone()
            };
            self.fits(now.at, &ask, told).then(|| found(now.at, ask))
        })
    }

    /// Where a class was changed under way: late is better than never.
    fn home_late(&self, leg: &Leg, next: &Turn, told: &Told) -> Option<Home> {
        let begin = leg.begin();
        if told.from <= begin {
            return None;
        }
        let rooms = leg.now.iter().map(|now| now.at).chain(leg.between.clone());
        let mut ask = self.preview(next, Words::Short, (told.from, next.interval.start));
        rooms.into_iter().find_map(|n| {
            let moving = self.interval(n).kind.is_moving();
            (ask.coming, ask.order) = (
                moving,
                if moving {
                    order::COMING
                } else {
                    order::PREVIEW
                },
            );
            let lead = next.lead(self.cueing);
            let end = told.from.max(self.interval(n).start) + ask.long;
            self.fits(n, &ask, told).then(|| Home {
                room: Some(n),
                ask: ask.clone(),
                late: lead.less(next.interval.start - end),
                heard: false,
            })
        })
    }

    fn preview(&self, next: &Turn, words: Words, range: (Offset, Offset)) -> Ask {
        let want = Want {
            kind: PromptKind::Preview,
            rank: Rank::Preview,
            marked: false,
            order: order::PREVIEW,
            say: phrases::preview(next, words),
        };
        self.ask(want, next.at, range)
    }

    /// How long all that is said about a move before it takes.
    fn talk_of(&self, next: &Turn) -> Span {
        let rate = self.cueing.words_per_minute;
        let wants = wants::ahead(next, self.limits);
        wants.iter().map(|want| saying(&want.say, rate)).sum()
    }

    /// Whether a preview can stand in a room where nothing is said but the switch of sides.
    fn fits(&self, n: usize, ask: &Ask, told: &Told) -> bool {
        let switch = self.switch(n, told);
        let asks: Vec<&Ask> = switch.iter().chain([ask]).collect();
        self.fit(n, &asks, told)
    }

    /// The call to switch sides in a move, where it has its place.
    pub(super) fn switch(&self, n: usize, told: &Told) -> Vec<Ask> {
        let mut calls = self.calls(n);
        calls.retain_mut(|ask| ask.kind == PromptKind::Switch && release(ask, told));
        let room = self.room(n, told);
        if !calls.is_empty() && room.place(&calls, 1).is_none() {
            calls.clear();
        }
        calls
    }
}

fn found(room: usize, ask: Ask) -> Home {
    Home {
        room: Some(room),
        ask,
        late: Span::ZERO,
        heard: false,
    }
}
