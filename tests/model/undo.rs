//! Changes that are taken back: bends while what they changed is still ahead, jumps for a minute of
//! class.

use std::rc::Rc;

use crate::gate::Gate;
use crate::model::{Model, Rest, Run, with_length};
use crate::pieces::{Ms, Piece};

/// How much class may have run since a jump that is taken back.
const JUMP_BACK: Ms = 60_000;

/// A change that may be taken back.
#[derive(Clone, Debug)]
pub(crate) struct Change {
    pub(crate) number: u32,
    at: Ms,
    pub(crate) before: Rest,
    /// How many stays were over.
    taught: usize,
    back: Back,
}

#[derive(Clone, Debug)]
enum Back {
    /// What is to come was changed, to this.
    Bend { after: Rest },
    /// What ran was left.
    Jump,
}

impl Change {
    pub(crate) fn jump(number: u32, at: Ms, before: Rest, taught: usize) -> Self {
        Self {
            number,
            at,
            before,
            taught,
            back: Back::Jump,
        }
    }

    pub(crate) fn bend(number: u32, at: Ms, before: Rest, after: Rest, taught: usize) -> Self {
        let back = Back::Bend { after };
        Self {
            number,
            at,
            before,
            taught,
            back,
        }
    }

    /// What is left then; nothing where it is too late.
    pub(crate) fn taken_back(&self, model: &Model, at: Ms) -> Option<Rest> {
        match &self.back {
            Back::Jump => (at - self.at <= JUMP_BACK).then(|| self.before.clone()),
            Back::Bend { after } if at == self.at && model.rest == *after => {
                Some(self.before.clone())
            }
            Back::Bend { .. } if self.left_out_what_ran(model) => None,
            Back::Bend { after } => unbent(&self.before, after, &model.rest),
        }
    }

    /// Whether something that it left out has run since.
    fn left_out_what_ran(&self, model: &Model) -> bool {
        let Back::Bend { after } = &self.back else {
            return false;
        };
        let (old, new, _) = differing(&self.before, after);
        let mut left_out = old.iter().filter(|piece| has(new, piece.id).is_none());
        let since = || model.taught.iter().skip(self.taught);
        left_out.any(|piece| since().any(|stay| stay.piece.id == piece.id))
    }

    /// Makes the class go on so.
    pub(crate) fn settle(&self, model: &mut Model, at: Ms, mut rest: Rest) {
        match &self.back {
            Back::Jump if at == self.at => {
                model.taught.truncate(self.taught);
                model.rest = rest;
            }
            Back::Jump => {
                model.leave(at);
                if let Some(run) = &mut rest.run {
                    run.into = run.ran(self.at);
                    run.start = at;
                }
                Gate::of(model, at).marks(&mut rest);
                model.rest = rest;
            }
            Back::Bend { .. } => {
                let now = std::mem::replace(&mut model.rest, rest);
                if at != self.at {
                    count_out(model, at, &now);
                    model.restore_pauses(at, &now);
                }
            }
        }
    }
}

impl Model {
    /// What could no longer be taken back when a piece was over is history, even if the class goes
    /// back before it.
    pub(crate) fn forget_history(&mut self, at: Ms) {
        while let Some(last) = self.changes.last() {
            if last.taken_back(self, at).is_some() {
                return;
            }
            self.changes.pop();
        }
    }

    /// Takes the newest change back that still can be.
    pub(crate) fn undo(&mut self, at: Ms) -> bool {
        let can = |change: &Change| change.taken_back(self, at).is_some();
        let Some(newest) = self.changes.iter().rposition(can) else {
            return false;
        };
        let change = self.changes[newest].clone();
        self.changes.truncate(newest);
        let Some(rest) = change.taken_back(self, at) else {
            return false;
        };
        self.skipped.retain(|by| *by != change.number);
        change.settle(self, at, rest);
        true
    }

    /// The pauses of what a change taken back brings together.
    pub(crate) fn restore_pauses(&mut self, at: Ms, before: &Rest) {
        let gate = Gate::of(self, at);
        gate.marks(&mut self.rest);
        gate.restore(before, &mut self.rest, &mut self.next_id);
    }
}

/// What runs past the end that it has again has a count to end in, if that is no longer than it
/// was to run.
fn count_out(model: &mut Model, at: Ms, now: &Rest) {
    let count = model.count();
    let (Some(run), Some(was)) = (&mut model.rest.run, &now.run) else {
        return;
    };
    if run.target != was.target && run.target <= run.ran(at) {
        run.target = was.target.min(run.ran(at) + count);
    }
}

/// The class as it stands, `now`, with a bend from `before` to `after` taken back.
fn unbent(before: &Rest, after: &Rest, now: &Rest) -> Option<Rest> {
    let mut rest = now.clone();
    if let (Some(was), Some(then)) = (&before.run, &after.run)
        && was.target != then.target
    {
        let run = rest
            .run
            .as_mut()
            .filter(|run: &&mut Run| run.visit == was.visit)?;
        run.target = (run.target + was.target).saturating_sub(then.target);
    }
    let (old, new, following) = differing(before, after);
    let mut put = new
        .iter()
        .filter(|piece| has(old, piece.id).is_none())
        .peekable();
    if put.peek().is_some() && put.all(|piece| has(&rest.ahead, piece.id).is_none()) {
        return None;
    }
    for piece in new {
        match has(old, piece.id) {
            // A pause that was put in may have begun: what is ahead of it goes all the same.
            None => match has(&rest.ahead, piece.id) {
                Some(at) => drop(rest.ahead.remove(at)),
                None if piece.is_moving() => return None,
                None => {}
            },
            Some(n) if old[n] != *piece => {
                let (was, then) = (&old[n], piece);
                if let Some(at) = has(&rest.ahead, piece.id) {
                    rest.ahead[at] = with_length(&rest.ahead[at], was.length);
                } else {
                    // It runs, begun since: it has the length again that it had.
                    let begun = before.run.as_ref().map_or(0, |run| run.visit);
                    let run = rest
                        .run
                        .as_mut()
                        .filter(|r| r.piece.id == was.id && r.visit > begun)?;
                    run.target = (run.target + was.length).saturating_sub(then.length);
                    run.piece = with_length(&run.piece, was.length);
                }
            }
            Some(_) => {}
        }
    }
    let mut next = following;
    for piece in old.iter().rev() {
        if has(new, piece.id).is_none() {
            if is_there(now, piece.id) {
                return None;
            }
            let at = match next {
                None => rest.ahead.len(),
                Some(id) => has(&rest.ahead, id)?,
            };
            rest.ahead.insert(at, piece.clone());
        }
        next = Some(piece.id);
    }
    Some(rest)
}

/// The stretches that differ, and what follows them.
fn differing<'a>(
    before: &'a Rest,
    after: &'a Rest,
) -> (&'a [Rc<Piece>], &'a [Rc<Piece>], Option<u32>) {
    let (old, new) = (&before.ahead[..], &after.ahead[..]);
    let same = |(a, b): &(&Rc<Piece>, &Rc<Piece>)| Rc::ptr_eq(a, b);
    let head = old.iter().zip(new).take_while(same).count();
    let (old, new) = (&old[head..], &new[head..]);
    let tail = old
        .iter()
        .rev()
        .zip(new.iter().rev())
        .take_while(same)
        .count();
    let (old, following) = old.split_at(old.len() - tail);
    (
        old,
        &new[..new.len() - tail],
        following.first().map(|next| next.id),
    )
}

fn has(pieces: &[Rc<Piece>], id: u32) -> Option<usize> {
    pieces.iter().position(|piece| piece.id == id)
}

fn is_there(rest: &Rest, id: u32) -> bool {
    rest.run.as_ref().is_some_and(|run| run.piece.id == id) || has(&rest.ahead, id).is_some()
}
