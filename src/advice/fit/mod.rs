//! Timings that fill a slot to the second.
//!
//! Every time that the file gives may change between a floor and a ceiling; what is sought is the
//! set of changes that meets the slot exactly and asks least of the plan. Recoveries give first,
//! then rests, then the rest of the class, in the order in which a landing takes. A list of rounds
//! keeps its shape: what was equal stays equal, what rose in even steps does so still. Times that
//! were multiples of five seconds stay so wherever they can. Nothing is left out; what would have
//! to go is told. What the file looks like is not known here.

mod choices;
mod knobs;
mod solve;
mod would_go;

use super::names;
use crate::plan::Timeline;
use crate::session::Session;
use crate::session::edit::{TimeAt, set_times};
use crate::time::Span;
use choices::{Choice, choices};
use knobs::{Knob, knobs};

/// A time that is changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Retimed {
    /// What it is the time of, in words.
    pub what: String,
    /// As it was; more than one in a list of rounds.
    pub before: Vec<Span>,
    /// As it is to be, and where it stands.
    pub after: TimeAt,
}

/// A class with other timings.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// What the class was to fill.
    pub slot: Span,
    /// How long it was.
    pub before: Span,
    /// How long it is with the changes.
    pub after: Span,
    /// What it is over, however short everything is made.
    pub over: Span,
    /// What stays in hand, however long everything is made.
    pub in_hand: Span,
    /// The changes, in the order of the file.
    pub changes: Vec<Retimed>,
    /// What could be left out, or put in, where timings alone do not do it.
    pub ways_out: Vec<String>,
    /// The class with the changes.
    pub session: Session,
}

impl Fit {
    /// The timings with which a class fills a slot.
    #[must_use]
    pub fn of(session: &Session, slot: Span) -> Self {
        let before = Timeline::of(session).total();
        let knobs = knobs(session);
        let options: Vec<Vec<Choice>> = knobs.iter().map(choices).collect();
        let wanted = signed(slot) - signed(before);
        let (seconds, odd) = (wanted.div_euclid(1000), wanted.rem_euclid(1000));
        let chosen = solve::solve(&options, seconds);
        let mut new: Vec<TimeAt> = knobs
            .iter()
            .zip(options.iter().zip(&chosen))
            .map(|(knob, (options, &n))| knob.with(&options[n].spans))
            .collect();
        if reached(&options, &chosen) == seconds {
            take_odd(&knobs, &mut new, odd);
        }
        let retimed = set_times(session, &new);
        let after = Timeline::of(&retimed).total();
        let mut fit = Self {
            slot,
            before,
            after,
            over: after.saturating_sub(slot),
            in_hand: slot.saturating_sub(after),
            changes: changes(session, &knobs, new),
            ways_out: Vec::new(),
            session: retimed,
        };
        if !fit.over.is_zero() {
            fit.ways_out = would_go::shorter(session, slot);
        } else if !fit.is_exact() {
            fit.ways_out = would_go::longer(session);
        }
        fit
    }

    /// Whether the class fills the slot to the second.
    #[must_use]
    pub fn is_exact(&self) -> bool {
        self.over.is_zero() && self.in_hand < Span::from_secs(1)
    }
}

/// The shortest that a class can be made by its timings alone.
fn shortest(session: &Session) -> i64 {
    let least = |knob: &Knob| choices(knob).iter().map(|c| c.more).min().unwrap_or(0) * 1000;
    let total = signed(Timeline::of(session).total());
    total + knobs(session).iter().map(least).sum::<i64>()
}

fn signed(span: Span) -> i64 {
    i64::try_from(span.millis()).unwrap_or(i64::MAX / 4)
}

fn reached(options: &[Vec<Choice>], chosen: &[usize]) -> i64 {
    let chosen = options.iter().zip(chosen);
    chosen.map(|(options, &n)| options[n].more).sum()
}

/// Gives odd milliseconds to one time that stands for a single interval.
fn take_odd(knobs: &[Knob], new: &mut [TimeAt], odd: i64) {
    let alone = |(_, (knob, _)): &(usize, (&Knob, &TimeAt))| knob.times == [1];
    let takes = knobs.iter().zip(new.iter()).enumerate().filter(alone);
    let taker = takes
        .min_by_key(|(_, (knob, _))| knob.at.role)
        .map(|(n, _)| n);
    if let (Some(n), Ok(odd)) = (taker, u64::try_from(odd)) {
        new[n].spans[0] += Span::from_millis(odd);
    }
}

fn changes(session: &Session, knobs: &[Knob], new: Vec<TimeAt>) -> Vec<Retimed> {
    let pairs = knobs.iter().zip(new);
    let changed = pairs.filter(|(knob, new)| knob.at.spans != new.spans);
    let retimed = changed.map(|(knob, after)| Retimed {
        what: names::of_time(session, &knob.at),
        before: knob.at.spans.clone(),
        after,
    });
    retimed.collect()
}
