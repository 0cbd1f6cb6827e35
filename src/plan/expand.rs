//! From the parts of a session to its intervals: what each pattern means, in one place.
//!
//! Rests stand between works, never after the last of a block, but for EMOM, whose minutes are
//! always whole. After each pass but the last the recovery stands in place of that pass's rest.

use std::sync::Arc;

use super::interval::{Interval, Kind, Nth, Place, Shape};
use crate::session::{Block, Order, Part, Pattern, Session, Step, Use};
use crate::time::Span;

const MINUTE: Span = Span::from_secs(60);

pub(super) fn expand(session: &Session) -> Vec<Interval> {
    let mut out = Out::default();
    for (part, content) in session.parts.iter().enumerate() {
        out.part = part;
        match content {
            Part::Talk { time, say } => out.spoken(Kind::Talk, *time, say),
            Part::Ready { time } => out.spoken(Kind::Ready, *time, ""),
            Part::Recover { time, say } => out.spoken(Kind::Recovery, *time, say),
            Part::WarmUp(steps) => out.steps(Kind::WarmUp, steps),
            Part::CoolDown(steps) => out.steps(Kind::CoolDown, steps),
            Part::Block(block) => out.block(block),
        }
    }
    out.intervals
}

#[derive(Default)]
struct Out {
    intervals: Vec<Interval>,
    part: usize,
    blocks: usize,
}

impl Out {
    fn push(
        &mut self,
        kind: Kind,
        length: Span,
        place: Option<&Arc<Place>>,
    ) -> Option<&mut Interval> {
        if length.is_zero() {
            return None;
        }
        self.intervals.push(Interval {
            id: u32::try_from(self.intervals.len()).unwrap_or(u32::MAX),
            kind,
            length,
            planned: length,
            part: self.part,
            place: place.cloned(),
            moves: Arc::default(),
            say: "".into(),
            untimed: false,
        });
        self.intervals.last_mut()
    }

    fn spoken(&mut self, kind: Kind, time: Span, say: &str) {
        if let Some(interval) = self.push(kind, time, None) {
            interval.say = say.into();
        }
    }

    fn steps(&mut self, kind: Kind, steps: &[Step]) {
        for step in steps {
            if let Some(interval) = self.push(kind, step.time, None) {
                interval.moves = Arc::new([step.turn.clone()]);
            }
        }
    }

    fn block(&mut self, block: &Block) {
        self.blocks += 1;
        if block.moves.is_empty() {
            return;
        }
        match &block.pattern {
            Pattern::Emom { minutes, work } => self.emom(block, *minutes, *work),
            Pattern::Amrap { time } => self.amrap(block, *time),
            _ => self.passes(block),
        }
    }

    fn place(&self, block: &Block, round: Nth, place: usize) -> Arc<Place> {
        let place = Nth::new(place + 1, block.moves.len());
        let (shape, window) = match (&block.pattern, block.order) {
            (Pattern::Emom { minutes, .. }, _) => {
                let nth = (round.nth - 1) * place.of + place.nth;
                let every = MINUTE;
                (Shape::Grid { every }, Nth::new(nth, *minutes as usize))
            }
            (Pattern::Amrap { .. }, _) => (Shape::Window, Nth::default()),
            (_, Order::ByMove) => (Shape::Sets, Nth::default()),
            (_, Order::ByRound) => (Shape::Rounds, Nth::default()),
        };
        Arc::new(Place {
            block: self.blocks,
            title: block.title.as_deref().map(Into::into),
            shape,
            round,
            place,
            pass: if shape == Shape::Sets { place } else { round },
            window,
        })
    }

    fn emom(&mut self, block: &Block, minutes: u32, work: Span) {
        let (moves, minutes) = (block.moves.len(), minutes as usize);
        for minute in 0..minutes {
            let (round, place) = (minute / moves, minute % moves);
            let round = Nth::new(round + 1, minutes.div_ceil(moves));
            let place_of = self.place(block, round, place);
            let turn = &block.moves[place];
            let work = turn.work.unwrap_or(work);
            self.work(work, &place_of, turn.clone(), false);
            self.push(Kind::Rest, MINUTE.saturating_sub(work), Some(&place_of));
        }
    }

    fn amrap(&mut self, block: &Block, time: Span) {
        let place = self.place(block, Nth::new(1, 1), 0);
        if let Some(interval) = self.push(Kind::Work, time, Some(&place)) {
            interval.moves = block.moves.clone().into();
        }
    }

    fn work(&mut self, length: Span, place: &Arc<Place>, turn: Arc<Use>, untimed: bool) {
        if let Some(interval) = self.push(Kind::Work, length, Some(place)) {
            interval.moves = Arc::new([turn]);
            interval.untimed = untimed;
        }
    }

    fn passes(&mut self, block: &Block) {
        let untimed = matches!(block.pattern, Pattern::Reps { .. });
        let rounds = rounds_of(&block.pattern);
        let (passes, inner) = match block.order {
            Order::ByRound => (rounds, block.moves.len()),
            Order::ByMove => (block.moves.len(), rounds),
        };
        for pass in 0..passes {
            for step in 0..inner {
                let (round, place) = match block.order {
                    Order::ByRound => (pass, step),
                    Order::ByMove => (step, pass),
                };
                let turn = &block.moves[place];
                let place_of = self.place(block, Nth::new(round + 1, rounds), place);
                self.work(
                    work_of(block, turn, round),
                    &place_of,
                    turn.clone(),
                    untimed,
                );
                let rest = turn.rest.unwrap_or_else(|| rest_of(block, round));
                match (step + 1 == inner, pass + 1 == passes, block.recovery) {
                    (true, true, _) => {}
                    (true, false, Some(recovery)) => {
                        self.push(Kind::Recovery, recovery, Some(&place_of));
                    }
                    _ => {
                        self.push(Kind::Rest, rest, Some(&place_of));
                    }
                }
            }
        }
    }
}

fn rounds_of(pattern: &Pattern) -> usize {
    match pattern {
        Pattern::Rounds { work, .. } => work.len(),
        Pattern::Same { rounds, .. } | Pattern::Reps { rounds, .. } => *rounds as usize,
        Pattern::Emom { .. } | Pattern::Amrap { .. } => 1,
    }
}

fn work_of(block: &Block, turn: &Use, round: usize) -> Span {
    let planned = match &block.pattern {
        Pattern::Rounds { work, .. } => nth_or_last(work, round),
        Pattern::Same { work, .. } | Pattern::Emom { work, .. } => *work,
        Pattern::Amrap { time } => *time,
        Pattern::Reps { pace, .. } => return *pace * u64::from(turn.reps.unwrap_or(1)),
    };
    turn.work.unwrap_or(planned)
}

fn rest_of(block: &Block, round: usize) -> Span {
    match &block.pattern {
        Pattern::Rounds { rest, .. } => nth_or_last(rest, round),
        Pattern::Same { rest, .. } | Pattern::Reps { rest, .. } => *rest,
        Pattern::Emom { .. } | Pattern::Amrap { .. } => Span::ZERO,
    }
}

/// The entry of a round; one entry may stand for all.
fn nth_or_last(of: &[Span], round: usize) -> Span {
    of.get(round).or(of.last()).copied().unwrap_or_default()
}
