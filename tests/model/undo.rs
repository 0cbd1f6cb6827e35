//! Changes that are taken back: bends while what they changed is still ahead, jumps for a minute of
//! class.

use std::rc::Rc;

use matside::session::Load;

use crate::gate::Gate;
use crate::model::{Model, Rest};
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
    /// What is to come was changed, to this; whether it is worth taking back in part.
    Bend { after: Rest, in_part: bool },
    /// What ran was left.
    Jump,
    /// What is spared was changed, from this.
    Limits(Vec<Load>),
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

    pub(crate) fn bend(
        number: u32,
        at: Ms,
        before: Rest,
        after: Rest,
        taught: usize,
        in_part: bool,
    ) -> Self {
        let back = Back::Bend { after, in_part };
        Self {
            back,
            ..Self::jump(number, at, before, taught)
        }
    }

    pub(crate) fn limits(
        number: u32,
        at: Ms,
        rest: Rest,
        taught: usize,
        before: Vec<Load>,
    ) -> Self {
        Self {
            back: Back::Limits(before),
            ..Self::jump(number, at, rest, taught)
        }
    }

    /// What is left then; nothing where it is too late.
    pub(crate) fn taken_back(&self, model: &Model, at: Ms) -> Option<Rest> {
        match &self.back {
            Back::Jump => (at - self.at <= JUMP_BACK).then(|| self.before.clone()),
            Back::Limits(_) => Some(model.rest.clone()),
            Back::Bend { after, .. } if at == self.at && model.rest == *after => {
                Some(self.before.clone())
            }
            Back::Bend { .. } if self.left_out_what_ran(model) => None,
            Back::Bend { after, in_part } => unbent(&self.before, after, &model.rest, *in_part),
        }
    }

    /// Whether something that it left out has run since.
    fn left_out_what_ran(&self, model: &Model) -> bool {
        let Back::Bend { after, .. } = &self.back else {
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
                let meant = rest.run.as_ref().map(|run| run.visit);
                for stay in model.taught.iter_mut().skip(self.taught) {
                    stay.is_undone |= Some(stay.visit) != meant;
                }
                if let Some(run) = &mut rest.run {
                    run.into = run.ran(self.at);
                    run.start = at;
                }
                Gate::of(model, at).marks(&mut rest);
                model.rest = rest;
            }
            Back::Limits(before) => model.limits.clone_from(before),
            Back::Bend { .. } => {
                let now = model.rest.clone();
                if let (Some(run), Some(was)) = (&mut rest.run, &now.run)
                    && is_another_move(&run.piece, &was.piece)
                {
                    // What ran meanwhile stays in the books.
                    model.leave(at);
                    run.into = run.ran(at);
                    run.start = at;
                }
                model.rest = rest;
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
        for _ in 0..2 {
            gate.marks(&mut self.rest);
            gate.restore(before, &mut self.rest, &mut self.next_id);
        }
    }
}

fn is_another_move(a: &Piece, b: &Piece) -> bool {
    let ids = |piece: &Piece| -> Vec<String> {
        let all = piece.moves.iter();
        all.map(|of| of.of.id.clone()).collect()
    };
    ids(a) != ids(b)
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

/// The class as it stands, `now`, with a bend from `before` to `after` taken back: all of it, or in
/// part what is still ahead.
fn unbent(before: &Rest, after: &Rest, now: &Rest, in_part: bool) -> Option<Rest> {
    let mut rest = now.clone();
    let (mut all, mut done) = (0, 0);
    let mut pairs = Vec::new();
    if let (Some(was), Some(then)) = (&before.run, &after.run) {
        let same_visit = rest.run.as_mut().filter(|run| run.visit == was.visit);
        let [longer, moves] = [
            was.target != then.target,
            was.piece.moves != then.piece.moves,
        ];
        all += usize::from(longer) + usize::from(moves);
        if let Some(run) = same_visit {
            done += usize::from(longer) + usize::from(moves);
            run.target = (run.target + was.target).saturating_sub(then.target);
            if was.piece != then.piece {
                run.piece = was.piece.clone();
            }
        }
        if was.piece != then.piece {
            pairs.push((was.piece.clone(), then.piece.clone()));
        }
    }
    let (old, new, following) = differing(before, after);
    let is_new = |piece: &&Rc<Piece>| has(old, piece.id).is_none();
    let mut put = new.iter().filter(is_new).peekable();
    if put.peek().is_some() && put.all(|piece| has(&rest.ahead, piece.id).is_none()) {
        return None;
    }
    for piece in new.iter().filter(is_new) {
        // A pause that was put in may have begun: what is ahead of it goes all the same.
        match has(&rest.ahead, piece.id) {
            Some(at) => drop(rest.ahead.remove(at)),
            None if piece.is_moving() => return None,
            None => {}
        }
        all += 1;
        done += 1;
    }
    for piece in new {
        if let Some(n) = has(old, piece.id).filter(|n| old[*n] != *piece) {
            all += 1;
            pairs.insert(0, (old[n].clone(), piece.clone()));
        }
    }
    for (was, then) in &pairs {
        if let Some(at) = has(&rest.ahead, then.id) {
            rest.ahead[at] = undone(&rest.ahead[at], was, then);
            done += 1;
        }
    }
    // What is begun since is as it was to be.
    let begun = before.run.as_ref().map_or(0, |run| run.visit);
    if let Some(run) = rest.run.as_mut().filter(|run| run.visit > begun)
        && let Some((was, then)) = pairs.iter().find(|(_, then)| then.id == run.piece.id)
    {
        run.target = (run.target + was.length).saturating_sub(then.length);
        run.piece = undone(&run.piece, was, then);
        done += 1;
    }
    let mut next = following;
    for piece in old.iter().rev() {
        if has(new, piece.id).is_none() {
            if is_there(now, piece.id) {
                return None;
            }
            all += 1;
            let at = match next {
                None => Some(rest.ahead.len()),
                Some(id) => has(&rest.ahead, id),
            };
            if let Some(at) = at {
                rest.ahead.insert(at, piece.clone());
                done += 1;
            }
        }
        next = Some(piece.id);
    }
    (done == all || in_part && done > 0).then_some(rest)
}

/// A piece with what was made of it taken back, and what else became of it left as it is.
fn undone(piece: &Rc<Piece>, was: &Rc<Piece>, then: &Rc<Piece>) -> Rc<Piece> {
    if piece == then {
        return was.clone();
    }
    let mut back = (**piece).clone();
    if was.length != then.length {
        back.length = was.length;
    }
    if was.moves != then.moves {
        back.moves.clone_from(&was.moves);
    }
    if was.mark != then.mark {
        back.mark = was.mark;
    }
    if was.at != then.at {
        back.at = was.at;
    }
    Rc::new(back)
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
