//! Which of the things to be said in one interval are said: the most important set, exactly.
//!
//! Importance is lexicographic: one ask of a higher [`Rank`] outweighs all of the lower ones, and
//! within a rank the number counts. Both are one sum, a digit of 12 bits for each rank, so that
//! the problem is a weighted choice of intervals with precedence and the sum of a set is the sum
//! of its members.
//!
//! The search takes the asks in falling importance, each in and then out. Whatever fits still fits
//! with something left out (see `room`), so a set that does not fit ends its branch, and a branch
//! that cannot beat the best sum ends too: nothing better is ever cut off, and the answer is exact.
//! It costs one placing where everything fits. Otherwise at most one placing for each ask in each
//! branch, and only asks of equal rank open branches: with one ask a rank `n` placings, in the
//! worst case (all `n` alike) 2^n. A room of work has at most about ten asks, of which two or
//! three are alike. A placing costs `n` times the number of time calls and counted zones.

use super::room::{Ask, MOST, Rank, Room, Set};
use crate::time::Offset;

/// The chosen asks with their places, by their number in the list.
pub(super) type Places = Vec<(usize, Offset)>;

impl Rank {
    const fn weight(self) -> u128 {
        1 << (12 * self as u32)
    }
}

/// The most important set of asks that fits in the room, with the place of each. Of sets that are
/// worth the same, the one with the earlier asks. `asks` are sorted by `order`.
pub(super) fn choose(room: &Room, asks: &[Ask]) -> Places {
    debug_assert!(asks.len() <= MOST && asks.is_sorted_by_key(|ask| ask.order));
    let all = if asks.is_empty() {
        return Places::new();
    } else {
        Set::MAX >> (MOST - asks.len())
    };
    if let Some(places) = room.place(asks, all) {
        return places;
    }
    let mut search = Search::over(room, asks);
    search.branch(0, 0, 0);
    search.best.1
}

struct Search<'a> {
    room: &'a Room,
    asks: &'a [Ask],
    /// The asks in falling importance.
    falling: Vec<usize>,
    /// What all asks from each on are worth together.
    left: Vec<u128>,
    best: (u128, Places),
}

impl<'a> Search<'a> {
    fn over(room: &'a Room, asks: &'a [Ask]) -> Self {
        let mut falling: Vec<usize> = (0..asks.len()).collect();
        falling.sort_by_key(|&n| std::cmp::Reverse(asks[n].rank));
        let mut left = vec![0; asks.len() + 1];
        for (k, &n) in falling.iter().enumerate().rev() {
            left[k] = left[k + 1] + asks[n].rank.weight();
        }
        Self {
            room,
            asks,
            falling,
            left,
            best: (0, Places::new()),
        }
    }

    fn branch(&mut self, depth: usize, set: Set, worth: u128) {
        if worth + self.left[depth] <= self.best.0 {
            return;
        }
        let Some(&n) = self.falling.get(depth) else {
            let places = self.room.place(self.asks, set);
            self.best = (worth, places.unwrap_or_default());
            return;
        };
        let ask = &self.asks[n];
        let with = set | 1 << n;
        let makes_sense = ask.needs.is_none_or(|m| set >> m & 1 == 1);
        if makes_sense && self.room.place(self.asks, with).is_some() {
            self.branch(depth + 1, with, worth + ask.rank.weight());
        }
        self.branch(depth + 1, set, worth);
    }
}
