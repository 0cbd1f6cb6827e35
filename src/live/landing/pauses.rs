//! The pauses between moves: the time to change that each keeps, and what becomes of them when
//! works go.
//!
//! A pause is all the intervals between one move and the next, be they rest, recovery, talk or
//! getting ready. It refuses to know which works go, and why.

use super::left::Left;
use super::shape::block_of;
use crate::plan::{Kind, need};
use crate::time::Span;

impl Left<'_> {
    /// Leaves a work out, and the pause of its block that led to it.
    pub(super) fn drop_work(&mut self, work: usize) {
        let block = block_of(&self.all[work]);
        self.drop(work);
        while let Some(pause) = self.before(work).filter(|&b| self.goes_with(b, block)) {
            self.drop(pause);
        }
        self.close_gap(work);
    }

    /// Leaves a whole minute out: a work, and the pause of its block after it.
    pub(super) fn drop_minute(&mut self, work: usize) {
        let block = block_of(&self.all[work]);
        self.drop(work);
        while let Some(pause) = self.behind(work).filter(|&b| self.goes_with(b, block)) {
            self.drop(pause);
        }
        self.close_gap(work);
    }

    fn goes_with(&self, pause: usize, block: Option<usize>) -> bool {
        pause > self.n && self.is_pause_of(pause, block)
    }

    /// Whether the move after a block would come too soon if the block ended before this minute;
    /// not where it was planned to come as soon.
    pub(super) fn is_tight_without(&self, minute: usize) -> bool {
        let all = self.all;
        let block = block_of(&all[minute]);
        let mut end = minute;
        while let Some(b) = self.behind(end).filter(|&b| block_of(&all[b]) == block) {
            end = b;
        }
        let (lead, from) = self.pause_before(minute);
        let (pause, next) = self.pause_behind(end);
        next.is_some_and(|next| lead + pause < self.planned_before(next).min(self.need(from, next)))
    }

    /// How long the pause before is, and the move before it.
    fn pause_before(&self, i: usize) -> (Span, Option<usize>) {
        let (mut pause, mut at) = (Span::ZERO, self.before(i));
        while let Some(b) = at.filter(|&b| !self.all[b].kind.is_moving()) {
            pause += self.all[b].length;
            at = self.before(b);
        }
        (pause, at)
    }

    fn planned_before(&self, i: usize) -> Span {
        let pause = |&b: &usize| !self.all[b].kind.is_moving();
        std::iter::successors(self.before(i), |&b| self.before(b))
            .take_while(pause)
            .map(|b| self.all[b].planned)
            .sum()
    }

    /// How long the pause behind is, and the move after it.
    fn pause_behind(&self, i: usize) -> (Span, Option<usize>) {
        let (mut pause, mut at) = (Span::ZERO, self.behind(i));
        while let Some(b) = at.filter(|&b| !self.all[b].kind.is_moving()) {
            pause += self.all[b].length;
            at = self.behind(b);
        }
        (pause, at)
    }

    /// What the change from one move to another needs.
    pub(super) fn need(&self, from: Option<usize>, to: usize) -> Span {
        let from = from.map_or(&[][..], |from| &self.all[from].moves);
        need(self.cueing, from, &self.all[to].moves, self.mat_lies)
    }

    fn close_gap(&mut self, went: usize) {
        if self.was_last_of_block(went) && self.has_idle_lead(went) {
            self.drop_lead(went);
        }
        let last = match self.pause_behind(went) {
            (_, Some(next)) => self.before(next),
            (_, None) => None,
        };
        if let Some(last) = last.filter(|&last| !self.all[last].kind.is_moving()) {
            self.set_pause(last);
        }
    }

    fn was_last_of_block(&self, went: usize) -> bool {
        let block = block_of(&self.all[went]);
        let is_of_block = |i: usize| block_of(&self.all[i]) == block;
        !self.before(went).is_some_and(is_of_block) && !self.behind(went).is_some_and(is_of_block)
    }

    /// Whether the pause that led to a block is not needed without it.
    fn has_idle_lead(&self, went: usize) -> bool {
        let (_, from) = self.pause_before(went);
        match self.pause_behind(went) {
            (_, None) => true,
            (pause, Some(next)) => !pause.is_zero() && pause >= self.need(from, next),
        }
    }

    fn drop_lead(&mut self, went: usize) {
        let mut at = self.before(went);
        while let Some(b) = at.filter(|&b| !self.all[b].kind.is_moving()) {
            at = self.before(b);
            let leads = matches!(self.all[b].kind, Kind::Ready | Kind::Recovery);
            if leads && self.all[b].place.is_none() {
                self.drop(b);
            }
        }
    }

    pub(super) fn set_all_pauses(&mut self) {
        for i in (self.n + 1)..self.all.len() {
            let is_move = |b: usize| self.all[b].kind.is_moving();
            if !is_move(i) && self.behind(i).is_some_and(is_move) {
                self.set_pause(i);
            }
        }
    }

    /// Sets the floors of the pause that ends with `last`: its last interval gives the time to
    /// change first.
    fn set_pause(&mut self, last: usize) {
        let (_, from) = self.pause_before(last);
        let next = self.behind(last);
        let mut owed = next.map_or(Span::ZERO, |next| self.need(from, next));
        let mut at = Some(last);
        while let Some(b) = at.filter(|&b| !self.all[b].kind.is_moving()) {
            let floor = self.own_floor(b).max(owed.min(self.all[b].length));
            owed = owed.less(floor);
            self.set_floor(b, floor);
            at = self.before(b);
        }
    }
}
