//! Where each prompt of a given set stands.
//!
//! Whoever begins later can only push the others back, so the earliest place of each, one after
//! the other, decides whether a set fits; and what fits with a later bound fits with an earlier.

use super::given::{Hold, Range};
use super::score::{Picks, Score, TimedCall, Way};
use super::state::{clear_of, wall_at};
use crate::time::{Offset, Span};

/// The place of an ask: the range, by its number in its way, and the beginning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Placed {
    pub(super) range: usize,
    pub(super) at: Offset,
}

/// The earliest place of each ask of a set, in order; none where the set does not fit.
pub(super) fn earliest(score: &Score, picks: &Picks) -> Option<Vec<Placed>> {
    let set = Set::of(score, picks);
    set.calls_fit().then_some(())?;
    set.earliest(&vec![Offset::ZERO; set.ways.len()])
}

/// The places of a set that fits, in order: what has a soft beginning as near to it as the others
/// let it, then everything early, then what should stand late as late as it can.
pub(super) fn settled(score: &Score, picks: &Picks) -> Vec<Placed> {
    let set = Set::of(score, picks);
    let mut floors = vec![Offset::ZERO; set.ways.len()];
    for n in 0..floors.len() {
        floors[n] = set.soft_floor(n, &floors);
    }
    let mut places = set.earliest(&floors).unwrap_or_default();
    debug_assert_eq!(places.len(), set.ways.len(), "the set fits");
    set.move_back(&mut places);
    places
}

/// A set to be placed.
struct Set<'a> {
    score: &'a Score,
    ways: Vec<&'a Way>,
    calls: Vec<&'a TimedCall>,
}

impl<'a> Set<'a> {
    fn of(score: &'a Score, picks: &Picks) -> Self {
        Self {
            score,
            ways: score.ways(picks).collect(),
            calls: score.calls_of(picks).collect(),
        }
    }

    /// Whether the calls leave each other their time and keep to the budgets.
    fn calls_fit(&self) -> bool {
        let mut pairs = self.calls.windows(2);
        let spoken = self.spoken_by_calls();
        let budgets = self.score.stretches.iter().map(|stretch| stretch.budget);
        pairs.all(|pair| pair[0].end() <= pair[1].at)
            && spoken.iter().zip(budgets).all(|(&s, b)| s <= b)
    }

    fn spoken_by_calls(&self) -> Vec<Span> {
        let mut spoken = vec![Span::ZERO; self.score.stretches.len()];
        for call in &self.calls {
            spoken[call.stretch] += call.long;
        }
        spoken
    }

    /// The earliest places where each ask begins at its floor or later, as far as it is soft.
    fn earliest(&self, floors: &[Offset]) -> Option<Vec<Placed>> {
        let mut spoken = self.spoken_by_calls();
        let mut places: Vec<Placed> = Vec::with_capacity(self.ways.len());
        for (n, (way, &floor)) in self.ways.iter().zip(floors).enumerate() {
            let before = places.last().map(|place| (self.ways[n - 1], *place));
            let ranges = way.ranges.iter().enumerate();
            let open = ranges.filter(|(_, range)| {
                spoken[range.stretch] + way.long <= self.score.stretches[range.stretch].budget
            });
            let found = open.filter_map(|(k, range)| {
                let from = self.after(before, range)?.max(soft(range, floor));
                let walls = self.walls(way, range);
                let at = clear_of(&walls, from.max(range.from), range.by, way.long)?;
                Some(Placed { range: k, at })
            });
            let place = found.min_by_key(|place| place.at)?;
            spoken[way.ranges[place.range].stretch] += way.long;
            places.push(place);
        }
        Some(places)
    }

    /// From when on a range is open after the ask before; none where its stretch is over then.
    fn after(&self, before: Option<(&Way, Placed)>, range: &Range) -> Option<Offset> {
        let Some((way, place)) = before else {
            return Some(Offset::ZERO);
        };
        let end = place.at + way.long;
        let stretch = way.ranges[place.range].stretch;
        let gap = self.score.stretches[stretch].gap;
        (range.stretch >= stretch).then(|| {
            if range.stretch == stretch {
                end + gap
            } else {
                end
            }
        })
    }

    /// What a prompt must not touch in the stretch of a range: counts, and calls with their
    /// silence.
    fn walls(&self, way: &Way, range: &Range) -> Vec<(Offset, Offset)> {
        let stretch = &self.score.stretches[range.stretch];
        let calls = self
            .calls
            .iter()
            .filter(|call| call.stretch == range.stretch);
        let silence = way.nature.silence(super::score::Nature::Call, stretch.gap);
        let calls = calls.map(|call| (call.at.before(silence), call.end() + silence));
        stretch.closed.iter().copied().chain(calls).collect()
    }

    /// The latest beginning up to the soft one for which the set still fits.
    fn soft_floor(&self, n: usize, floors: &[Offset]) -> Offset {
        let ranges = self.ways[n].ranges.iter();
        let Some(wanted) = ranges.filter_map(|range| range.soft_from).max() else {
            return Offset::ZERO;
        };
        let mut floors = floors.to_vec();
        let mut fits = |millis: u64| {
            floors[n] = Offset::from_millis(millis);
            self.earliest(&floors).is_some()
        };
        let (mut fitting, mut failing) = (0, wanted.millis() + 1);
        if fits(wanted.millis()) {
            return wanted;
        }
        while fitting + 1 < failing {
            let middle = fitting + (failing - fitting) / 2;
            if fits(middle) {
                fitting = middle;
            } else {
                failing = middle;
            }
        }
        Offset::from_millis(fitting)
    }

    /// Moves what should stand late as far back as it can go.
    fn move_back(&self, places: &mut [Placed]) {
        for n in (0..places.len()).rev() {
            let (way, place) = (self.ways[n], places[n]);
            let range = &way.ranges[place.range];
            if range.hold == Hold::Early {
                continue;
            }
            let next = places.get(n + 1).map(|next| {
                let same = self.ways[n + 1].ranges[next.range].stretch == range.stretch;
                next.at
                    .before(if same { self.gap(range) } else { Span::ZERO })
            });
            let by = next.map_or(range.by, |next| next.min(range.by));
            places[n].at = latest(&self.walls(way, range), place.at, by, way.long);
        }
    }

    fn gap(&self, range: &Range) -> Span {
        self.score.stretches[range.stretch].gap
    }
}

/// How far a floor holds in a range: not past its soft beginning.
fn soft(range: &Range, floor: Offset) -> Offset {
    range.soft_from.unwrap_or_default().min(floor)
}

/// The latest place from `at` on that lies clear of the walls; `at` itself is clear.
fn latest(walls: &[(Offset, Offset)], at: Offset, by: Offset, long: Span) -> Offset {
    let mut end = by;
    while end.before(long) > at {
        match wall_at(walls, end.before(long), end) {
            Some((start, _)) => end = start,
            None => break,
        }
    }
    end.before(long).max(at)
}
