//! What the keys make of what is left of the class.

use std::rc::Rc;

use matside::plan::Kind;

use crate::gate::Gate;
use crate::model::{Model, Rest, Run, with_length};
use crate::pieces::{Ms, Piece, least, need};
use crate::undo::Change;

/// `back` again within this time goes further back.
const BACK_AGAIN: Ms = 2_000;
/// The least that `take` leaves, besides the count.
const TAKE_LEAVES: Ms = 3_000;

/// Where `back` leads.
pub(crate) enum Way {
    /// To the start of what runs.
    Again,
    /// To the stay before, and then from before all next to it in the same piece.
    Further(usize, Rc<Piece>),
    /// There is nothing before.
    Nowhere,
}

impl Model {
    /// Leaves what runs for what is left then.
    pub(crate) fn jump(&mut self, at: Ms, after: Rest) {
        let before = self.rest.clone();
        let taught = self.taught.len();
        let gate = Gate::leaving(self, at);
        self.leave(at);
        self.rest = after;
        gate.keep(&before, &mut self.rest, &mut self.next_id);
        self.changed += 1;
        self.changes
            .push(Change::jump(self.changed, at, before, taught));
    }

    /// Changes what is to come.
    pub(crate) fn bend(&mut self, at: Ms, after: Rest) {
        self.bend_so(at, after, false);
    }

    /// Changes what is to come, in many places: what of it is still ahead is taken back, if not all.
    pub(crate) fn bend_in_part(&mut self, at: Ms, after: Rest) {
        self.bend_so(at, after, true);
    }

    fn bend_so(&mut self, at: Ms, after: Rest, in_part: bool) {
        let before = std::mem::replace(&mut self.rest, after);
        Gate::of(self, at).keep(&before, &mut self.rest, &mut self.next_id);
        self.changed += 1;
        let (after, taught) = (self.rest.clone(), self.taught.len());
        let change = Change::bend(self.changed, at, before, after, taught, in_part);
        self.changes.push(change);
    }

    /// In a grid the rest of the window takes what its work leaves.
    pub(crate) fn go_on(&mut self, at: Ms) -> bool {
        let Some(run) = self.rest.run.clone() else {
            return false;
        };
        let mut after = self.rest.clone();
        if self.rest.waits_for_a_start() {
            return false;
        }
        give_to_rest(&mut after, &run, run.left(at), &mut self.next_id);
        let next = (!after.ahead.is_empty()).then(|| after.ahead.remove(0));
        let next = next.map(|piece| self.begun(&piece, at, 0));
        after.start(next);
        self.jump(at, after);
        true
    }

    pub(crate) fn go_back(&mut self, now: Ms, at: Ms) -> bool {
        let Some(run) = self.rest.run.clone() else {
            return false;
        };
        let mut after = self.rest.clone();
        let origin = match self.goes_back_to(now, &run.piece) {
            Way::Nowhere => return false,
            Way::Further(origin, earlier) => {
                let left = std::iter::once(&run.piece).chain(&self.rest.ahead);
                let doubled = left.clone().any(|piece| piece.id == earlier.id);
                let earlier = if doubled {
                    self.copy(&earlier, earlier.length)
                } else {
                    earlier
                };
                after.ahead.insert(0, run.piece.clone());
                let run = self.begun(&earlier, at, 0);
                after.start(Some(run));
                origin
            }
            Way::Again => {
                let run = self.begun(&run.piece, at, 0);
                after.start(Some(run));
                self.taught.len()
            }
        };
        self.jump(at, after);
        self.back = Some((now, origin));
        true
    }

    /// Where `back` leads, pressed now.
    pub(crate) fn goes_back_to(&self, now: Ms, run: &Piece) -> Way {
        let again = self.back.filter(|(pressed, _)| now <= pressed + BACK_AGAIN);
        let Some((_, origin)) = again else {
            return Way::Again;
        };
        let mut others = self.taught[..origin].iter();
        let Some(last) = others.rposition(|stay| stay.piece.id != run.id && !stay.is_undone) else {
            return Way::Nowhere;
        };
        let earlier = &self.taught[last].piece;
        let mut before = self.taught[..last].iter();
        let first = before.rposition(|stay| stay.piece.id != earlier.id && !stay.is_undone);
        Way::Further(first.map_or(0, |n| n + 1), earlier.clone())
    }

    /// This move, or between moves the coming one with its rest; in a grid its whole window.
    pub(crate) fn skip(&mut self, at: Ms) -> bool {
        let Some(run) = self.rest.run.clone() else {
            return false;
        };
        if run.piece.is_moving() {
            self.go_on(at);
        } else {
            let mut after = self.rest.clone();
            let Some(coming) = after.ahead.iter().position(|piece| piece.is_moving()) else {
                return false;
            };
            let gone = after.ahead.remove(coming);
            if after
                .ahead
                .get(coming)
                .is_some_and(|piece| piece.kind == Kind::Rest)
            {
                after.ahead.remove(coming);
            }
            Gate::of(self, at).keep_start(&gone, &mut after, &mut self.next_id);
            self.bend(at, after);
        }
        self.skipped.push(self.changed);
        true
    }

    pub(crate) fn add(&mut self, at: Ms, mut by: Ms) -> bool {
        let mut after = self.rest.clone();
        let cap = after.cap;
        let Some(run) = after.run.as_mut().filter(|run| !run.piece.untimed) else {
            return false;
        };
        if cap.is_some_and(|(_, ends)| run.end() + by > ends) {
            return false;
        }
        if run.piece.window().is_some() {
            if !run.piece.is_moving() {
                return false;
            }
            let run = run.clone();
            let gate = Gate::of(self, at);
            let next = after.ahead.iter().find(|piece| piece.is_moving()).cloned();
            let Some(rest) = rest_of(&mut after, &run) else {
                return false;
            };
            // From the work, or from what people do in its rest, to what comes.
            let from = if rest.moves.is_empty() {
                &run.piece
            } else {
                &*rest
            };
            let mat_lies = gate.mat_lies || run.piece.uses("mat");
            let to_next = |next: Rc<Piece>| need(&self.cueing, Some(from), &next, mat_lies);
            let keep = next.map_or(0, to_next).max(least(&self.cueing));
            by = by.min(rest.length.saturating_sub(keep));
            *rest = with_length(rest, rest.length - by);
        }
        if by == 0 {
            return false;
        }
        if let Some(run) = &mut after.run {
            run.target += by;
        }
        self.bend(at, after);
        true
    }

    pub(crate) fn take(&mut self, at: Ms, by: Ms) -> bool {
        let mut after = self.rest.clone();
        let floor = TAKE_LEAVES.max(self.count());
        let Some(run) = after.run.as_mut().filter(|run| !run.piece.untimed) else {
            return false;
        };
        let ran = run.ran(at);
        let pending = run.switch.filter(|switch| ran < *switch);
        let keep = pending.unwrap_or(0).max(ran) + floor;
        let target = run.target.saturating_sub(by).max(keep);
        if target >= run.target {
            return false;
        }
        let less = run.target - target;
        run.target = target;
        if run.piece.window().is_some() && !run.piece.is_moving() {
            return false;
        }
        let run = run.clone();
        give_to_rest(&mut after, &run, less, &mut self.next_id);
        let before = self.rest.clone();
        self.bend(at, after);
        let target = |rest: &Rest| rest.run.as_ref().map(|run| run.target);
        if target(&self.rest) == target(&before) {
            // The pause was as short as it may be.
            self.rest = before;
            self.changes.pop();
            self.changed -= 1;
            return false;
        }
        true
    }

    /// What is left of this pass goes; a recovery that ends it stays, and the rest that someone
    /// who works now needs before the next pass.
    pub(crate) fn drop_round(&mut self, at: Ms) -> bool {
        let run = self.rest.run.as_ref();
        let Some((run, pass)) = run.and_then(|run| Some((run, run.piece.pass()?))) else {
            return false;
        };
        let (moving, window) = (run.piece.is_moving(), run.piece.window());
        let mut after = self.rest.clone();
        let count = after
            .ahead
            .iter()
            .take_while(|piece| piece.pass() == Some(pass))
            .count();
        let mut kept: Vec<Rc<Piece>> = after.ahead.drain(..count).collect();
        let Some(last) = kept.iter().rposition(|piece| piece.is_moving()) else {
            return false;
        };
        let gone = kept.iter().find(|piece| piece.is_moving()).cloned();
        if window.is_some() {
            kept.truncate(1);
            kept.retain(|piece| moving && !piece.is_moving());
        } else {
            kept.drain(..=last);
            let rests = kept.iter().take_while(|piece| piece.kind == Kind::Rest);
            kept.drain(..if moving { 0 } else { rests.count() });
        }
        after.ahead.splice(0..0, kept);
        if let Some(gone) = gone.filter(|_| !moving) {
            Gate::of(self, at).keep_start(&gone, &mut after, &mut self.next_id);
        }
        self.bend(at, after);
        true
    }

    /// A part ahead as the class now stands; this one and those behind as they were written, and
    /// the parts after this one as they now stand.
    pub(crate) fn go_to(&mut self, at: Ms, part: usize) -> bool {
        let Some(run) = self.rest.run.clone() else {
            return false;
        };
        let here = run.piece.part;
        let mut pieces: Vec<Rc<Piece>> = Vec::new();
        let first = self.rest.ahead.iter().position(|p| p.part == part);
        let first = first.filter(|_| part != here);
        let forward = first.is_some();
        if let Some(first) = first {
            pieces.extend_from_slice(&self.rest.ahead[first..]);
        } else {
            let last = here.max(part);
            let written = self.written.iter();
            pieces.extend(written.filter(|p| (part..=last).contains(&p.part)).cloned());
            if pieces.is_empty() {
                return false;
            }
            pieces.extend(self.rest.ahead.iter().filter(|p| p.part > last).cloned());
        }
        let gate = Gate::leaving(self, at);
        if let Some(lead_in) = gate.lead_in(&pieces[0], &mut self.next_id) {
            pieces.insert(0, lead_in);
        }
        let first = pieces.remove(0);
        let run = self.begun(&first, at, 0);
        let mut after = Rest {
            run: None,
            ahead: pieces,
            cap: self.rest.cap.filter(|_| forward),
        };
        after.start(Some(run));
        if after.run.as_ref().is_some_and(|run| run.piece.at.is_none()) {
            after.cap = None;
        }
        self.jump(at, after);
        true
    }
}

/// The rest of the window of a grid in which a work runs.
pub(crate) fn rest_of<'a>(rest: &'a mut Rest, run: &Run) -> Option<&'a mut Rc<Piece>> {
    let window = run.piece.window().filter(|_| run.piece.is_moving())?;
    let next = rest.ahead.first_mut()?;
    (next.window() == Some(window) && !next.is_moving()).then_some(next)
}

/// The next start stays where it is: the rest of the window takes what the work leaves, and where it
/// has none there is one.
fn give_to_rest(rest: &mut Rest, run: &Run, spare: Ms, next_id: &mut u32) {
    if let Some(next) = rest_of(rest, run) {
        *next = with_length(next, next.length + spare);
    } else if run.piece.window().is_some() && run.piece.is_moving() && spare > 0 {
        *next_id += 1;
        let pause = Piece {
            id: *next_id,
            kind: Kind::Rest,
            written: run.piece.every().saturating_sub(run.piece.written),
            moves: Vec::new(),
            ..(*run.piece).clone()
        };
        rest.ahead.insert(0, with_length(&pause, spare));
    }
}
