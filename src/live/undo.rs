//! Taking changes back, and knowing beforehand which cannot be: those that end the class.

use super::edit::Course;
use super::input::Act;
use super::machine::{Live, Snapshot, State};
use crate::time::{Moment, Offset, Span};

/// How much class may have run since a jump that is still taken back.
const JUMP_BACK: Span = Span::from_secs(60);
/// How many changes can be taken back.
const UNDO_DEPTH: usize = 100;

impl Live {
    pub(super) fn keep_for_undo(&mut self, at: Offset, jump: bool, what: String) {
        if self.undo.len() == UNDO_DEPTH {
            self.undo.remove(0);
        }
        self.undo.push(Snapshot {
            course: self.course.clone(),
            at,
            jump,
            what,
            skipped: self.skipped.len(),
        });
    }

    pub(super) fn take_back(&mut self, now: Moment, at: Offset) -> bool {
        let Some(last) = self.last_change(at).cloned() else {
            return self.refuse(now, "nothing to take back".into());
        };
        self.undo.pop();
        let (here, there) = (self.course.now().map(|i| i.id), last.course.now());
        let elsewhere = last.jump || here != there.map(|i| i.id);
        let course = self.restored(at, &last);
        let late = !last.jump && course == self.course;
        self.skipped.truncate(last.skipped);
        let done = |course: &Course| course.now().map(|now| now.moves.clone());
        let otherwise = done(&course) != done(&self.course);
        self.set(now, at, course, elsewhere);
        if otherwise && !elsewhere {
            self.entered_anew(now, at);
        }
        let told = if late {
            "too late to take back"
        } else {
            "taken back"
        };
        self.say(now, format!("{told}: {}", last.what));
        true
    }

    /// The last change, if it can still be taken back.
    pub(super) fn last_change(&self, at: Offset) -> Option<&Snapshot> {
        let fresh = |s: &&Snapshot| !s.jump || at.since(s.at) <= JUMP_BACK;
        self.undo.last().filter(fresh)
    }

    fn restored(&self, at: Offset, last: &Snapshot) -> Course {
        let count = self.session.cueing.count_span();
        let then = (last.at, last.jump);
        self.course.restored(at, &last.course, then, count)
    }

    /// Whether nothing of the class would be left after this act.
    pub(crate) fn would_end(&self, now: Moment, act: &Act) -> bool {
        if self.is_over() || !self.has_begun() {
            return false;
        }
        let at = self.offset(now);
        let course = match (act, self.state) {
            (Act::GoOn, _) => Some(self.course.go_on(at)),
            (Act::Skip, _) => self.course.skip(at).map(|(course, _)| course),
            (Act::CatchUp, State::Held { .. }) => self
                .missed(now)
                .and_then(|missed| self.course.leave_out(at, missed)),
            (Act::Undo, _) => self.last_change(at).map(|last| self.restored(at, last)),
            _ => None,
        };
        course.is_some_and(|course| course.now().is_none())
    }
}
