//! A window, from the start of one move to the start of the next, and what is said in it.
//!
//! A [`Window`] holds the stretches of time that may be spoken in, the asks (things worth saying,
//! each in one or more variants) and the calls (things said at their time or not at all).
//! [`Window::select`] finds the set of greatest [`Worth`], exactly, and the place of everything in
//! it; what is not said is named with the reason. What the words are is the caller's: they are
//! carried along as `T` and never read.
//!
//! The way there: `score` brings the window into the fixed order of saying, `place` puts a given
//! set into time (and where everything fits, nothing else happens), `search` finds the best set
//! otherwise (its heading tells how, and what it costs), `missed` names what had no room.

mod front;
mod links;
mod missed;
mod place;
mod score;
mod search;
mod state;
#[cfg(test)]
mod tests;
mod worth;

pub(super) use self::worth::{Rank, Worth};

use self::place::Placed;
use self::score::{Picks, Score};
use crate::time::{Offset, Span};

/// A piece of the window in which people do one thing: the work itself, then each pause.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Stretch {
    /// Where it begins.
    pub(super) from: Offset,
    /// Where it ends.
    pub(super) until: Offset,
    /// What is counted aloud: no prompt may touch it. In any order; it may reach past the stretch.
    pub(super) closed: Vec<(Offset, Offset)>,
    /// Least silence between two prompts whose places may be chosen.
    pub(super) gap: Span,
    /// How much of it may be speech; what was already spoken is taken off.
    pub(super) budget: Span,
}

/// Where in its range a prompt should stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Hold {
    /// As early as it can.
    Early,
    /// As late as it can without pushing another away.
    Late,
}

/// A part of one stretch in which a variant may be said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Range {
    /// The stretch, by its place in the window.
    pub(super) stretch: usize,
    /// The earliest beginning.
    pub(super) from: Offset,
    /// The latest end.
    pub(super) by: Offset,
    pub(super) hold: Hold,
    /// What is gained on top where it is said here and in this variant.
    pub(super) bonus: Worth,
    /// Said before this only as far as the rest that is said would have no room otherwise.
    pub(super) soft_from: Option<Offset>,
}

/// One way to put an ask into words.
#[derive(Clone, Debug)]
pub(super) struct Variant<T> {
    /// The words, or what stands for them.
    pub(super) say: T,
    /// How long it takes to say, with breath.
    pub(super) long: Span,
    /// Everything but calls is said in the order of this number, then of the asks.
    pub(super) order: u8,
    /// Where it may be said. Among ranges of the same bonus the earliest place counts.
    pub(super) ranges: Vec<Range>,
}

/// Something worth saying, at a place that may be chosen.
#[derive(Clone, Debug)]
pub(super) struct Ask<T> {
    pub(super) rank: Rank,
    /// The ask, by its place in the window, without which this one makes no sense: it is said
    /// earlier, or this one is not said.
    pub(super) needs: Option<usize>,
    /// Whether it announces what comes after the stretch; it may stand close to a call.
    pub(super) coming: bool,
    /// At most one of them is said; where it makes no difference to the worth, the first.
    pub(super) variants: Vec<Variant<T>>,
}

/// Something that is said at its time or not at all.
#[derive(Clone, Debug)]
pub(super) struct Call<T> {
    /// The words, or what stands for them.
    pub(super) say: T,
    pub(super) rank: Rank,
    /// The stretch, by its place in the window.
    pub(super) stretch: usize,
    pub(super) at: Offset,
    /// How long it takes to say, with breath.
    pub(super) long: Span,
}

/// From the start of one move to the start of the next.
#[derive(Clone, Debug)]
pub(super) struct Window<T> {
    /// In order of time; none begins before the one before it ends.
    pub(super) stretches: Vec<Stretch>,
    pub(super) asks: Vec<Ask<T>>,
    pub(super) calls: Vec<Call<T>>,
}

/// An ask or a call of a window, by its place in the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Item {
    Ask { ask: usize, variant: usize },
    Call(usize),
}

/// Something said, with its time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Said {
    pub(super) item: Item,
    pub(super) stretch: usize,
    pub(super) at: Offset,
    pub(super) until: Offset,
}

/// Something not said. Of an ask, the variant is its shortest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Missed {
    pub(super) item: Item,
    pub(super) why: Lack,
}

/// Why something is not said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Lack {
    /// The ask that it needs is not said before it either.
    Needed(usize),
    /// There is nowhere to say it: no range, or only before an ask that it needs.
    Nowhere,
    /// There is too little room beside what is said.
    Room(Opening),
}

/// What is open to something in the stretch that leaves it most.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Opening {
    pub(super) stretch: usize,
    /// The longest time in one piece.
    pub(super) time: Span,
    /// The speech still allowed.
    pub(super) allowance: Span,
    /// How long it would take.
    pub(super) long: Span,
}

impl Opening {
    /// How much can be said here.
    pub(super) fn room(&self) -> Span {
        self.time.min(self.allowance)
    }

    /// Whether it is the allowance, not the time, that is short.
    pub(super) fn is_over_budget(&self) -> bool {
        self.allowance < self.time
    }
}

/// What is said in a window, and what is not.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Selection {
    /// In order of time.
    pub(super) said: Vec<Said>,
    /// The asks, then the calls.
    pub(super) missed: Vec<Missed>,
    pub(super) worth: Worth,
}

impl<T> Window<T> {
    /// The most worthy set of asks and calls that fits, with its places.
    ///
    /// Of sets worth the same it is one with as many first variants as can be, and of these the
    /// first in the order of saying: whatever comes first in that order is said, unless that costs
    /// worth. What is said after a prompt depends on what was said
    /// until then only through the time and the budget left; so the choice made anew after it is
    /// the rest of this one (but where a late prompt was moved past a call, another of the same
    /// worth may be said instead of it).
    ///
    /// One placing where everything fits; `search` tells what it costs otherwise.
    pub(super) fn select(&self) -> Selection {
        let score = Score::of(self);
        let whole = score.everything();
        let placed = whole.and_then(|picks| place::earliest(&score, &picks).map(|_| picks));
        let picks = placed.unwrap_or_else(|| search::best(&score).picks);
        self.settled(&score, &picks)
    }

    fn settled(&self, score: &Score, picks: &Picks) -> Selection {
        let places = place::settled(score, picks);
        let mut said = said(score, picks, &places);
        said.sort_by_key(|said| (said.at, said.until));
        Selection {
            missed: missed::of(self, &said),
            worth: score.worth(picks),
            said,
        }
    }
}

fn said(score: &Score, picks: &Picks, places: &[Placed]) -> Vec<Said> {
    let asks = score.ways(picks).zip(places).map(|(way, place)| Said {
        item: Item::Ask {
            ask: way.ask,
            variant: way.variant,
        },
        stretch: way.ranges[place.range].stretch,
        at: place.at,
        until: place.at + way.long,
    });
    let calls = score.calls_of(picks).map(|call| Said {
        item: Item::Call(call.call),
        stretch: call.stretch,
        at: call.at,
        until: call.end(),
    });
    asks.chain(calls).collect()
}
