//! From the parts of a session to its intervals.
//!
//! What a pattern comes to is told by the session's slots; here each becomes its intervals.

use std::sync::Arc;

use super::interval::{Interval, Kind, Place, Shape};
use super::nth::Nth;
use super::rotation::Rotation;
use crate::session::{Block, Doing, Order, Part, Pattern, Pause, Session, Slot, Step, Use};
use crate::time::{Offset, Span};

pub(super) fn expand(session: &Session) -> Vec<Interval> {
    let mut out = Out {
        groups: session.groups.as_slice().into(),
        people: session.people,
        ..Out::default()
    };
    for (part, laid) in session.laid().into_iter().enumerate() {
        out.part = part;
        out.go = Nth::new(laid.go.nth, laid.go.of);
        out.mark = laid.mark.map(|mark| Offset::ZERO + mark);
        match laid.part {
            Part::Talk { time, say } => out.spoken(Kind::Talk, *time, say),
            Part::Ready { time } => out.spoken(Kind::Ready, *time, ""),
            Part::Recover { time, say, turn } => {
                out.spoken(Kind::Recovery, *time, say);
                out.active(turn.as_ref(), *time);
            }
            Part::WarmUp(steps) => out.steps(Kind::WarmUp, steps),
            Part::CoolDown(steps) => out.steps(Kind::CoolDown, steps),
            Part::Block(block) => out.block(block),
            Part::Free { time, title, say } => {
                let named = title.iter().map(|title| format!("{title}. "));
                let say = named.chain([say.clone()]).collect::<String>();
                out.spoken(Kind::Free, *time, say.trim_end());
            }
            Part::Repeat { .. } | Part::Until { .. } => {}
        }
    }
    out.intervals
}

#[derive(Default)]
struct Out {
    intervals: Vec<Interval>,
    part: usize,
    go: Nth,
    mark: Option<Offset>,
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
            go: self.go,
            mark: self.mark,
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
            if let Some(interval) = self.push(kind, step.length(), None) {
                interval.moves = Arc::new([step.turn.clone()]);
                interval.untimed = step.time.is_none();
            }
        }
    }

    fn block(&mut self, block: &Block) {
        self.blocks += 1;
        if block.moves.is_empty() {
            return;
        }
        if let Pattern::Amrap { time } = &block.pattern {
            return self.amrap(block, *time);
        }
        let rounds = block.pattern.rounds(block.works_a_round());
        for (n, slot) in block.slots().enumerate() {
            self.slot(block, &slot, n, rounds);
        }
    }

    fn slot(&mut self, block: &Block, slot: &Slot, n: usize, rounds: usize) {
        let rotation = self.rotation(block, slot).map(Arc::new);
        let place = Place {
            rotation,
            ..self.place(block, Nth::new(slot.round + 1, rounds), slot.place, n)
        };
        let place = Arc::new(place);
        if let Some(interval) = self.push(Kind::Work, slot.work, Some(&place)) {
            interval.moves = slot.moves();
            interval.untimed = slot.untimed;
        }
        let (kind, time) = match slot.pause {
            Pause::None => return,
            Pause::Rest(time) => (Kind::Rest, time),
            Pause::Recovery(time) => (Kind::Recovery, time),
        };
        self.push(kind, time, Some(&place));
        let between = block.between.as_ref();
        self.active(between.filter(|_| kind == Kind::Rest), time);
    }

    /// People keep moving in the pause that was just put, if it took any time.
    fn active(&mut self, turn: Option<&Arc<Use>>, time: Span) {
        let last = self.intervals.last_mut().filter(|_| !time.is_zero());
        if let (Some(turn), Some(pause)) = (turn, last) {
            pause.moves = Arc::new([turn.clone()]);
        }
    }

    /// Who does what in a work, where several moves are done at once.
    fn rotation(&self, block: &Block, slot: &Slot) -> Option<Rotation> {
        let Doing::Together(together) = slot.doing else {
            return None;
        };
        Some(Rotation {
            turn: Nth::new(slot.nth + 1, together.works()),
            stations: together.stations.len(),
            goes_round: together.rotates,
            swap: block.swap_of(slot.doing, slot.round),
            groups: self.groups.clone(),
            people: self.people,
        })
    }

    /// Where the `n`th work of a block stands, counted from 0.
    fn place(&self, block: &Block, round: Nth, place: usize, n: usize) -> Place {
        let place = Nth::new(place + 1, block.moves.len());
        let (shape, window) = match (&block.pattern, block.order) {
            (&Pattern::Emom { times, every, .. }, _) => {
                (Shape::Grid { every }, Nth::new(n + 1, times as usize))
            }
            (Pattern::Amrap { .. }, _) => (Shape::Window, Nth::default()),
            (_, Order::ByMove) => (Shape::Sets, Nth::default()),
            (_, Order::ByRound) => (Shape::Rounds, Nth::default()),
        };
        Place {
            block: self.blocks,
            title: block.title.as_deref().map(Into::into),
            shape,
            round,
            place,
            pass: if shape == Shape::Sets { place } else { round },
            window,
            windows: if shape.is_grid() {
                block.works_a_round()
            } else {
                0
            },
            cap: match block.pattern {
                Pattern::Reps { cap, .. } => cap,
                _ => None,
            },
            rotation: None,
        }
    }

    fn amrap(&mut self, block: &Block, time: Span) {
        let place = Arc::new(self.place(block, Nth::new(1, 1), 0, 0));
        if let Some(interval) = self.push(Kind::Work, time, Some(&place)) {
            let moves = block.moves.iter().flat_map(Doing::moves);
            interval.moves = moves.cloned().collect();
        }
    }
}
