//! From a window to what is said in it: everything, where it fits, and else the best set.

use super::chosen::{Item, Said, Selection};
use super::given::Window;
use super::place::{self, Placed};
use super::score::{Picks, Score};
use super::{missed, search};

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
    pub(in super::super) fn select(&self) -> Selection {
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
