//! One interval as room to speak, and where in it a given set of prompts can stand.
//!
//! It refuses to know what is said and which set is worth most. Free prompts are said in a fixed
//! order (preview, limit, setup, option, form), so the earliest place of each, one after the
//! other, decides whether a set fits: whoever begins later can only push the others back. What
//! fits therefore still fits when something is left out.

use super::cues::PromptKind;
use crate::time::{Offset, Span};

/// What counts more; a class of importance outweighs all that come after it together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Rank {
    Extra,
    Form,
    TimeCall,
    Option,
    Setup,
    Brief,
    Limit,
    Preview,
    Safety,
}

/// The order in which free prompts of a room are said.
pub(super) mod order {
    pub(in super::super) const CALL: u8 = 0;
    pub(in super::super) const WRITTEN: u8 = 1;
    pub(in super::super) const BRIEF: u8 = 2;
    pub(in super::super) const BRING: u8 = 3;
    pub(in super::super) const PREVIEW: u8 = 11;
    pub(in super::super) const LIMIT: u8 = 12;
    pub(in super::super) const SETUP: u8 = 13;
    pub(in super::super) const NOTE: u8 = 14;
    pub(in super::super) const OPTION: u8 = 15;
    pub(in super::super) const LAST: u8 = 20;
    pub(in super::super) const FORM: u8 = 30;
    pub(in super::super) const HARDER: u8 = 40;
    pub(in super::super) const RECOVERY: u8 = 80;
    /// A preview during the move before.
    pub(in super::super) const COMING: u8 = 90;
    /// A recovery after work that is counted, not timed.
    pub(in super::super) const LATE: u8 = 95;
}

/// Whether the plan may choose the place, and how.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Hold {
    /// A time call: at `from`, or not at all.
    Fixed,
    /// As early as it can stand.
    Early,
    /// As late as it can stand.
    Late,
}

/// Something to be said in one interval, if there is time.
#[derive(Clone, Debug)]
pub(super) struct Ask {
    pub(super) kind: PromptKind,
    pub(super) say: String,
    /// The interval it is about.
    pub(super) about: usize,
    /// Whether it is for a limit.
    pub(super) marked: bool,
    pub(super) rank: Rank,
    /// How long it takes to say, with breath.
    pub(super) long: Span,
    /// Its earliest beginning.
    pub(super) from: Offset,
    /// Its latest end.
    pub(super) by: Offset,
    pub(super) hold: Hold,
    /// Free prompts are said in the order of this number.
    pub(super) order: u8,
    /// Whether it announces what comes after the interval; it may stand nearer to a time call.
    pub(super) coming: bool,
    /// The ask, by its place in the list, without which this one makes no sense.
    pub(super) needs: Option<usize>,
}

impl Ask {
    /// The gap of silence wanted between this and another, where `gap` is the room's.
    fn gap(&self, other: &Self, gap: Span) -> Span {
        let at_a_call = self.hold == Hold::Fixed || other.hold == Hold::Fixed;
        let bound = |ask: &Self| ask.hold == Hold::Fixed || ask.coming;
        if at_a_call && bound(self) && bound(other) {
            Span::ZERO
        } else {
            gap
        }
    }
}

/// One interval with the time in it that is open to speech.
#[derive(Clone, Debug)]
pub(super) struct Room {
    /// Where the interval begins.
    pub(super) from: Offset,
    /// Where it ends.
    pub(super) until: Offset,
    /// The counted zones that touch it, in order.
    pub(super) closed: Vec<(Offset, Offset)>,
    /// Least silence between two prompts whose places may be chosen.
    pub(super) gap: Span,
    /// How much of it may be speech.
    pub(super) budget: Span,
}

/// A chosen set, as a bit for each ask.
pub(super) type Set = u64;

/// The most asks that one room may have.
pub(super) const MOST: usize = 64;

impl Room {
    /// Where each ask of the set stands, by its place in the list; none where the set does not fit.
    /// `asks` are sorted by `order`.
    pub(super) fn place(&self, asks: &[Ask], set: Set) -> Option<Vec<(usize, Offset)>> {
        let mut places = self.fixed(asks, set)?;
        let calls = places.len();
        for (n, ask) in members(asks, set).filter(|(_, ask)| ask.hold != Hold::Fixed) {
            let after = match places[calls..].last() {
                Some(&(m, at)) => at + asks[m].long + asks[m].gap(ask, self.gap),
                None => self.from,
            };
            let at = self.earliest(asks, &places[..calls], ask, after)?;
            places.push((n, at));
        }
        let spoken: Span = places.iter().map(|&(n, _)| asks[n].long).sum();
        if spoken > self.budget {
            return None;
        }
        self.settle(asks, &mut places, calls);
        Some(places)
    }

    /// The time calls of the set, none of them over a count or over one another.
    fn fixed(&self, asks: &[Ask], set: Set) -> Option<Vec<(usize, Offset)>> {
        let mut places: Vec<(usize, Offset)> = Vec::with_capacity(set.count_ones() as usize);
        for (n, ask) in members(asks, set).filter(|(_, ask)| ask.hold == Hold::Fixed) {
            let at = self.earliest(asks, &places, ask, self.from)?;
            if at != ask.from {
                return None;
            }
            places.push((n, at));
        }
        Some(places)
    }

    /// The earliest place of `ask` at or after `after`, clear of counts and of `calls`.
    fn earliest(
        &self,
        asks: &[Ask],
        calls: &[(usize, Offset)],
        ask: &Ask,
        after: Offset,
    ) -> Option<Offset> {
        let mut at = after.max(ask.from).max(self.from);
        let by = ask.by.min(self.until);
        while at + ask.long <= by {
            match self.busy(asks, calls, ask, at) {
                Some((_, end)) => at = end,
                None => return Some(at),
            }
        }
        None
    }

    /// What is in the way of `ask` at `at`: the last place before it and the first after it.
    fn busy(
        &self,
        asks: &[Ask],
        calls: &[(usize, Offset)],
        ask: &Ask,
        at: Offset,
    ) -> Option<(Offset, Offset)> {
        let end = at + ask.long;
        let zone = self.closed.iter().find(|z| at < z.1 && end > z.0);
        zone.copied().or_else(|| {
            calls.iter().find_map(|&(m, call)| {
                let gap = asks[m].gap(ask, self.gap);
                let call_end = call + asks[m].long;
                (at < call_end + gap && end + gap > call)
                    .then(|| (call.before(gap), call_end + gap))
            })
        })
    }

    /// Moves what should stand late as far back as it can go.
    fn settle(&self, asks: &[Ask], places: &mut [(usize, Offset)], calls: usize) {
        for k in (calls..places.len()).rev() {
            let (n, earliest) = places[k];
            let ask = &asks[n];
            if ask.hold != Hold::Late {
                continue;
            }
            let next = places
                .get(k + 1)
                .map(|&(m, at)| at.before(ask.gap(&asks[m], self.gap)));
            let mut end = ask.by.min(self.until).min(next.unwrap_or(self.until));
            while end.before(ask.long) > earliest {
                match self.busy(asks, &places[..calls], ask, end.before(ask.long)) {
                    Some((before, _)) => end = before,
                    None => break,
                }
            }
            places[k].1 = end.before(ask.long).max(earliest);
        }
    }

    /// The longest stretch open to `ask` beside the asks placed, within its range and order.
    pub(super) fn stretch(&self, asks: &[Ask], places: &[(usize, Offset)], ask: &Ask) -> Span {
        let (mut from, mut by) = (ask.from.max(self.from), ask.by.min(self.until));
        let mut walls = self.closed.clone();
        for &(m, at) in places {
            let other = &asks[m];
            let gap = other.gap(ask, self.gap);
            let (start, end) = (at.before(gap), at + other.long + gap);
            if other.hold == Hold::Fixed || ask.hold == Hold::Fixed {
                walls.push((start, end));
            } else if other.order <= ask.order {
                from = from.max(end);
            } else {
                by = by.min(start);
            }
        }
        if ask.hold == Hold::Fixed {
            by = by.min(ask.from + ask.long);
        }
        longest(from, by, walls)
    }

    /// The speech still allowed beside the asks placed.
    pub(super) fn allowance(&self, asks: &[Ask], places: &[(usize, Offset)]) -> Span {
        self.budget
            .less(places.iter().map(|&(n, _)| asks[n].long).sum())
    }
}

/// The longest stretch between two points that no wall covers.
fn longest(from: Offset, by: Offset, mut walls: Vec<(Offset, Offset)>) -> Span {
    walls.sort_unstable();
    let (mut at, mut best) = (from, Span::ZERO);
    for (start, end) in walls {
        best = best.max(start.min(by) - at);
        at = at.max(end);
    }
    best.max(by - at)
}

fn members(asks: &[Ask], set: Set) -> impl Iterator<Item = (usize, &Ask)> {
    asks.iter()
        .enumerate()
        .filter(move |&(n, _)| set >> n & 1 == 1)
}
