//! Landing: the changes that end a class on the slot's time.
//!
//! It is given the plan, the interval now running, where the class is, and how much room the slot
//! still has. It refuses to know what time it is and whether the changes are ever taken.
//!
//! # The rules, in their order
//! What is left is the remainder of the running interval and all after it. What it has over the
//! room is taken off in these steps; a step is begun only when every interval of the step before
//! is at its floor:
//! 1. recoveries, between rounds and between parts. Floor: 10 s;
//! 2. rests. Floor: the count and 2 s;
//! 3. talk and getting ready. Floor of talk: 10 s, and the time that its own words take; of
//!    getting ready: the count and 2 s;
//! 4. works. Floor: two thirds of the planned length, rounded up to whole seconds, and 5 s, the
//!    shortest bout of the published interval-training envelope (ACSM: 5 s to 8 min). A window for
//!    as many rounds as possible is a work. Untimed work has no length to shorten;
//! 5. the last round of the last block with most rounds left goes whole, with the rest or recovery
//!    that led to it, and all begins anew from step 1 with the lengths as they were, so that
//!    nothing is shortened more than needed. Where a block goes whole, the recovery and get-ready
//!    before it go with it, if another pause remains or nothing follows. What a round gives too
//!    much is given to the recoveries, evenly; where there is none it stays in hand;
//! 6. when no round is left: the cool-down. Floor: half of each planned length, in whole seconds.
//!
//! What is over even then is told as over.
//!
//! **Time to change.** Between two moves stays what the change from one to the other needs
//! ([`plan::need`](crate::plan::need)). Of a pause made of several intervals the last gives it
//! first. An interval shorter than its floor keeps its length.
//!
//! **Evenly** is the same number of seconds off each, as far as its floor allows; the seconds that
//! do not go round are taken off the latest. All in whole seconds, but for one interval that takes
//! odd milliseconds, and those whose floor is no whole second.
//!
//! **Rounds left** are those of which nothing has begun. Where a block does all rounds of a move
//! before the next move, a round is left as far as works of it are ahead: dropping it means one set
//! fewer from here on. **Minutes of an EMOM stay whole**: they are never shortened, each counts as
//! a round, and the next is dropped too where the pause before what follows would be too short.
//!
//! The running interval is touched only by [`Landing::with_running`]. It then keeps what it has
//! run and the count and 2 s, besides its floor.
//!
//! **Time in hand** is a choice ([`Landing::spare`]): longer recoveries, the same number of seconds
//! each; or one more round of the last block that is not over, as it was planned, and what is then
//! left into the recoveries.

mod apply;
mod change;
mod floors;
mod left;
mod lines;
mod pauses;
mod rounds;
mod shape;
mod share;
mod spare;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};

use crate::plan::Timeline;
use crate::session::Cueing;
use crate::time::{Offset, Span};
pub use apply::{apply, apply_running};
pub use change::{Change, ChangeKind};
use left::{Left, STEPS};
use lines::lines;
use rounds::Rounds;
use share::evenly;

/// A way to end the class on time.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Landing {
    /// The changes.
    pub changes: Vec<Change>,
    /// The changes as a person understands them, a line each.
    pub lines: Vec<String>,
    /// What remains over the slot, all the same.
    pub over: Span,
    /// What remains in hand.
    pub in_hand: Span,
    /// Length of the whole class with the changes.
    pub total: Span,
}

impl Landing {
    /// The changes that bring the class home in `room` from now, where the interval `n` runs and
    /// the class is at `at`. Nothing is changed where there is time in hand.
    #[must_use]
    pub fn of(plan: &Timeline, n: usize, at: Offset, room: Span, cueing: &Cueing) -> Self {
        let spot = Spot::of(plan, n, at, room);
        landed(&spot, Left::of(plan, n, cueing))
    }

    /// As [`Landing::of`], but the running interval may be shortened too. Such changes are done
    /// with [`apply_running`].
    #[must_use]
    pub fn with_running(
        plan: &Timeline,
        n: usize,
        at: Offset,
        room: Span,
        cueing: &Cueing,
    ) -> Self {
        let spot = Spot::of(plan, n, at, room);
        landed(&spot, Left::of(plan, n, cueing).and_running(at))
    }

    /// What can be done with time in hand, each a choice; empty where there is none.
    #[must_use]
    pub fn spare(plan: &Timeline, n: usize, at: Offset, room: Span, cueing: &Cueing) -> Vec<Self> {
        spare::choices(&Spot::of(plan, n, at, room), cueing)
    }
}

/// Where the class is, and how much room there is from here.
struct Spot<'a> {
    plan: &'a Timeline,
    n: usize,
    at: Offset,
    room: Span,
    remaining: Span,
}

impl<'a> Spot<'a> {
    fn of(plan: &'a Timeline, n: usize, at: Offset, room: Span) -> Self {
        let running = plan.intervals().get(n);
        let remaining = running.map_or(Span::ZERO, |running| running.end() - at);
        Self {
            plan,
            n,
            at,
            room,
            remaining,
        }
    }

    /// What is over where this much comes after the running interval.
    fn over(&self, after: Span) -> Span {
        (self.remaining + after).less(self.room)
    }

    /// What is in hand where this much comes after the running interval.
    fn in_hand(&self, after: Span) -> Span {
        self.room.less(self.remaining + after)
    }
}

/// What is to become of the intervals, by their places in the plan.
#[derive(Default)]
struct Draft {
    lengths: BTreeMap<usize, Span>,
    /// Works that go, a round each, in the order in which they were given up.
    rounds: Vec<Vec<usize>>,
    /// Everything that goes.
    gone: Vec<usize>,
    /// Copies in order: what, after what, and the round of the copy.
    copies: Vec<(usize, usize, Span, usize)>,
}

fn landed(spot: &Spot<'_>, mut left: Left<'_>) -> Landing {
    let mut draft = Draft {
        rounds: give_up_rounds(spot, &mut left),
        ..Draft::default()
    };
    let mut over = spot.over(left.after());
    for step in 0..STEPS {
        over = shorten(&left, step, over, &mut draft);
    }
    if !draft.rounds.is_empty() {
        let in_hand = spot.in_hand(left.after());
        lengthen(&left.recoveries(), spot.plan, in_hand, &mut draft);
    }
    draft.gone = left.gone();
    finished(spot, &draft)
}

fn give_up_rounds(spot: &Spot<'_>, left: &mut Left<'_>) -> Vec<Vec<usize>> {
    let mut given_up = Vec::new();
    let mut rounds = None;
    loop {
        let over = spot.over(left.after());
        if over <= left.most_before_cool_down() {
            return given_up;
        }
        let rounds = rounds.get_or_insert_with(|| Rounds::of(spot.plan.intervals(), spot.n));
        match rounds.drop_one(left) {
            Some(mut round) => given_up.append(&mut round),
            None => return given_up,
        }
    }
}

/// Takes as much as the step can give; returns what is still over.
fn shorten(left: &Left<'_>, step: usize, over: Span, draft: &mut Draft) -> Span {
    if over.is_zero() {
        return over;
    }
    let able = left.able(step);
    let most: Vec<Span> = able.iter().map(|&(_, most)| most).collect();
    let amount = over.min(most.iter().copied().sum());
    for (&(i, _), part) in able.iter().zip(evenly(&most, amount)) {
        if !part.is_zero() {
            draft.lengths.insert(i, left.all[i].length.less(part));
        }
    }
    over.less(amount)
}

/// Gives the amount to these intervals, evenly; to none where there are none.
fn lengthen(these: &[usize], plan: &Timeline, amount: Span, draft: &mut Draft) {
    let most = vec![amount; these.len()];
    for (&i, part) in these.iter().zip(evenly(&most, amount)) {
        if !part.is_zero() {
            draft.lengths.insert(i, plan.intervals()[i].length + part);
        }
    }
}

fn finished(spot: &Spot<'_>, draft: &Draft) -> Landing {
    let left = left_with(spot, draft);
    let (over, total) = (left.less(spot.room), spot.at.span() + left);
    Landing {
        changes: changes(spot.plan, draft),
        lines: lines(spot, draft, total, over),
        over,
        in_hand: spot.room.less(left),
        total,
    }
}

/// How much is left of the class once the draft is done.
fn left_with(spot: &Spot<'_>, draft: &Draft) -> Span {
    let gone: BTreeSet<usize> = draft.gone.iter().copied().collect();
    let mut less = Span::ZERO;
    let mut sum = spot.remaining + draft.copies.iter().map(|copy| copy.2).sum();
    for (i, interval) in spot.plan.intervals().iter().enumerate().skip(spot.n) {
        let now = draft.lengths.get(&i).copied().unwrap_or(interval.length);
        if i == spot.n {
            less = interval.length.less(now);
        } else if !gone.contains(&i) {
            sum += now;
        }
    }
    sum.less(less)
}

fn changes(plan: &Timeline, draft: &Draft) -> Vec<Change> {
    let all = plan.intervals();
    let lengths = draft
        .lengths
        .iter()
        .map(|(&i, &length)| (i, ChangeKind::Length(length)));
    let drops = draft.gone.iter().map(|&i| (i, ChangeKind::Drop));
    let mut out: Vec<(usize, ChangeKind)> = lengths.chain(drops).collect();
    out.sort_by_key(|&(i, _)| i);
    out.extend(draft.copies.iter().map(|&(i, after, length, round)| {
        let after = all[after].id;
        (
            i,
            ChangeKind::Round {
                after,
                length,
                round,
            },
        )
    }));
    let change = |(i, kind): (usize, ChangeKind)| Change {
        id: all[i].id,
        kind,
    };
    out.into_iter().map(change).collect()
}
