//! A coming move as the class meets it: how often it came before, where the body comes from, what
//! must be fetched, and so how long ahead it must be announced.
//!
//! Everything here depends only on the moves before it and a look ahead in its block, so that the
//! plan of what is left of a class is the end of the whole plan. What is said about the move is
//! not known here.

use super::breath;
use super::past::{History, Offers};
use crate::plan::interval::{Interval, Kind, Shape};
use crate::plan::timeline::{Placed, Timeline};
use crate::plan::transition::{PositionChange, Transition, is_of_the_room, is_set_out};
use crate::session::{Cueing, Position, Use};
use crate::time::Span;

/// The least lead of a cue (group-instructor study material of the American College of Sports
/// Medicine, seen in a secondary text).
const FOUR_COUNTS: Span = Span::from_secs(4);

/// An interval in which people move, with what the class already knows of it.
#[derive(Clone, Debug)]
pub(super) struct Occurrence<'a> {
    /// Its place in the timeline.
    pub(super) at: usize,
    pub(super) interval: &'a Placed,
    /// The move as it is used there.
    pub(super) used: &'a Use,
    /// How many times the move came before.
    pub(super) times: usize,
    /// The way to it.
    pub(super) way: Transition<'a>,
    /// What must be brought for the later moves of the block that begins with it.
    pub(super) bring: Vec<&'a str>,
    /// Other versions to offer.
    pub(super) offers: Offers<'a>,
    /// What the planner wrote for the pauses before it.
    pub(super) written: Vec<&'a str>,
    /// What everyone has at hand.
    pub(super) things: &'a [String],
    /// How often the same move comes again right after it in its block, counted up to two.
    pub(super) to_go: usize,
    /// Whether its stations were explained before; of one move nothing need be.
    pub(super) is_explained: bool,
    /// The moving interval before it.
    pub(super) before: Option<&'a Interval>,
    /// Whether it begins a cool-down right where timed work ends.
    pub(super) ends_work: bool,
    /// Whether how to breathe in it is said.
    pub(super) breathes: bool,
}

impl Occurrence<'_> {
    /// Least time between the end of its preview and its start. Where a cool-down begins right after
    /// work, the way there is its first part: nobody looks round for the floor in the last seconds.
    pub(super) fn lead(&self, cueing: &Cueing) -> Span {
        if self.ends_work {
            return cueing.lead.min(FOUR_COUNTS);
        }
        self.way.lead(cueing)
    }

    /// Whether people come to it from another work of the same rotation.
    pub(super) fn is_swap(&self) -> bool {
        let before = self
            .before
            .filter(|before| before.is_of_rotation(self.interval));
        before.is_some() && self.interval.continues_rotation()
    }

    /// What is still to be fetched: what the planner's own words of the pause before it name is
    /// asked for there.
    pub(super) fn to_fetch(&self) -> Vec<&str> {
        let named = |thing: &str| {
            let says = |say: &&str| ["your", "the"].iter().any(|of| holds(say, of, thing));
            self.written.iter().any(says)
        };
        let things = self.way.fetch.iter().copied();
        things.filter(|thing| !named(thing)).collect()
    }

    /// Whether it comes off the wall.
    pub(super) fn is_off_the_wall(&self) -> bool {
        self.way.from == Position::Wall && self.way.change == PositionChange::Shift
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
            place.map(|place| (place.block, place.place, place.round.nth))
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
            .is_some_and(|place| place.round.of > 2);
        many && self.to_go == 0 && self.is_next_round() && self.new_note().is_none()
    }

    /// The planner's word for this place: a part of its name, and said as often as that.
    pub(super) fn note(&self) -> Option<&str> {
        let note = self.used.note.as_deref()?;
        let option = self.used.option().map_or("", |option| &option.call);
        (!says(option, note)).then_some(note)
    }

    /// The note, where it is all that is new in a move that comes again.
    pub(super) fn new_note(&self) -> Option<&str> {
        let before = self.before.and_then(Interval::turn)?;
        let note = self.note().filter(|_| self.is_same_again())?;
        (before.note.as_deref() != Some(note)).then_some(note)
    }

    /// Whether there are to be more or fewer of it than in the interval before.
    pub(super) fn is_other_number(&self) -> bool {
        let before = self.before.and_then(Interval::turn);
        before.is_some_and(|before| before.reps != self.used.reps)
    }

    /// How hard it is meant to be, where that is another than that of the work before, or a block
    /// begins.
    pub(super) fn new_effort(&self) -> Option<u8> {
        let before = self.before.and_then(Interval::turn);
        let before = before.and_then(|turn| turn.effort);
        let before = before.filter(|_| !self.opens_block());
        self.used.effort.filter(|effort| before != Some(*effort))
    }

    /// Whether a block begins with it.
    pub(super) fn opens_block(&self) -> bool {
        let own = self.interval.block();
        own.is_some() && self.before.and_then(Interval::block) != own
    }

    /// Whether a block ended before it.
    pub(super) fn leaves_block(&self) -> bool {
        self.before.and_then(Interval::block) != self.interval.block()
    }

    /// Whether a later round of all moves begins with it.
    pub(super) fn opens_round(&self) -> bool {
        let place = |interval: Option<&Interval>| interval.and_then(|i| i.place.clone());
        match (place(self.before), place(Some(self.interval))) {
            (Some(before), Some(now)) => {
                before.block == now.block
                    && before.round.nth != now.round.nth
                    && (now.place.of == 1 || now.shape != Shape::Sets)
            }
            _ => false,
        }
    }

    /// Whether it is the first of a warm-up or cool-down.
    pub(super) fn opens_part(&self) -> bool {
        self.interval.kind != Kind::Work && self.before.is_none_or(|b| b.kind != self.interval.kind)
    }
}

/// Whether a text has two words one after the other.
fn holds(text: &str, first: &str, second: &str) -> bool {
    let words = text.split(|c: char| !c.is_alphanumeric() && c != '-');
    let words: Vec<String> = words
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    words
        .windows(2)
        .any(|two| two[0] == first && two[1] == second)
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
        ([a], [b]) => a.pick == b.pick && (std::sync::Arc::ptr_eq(&a.of, &b.of) || a.of == b.of),
        _ => false,
    }
}

/// Whether people really move in it: an interval cut to nothing does not come.
pub(super) fn comes(interval: &Placed) -> bool {
    interval.kind.is_moving() && interval.turn().is_some() && !interval.length.is_zero()
}

impl<'a> Occurrence<'a> {
    /// The move of interval `at`, seen from what came before it.
    pub(super) fn of(timeline: &'a Timeline, at: usize, history: &History<'a>) -> Option<Self> {
        let interval = &timeline.intervals()[at];
        let used = interval.turn()?;
        let before = history.last();
        // Whoever keeps moving in the pause comes from there.
        let pauses = timeline.intervals()[..at].iter().rev();
        let mut pauses = pauses.take_while(|pause| !pause.kind.is_moving());
        let active = pauses.find(|pause| pause.is_active_pause());
        let from = active.map(|pause| &**pause.interval()).or(before);
        let mut occurrence = Self {
            at,
            interval,
            used,
            times: history.times(interval, &used.of.id),
            way: Transition::of(from, interval, history.mat_lies()),
            bring: Vec::new(),
            offers: history.offers(interval),
            written: written(timeline, at),
            things: timeline.things(),
            to_go: to_go(timeline, at),
            is_explained: history.is_explained(interval),
            before,
            ends_work: ends_work(timeline, at),
            breathes: breath::is_said(timeline, at),
        };
        if occurrence.opens_block() {
            occurrence.bring = bring(timeline, &occurrence, history);
        }
        Some(occurrence)
    }
}

/// What the planner wrote for the pauses right before interval `at`; what is said before a class has
/// other things to tell.
fn written(timeline: &Timeline, at: usize) -> Vec<&str> {
    let before = timeline.intervals()[..at].iter().rev();
    let pauses = before.take_while(|pause| !pause.kind.is_moving());
    let recoveries = pauses.filter(|pause| pause.kind == Kind::Recovery);
    recoveries.map(|pause| &*pause.say).collect()
}

/// What the first pass of a block that begins with `first` needs and nobody had so far: what is
/// needed after a recovery is fetched in it.
fn bring<'a>(
    timeline: &'a Timeline,
    first: &Occurrence<'a>,
    history: &History<'a>,
) -> Vec<&'a str> {
    let block = first.interval.block();
    let mut out = Vec::new();
    for interval in timeline.intervals()[first.at..]
        .iter()
        .take_while(|interval| interval.block() == block)
        .take_while(|interval| interval.kind != Kind::Recovery)
    {
        if is_set_out(interval) {
            continue;
        }
        for thing in interval.moves.iter().flat_map(|turn| turn.equipment()) {
            let here = first.way.fetch.contains(&thing) || history.had(thing);
            if !here && !is_of_the_room(thing) && !out.contains(&thing) {
                out.push(thing);
            }
        }
    }
    out
}

/// Whether a cool-down begins with interval `at` right where timed work ends.
fn ends_work(timeline: &Timeline, at: usize) -> bool {
    let all = timeline.intervals();
    let before = at.checked_sub(1).map(|before| &all[before]);
    let works = |before: &Placed| before.kind == Kind::Work && !before.untimed;
    all[at].kind == Kind::CoolDown && before.is_some_and(works)
}

/// How often the move of interval `at` comes again right after itself in its block, up to two.
fn to_go(timeline: &Timeline, at: usize) -> usize {
    let intervals = timeline.intervals();
    let block = intervals[at].block();
    let after = intervals[at + 1..].iter();
    let after = after.take_while(|next| block.is_some() && next.block() == block);
    let moves = after.filter(|next| comes(next)).take(2);
    moves
        .take_while(|next| is_alike(&intervals[at], next))
        .count()
}
