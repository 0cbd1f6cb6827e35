//! A coming move as the class meets it: how often it came before, where the body comes from, what
//! must be fetched, and so how long ahead it must be announced.
//!
//! It refuses to know what is said about it. Everything here depends only on the intervals before
//! the move, so that the plan of what is left of a class is the end of the whole plan.

use std::collections::{HashMap, HashSet};

use super::body::{Body, is_of_the_room, lead, to_fetch, uses_mat};
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
    /// The moving interval before it.
    pub(super) before: Option<&'a Interval>,
}

impl Turn<'_> {
    /// Least time between the end of its preview and its start.
    pub(super) fn lead(&self, cueing: &Cueing) -> Span {
        let before = self.before.map_or(&[][..], |before| &before.moves);
        lead(cueing, before, &self.interval.moves, !self.fetch.is_empty())
    }

    /// Whether it is the very move that was done just before.
    pub(super) fn is_same_again(&self) -> bool {
        let before = self.before.filter(|b| b.kind == self.interval.kind);
        self.interval.moves.len() == 1
            && before.is_some_and(|b| b.moves.len() == 1 && *b.moves[0] == *self.used)
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
    last: Option<usize>,
}

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
            before,
        };
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

    /// What the rest of a block that begins with `first` needs and nobody had so far.
    fn bring(&self, timeline: &'a Timeline, first: &Turn<'a>) -> Vec<&'a str> {
        let block = first.interval.place.as_ref().map(|place| place.block);
        let mut out = Vec::new();
        for interval in timeline.intervals()[first.at..]
            .iter()
            .take_while(|interval| interval.place.as_ref().map(|place| place.block) == block)
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
        self.mat_lies |= uses_mat(moves);
        for turn in moves.iter() {
            *self.times.entry(turn.of.id.as_str()).or_default() += 1;
            self.things.extend(turn.equipment());
        }
        self.last = Some(at);
    }
}
