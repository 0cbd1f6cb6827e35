//! Changes done to the intervals ahead.
//!
//! Where the changes come from is not known here: a record of another day is replayed by it, so
//! whatever names an interval that is not ahead is passed over.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use super::change::{Change, ChangeKind};
use crate::plan::{Interval, Nth, Place, Shape};
use crate::time::Span;

/// The intervals ahead with these changes done; what is not changed is shared. `begun` is what was
/// taught, and last what runs: copies may be made of them, and put behind what runs. Copies get
/// numbers from `next_id` on.
#[must_use]
pub(in crate::live) fn apply<'a>(
    begun: impl IntoIterator<Item = &'a Arc<Interval>>,
    ahead: &'a [Arc<Interval>],
    changes: &[Change],
    next_id: &mut u32,
) -> Vec<Arc<Interval>> {
    let mut edit = Edit::of(begun, ahead, next_id);
    for change in changes {
        edit.take(change);
    }
    let mut ahead = edit.done();
    count_rounds(&mut ahead);
    ahead
}

struct Edit<'a, 'n> {
    ahead: &'a [Arc<Interval>],
    next_id: &'n mut u32,
    running: Option<u32>,
    known: HashMap<u32, &'a Arc<Interval>>,
    places: HashMap<u32, usize>,
    lengths: HashMap<usize, Span>,
    gone: Vec<bool>,
    /// By the place that they come before.
    copies: BTreeMap<usize, Vec<Arc<Interval>>>,
}

impl<'a, 'n> Edit<'a, 'n> {
    fn of(
        begun: impl IntoIterator<Item = &'a Arc<Interval>>,
        ahead: &'a [Arc<Interval>],
        next_id: &'n mut u32,
    ) -> Self {
        let (mut known, mut running) = (HashMap::new(), None);
        for interval in begun {
            running = Some(interval.id);
            known.insert(interval.id, interval);
        }
        known.extend(ahead.iter().map(|interval| (interval.id, interval)));
        let free = known.keys().map(|id| id.saturating_add(1)).max();
        *next_id = (*next_id).max(free.unwrap_or(0));
        let places = ahead.iter().enumerate();
        Self {
            ahead,
            next_id,
            running,
            known,
            places: places.map(|(i, interval)| (interval.id, i)).collect(),
            lengths: HashMap::new(),
            gone: vec![false; ahead.len()],
            copies: BTreeMap::new(),
        }
    }

    fn take(&mut self, change: &Change) {
        let place = self.places.get(&change.id).copied();
        match (&change.kind, place) {
            (&ChangeKind::Length(length), Some(i)) if !length.is_zero() => {
                self.lengths.insert(i, length);
            }
            (ChangeKind::Drop, Some(i)) => self.gone[i] = true,
            (&ChangeKind::Copy { after, length }, _) => {
                self.copy(change.id, after, length, None);
            }
            (
                &ChangeKind::Round {
                    after,
                    length,
                    round,
                },
                _,
            ) => {
                self.copy(change.id, after, length, Some(round));
            }
            (ChangeKind::Length(_) | ChangeKind::Drop, _) => {}
        }
    }

    fn copy(&mut self, id: u32, after: u32, length: Span, round: Option<usize>) {
        let behind = match self.places.get(&after) {
            Some(&i) => Some(i + 1),
            None => (self.running == Some(after)).then_some(0),
        };
        let (Some(behind), Some(&of), false) = (behind, self.known.get(&id), length.is_zero())
        else {
            return;
        };
        let mut copy = Interval::clone(of);
        (copy.id, copy.length, copy.planned) = (*self.next_id, length, length);
        *self.next_id = self.next_id.saturating_add(1);
        if let (Some(round), Some(place)) = (round, &mut copy.place) {
            *place = Arc::new(in_round(place, round));
        }
        self.copies.entry(behind).or_default().push(Arc::new(copy));
    }

    fn done(mut self) -> Vec<Arc<Interval>> {
        let mut out = self.copies.remove(&0).unwrap_or_default();
        for (i, interval) in self.ahead.iter().enumerate() {
            if !self.gone[i] {
                let length = self.lengths.get(&i).copied();
                out.push(with_length(interval, length.unwrap_or(interval.length)));
            }
            out.append(&mut self.copies.remove(&(i + 1)).unwrap_or_default());
        }
        out
    }
}

fn with_length(interval: &Arc<Interval>, length: Span) -> Arc<Interval> {
    if interval.length == length {
        return interval.clone();
    }
    let interval = Interval::clone(interval);
    Arc::new(Interval { length, ..interval })
}

/// The same place in another round.
fn in_round(place: &Place, round: usize) -> Place {
    let mut place = place.clone();
    place.round.nth = round;
    match place.shape {
        Shape::Sets => {}
        Shape::Grid { .. } => {
            place.pass.nth = round;
            let windows = place.windows.max(1);
            let in_round = place.window.nth.saturating_sub(1) % windows;
            place.window.nth = round.saturating_sub(1) * windows + in_round + 1;
        }
        Shape::Rounds | Shape::Window => place.pass.nth = round,
    }
    place
}

/// How many rounds and windows a block has.
#[derive(Clone, Copy, Default)]
struct Count {
    rounds: usize,
    windows: usize,
}

type Counts = HashMap<usize, Count>;

/// As many as works of a block tell of; a pause may stand behind a round that went. Where no work
/// of it is left, as many as its pauses tell of.
fn counts<'a>(intervals: impl Iterator<Item = &'a Arc<Interval>> + Clone) -> Counts {
    let works = intervals.clone().filter(|of| of.kind.is_moving());
    let mut counts = told_by(intervals);
    counts.extend(told_by(works));
    counts
}

fn told_by<'a>(intervals: impl Iterator<Item = &'a Arc<Interval>>) -> Counts {
    let mut counts = Counts::new();
    for place in intervals.filter_map(|of| of.place.as_ref()) {
        let count = counts.entry(place.block).or_default();
        count.rounds = count.rounds.max(place.round.nth);
        count.windows = count.windows.max(place.window.nth);
    }
    counts
}

/// The same interval, of so many rounds and windows, and in none that went.
fn counted(interval: &Arc<Interval>, counts: &Counts) -> Arc<Interval> {
    let place = interval.place.as_ref();
    let Some((was, count)) = place.and_then(|at| Some((at, counts.get(&at.block)?))) else {
        return interval.clone();
    };
    let mut place = Place::clone(was);
    place.round = Nth::new(was.round.nth.min(count.rounds), count.rounds);
    place.window = Nth::new(was.window.nth.min(count.windows), count.windows);
    if place.shape != Shape::Sets {
        place.pass = Nth::new(was.pass.nth.min(count.rounds), count.rounds);
    }
    if place == **was {
        return interval.clone();
    }
    let mut interval = Interval::clone(interval);
    interval.place = Some(Arc::new(place));
    Arc::new(interval)
}

/// Sets of how many each round and window is.
fn count_rounds(ahead: &mut [Arc<Interval>]) {
    let counts = counts(ahead.iter());
    for interval in ahead {
        *interval = counted(interval, &counts);
    }
}

/// The running interval, its rounds and windows counted with those ahead of it.
#[must_use]
pub(in crate::live) fn counted_with(
    running: &Arc<Interval>,
    ahead: &[Arc<Interval>],
) -> Arc<Interval> {
    let mut counts = counts(ahead.iter());
    for (block, own) in told_by(std::iter::once(running)) {
        let count = counts.entry(block).or_default();
        count.rounds = count.rounds.max(own.rounds);
        count.windows = count.windows.max(own.windows);
    }
    counted(running, &counts)
}
