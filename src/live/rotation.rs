//! What a change does to a going round of stations: what has begun is finished, and nobody misses a
//! station that others had.

use std::sync::Arc;

use super::course::Remaining;
use crate::plan::{Interval, Kind, Place};
use crate::time::Span;

/// How many of the intervals that follow belong to the same going round of the stations, up to its
/// last work; none where there is none, or it is done.
pub(super) fn rest_of<'a>(now: &Interval, ahead: impl Iterator<Item = &'a Arc<Interval>>) -> usize {
    // The same stations once more are another going round.
    let begins = |next: &Interval| next.together().is_some() && !next.continues_rotation();
    let of = ahead
        .take_while(|next| next.is_of_rotation(now) && !begins(next))
        .enumerate();
    let goes_on = of.filter(|(_, next)| next.continues_rotation());
    goes_on.last().map_or(0, |(n, _)| n + 1)
}

/// Whether a going round of the stations has begun and is not done: one of its works runs, or the
/// pause before one that is not its first.
pub(super) fn has_begun(left: &Remaining) -> bool {
    let Some(now) = left.running.as_ref().map(|running| &running.interval) else {
        return false;
    };
    if now.kind.is_moving() {
        return now.together().is_some_and(|of| of.turn.of > 1);
    }
    coming(left).is_some()
}

/// The station to which people go on in the pause that runs, if they do.
fn coming(left: &Remaining) -> Option<&Arc<Interval>> {
    let next = left.ahead.iter().find(|next| next.kind.is_moving());
    next.filter(|next| next.continues_rotation())
}

/// What comes once more: the move being done, or between moves the one just done. Who goes on to the
/// next station means the stations, though the work before was gone over in no time.
pub(super) fn to_repeat<'a>(
    left: &'a Remaining,
    done: Option<&'a Arc<Interval>>,
) -> Option<&'a Arc<Interval>> {
    let now = &left.running.as_ref()?.interval;
    if now.kind.is_moving() {
        return Some(now);
    }
    let others = coming(left).filter(|next| !done.is_some_and(|done| done.is_of_rotation(next)));
    others.or(done)
}

/// All stations once more, after those that are still to come of this going round. It is the way in
/// which nobody comes to a station more often than others.
pub(super) fn once_more(left: &Remaining, again: &Interval, next_id: &mut u32) -> Remaining {
    let mut after = left.clone();
    let Some(now) = left.running.as_ref().map(|running| &running.interval) else {
        return after;
    };
    let going_on = rest_of(now, left.ahead.iter());
    let is_pause = !now.kind.is_moving() && going_on == 0;
    let mut first: Vec<Arc<Interval>> = left.ahead.iter().take(going_on).cloned().collect();
    let behind = left.ahead.iter().nth(going_on);
    let rest = behind.filter(|next| next.kind == Kind::Rest && !is_pause);
    let taken = going_on + usize::from(rest.is_some());
    let stations = whole(again, next_id);
    match (rest, is_pause) {
        (_, true) => first.extend(stations),
        (Some(rest), _) => {
            first.push(rest.clone());
            first.extend(stations);
            let again = Interval {
                length: rest.length.min(rest.planned),
                ..rest.as_ref().clone()
            };
            first.push(numbered(again, next_id));
        }
        (None, _) => {
            // Nobody goes on in it to a station that they have not had.
            let works = again.together().map_or(1, |of| of.turn.of);
            first.extend(swap_after(&at_turn(again, works), next_id));
            first.extend(stations);
        }
    }
    after.ahead.replace(taken, first);
    after
}

/// With the works that people would miss from what runs on: a work that was gone over in no time has
/// left no trace to go back to. A block that ends by itself ends for all of them.
pub(super) fn closed(left: &Remaining, next_id: &mut u32) -> Remaining {
    let mut after = left.clone();
    let Some(now) = left.running.as_ref().map(|running| &running.interval) else {
        return after;
    };
    let coming = left.ahead.iter().position(|next| next.kind.is_moving());
    let next = coming.and_then(|n| left.ahead.iter().nth(n));
    let ends_alone = |of: &Interval| of.place.as_ref().is_some_and(|place| place.cap.is_some());
    let turn = |of: &Interval| of.rotation().map_or(0, |rotation| rotation.turn.nth);
    let next = next.filter(|next| next.together().is_some() && !ends_alone(next));
    let goes_on = next.is_some_and(|next| next.is_of_rotation(now));
    let mut first: Vec<Arc<Interval>> = Vec::new();
    if let Some(of) = now.together().filter(|_| !goes_on && !ends_alone(now)) {
        for nth in of.turn.nth..of.turn.of {
            first.extend(swap_after(&at_turn(now, nth), next_id));
            first.push(numbered(at_turn(now, nth + 1), next_id));
        }
    }
    let taken = next.and(coming).unwrap_or(0);
    first.extend(left.ahead.iter().take(taken).cloned());
    if let Some(next) = next {
        let had = if goes_on { turn(now) } else { 0 };
        let is_at_once = goes_on && taken == 0 && now.kind.is_moving() && had + 1 < turn(next);
        first.extend(is_at_once.then(|| swap_after(now, next_id)).flatten());
        for nth in had + 1..turn(next) {
            let work = at_turn(next, nth);
            let swap = swap_after(&work, next_id);
            first.push(numbered(work, next_id));
            first.extend(swap);
        }
    }
    after.ahead.replace(taken, first);
    after
}

/// A whole going round, from its first work to its last.
fn whole(again: &Interval, next_id: &mut u32) -> Vec<Arc<Interval>> {
    let works = again.together().map_or(0, |of| of.turn.of);
    let mut out = Vec::new();
    for nth in 1..=works {
        let work = at_turn(again, nth);
        let swap = swap_after(&work, next_id).filter(|_| nth < works || again.grid().is_some());
        out.push(numbered(work, next_id));
        out.extend(swap);
    }
    out
}

/// The pause in which people go on from a work to the next; in a grid what is left of its window.
fn swap_after(work: &Interval, next_id: &mut u32) -> Option<Arc<Interval>> {
    let planned = work.rotation().map_or(Span::ZERO, |of| of.swap);
    let length = work
        .grid()
        .map_or(planned, |every| every.saturating_sub(work.length));
    if length.is_zero() {
        return None;
    }
    let swap = Interval {
        kind: Kind::Rest,
        length,
        planned: length,
        moves: Arc::default(),
        untimed: false,
        ..work.clone()
    };
    Some(numbered(swap, next_id))
}

fn at_turn(work: &Interval, nth: usize) -> Interval {
    let place = work.place.as_ref().map(|place| {
        let rotation = place.rotation.as_ref();
        let rotation = rotation.map(|of| Arc::new(of.at_turn(nth)));
        Arc::new(Place {
            rotation,
            ..place.as_ref().clone()
        })
    });
    Interval {
        place,
        ..work.clone()
    }
}

fn numbered(interval: Interval, next_id: &mut u32) -> Arc<Interval> {
    let id = *next_id;
    *next_id += 1;
    Arc::new(Interval { id, ..interval })
}
