//! Landing: the changes that end a class on the slot's time.
//!
//! It is given the class, the interval now running, where the class is, and how much room the slot
//! still has. What time it is, and whether the changes are ever taken, is not known here.
//!
//! # The rules, in their order
//! What is left is the remainder of the running interval and all after it. What it has over the
//! room is taken off in these steps; a step is begun only when every interval of the steps before
//! is at its floor there. What lasts up to a mark gives before all of them, to the floor that it has
//! in the step of its kind, and its mark moves with the landing:
//! 1. recoveries, between rounds and between parts, to half of what was planned, never below 10 s;
//! 2. rests, to half, never below the count and 2 s;
//! 3. talk and getting ready. Floor of talk: 10 s, and the time that its own words take; of
//!    getting ready: the count and 2 s;
//! 4. works, to two thirds, never below 5 s, the shortest bout of the published interval-training
//!    envelope (ACSM: 5 s to 8 min). A window in which a circuit is repeated freely is a work, and a
//!    free window gives as much, to 10 s.
//!    Untimed work has no length to shorten, and a grid keeps its starts;
//! 5. the warm-up, to two thirds. It readies for the work that follows, and that has lost no more;
//!    but a warm-up cut to nothing readies for nothing (common practice, no source);
//! 6. the cool-down, to three quarters. It comes before the pauses are touched again, since a class
//!    with very short pauses is a harder class than was planned, one with a shorter cool-down isn't;
//! 7. recoveries once more, to 10 s;
//! 8. rests once more, to the count and 2 s;
//! 9. windows once more, to a third, never below a minute;
//! 10. the last round of the last block with most rounds left goes whole, with the rest or recovery
//!     that led to it; a window is first let down to a minute, and only then goes. All begins anew from step 1 with the lengths as they were. Where a block
//!     goes whole, the recovery and get-ready before it go with it, if another pause remains or
//!     nothing follows;
//! 11. when no round is left: the cool-down once more, to half.
//!
//! What is over even then is told as over. Parts of a planned length are rounded up to whole
//! seconds.
//!
//! **As little as possible.** Rounds that went are tried again, the longest first: what fits after
//! all is put back, so that no block could keep a round more. What a round gave too much goes to
//! what an earlier landing had shortened, pauses first, then to the recoveries; where there is none
//! it stays in hand.
//!
//! **Equal shares.** In a step every interval has lost the same share of its length, as far as its
//! floor allows, so that a pyramid or a ladder keeps its shape: 2:00 and 0:30 that must give 25 s
//! lose 20 s and 5 s. All in whole seconds; those that do not go round come off the latest, and one
//! interval takes odd milliseconds. What is given back is shared out in the same way.
//!
//! **Time to change.** Between two moves stays what the change from one to the other needs
//! ([`need`](crate::plan::need)). Of a pause made of several intervals the last gives it
//! first. An interval shorter than its floor keeps its length.
//!
//! **Rounds left** are those of which nothing has begun. In a block that does all sets of a move
//! before the next move, a round is a set of each move, and it is left as far as sets of it are
//! ahead. **Windows of a grid stay whole**: they are never shortened, each counts as a round, and
//! the next goes too where the pause before what follows would be too short. No start hangs on the
//! rest of a grid that ends the class, so that a few seconds over cost no window there: it gives
//! with the rests, to 1 s.
//!
//! **A cap ends what runs.** A block that runs and ends by itself lasts no longer than that, however
//! much of it is still planned. Where not all of it will be taught its pauses and works give nothing,
//! since what they gave others of it would take; its rounds go like others, and count as far as the
//! block ends sooner for it. Nothing makes a block longer than its cap.
//!
//! The running interval is touched only by [`Landing::with_running`]. It then keeps what it has run
//! and the count and 2 s, besides its floor. Its new length is what this stay in it is to last.
//!
//! **Time in hand** is a choice ([`Landing::spare`]): longer pauses, first those that had been
//! shortened; or one more round of the last block that is not over, as it was planned, of a grid as
//! many whole windows as fit, and what is then left into the pauses.

mod apply;
mod change;
mod draft;
mod left;
mod lines;
mod pauses;
mod rounds;
mod share;
mod spot;
mod steps;
#[cfg(test)]
mod tests;
mod time_in_hand;
mod words;

use crate::plan::Timeline;
use crate::session::Cueing;
use crate::time::{Offset, Span};
pub(in crate::live) use apply::{apply, counted_with};
pub use change::{Change, ChangeKind};
use draft::Draft;
use left::Left;
use lines::{lines, outcome};
use rounds::Rounds;
pub(in crate::live) use spot::Spot;
use steps::STEPS;

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
        landed(&spot, Left::of(&spot, cueing))
    }

    /// As [`Landing::of`], but the running interval may be shortened too.
    #[must_use]
    pub fn with_running(
        plan: &Timeline,
        n: usize,
        at: Offset,
        room: Span,
        cueing: &Cueing,
    ) -> Self {
        let spot = Spot::of(plan, n, at, room);
        landed(&spot, Left::with_running(&spot, cueing))
    }

    /// What can be done with time in hand, each a choice; empty where there is none.
    #[must_use]
    pub fn spare(plan: &Timeline, n: usize, at: Offset, room: Span, cueing: &Cueing) -> Vec<Self> {
        spare(&Spot::of(plan, n, at, room), cueing)
    }

    /// What there is to choose from at a spot: the landing where the class is over its time, else
    /// what can be done with the time in hand.
    pub(in crate::live) fn choices(spot: &Spot<'_>, cueing: &Cueing, running: bool) -> Vec<Self> {
        let left = Left::of(spot, cueing);
        if spot.over(left.after()).is_zero() {
            return spare(spot, cueing);
        }
        let left = if running {
            Left::with_running(spot, cueing)
        } else {
            left
        };
        vec![landed(spot, left)]
    }

    /// The same where this much is left with it, of so much room, and as much without as before.
    pub(in crate::live) fn leaving(
        mut self,
        left: Span,
        spot: (Offset, Span),
        before: Span,
    ) -> Self {
        let ((at, room), before) = (spot, spot.0.span() + before);
        let told = outcome(before, self.total, self.over).len();
        self.lines.truncate(self.lines.len() - told);
        (self.over, self.in_hand) = (left.saturating_sub(room), room.saturating_sub(left));
        self.total = at.span() + left;
        self.lines.extend(outcome(before, self.total, self.over));
        self
    }
}

fn spare(spot: &Spot<'_>, cueing: &Cueing) -> Vec<Landing> {
    let left = Left::of(spot, cueing);
    let drafts = time_in_hand::choices(&left, spot.in_hand(left.after()));
    let landings = drafts.iter().map(|draft| finished(spot, draft));
    landings
        .filter(|choice| !choice.changes.is_empty())
        .collect()
}

fn landed(spot: &Spot<'_>, mut left: Left<'_>) -> Landing {
    let fits = |left: &Left<'_>| spot.over(left.after()) <= left.most_before_rounds();
    let mut draft = Draft::default();
    if !fits(&left) {
        let mut rounds = Rounds::of(spot.plan.intervals(), spot.n);
        while !fits(&left) && rounds.drop_one(&mut left) {}
        if fits(&left) {
            rounds.put_back(&mut left, fits);
        }
        left.keep_time_to_change();
        draft.rounds = rounds.given_up();
    }
    draft.gone = left.gone();
    let mut over = spot.over(left.after());
    for step in 0..STEPS {
        over = draft.shorten(&left, step, over);
    }
    if !draft.gone.is_empty() {
        draft.give_back(&left, spot.in_hand(left.after()));
    }
    finished(spot, &draft)
}

fn finished(spot: &Spot<'_>, draft: &Draft) -> Landing {
    let left = draft.left(spot) + spot.put_in;
    let (over, total) = (left.saturating_sub(spot.room), spot.at.span() + left);
    let before = spot.at.span() + Draft::default().left(spot);
    let mut lines = lines(spot, draft);
    lines.extend(outcome(before, total, over));
    Landing {
        changes: draft.changes(spot.plan),
        lines,
        over,
        in_hand: spot.room.saturating_sub(left),
        total,
    }
}
