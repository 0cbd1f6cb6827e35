//! One leg of the class: from the start of a move to the start of the next, and what is said in it.
//!
//! Each interval of a leg is a room of its own, for which the most important set is chosen exactly
//! (see `choose`). In which room a thing is asked for is settled by rule before:
//! - the preview in the interval before the start that is nearest to it and leaves its lead; where
//!   none does, in short words, late in the move before; where its end does not leave it, anywhere
//!   in that move, but never before that move began;
//! - limits, setup and option with the preview, where that is no move; whatever had no room there,
//!   early in the move itself;
//! - the rest in the move which it is about.
//!
//! So a leg depends on what came before it, never on what is chosen elsewhere, but for the words
//! that were left over before its own move. It refuses to know the legs after it.

use std::ops::Range;

use super::choose::{Places, choose};
use super::cues::{Prompt, PromptKind, Unplaced};
use super::phrases::{self, Times, Words};
use super::room::{Ask, Hold, MOST, Rank, Room};
use super::signals::{SignalKind, is_counted_out, within};
use super::speech::{BREATH, saying, sentences};
use super::timeline::{Interval, Kind, Timeline};
use super::turn::Turn;
use super::wants::{self, Want};
use crate::session::{Cueing, Load};
use crate::time::{Offset, Span};

/// Air after work before anything is said (common practice, no source).
const AIR: Span = Span::from_secs(2);
/// Least silence between two prompts during a move (the voice: see Rumbach 2013).
const SILENCE: Span = Span::from_secs(4);
/// The last stretch of a move, in which the next one is announced where its rest is too short.
const END: Span = Span::from_secs(8);
/// How long before its place a switch is said.
const SWITCH_AHEAD: Span = Span::from_secs(2);
/// The planner's own sentences come first in a room.
const WRITTEN: u8 = 1;
/// How much of a briefing's words are told apart.
const SENTENCES: usize = 32;

/// What the plan is made from.
#[derive(Clone, Copy)]
pub(super) struct Desk<'a> {
    pub(super) timeline: &'a Timeline,
    pub(super) cueing: &'a Cueing,
    pub(super) limits: &'a [Load],
    pub(super) last_work: Option<usize>,
}

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

    /// Whether it ends with the start of this interval.
    pub(super) fn leads_to(&self, interval: usize) -> bool {
        self.next.as_ref().is_some_and(|next| next.at == interval)
    }
}

/// What has been said when a leg is planned anew from within.
#[derive(Clone, Debug, Default)]
pub(super) struct Told {
    /// Nothing can be said before.
    pub(super) from: Offset,
    /// What has been said, by what it is about.
    pub(super) said: Vec<(usize, PromptKind, String)>,
    /// How much of the room in which `from` lies has been speech.
    pub(super) spoken: Span,
}

impl Told {
    fn has(&self, ask: &Ask) -> bool {
        self.said.iter().any(|(about, kind, say)| {
            *about == ask.about
                && *kind == ask.kind
                && (*kind == PromptKind::Preview || *say == ask.say)
        })
    }
}

/// The prompts of a leg, and what is left for the next move's own time.
#[derive(Debug, Default)]
pub(super) struct Said {
    pub(super) prompts: Vec<Prompt>,
    pub(super) unplaced: Vec<Unplaced>,
    pub(super) left: Vec<Want>,
}

impl<'a> Desk<'a> {
    fn interval(&self, n: usize) -> &'a Interval {
        &self.timeline.intervals()[n]
    }

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
}

/// Where the preview is asked for.
struct Home {
    /// In which interval; none where no room was found.
    room: Option<usize>,
    ask: Ask,
    /// How much of the lead is missing where it is said late.
    late: Span,
    /// Whether it has been said already.
    heard: bool,
}

impl Desk<'_> {
    fn home(&self, leg: &Leg, next: &Turn, told: &Told) -> Home {
        let start = next.interval.start;
        let by = start.before(next.lead(self.cueing));
        let mut nowhere = Home {
            room: None,
            ask: self.preview(next, Words::Short, (start, start)),
            late: Span::ZERO,
            heard: false,
        };
        nowhere.heard = told.has(&nowhere.ask);
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
        ask.order = 90;
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
            (ask.coming, ask.order) = (moving, if moving { 90 } else { 11 });
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
            order: 11,
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

    fn switch(&self, n: usize, told: &Told) -> Vec<Ask> {
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

/// Holds an ask back to what is still to come; false where its place is past.
fn release(ask: &mut Ask, told: &Told) -> bool {
    if ask.hold == Hold::Fixed && ask.from < told.from {
        return false;
    }
    ask.from = ask.from.max(told.from);
    true
}

impl Desk<'_> {
    fn between(&self, leg: &Leg, home: Option<&Home>, told: &Told, said: &mut Said) {
        let mut wants = Vec::new();
        let at = home.and_then(|home| home.room.filter(|room| leg.between.contains(room)));
        if let Some(next) = &leg.next {
            wants = wants::ahead(next, self.limits);
        }
        let brief = self.brief(leg, home, told);
        for n in leg.between.clone() {
            let mut asks = self.written(n);
            asks.extend(
                brief
                    .iter()
                    .filter(|(room, _)| *room == n)
                    .map(|(_, ask)| ask.clone()),
            );
            if let (Some(next), Some(home)) = (&leg.next, home.filter(|_| at == Some(n))) {
                asks.push(home.ask.clone());
                let range = (home.ask.from, self.interval(n).end());
                asks.extend(wants.drain(..).map(|want| self.ask(want, next.at, range)));
            }
            self.speak(n, asks, leg.next.as_ref(), told, said);
        }
        said.left.append(&mut wants);
    }

    /// The planner's own words for an interval, sentence by sentence.
    fn written(&self, n: usize) -> Vec<Ask> {
        let interval = self.interval(n);
        let range = (self.open(n), interval.end());
        let pieces = sentences(&interval.say, SENTENCES).into_iter();
        pieces
            .map(|say| self.ask(brief_want(WRITTEN, say), n, range))
            .collect()
    }

    /// What changes with the coming move, and the interval where it is said: the longest before
    /// the preview. In the preview's own it gives way: in few words, or after the preview.
    fn brief(&self, leg: &Leg, home: Option<&Home>, told: &Told) -> Vec<(usize, Ask)> {
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
        if let Some(full) = self.changes(next, self.words_in(n)) {
            let preview = preview.filter(|_| at == Some(n)).map(|home| &home.ask);
            let full = ask(brief_want(2, full));
            let short = self.changes(next, Words::Short);
            let short = short.map(|say| ask(brief_want(2, say)));
            let before = |ask: &Ask| preview.is_none_or(|p| self.fit(n, &[ask, p], told));
            out.extend(match short {
                _ if before(&full) => Some(full),
                Some(short) if before(&short) => Some(short),
                short => short.map(|short| Ask { order: 13, ..short }),
            });
        }
        if !next.bring.is_empty() {
            let say = phrases::bring(&next.bring);
            let kind = PromptKind::Fetch;
            out.push(ask(Want {
                kind,
                ..brief_want(3, say)
            }));
        }
        out.into_iter().map(|ask| (n, ask)).collect()
    }

    fn words_in(&self, n: usize) -> Words {
        match self.interval(n).kind {
            Kind::Rest => Words::Short,
            _ => Words::Full,
        }
    }

    fn fit(&self, n: usize, asks: &[&Ask], told: &Told) -> bool {
        let mut asks: Vec<Ask> = asks.iter().map(|&ask| ask.clone()).collect();
        asks.retain_mut(|ask| release(ask, told));
        self.room(n, told)
            .place(&asks, (1 << asks.len()) - 1)
            .is_some()
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

impl Desk<'_> {
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
        asks.extend(self.ending(leg, now));
        asks.extend(
            home.filter(|home| home.room == Some(now.at))
                .map(|home| home.ask.clone()),
        );
        self.speak(now.at, asks, Some(now), told, said);
    }

    /// The calls that have their time: halfway, switch sides, seconds left.
    fn calls(&self, n: usize) -> Vec<Ask> {
        let interval = self.interval(n);
        let calls = within(interval, self.cueing).into_iter();
        calls
            .filter_map(|signal| {
                let (kind, rank, at, say) = match signal.kind {
                    SignalKind::Switch => {
                        let at = signal.at.before(SWITCH_AHEAD);
                        (
                            PromptKind::Switch,
                            Rank::Safety,
                            at,
                            "switch sides".to_owned(),
                        )
                    }
                    SignalKind::Half => {
                        let at = signal.at + BREATH;
                        (PromptKind::Half, Rank::TimeCall, at, "halfway".to_owned())
                    }
                    SignalKind::Warn => {
                        let say = phrases::left(self.cueing.warn);
                        (PromptKind::Seconds, Rank::TimeCall, signal.at + BREATH, say)
                    }
                    _ => return None,
                };
                let want = Want {
                    kind,
                    rank,
                    marked: false,
                    order: 0,
                    say,
                };
                // A place before the interval began, perhaps before the class, is none.
                let early = interval.length.half() < SWITCH_AHEAD && kind == PromptKind::Switch;
                let by = if early { at } else { interval.end() };
                let mut ask = self.ask(want, n, (at, by));
                ask.hold = Hold::Fixed;
                Some(ask)
            })
            .collect()
    }

    /// That this is the last work, of the block or of the class, and that recovery comes.
    fn ending(&self, leg: &Leg, now: &Turn) -> Vec<Ask> {
        let mut out = Vec::new();
        if now.interval.kind != Kind::Work {
            return out;
        }
        let (begin, end) = (now.interval.start, now.interval.end());
        let half = self.half(now.at);
        let after = leg
            .between
            .clone()
            .find(|&n| !self.interval(n).length.is_zero());
        let recovery = after.filter(|&n| self.interval(n).kind == Kind::Recovery);
        let closes = leg.next.as_ref().is_none_or(Turn::leaves_block);
        let call = |say: String, order| Want {
            kind: PromptKind::Recover,
            rank: Rank::TimeCall,
            marked: false,
            order,
            say,
        };
        if self.last_work == Some(now.at) {
            let want = call("this is the last one".to_owned(), 10);
            out.push(self.ask(want, now.at, (begin + AIR, half)));
        } else if closes && recovery.is_none() {
            let want = call("last one of this block".to_owned(), 10);
            out.push(self.ask(want, now.at, (begin + AIR, half)));
        }
        if let Some(n) = recovery {
            let want = call(phrases::recovery(self.interval(n)), 80);
            let range = if now.interval.untimed {
                (begin + AIR, half)
            } else {
                (half, end)
            };
            let mut ask = self.ask(want, n, range);
            ask.coming = true;
            if !now.interval.untimed {
                ask.hold = Hold::Late;
            }
            out.push(ask);
        }
        out
    }
}

impl Desk<'_> {
    fn ask(&self, want: Want, about: usize, (from, by): (Offset, Offset)) -> Ask {
        Ask {
            kind: want.kind,
            long: saying(&want.say, self.cueing.words_per_minute),
            say: want.say,
            about,
            marked: want.marked,
            rank: want.rank,
            from,
            by,
            hold: Hold::Early,
            order: want.order,
            coming: false,
            needs: None,
        }
    }

    fn half(&self, n: usize) -> Offset {
        self.interval(n).start + self.interval(n).length.half()
    }

    /// From when on an interval without a move may be spoken in.
    fn open(&self, n: usize) -> Offset {
        let after_move = n > 0 && self.interval(n - 1).kind.is_moving();
        self.interval(n).start + if after_move { AIR } else { BREATH }
    }

    fn room(&self, n: usize, told: &Told) -> Room {
        let interval = self.interval(n);
        let moving = interval.kind.is_moving();
        let open = if moving {
            interval.length.half()
        } else {
            interval.length
        };
        let under_way = interval.start < told.from && told.from < interval.end();
        Room {
            from: interval.start,
            until: interval.end(),
            closed: self.closed(n),
            gap: if moving { SILENCE } else { Span::ZERO },
            budget: if under_way {
                open.less(told.spoken)
            } else {
                open
            },
        }
    }

    /// The zones in which the instructor counts aloud, as far as they touch an interval.
    fn closed(&self, n: usize) -> Vec<(Offset, Offset)> {
        let intervals = self.timeline.intervals();
        let (begin, end) = (intervals[n].start, intervals[n].end());
        let count = self.cueing.count_span();
        let ends = |k: usize| intervals[k].end();
        let mut first = n;
        while first > 0 && ends(first - 1) + BREATH > begin {
            first -= 1;
        }
        (first..intervals.len())
            .take_while(|&k| k <= n || ends(k).before(count) < end)
            .filter(|&k| is_counted_out(&intervals[k], intervals.get(k + 1)))
            .map(|k| (ends(k).before(count), ends(k) + BREATH))
            .collect()
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
        said.prompts.extend(prompts(n, asks, places));
    }

    fn unplaced(&self, n: usize, room: &Room, asks: &[Ask], places: &Places, k: usize) -> Unplaced {
        let ask = &asks[k];
        let broken = ask
            .needs
            .is_some_and(|m| places.iter().all(|place| place.0 != m));
        let stretch = room.stretch(asks, places, ask);
        let allowed = room.allowance(asks, places);
        let interval = self.interval(n);
        let (kind, length, long) = (interval.kind.label(), interval.length, ask.long.secs());
        let (open, why) = if broken {
            let why = "the words before it have no room either".to_owned();
            (Span::ZERO, why)
        } else if allowed < stretch {
            let left = allowed.secs();
            let why = format!(
                "no more than half of the {kind} of {length} may be speech: {left:.1} s are left, and it takes {long:.1} s"
            );
            (allowed, why)
        } else {
            let left = stretch.secs();
            let why = format!(
                "the {kind} of {length} leaves {left:.1} s for it, and it takes {long:.1} s"
            );
            (stretch, why)
        };
        Unplaced {
            about: ask.about,
            kind: ask.kind,
            say: ask.say.clone(),
            short: ask.long.less(open),
            why,
        }
    }

    /// Why a move has no preview, or has it late.
    fn fault(&self, leg: &Leg, next: &Turn, home: &Home) -> Option<Unplaced> {
        if home.heard {
            return None;
        }
        let told = Told::default();
        let needed = next.lead(self.cueing);
        let (short, why) = if home.room.is_some() {
            if home.late.is_zero() {
                return None;
            }
            let (late, lead) = (home.late.secs(), needed.secs());
            let why = format!(
                "the change came late: it is said {late:.1} s short of its lead of {lead:.1} s"
            );
            (home.late, why)
        } else {
            let by = next.interval.start.before(needed);
            let rooms = leg.now.iter().map(|now| now.at).chain(leg.between.clone());
            let open = rooms.map(|n| self.open_for(n, &home.ask, by, &told)).max();
            let long = home.ask.long;
            let open = open.unwrap_or(Span::ZERO);
            let (left, takes, lead) = (open.secs(), long.secs(), needed.secs());
            let why = if leg.begin() == next.interval.start {
                "the class begins with it".to_owned()
            } else {
                format!(
                    "ahead of its lead of {lead:.1} s {left:.1} s are open since the move before began, and it takes {takes:.1} s"
                )
            };
            (long.less(open), why)
        };
        Some(Unplaced {
            about: next.at,
            kind: PromptKind::Preview,
            say: home.ask.say.clone(),
            short,
            why,
        })
    }

    /// How much of a room is open to a preview.
    fn open_for(&self, n: usize, ask: &Ask, by: Offset, told: &Told) -> Span {
        let moving = self.interval(n).kind.is_moving();
        let from = if moving {
            self.interval(n).start + BREATH
        } else {
            self.open(n)
        };
        let by = if self.interval(n).untimed {
            by.min(self.half(n))
        } else {
            by
        };
        let ask = Ask {
            from,
            by,
            coming: moving,
            ..ask.clone()
        };
        let switch = self.switch(n, told);
        let places: Places = switch
            .iter()
            .enumerate()
            .map(|(k, ask)| (k, ask.from))
            .collect();
        let room = self.room(n, told);
        let stretch = room.stretch(&switch, &places, &ask);
        stretch.min(room.allowance(&switch, &places))
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
        .filter(|&k| asks[k].order == WRITTEN)
        .collect();
    for (nth, &k) in written.iter().enumerate() {
        asks[k].needs = nth.checked_sub(1).map(|before| written[before]);
    }
}

fn prompts(n: usize, mut asks: Vec<Ask>, mut places: Places) -> impl Iterator<Item = Prompt> {
    places.sort_by_key(|place| place.1);
    places.into_iter().map(move |(k, at)| Prompt {
        at,
        until: at + asks[k].long,
        kind: asks[k].kind,
        say: std::mem::take(&mut asks[k].say),
        interval: n,
        about: asks[k].about,
        marked: asks[k].marked,
    })
}
