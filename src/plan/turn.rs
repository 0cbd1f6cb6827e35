//! A coming move as the class meets it: how often it came before, where the body comes from, what
//! must be fetched, and so how long ahead it must be announced.
//!
//! It refuses to know what is said about it. Everything here depends only on the intervals before
//! the move, so that the plan of what is left of a class is the end of the whole plan.

use std::collections::{HashMap, HashSet};

use super::body::{Body, is_of_the_room, lead, to_fetch, to_put_down, uses_mat};
use super::offers::{self, Offer};
use super::timeline::{Interval, Kind, Timeline};
use crate::session::{Cueing, Position, Use};
use crate::time::Span;

/// An interval in which people move, with what the class already knows of it.
#[derive(Clone, Debug)]
pub(super) struct Turn<'a> {
    /// Its place in the timeline.
    pub(super) at: usize,
    pub(super) interval: &'a Interval,
    /// The move as it is used there.
    pub(super) used: &'a Use,
    /// How many times the move came before.
    pub(super) times: usize,
    /// What the body does before it.
    pub(super) body: Body,
    /// Whether it comes off the wall.
    pub(super) off_wall: bool,
    /// What must be fetched for it.
    pub(super) fetch: Vec<&'a str>,
    /// What must be brought for the later moves of the block that begins with it.
    pub(super) bring: Vec<&'a str>,
    /// What people hold and need no more.
    pub(super) put_down: Vec<&'a str>,
    /// The easier version to offer, of each move of a circuit.
    pub(super) easier: Vec<(&'a Use, Offer<'a>)>,
    /// The harder version to offer.
    pub(super) harder: Option<Offer<'a>>,
    /// What everyone has at hand.
    pub(super) things: &'a [String],
    /// How often the same move comes again right after it in its block, counted up to two.
    pub(super) to_go: usize,
    /// The moving interval before it.
    pub(super) before: Option<&'a Interval>,
}

impl Turn<'_> {
    /// Least time between the end of its preview and its start.
    pub(super) fn lead(&self, cueing: &Cueing) -> Span {
        let before = self.before.map_or(&[][..], |before| &before.moves);
        lead(cueing, before, &self.interval.moves, !self.fetch.is_empty())
    }

    /// Whether it is the very move that was done just before, whatever is noted of it.
    pub(super) fn is_same_again(&self) -> bool {
        let before = self.before.filter(|b| b.kind == self.interval.kind);
        before.is_some_and(|before| is_alike(before, self.interval))
    }

    /// Whether it is a round of the same move right after the round before.
    pub(super) fn is_next_round(&self) -> bool {
        let place = |interval: &'_ Interval| {
            let place = interval.place.as_ref();
            place.map(|place| (place.block, place.place, place.round))
        };
        let before = self.before.and_then(place);
        let one_on = before.map(|(block, at, round)| (block, at, round + 1));
        self.is_same_again() && one_on.is_some() && one_on == place(self.interval)
    }

    /// Whether its preview says that it is the last of many rounds.
    pub(super) fn is_told_as_last(&self) -> bool {
        let many = self
            .interval
            .place
            .as_ref()
            .is_some_and(|place| place.rounds > 2);
        many && self.to_go == 0 && self.is_next_round() && self.new_note().is_none()
    }

    /// Whether many moves are repeated freely in it.
    pub(super) fn is_circuit(&self) -> bool {
        self.interval.moves.len() > 1
    }

    /// Where the body was before.
    pub(super) fn from(&self) -> Position {
        let before = self.before.and_then(Interval::turn);
        before.map_or(Position::Standing, |before| before.position())
    }

    /// The planner's word for this place, said in the first round.
    pub(super) fn note(&self) -> Option<&str> {
        let place = self.interval.place.as_ref();
        let first = place.is_none_or(|place| place.round == 1);
        let note = self.used.note.as_deref().filter(|_| first)?;
        let option = self.used.option().map_or("", |option| &option.call);
        (!says(option, note)).then_some(note)
    }

    /// The note, where it is all that is new in a move that comes again.
    pub(super) fn new_note(&self) -> Option<&str> {
        let before = self.before.and_then(Interval::turn)?;
        let note = self.note().filter(|_| self.is_same_again())?;
        (before.note.as_deref() != Some(note)).then_some(note)
    }

    /// Whether a block begins with it.
    pub(super) fn opens_block(&self) -> bool {
        let block = |interval: &Interval| interval.place.as_ref().map(|place| place.block);
        let own = block(self.interval);
        own.is_some() && self.before.and_then(block) != own
    }

    /// Whether a block ended before it.
    pub(super) fn leaves_block(&self) -> bool {
        let block = |interval: &Interval| interval.place.as_ref().map(|place| place.block);
        self.before.and_then(block) != block(self.interval)
    }

    /// Whether a later round of all moves begins with it.
    pub(super) fn opens_round(&self) -> bool {
        let place = |interval: Option<&Interval>| interval.and_then(|i| i.place.clone());
        match (place(self.before), place(Some(self.interval))) {
            (Some(before), Some(now)) => {
                before.block == now.block
                    && before.round != now.round
                    && now.place == 1
                    && (now.places == 1 || before.place == now.places)
            }
            _ => false,
        }
    }

    /// Whether it is the first of a warm-up or cool-down.
    pub(super) fn opens_part(&self) -> bool {
        self.interval.kind != Kind::Work && self.before.is_none_or(|b| b.kind != self.interval.kind)
    }
}

/// Whether a text has every word of another, but for articles.
fn says(text: &str, other: &str) -> bool {
    let words = |text: &str| -> Vec<String> {
        let words = text.split(|c: char| !c.is_alphanumeric());
        words.map(str::to_lowercase).collect()
    };
    let said = words(text);
    let is_article = |word: &str| matches!(word, "" | "a" | "an" | "the");
    let mut others = words(other).into_iter();
    others.all(|word| is_article(&word) || said.contains(&word))
}

/// Whether two intervals have the same one move in the same version.
fn is_alike(a: &Interval, b: &Interval) -> bool {
    match (&a.moves[..], &b.moves[..]) {
        ([a], [b]) => a.of == b.of && a.pick == b.pick,
        _ => false,
    }
}

/// Whether people really move in it: an interval cut to nothing does not come.
pub(super) fn comes(interval: &Interval) -> bool {
    interval.kind.is_moving() && !interval.length.is_zero() && interval.turn().is_some()
}

/// What the class has done up to a point.
#[derive(Default)]
pub(super) struct History<'a> {
    times: HashMap<&'a str, usize>,
    things: HashSet<&'a str>,
    mat_lies: bool,
    /// How often each version was to be offered, by its words.
    offers: HashMap<&'a str, usize>,
    last: Option<usize>,
}

/// How often a version is offered in a class.
const OFFERS: usize = 2;

impl<'a> History<'a> {
    /// The move of interval `at`, seen from what came before it.
    pub(super) fn turn(&self, timeline: &'a Timeline, at: usize) -> Option<Turn<'a>> {
        let intervals = timeline.intervals();
        let interval = &intervals[at];
        let turn = interval.turn()?;
        let before = self.last.map(|n| &intervals[n]);
        let last = before.and_then(Interval::turn).map(|turn| &**turn);
        let mut turn = Turn {
            at,
            interval,
            used: turn,
            times: self.times.get(turn.of.id.as_str()).copied().unwrap_or(0),
            body: Body::between(last, turn),
            off_wall: last.is_some_and(|last| last.position() == Position::Wall),
            fetch: self.fetch(interval, before),
            bring: Vec::new(),
            put_down: to_put_down(before.map_or(&[], |b| &b.moves), &interval.moves),
            easier: Vec::new(),
            harder: None,
            things: timeline.things(),
            to_go: to_go(timeline, at),
            before,
        };
        (turn.easier, turn.harder) = self.offers(timeline, at);
        if turn.opens_block() {
            turn.bring = self.bring(timeline, &turn);
        }
        Some(turn)
    }

    /// What a move needs that did not lie at hand.
    fn fetch(&self, interval: &'a Interval, before: Option<&'a Interval>) -> Vec<&'a str> {
        let used = before.map_or(&[][..], |b| &b.moves[..]);
        to_fetch(used, &interval.moves, self.mat_lies)
    }

    /// What is to be offered in interval `at`: an easier version the first two times that a move
    /// comes, in work a harder one from the second on, and none more than twice in a class.
    fn offers(
        &self,
        timeline: &'a Timeline,
        at: usize,
    ) -> (Vec<(&'a Use, Offer<'a>)>, Option<Offer<'a>>) {
        let (interval, things) = (&timeline.intervals()[at], timeline.things());
        let (moves, works) = (&interval.moves, interval.kind == Kind::Work);
        let times = |turn: &Use| self.times.get(turn.of.id.as_str()).copied().unwrap_or(0);
        let offered = |offer: Offer| self.offers.get(offer.call()).copied().unwrap_or(0);
        let mut easier: Vec<(&Use, Offer)> = Vec::new();
        let is_new = |easier: &[(&Use, Offer)], offer: Offer| {
            let here = easier.iter().filter(|(_, o)| o.call() == offer.call());
            offered(offer) + here.count() < OFFERS
        };
        for turn in moves.iter().filter(|turn| times(turn) < 2) {
            let offer = offers::easier(turn, things);
            let offer = offer.filter(|&offer| is_new(&easier, offer));
            easier.extend(offer.map(|offer| (&**turn, offer)));
        }
        let alone = works && moves.len() == 1;
        let alone = moves.first().filter(|turn| alone && times(turn) > 0);
        let harder = alone.and_then(|turn| offers::harder(turn, things));
        let harder = harder.filter(|&offer| is_new(&easier, offer));
        (easier, harder)
    }

    /// What the first pass of a block that begins with `first` needs and nobody had so far: what
    /// is needed after a recovery is fetched in it.
    fn bring(&self, timeline: &'a Timeline, first: &Turn<'a>) -> Vec<&'a str> {
        let block = first.interval.place.as_ref().map(|place| place.block);
        let mut out = Vec::new();
        for interval in timeline.intervals()[first.at..]
            .iter()
            .take_while(|interval| interval.place.as_ref().map(|place| place.block) == block)
            .take_while(|interval| interval.kind != Kind::Recovery)
        {
            for thing in interval.moves.iter().flat_map(|turn| turn.equipment()) {
                let here = first.fetch.contains(&thing) || self.things.contains(thing);
                if !here && !is_of_the_room(thing) && !out.contains(&thing) {
                    out.push(thing);
                }
            }
        }
        out
    }

    /// Counts interval `at` as done.
    pub(super) fn add(&mut self, timeline: &'a Timeline, at: usize) {
        let moves = &timeline.intervals()[at].moves;
        let (easier, harder) = self.offers(timeline, at);
        for offer in easier.into_iter().map(|(_, offer)| offer).chain(harder) {
            *self.offers.entry(offer.call()).or_default() += 1;
        }
        self.mat_lies |= uses_mat(moves);
        for turn in moves.iter() {
            *self.times.entry(turn.of.id.as_str()).or_default() += 1;
            self.things.extend(turn.equipment());
        }
        self.last = Some(at);
    }
}

/// How often the move of interval `at` comes again right after itself in its block, up to two.
fn to_go(timeline: &Timeline, at: usize) -> usize {
    let intervals = timeline.intervals();
    let block = |n: usize| intervals[n].place.as_ref().map(|place| place.block);
    let after =
        (at + 1..intervals.len()).take_while(|&n| block(n).is_some() && block(n) == block(at));
    let moves = after.filter(|&n| comes(&intervals[n])).take(2);
    moves
        .take_while(|&n| is_alike(&intervals[at], &intervals[n]))
        .count()
}
