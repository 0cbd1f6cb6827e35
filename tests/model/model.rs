//! The class as the README and the agreement on the keys describe it: taught, running, ahead, and a
//! clock that can stand. No words, no signals, no screen.

use std::rc::Rc;

use matside::live::{Act, HoldReason};
use matside::session::{Cueing, Load, Session};

use crate::gate::Gate;
use crate::pieces::{Ms, Piece, expand};
use crate::undo::Change;

/// An end is asked for; the same again within this time is a yes.
const ASKS_FOR: Ms = 4_000;
/// So much of a window is not given away at once.
const ASKS_FROM: Ms = 30_000;

/// A stay in a piece that is over.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Stay {
    pub(crate) piece: Rc<Piece>,
    pub(crate) ran: Ms,
    /// Which time that a piece was begun it was.
    pub(crate) visit: u32,
    /// Whether what led to it was taken back.
    pub(crate) is_undone: bool,
}

/// The piece that runs.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Run {
    pub(crate) piece: Rc<Piece>,
    /// Where in the class this stay began.
    pub(crate) start: Ms,
    /// How much of the piece lay behind then.
    pub(crate) into: Ms,
    /// How long it is to last and where people change sides, from its very beginning.
    pub(crate) target: Ms,
    pub(crate) switch: Option<Ms>,
    /// Which time that a piece was begun this is; a stay taken up again keeps it.
    pub(crate) visit: u32,
}

impl Run {
    pub(crate) fn ran(&self, at: Ms) -> Ms {
        self.into + at.saturating_sub(self.start)
    }

    pub(crate) fn left(&self, at: Ms) -> Ms {
        self.target.saturating_sub(self.ran(at))
    }

    pub(crate) fn end(&self) -> Ms {
        self.start + self.target.saturating_sub(self.into)
    }

    pub(crate) fn side(&self, at: Ms) -> Option<u8> {
        self.switch
            .map(|switch| if self.ran(at) < switch { 1 } else { 2 })
    }
}

/// What is left of a class.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Rest {
    pub(crate) run: Option<Run>,
    pub(crate) ahead: Vec<Rc<Piece>>,
    /// Where the block with a cap that runs ends by itself: its part, and the place.
    pub(crate) cap: Option<(usize, Ms)>,
}

impl Rest {
    /// Begins a piece. The time of a block with a cap begins with its first; what is timed ends
    /// with it, and nothing of it comes after that.
    pub(crate) fn start(&mut self, run: Option<Run>) {
        self.run = run;
        let Some(run) = &mut self.run else { return };
        let part = run.piece.part;
        let own = run.piece.at.and_then(|at| at.cap);
        let known = self.cap.filter(|(of, _)| *of == part);
        self.cap = known.or_else(|| Some((part, run.start + own?)));
        let ends = self.cap.map(|(_, ends)| ends);
        let Some(ends) = ends.filter(|ends| !run.piece.untimed && run.end() >= *ends) else {
            return;
        };
        run.target = ends.saturating_sub(run.start);
        self.leave_part(part);
    }

    /// What is timed and runs past the end of its block ends there.
    pub(crate) fn end_with_block(&mut self) {
        let (Some((part, ends)), Some(run)) = (self.cap, &mut self.run) else {
            return;
        };
        if run.piece.part == part && !run.piece.untimed && run.end() > ends {
            run.target = run.into + ends.saturating_sub(run.start);
            self.leave_part(part);
        }
    }

    pub(crate) fn leave_part(&mut self, part: usize) {
        let of_part = self.ahead.iter().take_while(|next| next.part == part);
        self.ahead.drain(..of_part.count());
    }

    /// Where the counted work that runs ends by itself.
    pub(crate) fn capped_at(&self) -> Option<Ms> {
        let run = self.run.as_ref().filter(|run| run.piece.untimed)?;
        let cap = self.cap.filter(|(part, _)| *part == run.piece.part);
        // Taken up again behind its end it ends at once.
        cap.map(|(_, ends)| ends.max(run.start))
    }
}

impl Rest {
    /// Whether it is a rest before the next start of a grid, which comes when it comes.
    pub(crate) fn waits_for_a_start(&self) -> bool {
        let run = self.run.as_ref().filter(|run| !run.piece.is_moving());
        let window = run.and_then(|run| run.piece.window());
        let next = self.ahead.iter().find(|piece| piece.is_moving());
        let next = next.and_then(|next| next.at);
        window.is_some_and(|(block, _)| next.is_some_and(|at| at.block == block))
    }
}

/// What is asked before it is done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Asks {
    /// Whether to end.
    End,
    /// Whether to leave the window that runs.
    Leave,
    /// Whether to leave out the one that comes.
    LeaveOut,
    /// Whether to have it once more.
    Again,
}

/// The clock of the class.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Clock {
    Waiting,
    /// Counted in until `go`; stands since then where it was held before.
    CountIn {
        at: Ms,
        go: Ms,
        since: Ms,
    },
    Going {
        at: Ms,
        since: Ms,
    },
    Held {
        at: Ms,
        since: Ms,
        why: HoldReason,
        missed: Option<(Ms, Ms)>,
    },
    Over {
        at: Ms,
    },
}

/// The class.
#[derive(Clone, Debug)]
pub(crate) struct Model {
    pub(crate) cueing: Cueing,
    pub(crate) written: Vec<Rc<Piece>>,
    pub(crate) taught: Vec<Stay>,
    pub(crate) rest: Rest,
    pub(crate) clock: Clock,
    /// The changes that may be taken back, oldest first, and how many were made.
    pub(crate) changes: Vec<Change>,
    pub(crate) changed: u32,
    /// Moves left out, by which change.
    pub(crate) skipped: Vec<u32>,
    pub(crate) marks: usize,
    pub(crate) holds: usize,
    /// Where the class was held last.
    pub(crate) last_hold: Option<Ms>,
    pub(crate) held: Ms,
    pub(crate) asked: Option<(Asks, Ms)>,
    /// When `back` was pressed, and the stay from which it goes further back.
    pub(crate) back: Option<(Ms, usize)>,
    pub(crate) limits: Vec<Load>,
    pub(crate) next_id: u32,
    visits: u32,
}

impl Model {
    pub(crate) fn new(session: &Session) -> Self {
        let written: Vec<Rc<Piece>> = expand(session).into_iter().map(Rc::new).collect();
        let mut model = Self {
            cueing: session.cueing,
            taught: Vec::new(),
            rest: Rest {
                run: None,
                ahead: written.clone(),
                cap: None,
            },
            clock: Clock::Waiting,
            changes: Vec::new(),
            changed: 0,
            skipped: Vec::new(),
            marks: 0,
            holds: 0,
            last_hold: None,
            held: 0,
            asked: None,
            back: None,
            limits: Vec::new(),
            next_id: u32::try_from(written.len()).expect("a small class"),
            visits: 0,
            written,
        };
        model.next(0);
        model
    }

    pub(crate) fn count(&self) -> Ms {
        u64::from(self.cueing.count) * 1000
    }

    /// Where the class is.
    pub(crate) fn at(&self, now: Ms) -> Ms {
        match self.clock {
            Clock::Waiting => 0,
            Clock::CountIn { at, go, .. } => at + now.saturating_sub(go),
            Clock::Going { at, since } => at + now.saturating_sub(since),
            Clock::Held { at, .. } | Clock::Over { at } => at,
        }
    }

    /// Class time left.
    pub(crate) fn left(&self, now: Ms) -> Ms {
        let run = self.rest.run.as_ref().filter(|_| !self.is_over());
        let Some(run) = run else { return 0 };
        let here = self.at(now);
        let all = run.left(here) + sum(&self.rest.ahead);
        let Some((_, ends)) = self.rest.cap else {
            return all;
        };
        let of_part = |next: &&Rc<Piece>| next.part == run.piece.part;
        let block = self.rest.ahead.iter().take_while(of_part);
        let block = run.left(here) + block.map(|piece| piece.length).sum::<Ms>();
        all - block + block.min(ends.saturating_sub(here))
    }

    /// When it ends if it goes on, or is counted in, from now.
    pub(crate) fn ends(&self, now: Ms) -> Ms {
        let from = match self.clock {
            Clock::CountIn { go, .. } => now.max(go),
            _ => now,
        };
        from + self.left(now)
    }

    pub(crate) const fn is_over(&self) -> bool {
        matches!(self.clock, Clock::Over { .. })
    }

    pub(crate) const fn is_held(&self) -> bool {
        matches!(self.clock, Clock::Held { .. })
    }

    pub(crate) fn begun(&mut self, piece: &Rc<Piece>, start: Ms, into: Ms) -> Run {
        self.visits += 1;
        Run {
            piece: piece.clone(),
            start,
            into,
            target: piece.length,
            switch: piece.switch_in(piece.length),
            visit: self.visits,
        }
    }

    pub(crate) fn next(&mut self, at: Ms) {
        let next = (!self.rest.ahead.is_empty()).then(|| self.rest.ahead.remove(0));
        let run = next.map(|piece| self.begun(&piece, at, 0));
        self.rest.start(run);
    }

    /// Leaves what runs; a stay of no time leaves no trace.
    pub(crate) fn leave(&mut self, at: Ms) {
        if let Some(run) = self.rest.run.take()
            && at > run.start
        {
            self.taught.push(Stay {
                piece: run.piece,
                ran: at - run.start,
                visit: run.visit,
                is_undone: false,
            });
        }
    }

    /// Lets come what is due by `now`.
    pub(crate) fn advance(&mut self, now: Ms) {
        if let Clock::CountIn { at, go, since } = self.clock
            && go <= now
        {
            self.held += go - since;
            self.clock = Clock::Going { at, since: go };
        }
        while let (Clock::Going { at, since }, Some(run)) = (self.clock, &self.rest.run) {
            let capped = self.rest.capped_at();
            let end = capped.unwrap_or_else(|| run.end());
            if run.piece.untimed && capped.is_none() || at + (now - since) < end {
                return;
            }
            let part = run.piece.part;
            self.leave(end);
            if capped.is_some() {
                self.rest.leave_part(part);
            }
            self.next(end);
            if capped.is_some() || self.rest.cap.is_some() {
                let gate = Gate::of(self, end);
                gate.marks(&mut self.rest);
            }
            self.forget_history(end);
            if self.rest.run.is_none() {
                self.clock = Clock::Over { at: end };
            }
        }
    }

    /// The asking is over.
    pub(crate) fn cancel(&mut self, now: Ms) {
        self.advance(now);
        self.asked = None;
    }

    /// What a key does; whether it did anything.
    pub(crate) fn act(&mut self, now: Ms, act: &Act) -> bool {
        if let Act::Slept { from, gap } = act {
            return self.slept(now, from.millis(), gap.millis());
        }
        self.advance(now);
        let asked = self.asked.take().filter(|(_, until)| now < *until);
        match self.clock {
            Clock::Over { .. } => return false,
            Clock::Waiting => return matches!(act, Act::Begin) && self.begin(now),
            _ => {}
        }
        if let Some(question) = self.question(now, act)
            && asked.is_none_or(|(asked, _)| asked != question)
        {
            self.asked = Some((question, now + ASKS_FOR));
            return false;
        }
        let done = self.carry_out(now, self.at(now), act);
        if done && !matches!(act, Act::Back) {
            self.back = None;
        }
        if self.rest.run.is_none() && !self.is_over() {
            self.is_ended(now);
        }
        done
    }

    /// What people moved in, as far as it was meant.
    pub(crate) fn moved(&self) -> impl DoubleEndedIterator<Item = &Rc<Piece>> {
        let meant = self.taught.iter().filter(|stay| !stay.is_undone);
        meant
            .map(|stay| &stay.piece)
            .filter(|piece| piece.is_moving())
    }

    /// Whether it has asked whether to end.
    pub(crate) fn asks(&self, now: Ms) -> bool {
        !self.is_over() && self.asked.is_some_and(|(_, until)| now < until)
    }

    /// Asks, and pressed again, or after something else that asked, ends the class.
    pub(crate) fn end(&mut self, now: Ms) {
        self.advance(now);
        let asked = self.asked.take().filter(|(_, until)| now < *until);
        let was_asked = asked.is_some_and(|(asked, _)| asked == Asks::End);
        if matches!(self.clock, Clock::Waiting | Clock::Over { .. }) {
            return;
        }
        if was_asked {
            self.leave(self.at(now));
            self.is_ended(now);
        } else {
            self.asked = Some((Asks::End, now + ASKS_FOR));
        }
    }

    fn is_ended(&mut self, now: Ms) {
        if let Clock::Held { since, .. } | Clock::CountIn { since, .. } = self.clock {
            self.held += now.saturating_sub(since);
        }
        self.clock = Clock::Over { at: self.at(now) };
    }

    /// What is asked first: the end of the class, and half a minute or more of a window.
    fn question(&self, now: Ms, act: &Act) -> Option<Asks> {
        if self.would_end(now, act) {
            return Some(Asks::End);
        }
        let run = self.rest.run.as_ref()?;
        let left = run.left(self.at(now));
        let whole = |piece: Option<&Rc<Piece>>| piece.map(|piece| (piece.clone(), piece.length));
        let coming = self.rest.ahead.iter().find(|piece| piece.is_moving());
        let done = self.moved().next_back();
        let (question, of) = match (act, run.piece.is_moving()) {
            (Act::GoOn, _) | (Act::Skip, true) => (Asks::Leave, Some((run.piece.clone(), left))),
            (Act::Skip, false) => (Asks::LeaveOut, whole(coming)),
            (Act::OnceMore, true) => (Asks::Again, whole(Some(&run.piece))),
            (Act::OnceMore, false) => (Asks::Again, whole(done)),
            _ => return None,
        };
        let (piece, length) = of?;
        (piece.is_free() && length >= ASKS_FROM).then_some(question)
    }

    pub(crate) fn would_end(&self, now: Ms, act: &Act) -> bool {
        let mut after = self.clone();
        matches!(act, Act::GoOn | Act::Skip | Act::CatchUp)
            && after.carry_out(now, self.at(now), act)
            && after.rest.run.is_none()
    }

    pub(crate) fn carry_out(&mut self, now: Ms, at: Ms, act: &Act) -> bool {
        match act {
            Act::Hold(why) => self.hold(now, at, *why),
            Act::Resume => self.resume(now),
            Act::GoOn => self.go_on(at),
            Act::Back => self.go_back(now, at),
            Act::Skip => self.skip(at),
            Act::Add(by) => self.add(at, by.millis()),
            Act::Take(by) => self.take(at, by.millis()),
            Act::OnceMore => self.once_more(at),
            Act::DropRound => self.drop_round(at),
            Act::GoTo(part) => self.go_to(at, *part),
            Act::CatchUp => self.catch_up(now, at),
            Act::Undo => self.undo(at),
            Act::Step(way) => self.step(at, *way),
            Act::Swap(of) => self.swap(at, of),
            Act::Limits(limits) => self.limit(at, limits),
            Act::Land(changes) => self.land(at, changes),
            Act::Mark => {
                self.marks += 1;
                true
            }
            _ => panic!("the model does not know {act:?}"),
        }
    }
}

fn sum(pieces: &[Rc<Piece>]) -> Ms {
    pieces.iter().map(|piece| piece.length).sum()
}

pub(crate) fn with_length(piece: &Piece, length: Ms) -> Rc<Piece> {
    Rc::new(Piece {
        length,
        ..piece.clone()
    })
}
