//! Taking changes back, and knowing beforehand which cannot be: those that end the class.
//!
//! A change that bends what is to come is taken back as long as what it changed is ahead; a jump
//! for a minute of class. What can no longer be taken back is history, and does not stand in the
//! way of what was changed before it.

use super::change::{Back, Change};
use super::course::{Course, Remaining, Running};
use super::edits;
use super::gate::{Gate, PutIn};
use super::input::{Act, HoldReason};
use super::machine::{Live, State, Tally};
use super::patch::Patch;
use super::said::Said;
use crate::session::Load;
use crate::time::{Moment, Offset, Span};

/// How much class may have run since a jump that is still taken back.
const JUMP_BACK: Span = Span::from_secs(60);
/// How many changes can be taken back.
const DEPTH: usize = 100;

/// What taking a change back makes of the class.
enum Restored {
    Left(Remaining),
    TakenUp(Running, Remaining),
    Limits(Vec<Load>),
}

impl Live {
    pub(super) fn keep_bend(
        &mut self,
        at: Offset,
        before: &Remaining,
        in_part: bool,
        what: String,
    ) {
        let patch = Patch::between(before, &self.course.left);
        self.keep(at, Back::Bend(patch, in_part), self.said(), what);
    }

    /// `said` is what was said, and was to be said, before what ran was left.
    pub(super) fn keep_jump(&mut self, at: Offset, before: Remaining, said: Said, what: String) {
        self.keep(at, Back::Jump(before), said, what);
    }

    pub(super) fn keep_limits(&mut self, at: Offset, before: Vec<Load>, what: String) {
        self.keep(at, Back::Limits(before), self.said(), what);
    }

    fn keep(&mut self, at: Offset, back: Back, said: Said, what: String) {
        if self.changes.len() == DEPTH {
            self.changes.remove(0);
        }
        self.changed += 1;
        self.changes.push(Change {
            number: self.changed,
            what,
            at,
            back,
            said,
        });
    }

    /// Forgets the changes at the top that are history.
    pub(super) fn forget_history(&mut self, at: Offset) {
        while let Some(last) = self.changes.last() {
            if self.restored(at, last).is_some() {
                break;
            }
            self.history = self.changes.pop().map(|last| last.what);
        }
    }

    /// What was run up to `now` was only passed over: it is not counted as done, and nothing of it
    /// can be taken back.
    pub fn count_from(&mut self, now: Moment) {
        self.counts_from = self.offset(now);
        self.skipped.clear();
        self.tally = Tally::default();
        self.changes.clear();
        self.history = None;
    }

    /// The change that would be taken back now.
    pub(super) fn last_change(&self, at: Offset) -> Option<&Change> {
        let mut changes = self.changes.iter().rev();
        changes.find(|change| self.restored(at, change).is_some())
    }

    pub(super) fn take_back(&mut self, now: Moment, at: Offset) -> bool {
        if self.last_change(at).is_none() {
            let why = match (&self.history, self.changes.last()) {
                (_, Some(last)) => format!("too late to take back: {}", last.what),
                (Some(what), None) => format!("too late to take back: {what}"),
                (None, None) => "nothing to take back".into(),
            };
            return self.refuse(now, why);
        }
        self.forget_history(at);
        let Some(last) = self.changes.pop() else {
            return false;
        };
        let Some(restored) = self.restored(at, &last) else {
            return false;
        };
        self.take_up_again();
        let done = self.course.now().map(|now| now.moves.clone());
        for taught in &mut self.course.taught {
            if taught.skipped == Some(last.number) {
                taught.skipped = None;
            }
        }
        self.skipped.retain(|&number| number != last.number);
        self.undone = Some(last.number);
        let jumped = matches!(restored, Restored::TakenUp(..));
        let (mut put_in, mut anew, mut is_cut) = (PutIn::default(), false, false);
        match restored {
            Restored::Left(left) => {
                let mut left = left;
                if at > last.at {
                    put_in = self.settle(at, &mut left);
                }
                anew = self.course.does_another(&left);
                if anew {
                    // What ran meanwhile stays in the books.
                    self.course.leave(at, Remaining::default());
                    let again = left.running.take();
                    left.running = again.map(|again| again.taken_up(at, again.elapsed(at)));
                }
                self.course.left = left;
            }
            Restored::TakenUp(stay, mut left) => {
                let visits = self.course.left.visits;
                self.course.leave(at, Remaining::default());
                self.course.undo_since(last.said.running, &stay);
                left.running = Some(self.course.take_up(&stay, last.at, at));
                left.visits = visits;
                if at > last.at {
                    let ahead = left.ahead.len();
                    left.keep_ends(at);
                    is_cut = left.ahead.len() < ahead;
                } else {
                    self.course.past.clone_from(&last.said.past);
                }
                self.course.left = left;
            }
            Restored::Limits(limits) => {
                self.course.past.spare(&limits);
                self.limits = limits;
            }
        }
        self.went_back();
        let otherwise = self.course.now().map(|now| now.moves.clone()) != done;
        self.plan_again(at);
        if jumped || at == last.at {
            // What was left goes on as it was to, only later.
            let (then, by) = (last.said.running, at.since(last.at));
            self.recall(last.said.moved(then, self.running(), by));
            if is_cut {
                // Some of what was to be said then is about what no longer comes.
                self.plan_again(at);
            }
        }
        self.tell(now, at, jumped);
        if anew {
            self.entered(now, at);
        } else if otherwise && !jumped {
            self.entered_anew(now, at);
        }
        self.tell_end(now, format!("taken back: {}{put_in}", last.what));
        true
    }

    /// Whether what ended the class can be taken back: the last thing that was done left what ran,
    /// and nothing was to come after it.
    #[must_use]
    pub fn can_take_up_again(&self) -> bool {
        let State::Ended { at, .. } = self.state else {
            return false;
        };
        let last = self.changes.last();
        last.is_some_and(|last| last.at == at && matches!(last.back, Back::Jump(_)))
    }

    /// A class that was ended by mistake stands where it was, since when it was ended.
    fn take_up_again(&mut self) {
        let State::Ended {
            at,
            since,
            was_held,
            ..
        } = self.state
        else {
            return;
        };
        self.tally.holds += usize::from(!was_held);
        self.state = State::Held {
            at,
            since,
            why: HoldReason::Hold,
            gap: None,
        };
    }

    /// What a change taken back brings together gets the time that it had, and what runs past the
    /// end it then has a count to end in.
    fn settle(&mut self, at: Offset, left: &mut Remaining) -> PutIn {
        let count = self.session.cueing.count_span();
        let before = self.course.left.clone();
        if let (Some(running), Some(was)) = (&mut left.running, &before.running)
            && running.target != was.target
            && !running.interval.untimed
        {
            let elapsed = running.elapsed(at);
            if running.target <= elapsed {
                running.target = (elapsed + count).min(was.target);
            }
        }
        left.keep_ends(at);
        let mut gate = gate(&self.course, at, &self.session.cueing);
        if self.course.does_another(left) {
            gate.leaves(before.running.as_ref());
        }
        let put_in = gate.restore(&before, left, &mut self.next_id);
        // What was put in before a mark or in a block with a cap moves neither.
        left.keep_ends(at);
        put_in.and(gate.restore(&before, left, &mut self.next_id))
    }

    fn restored(&self, at: Offset, change: &Change) -> Option<Restored> {
        match &change.back {
            Back::Bend(patch, in_part) => {
                let left = patch.taken_back(&self.course, change.at, *in_part)?;
                Some(Restored::Left(left))
            }
            Back::Jump(before) => {
                let stay = before.running.clone()?;
                let fresh = at.since(change.at) <= JUMP_BACK;
                fresh.then(|| Restored::TakenUp(stay, before.clone()))
            }
            Back::Limits(limits) => Some(Restored::Limits(limits.clone())),
        }
    }

    /// Whether nothing of the class would be left after this act.
    #[must_use]
    pub fn would_end(&self, now: Moment, act: &Act) -> bool {
        if self.is_over() || !self.has_begun() {
            return false;
        }
        let at = self.offset(now);
        let left = &self.course.left;
        let mut id = self.next_id;
        let edit = match (act, self.state) {
            (Act::GoOn, _) => edits::go_on(left, at, &mut id),
            (Act::Skip, _) => {
                let gate = gate(&self.course, at, &self.session.cueing);
                edits::skip(left, &gate, &mut id).map(|(edit, _)| edit)
            }
            (Act::CatchUp, State::Held { .. }) => self
                .missed(now)
                .and_then(|missed| edits::leave_out(left, at, missed)),
            _ => None,
        };
        edit.is_some_and(|edit| edit.left.running.is_none())
    }
}

/// The gate of a class as it stands.
pub(super) fn gate<'a>(
    course: &'a Course,
    at: Offset,
    cueing: &'a crate::session::Cueing,
) -> Gate<'a> {
    Gate {
        at,
        cueing,
        moved: course.last_moved(),
        active: course.active_since(),
        mat_lies: course.past.mat_lies(),
    }
}
