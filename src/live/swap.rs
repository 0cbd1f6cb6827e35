//! Another move in place of one, from now on to the end of its block.
//!
//! While people work, they leave what they do and get ready for the other move in what is left of
//! the time, so that the class stays as long as it was. Where too little is left for that, the
//! other move comes from the next time on.

use std::sync::Arc;

use super::course::{Remaining, Running};
use super::edits::Edit;
use super::gate::PutIn;
use super::machine::Live;
use super::notices;
use super::undo::gate;
use crate::plan::{Interval, need};
use crate::session::{Move, Use};
use crate::time::{Moment, Offset, Span};

/// Less work than this of the other move is not worth getting ready for (common practice, no
/// source).
const LEAST_WORK: Span = Span::from_secs(10);

impl Live {
    pub(super) fn swap(&mut self, now: Moment, at: Offset, of: &Arc<Move>) -> bool {
        let Some(meant) = self.course.left.meant().cloned() else {
            return self.refuse(now, "no move left to do another in place of".into());
        };
        let [turn] = &meant.moves[..] else {
            let what = match meant.together() {
                Some(_) => "stations keep their moves",
                None => "a circuit keeps its moves",
            };
            return self.refuse(now, what.into());
        };
        if turn.of.id == of.id {
            return self.refuse(now, format!("it is {} already", of.name));
        }
        let (mut left, changed) = ahead(&self.course.left, &meant, of);
        let said = format!("{} in place of {}", of.name, notices::move_name(&meant));
        let Some(put_in) = self.moves_over(at, &meant, of, &mut left) else {
            let works = self.course.now().is_some_and(|now| now.id == meant.id);
            if works && changed == 0 {
                return self.refuse(now, "too little is left of the move".into());
            }
            let said = if works {
                format!("{said}, from the next time on")
            } else {
                said
            };
            self.bend(now, at, Edit::bend(left), true, said);
            return true;
        };
        let edit = Edit {
            put_in,
            ..Edit::jump(left)
        };
        self.jump(now, at, edit, said);
        true
    }

    /// Leaves the work that runs for the other move, and tells the time to get ready; nothing where
    /// none runs, or too little is left.
    fn moves_over(
        &mut self,
        at: Offset,
        meant: &Arc<Interval>,
        of: &Arc<Move>,
        left: &mut Remaining,
    ) -> Option<PutIn> {
        let running = self.course.running();
        let running = running.filter(|running| running.interval.id == meant.id)?;
        let mut gate = gate(&self.course, at, &self.session.cueing);
        gate.leaves(Some(running));
        let mut other = other(meant, of);
        let takes = need(&self.session.cueing, Some(meant), &other, gate.mat_lies);
        let length = time_for(running, at, takes)?;
        other.id = self.next_id;
        other.length = length;
        let mut next_id = self.next_id + 1;
        left.begin(Arc::new(other), at);
        let put_in = gate.lead_in(gate.moved, left, &mut next_id);
        self.next_id = next_id;
        Some(put_in)
    }
}

/// How long the other move can be, once people are there. Counted work is as long as it takes.
fn time_for(running: &Running, at: Offset, takes: Span) -> Option<Span> {
    if running.interval.untimed {
        return Some(running.interval.length);
    }
    let length = running.left(at).saturating_sub(takes);
    (length >= LEAST_WORK).then_some(length)
}

/// What is left with the other move wherever the block still has this one; how often that is.
fn ahead(left: &Remaining, meant: &Interval, of: &Arc<Move>) -> (Remaining, usize) {
    let this = meant.turn().map(|turn| &turn.of.id);
    let is_alike = |next: &Interval| {
        next.part == meant.part
            && next.moves.len() == 1
            && next.turn().map(|turn| &turn.of.id) == this
    };
    let mut after = left.clone();
    let count = after.ahead.change(is_alike, |next| other(next, of));
    (after, count)
}

/// An interval with the other move; how often it is done there stays as it was.
fn other(interval: &Interval, of: &Arc<Move>) -> Interval {
    let turn = interval.turn().map_or_else(
        || Use::plain(of.clone()),
        |turn| Use {
            of: of.clone(),
            pick: None,
            note: None,
            ..turn.as_ref().clone()
        },
    );
    Interval {
        moves: [Arc::new(turn)].into(),
        ..interval.clone()
    }
}
