//! From the parts of a session to its intervals: what each pattern means, in one place.
//!
//! Rests stand between works, never after the last of a block, but for EMOM, whose minutes are
//! always whole. After each pass but the last the recovery stands in place of that pass's rest.

use std::sync::Arc;

use super::interval::{Interval, Kind, Place, Shape};
use super::nth::Nth;
use super::rotation::Rotation;
use crate::session::{Block, Doing, Order, Part, Pattern, Session, Step};
use crate::time::Span;

const MINUTE: Span = Span::from_secs(60);

pub(super) fn expand(session: &Session) -> Vec<Interval> {
    let mut out = Out {
        groups: session.groups.as_slice().into(),
        people: session.people,
        ..Out::default()
    };
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
    groups: Arc<[String]>,
    people: Option<u32>,
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

    fn place(&self, block: &Block, round: Nth, at: At) -> Arc<Place> {
        let place = Nth::new(at.place + 1, block.moves.len());
        let (shape, window) = match (&block.pattern, block.order) {
            (Pattern::Emom { minutes, .. }, _) => {
                let every = MINUTE;
                let window = Nth::new(at.window + 1, *minutes as usize);
                (Shape::Grid { every }, window)
            }
            (Pattern::Amrap { .. }, _) => (Shape::Window, Nth::default()),
            (_, Order::ByMove) => (Shape::Sets, Nth::default()),
            (_, Order::ByRound) => (Shape::Rounds, Nth::default()),
        };
        let rotation = self.rotation(block, round.nth - 1, at);
        Arc::new(Place {
            block: self.blocks,
            title: block.title.as_deref().map(Into::into),
            shape,
            round,
            place,
            pass: if shape == Shape::Sets { place } else { round },
            window,
            windows: if shape.is_grid() { works_of(block) } else { 0 },
            rotation: rotation.map(Arc::new),
        })
    }

    /// Who does what at a place where several moves are done at once.
    fn rotation(&self, block: &Block, round: usize, at: At) -> Option<Rotation> {
        let Doing::Together(together) = &block.moves[at.place] else {
            return None;
        };
        Some(Rotation {
            turn: Nth::new(at.turn + 1, together.works()),
            stations: together.stations.len(),
            goes_round: together.rotates,
            swap: together.swap.unwrap_or_else(|| rest_of(block, round)),
            groups: self.groups.clone(),
            people: self.people,
        })
    }

    fn emom(&mut self, block: &Block, minutes: u32, work: Span) {
        let (windows, minutes) = (works_of(block), minutes as usize);
        let turns = |(place, doing): (usize, &Doing)| (0..doing.works()).map(move |turn| (place, turn));
        let in_turn: Vec<(usize, usize)> = block.moves.iter().enumerate().flat_map(turns).collect();
        for window in 0..minutes {
            let (place, turn) = in_turn[window % windows];
            let round = Nth::new(window / windows + 1, minutes.div_ceil(windows));
            let at = At { place, turn, window };
            let place_of = self.place(block, round, at);
            let doing = &block.moves[place];
            let work = doing.work().unwrap_or(work);
            self.work(work, &place_of, doing, false);
            self.push(Kind::Rest, MINUTE.less(work), Some(&place_of));
        }
    }

    fn amrap(&mut self, block: &Block, time: Span) {
        let place = self.place(block, Nth::new(1, 1), At::default());
        if let Some(interval) = self.push(Kind::Work, time, Some(&place)) {
            let moves = block.moves.iter().flat_map(Doing::moves);
            interval.moves = moves.cloned().collect();
        }
    }

    fn work(&mut self, length: Span, place: &Arc<Place>, doing: &Doing, untimed: bool) {
        if let Some(interval) = self.push(Kind::Work, length, Some(place)) {
            interval.moves = match doing {
                Doing::One(turn) => Arc::new([turn.clone()]),
                Doing::Together(together) => together.stations.as_slice().into(),
            };
            interval.untimed = untimed;
        }
    }

    fn passes(&mut self, block: &Block) {
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
                let doing = &block.moves[place];
                let place_of = self.works(block, Nth::new(round + 1, rounds), place);
                let rest = doing.rest().unwrap_or_else(|| rest_of(block, round));
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

    /// The works of a place with the swaps between them: one work, but where several moves are done
    /// at once. Tells where the last of them stands.
    fn works(&mut self, block: &Block, round: Nth, place: usize) -> Arc<Place> {
        let doing = &block.moves[place];
        let untimed = is_untimed(block, doing);
        let length = work_of(block, doing, round.nth - 1);
        let at = |turn| At {
            place,
            turn,
            window: 0,
        };
        for turn in 0..doing.works() - 1 {
            let place_of = self.place(block, round, at(turn));
            self.work(length, &place_of, doing, untimed);
            let swap = place_of.rotation.as_ref().map_or(Span::ZERO, |of| of.swap);
            self.push(Kind::Rest, swap, Some(&place_of));
        }
        let place_of = self.place(block, round, at(doing.works() - 1));
        self.work(length, &place_of, doing, untimed);
        place_of
    }
}

/// Where in its round a work stands, counted from 0.
#[derive(Clone, Copy, Default)]
struct At {
    place: usize,
    /// Which work of its place.
    turn: usize,
    /// Which window of the block, where it keeps to a grid.
    window: usize,
}

/// How many works a round has.
fn works_of(block: &Block) -> usize {
    block.moves.iter().map(Doing::works).sum()
}

fn is_untimed(block: &Block, doing: &Doing) -> bool {
    let by_key = matches!(doing, Doing::Together(together) if together.by_key);
    by_key || matches!(block.pattern, Pattern::Reps { .. })
}

fn rounds_of(pattern: &Pattern) -> usize {
    match pattern {
        Pattern::Rounds { work, .. } => work.len(),
        Pattern::Same { rounds, .. } | Pattern::Reps { rounds, .. } => *rounds as usize,
        Pattern::Emom { .. } | Pattern::Amrap { .. } => 1,
    }
}

fn work_of(block: &Block, doing: &Doing, round: usize) -> Span {
    let planned = match &block.pattern {
        Pattern::Rounds { work, .. } => nth_or_last(work, round),
        Pattern::Same { work, .. } | Pattern::Emom { work, .. } => *work,
        Pattern::Amrap { time } => *time,
        Pattern::Reps { pace, .. } => return *pace * u64::from(doing.reps().unwrap_or(1)),
    };
    doing.work().unwrap_or(planned)
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
