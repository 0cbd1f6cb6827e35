//! Changes done to a timeline.
//!
//! It refuses to know where the changes come from: a record of another day is replayed by it, so
//! whatever names an interval that is not there, or has begun, is passed over.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use super::shape::block_of;
use super::{Change, ChangeKind};
use crate::plan::{Interval, Kind, Place, Timeline};
use crate::time::Span;

/// The timeline with these changes, none of which touches the interval `n` or one before it.
/// Copies get numbers from `next_id` on.
#[must_use]
pub fn apply(plan: &Timeline, n: usize, changes: &[Change], next_id: &mut u32) -> Timeline {
    applied(plan, n, n + 1, changes, next_id)
}

/// As [`apply`], but the length of the interval `n` may change too.
#[must_use]
pub fn apply_running(plan: &Timeline, n: usize, changes: &[Change], next_id: &mut u32) -> Timeline {
    applied(plan, n, n, changes, next_id)
}

fn applied(
    plan: &Timeline,
    n: usize,
    first: usize,
    changes: &[Change],
    next_id: &mut u32,
) -> Timeline {
    let mut edit = Edit::of(plan.intervals(), n, first, next_id);
    for change in changes {
        edit.take(change);
    }
    plan.with(edit.done())
}

struct Edit<'a> {
    all: &'a [Interval],
    n: usize,
    first: usize,
    next_id: &'a mut u32,
    by_id: HashMap<u32, usize>,
    lengths: BTreeMap<usize, Span>,
    gone: Vec<bool>,
    copies: BTreeMap<usize, Vec<Interval>>,
}

impl<'a> Edit<'a> {
    fn of(all: &'a [Interval], n: usize, first: usize, next_id: &'a mut u32) -> Self {
        let free = all.iter().map(|interval| interval.id + 1).max();
        *next_id = (*next_id).max(free.unwrap_or(0));
        Self {
            all,
            n,
            first,
            next_id,
            by_id: all.iter().enumerate().map(|(i, of)| (of.id, i)).collect(),
            lengths: BTreeMap::new(),
            gone: vec![false; all.len()],
            copies: BTreeMap::new(),
        }
    }

    fn take(&mut self, change: &Change) {
        let Some(&i) = self.by_id.get(&change.id) else {
            return;
        };
        match change.kind {
            ChangeKind::Length(length) if i >= self.first && !length.is_zero() => {
                self.lengths.insert(i, length);
            }
            ChangeKind::Drop if i > self.n => self.gone[i] = true,
            ChangeKind::Copy { after, length } => self.copy(i, after, length, None),
            ChangeKind::Round {
                after,
                length,
                round,
            } => self.copy(i, after, length, Some(round)),
            ChangeKind::Length(_) | ChangeKind::Drop => {}
        }
    }

    fn copy(&mut self, i: usize, after: u32, length: Span, round: Option<usize>) {
        let after = self.by_id.get(&after).filter(|&&after| after >= self.n);
        let Some(&after) = after.filter(|_| !length.is_zero()) else {
            return;
        };
        let mut copy = self.all[i].clone();
        copy.id = *self.next_id;
        *self.next_id += 1;
        (copy.length, copy.planned) = (length, length);
        if let (Some(round), Some(place)) = (round, &copy.place) {
            copy.place = Some(Arc::new(Place {
                round,
                ..Place::clone(place)
            }));
        }
        self.copies.entry(after).or_default().push(copy);
    }

    fn done(mut self) -> Vec<Interval> {
        let (mut out, mut ahead) = (Vec::with_capacity(self.all.len()), 0);
        for (i, interval) in self.all.iter().enumerate() {
            if !self.gone[i] {
                let mut interval = interval.clone();
                interval.length = self.lengths.get(&i).copied().unwrap_or(interval.length);
                out.push(interval);
            }
            out.append(&mut self.copies.remove(&i).unwrap_or_default());
            if i < self.n {
                ahead = out.len();
            }
        }
        count_rounds(&mut out[ahead..]);
        out
    }
}

/// Sets the number of rounds of each block to the last round that is still ahead.
fn count_rounds(ahead: &mut [Interval]) {
    let mut last: HashMap<usize, usize> = HashMap::new();
    for interval in ahead.iter().filter(|interval| interval.kind == Kind::Work) {
        if let Some(place) = &interval.place {
            let round = last.entry(place.block).or_default();
            *round = (*round).max(place.round);
        }
    }
    for interval in ahead {
        let rounds = block_of(interval).and_then(|block| last.get(&block).copied());
        match (&mut interval.place, rounds) {
            (Some(place), Some(rounds)) if place.rounds != rounds => {
                Arc::make_mut(place).rounds = rounds;
            }
            _ => {}
        }
    }
}
