//! A move once more after itself, with the usual rest of its block.

use std::rc::Rc;

use matside::plan::Kind;

use crate::model::{Model, Run, with_length};
use crate::pieces::{Ms, Piece};

impl Model {
    /// The same work with the usual rest of its block after what runs; in a pause the work just
    /// done before the coming one. In a grid the whole window.
    pub(crate) fn once_more(&mut self, at: Ms) -> bool {
        let Some(run) = self.rest.run.clone() else {
            return false;
        };
        let moving = run.piece.is_moving();
        let Some(done) = self.meant_once_more(&run) else {
            return false;
        };
        let work = self.copy(&done, done.length);
        let usual = self.usual_rest(&done, &run);
        let own = usual.as_ref() == Some(&run.piece);
        let pause = usual.map(|rest| self.rest_behind(&done, &rest));
        let pause = pause.filter(|pause| pause.length > 0);
        let mut after = self.rest.clone();
        let rested = after
            .ahead
            .first()
            .is_some_and(|next| next.kind == Kind::Rest);
        if moving && rested {
            let rest = &after.ahead[0];
            if run.piece.window().is_some() && rest.window().is_some() {
                let up_to_start = run.piece.every().saturating_sub(run.target);
                after.ahead[0] = with_length(rest, rest.length.max(up_to_start));
            }
            after
                .ahead
                .splice(1..1, [Some(work), pause].into_iter().flatten());
        } else if moving {
            after
                .ahead
                .splice(0..0, [pause, Some(work)].into_iter().flatten());
        } else {
            let leads_on = after.ahead.first().is_some_and(|next| next.is_moving());
            let pause = pause.filter(|_| own || leads_on);
            after
                .ahead
                .splice(0..0, [Some(work), pause].into_iter().flatten());
        }
        self.bend(at, after);
        true
    }

    pub(crate) fn meant_once_more(&self, run: &Run) -> Option<Rc<Piece>> {
        let taught = self.taught.iter().map(|stay| &stay.piece);
        let mut all = taught.chain([&run.piece]).rev();
        all.find(|piece| piece.is_moving()).cloned()
    }

    /// The rest that the block of a work has: this one, else the next one, else the last.
    pub(crate) fn usual_rest(&self, done: &Piece, run: &Run) -> Option<Rc<Piece>> {
        let block = done.at?.block;
        let past = self.taught.iter().rev().map(|stay| &stay.piece);
        let mut all = std::iter::once(&run.piece)
            .chain(&self.rest.ahead)
            .chain(past);
        let is_rest =
            |p: &&Rc<Piece>| p.kind == Kind::Rest && p.at.is_some_and(|a| a.block == block);
        all.find(is_rest).cloned()
    }

    /// A rest of the block as it follows a work; in a grid it fills the window.
    fn rest_behind(&mut self, work: &Piece, rest: &Piece) -> Rc<Piece> {
        let filled = work
            .window()
            .map(|_| work.every().saturating_sub(work.length));
        let length = filled.unwrap_or(rest.written);
        let rest = Piece {
            at: if filled.is_some() { work.at } else { rest.at },
            written: length,
            ..rest.clone()
        };
        self.copy(&rest, length)
    }

    pub(crate) fn copy(&mut self, of: &Piece, length: Ms) -> Rc<Piece> {
        self.next_id += 1;
        Rc::new(Piece {
            id: self.next_id,
            length,
            ..of.clone()
        })
    }
}
