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

#[cfg(test)]
mod tests {
    use super::super::cues::PromptKind;
    use super::super::room::Hold;
    use super::*;
    use crate::time::Span;

    const RANKS: [Rank; 5] = [
        Rank::Form,
        Rank::TimeCall,
        Rank::Option,
        Rank::Limit,
        Rank::Safety,
    ];

    fn at(n: u64) -> Offset {
        Offset::from_millis(n)
    }

    fn random_ask(rng: &mut fastrand::Rng, order: u8, length: u64) -> Ask {
        let from = rng.u64(..length);
        let long = rng.u64(1..5);
        let hold = match rng.u8(..4) {
            0 => Hold::Fixed,
            1 => Hold::Late,
            _ => Hold::Early,
        };
        Ask {
            kind: PromptKind::Form,
            say: String::new(),
            about: 0,
            marked: false,
            rank: RANKS[rng.usize(..RANKS.len())],
            long: Span::from_millis(long),
            from: at(from),
            by: at(from + long + rng.u64(..length)),
            hold,
            order,
            coming: rng.u8(..3) == 0,
            needs: None,
        }
    }

    fn random_room(rng: &mut fastrand::Rng, length: u64) -> Room {
        let closed = rng.bool().then(|| {
            let start = rng.u64(..length);
            (at(start), at(start + rng.u64(1..4)))
        });
        Room {
            from: at(0),
            until: at(length),
            closed: closed.into_iter().collect(),
            gap: Span::from_millis(rng.u64(0..4)),
            budget: Span::from_millis(rng.u64(3..=length)),
        }
    }

    /// Whether these places break no rule; written anew, without the room's own placing.
    fn is_legal(room: &Room, asks: &[Ask], places: &[Option<u64>]) -> bool {
        let said: Vec<(usize, u64, u64)> = places
            .iter()
            .enumerate()
            .filter_map(|(n, place)| place.map(|p| (n, p, p + asks[n].long.millis())))
            .collect();
        let spoken: u64 = said.iter().map(|s| s.2 - s.1).sum();
        let alone = said.iter().all(|&(n, start, end)| {
            let ask = &asks[n];
            let on_time = ask.hold != Hold::Fixed || start == ask.from.millis();
            let clear = room
                .closed
                .iter()
                .all(|z| end <= z.0.millis() || start >= z.1.millis());
            let makes_sense = ask.needs.is_none_or(|m| places[m].is_some());
            on_time
                && clear
                && makes_sense
                && start >= ask.from.millis()
                && end <= ask.by.min(room.until).millis()
        });
        let together = said.iter().enumerate().all(|(k, &(n, start, end))| {
            said[k + 1..].iter().all(|&(m, start_m, end_m)| {
                let (a, b) = (&asks[n], &asks[m]);
                let fixed = |ask: &Ask| ask.hold == Hold::Fixed;
                let exempt = |ask: &Ask| fixed(ask) || ask.coming;
                let near = (fixed(a) || fixed(b)) && exempt(a) && exempt(b);
                let gap = if near { 0 } else { room.gap.millis() };
                let ordered = end + gap <= start_m;
                let free = fixed(a) || fixed(b);
                ordered || (free && end_m + gap <= start)
            })
        });
        spoken <= room.budget.millis() && alone && together
    }

    fn worth(asks: &[Ask], chosen: impl Iterator<Item = usize>) -> [u32; 9] {
        let mut counts = [0; 9];
        for n in chosen {
            counts[8 - asks[n].rank as usize] += 1;
        }
        counts
    }

    fn best(room: &Room, asks: &[Ask], places: &mut Vec<Option<u64>>) -> [u32; 9] {
        if places.len() == asks.len() {
            if !is_legal(room, asks, places) {
                return [0; 9];
            }
            let said = places.iter().enumerate().filter(|(_, p)| p.is_some());
            return worth(asks, said.map(|(n, _)| n));
        }
        let tries = (0..room.until.millis()).map(Some).chain([None]);
        tries
            .map(|place| {
                places.push(place);
                let found = best(room, asks, places);
                places.pop();
                found
            })
            .max()
            .unwrap_or_default()
    }

    /// Every set at every place of small rooms: none is worth more, and the choice is legal.
    #[test]
    fn no_set_is_better_than_the_chosen_one() {
        let mut rng = fastrand::Rng::with_seed(3);
        let (mut whole, mut partial) = (0, 0);
        for case in 0..1500 {
            let length = rng.u64(6..13);
            let room = random_room(&mut rng, length);
            let count = rng.u8(1..5);
            let mut asks: Vec<Ask> = (0..count)
                .map(|order| random_ask(&mut rng, order, length))
                .collect();
            if count > 1 && rng.u8(..4) == 0 {
                (asks[0].rank, asks[1].rank) = (Rank::Brief, Rank::Brief);
                asks[1].needs = Some(0);
            }
            let places = choose(&room, &asks);
            let mut said = vec![None; asks.len()];
            for &(n, place) in &places {
                said[n] = Some(place.millis());
            }
            assert!(is_legal(&room, &asks, &said), "case {case}: {said:?}");
            let chosen = worth(&asks, places.iter().map(|place| place.0));
            let exhaustive = best(&room, &asks, &mut Vec::new());
            assert_eq!(chosen, exhaustive, "case {case}: {room:?} {asks:?}");
            if places.len() == asks.len() {
                whole += 1;
            } else {
                partial += 1;
            }
        }
        assert!(whole > 250 && partial > 250, "{whole} {partial}");
    }
}
