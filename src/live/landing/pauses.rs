//! The pauses between moves: the time to change that each keeps, and what becomes of them when
//! works go.
//!
//! A pause is all the intervals between one move and the next, be they rest, recovery, talk or
//! getting ready. Which works go, and why, is not known here.

use super::left::Left;
use crate::plan::{Kind, Placed, explaining, need};
use crate::time::Span;

impl Left<'_> {
    /// What the change from one move to another needs.
    pub(super) fn need(&self, from: Option<usize>, to: usize) -> Span {
        let begin = from.map_or(0, |from| from + 1);
        // Whoever keeps moving in the pause comes from there.
        let pauses = (begin < to).then(|| self.pauses_between(begin, to));
        let mut pauses = pauses.into_iter().flatten();
        let active = pauses.find(|&i| self.all[i].is_active_pause());
        let from = active.or(from);
        let from = from.map(|from| &**self.all[from].interval());
        self.explaining(to) + need(self.cueing, from, &self.all[to], self.mat_lies)
    }

    /// How long it takes to explain the stations that begin with a work, where nothing of their
    /// block has been taught.
    fn explaining(&self, to: usize) -> Span {
        let (of, block) = (&self.all[to], self.all[to].block());
        let place = of.place.as_ref();
        let is_first = place.is_some_and(|place| place.round.nth == 1) && !of.continues_rotation();
        let taught = || self.all[..=self.n].iter().any(|was| was.block() == block);
        if of.together().is_none() || !is_first || taught() {
            return Span::ZERO;
        }
        explaining(of, self.cueing)
    }

    /// Sets the floors of the pause before a move: its last interval gives the time to change
    /// first, and those further ahead what it is too short for.
    pub(super) fn settle(&mut self, next: usize) {
        self.unsettle(next);
        let from = self.move_before(next);
        let mut owed = self.need(from, next);
        let mut reach = next;
        while let Some(b) = self.before(reach).filter(|&b| Some(b) != from) {
            if owed.is_zero() {
                break;
            }
            let floors = self.own(b).at_least(owed.min(self.all[b].span()));
            owed = owed.saturating_sub(floors.hard);
            self.set_floors(b, floors);
            reach = b;
        }
        self.reach[next] = reach;
    }

    /// The pause before a move owes nothing more to it.
    fn unsettle(&mut self, next: usize) {
        let pauses: Vec<usize> = self.pauses_between(self.reach[next], next).collect();
        for i in pauses {
            self.set_floors(i, self.own(i));
        }
        self.reach[next] = next;
    }

    pub(super) fn unsettle_near(&mut self, these: &[usize]) {
        for next in self.moves_near(these) {
            self.unsettle(next);
        }
    }

    pub(super) fn settle_near(&mut self, these: &[usize]) {
        for next in self.moves_near(these) {
            self.settle(next);
        }
    }

    /// A work, and the pause of its block that leads to it.
    pub(super) fn with_pause_before(&self, work: usize) -> Vec<usize> {
        let block = self.all[work].block();
        let goes = |&b: &usize| b > self.n && !self.is_moving(b) && self.all[b].block() == block;
        let from = self.move_before(work).map_or(0, |from| from + 1);
        let pause = self.pauses_between(from, work).take_while(goes);
        std::iter::once(work).chain(pause).collect()
    }

    /// A work of a grid, and what is left of its window.
    pub(super) fn with_pause_after(&self, work: usize) -> Vec<usize> {
        let block = self.all[work].block();
        let of_window = |&b: &usize| !self.is_moving(b) && self.all[b].block() == block;
        let pause = (work + 1..self.all.len()).take_while(of_window);
        std::iter::once(work).chain(pause).collect()
    }

    /// What leads to a block that went whole, its first work last, and is not needed any more.
    pub(super) fn idle_lead(&self, first: usize) -> Vec<usize> {
        let from = self.move_before(first);
        let is_idle = match self.move_behind(first) {
            None => true,
            Some(next) => {
                let need = self.need(from, next);
                let pause = self.pause(first, next, need, Placed::span);
                !pause.is_zero() && pause >= need
            }
        };
        if is_idle {
            self.lead(first)
        } else {
            Vec::new()
        }
    }

    /// Whether a move comes no sooner than the change to it takes, or than it was to come: what led
    /// to it may have gone with another block.
    pub(super) fn is_led_to(&self, next: usize) -> bool {
        let from = self.move_before(next);
        let need = self.need(from, next);
        let planned: Span = self.planned_pause(next).map(|i| self.all[i].span()).sum();
        let begin = from.map_or(0, |from| from + 1);
        self.pause(begin, next, need, Placed::span) >= need.min(planned)
    }

    /// The intervals of the pause that was to lead to a move, the last first.
    fn planned_pause(&self, next: usize) -> impl Iterator<Item = usize> + use<'_> {
        (0..next).rev().take_while(|&i| !self.is_moving(i))
    }

    /// Puts back as much of what led to a move as the change to it takes now.
    pub(super) fn keep_time_to_change(&mut self) {
        let moves: Vec<usize> = self.moves_ahead().collect();
        for next in moves {
            while !self.is_led_to(next) {
                let mut pause = self.planned_pause(next);
                let gone = pause.find(|&i| i > self.n && !self.stays(i));
                drop(pause);
                let Some(gone) = gone else { break };
                self.put_back(&[gone]);
            }
        }
    }

    fn lead(&self, first: usize) -> Vec<usize> {
        let before = (self.n + 1..first).rev();
        let leads = |&i: &usize| {
            let of = &self.all[i];
            matches!(of.kind, Kind::Ready | Kind::Recovery) && of.place.is_none()
        };
        before
            .take_while(|&i| !self.is_moving(i))
            .filter(leads)
            .filter(|i| self.stays.contains(i))
            .collect()
    }

    /// How long people rest between two places, or about this much where it is more.
    pub(super) fn pause(
        &self,
        from: usize,
        to: usize,
        enough: Span,
        length: impl Fn(&Placed) -> Span,
    ) -> Span {
        let mut pause = Span::ZERO;
        for i in self.pauses_between(from, to) {
            pause += length(&self.all[i]);
            if pause >= enough {
                break;
            }
        }
        pause
    }
}
