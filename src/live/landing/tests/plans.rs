//! Random classes, and a spot in each.

use std::sync::Arc;

use fastrand::Rng;

use crate::live::landing::{Change, ChangeKind, apply};
use crate::plan::{Placed, Timeline};
use crate::session::{
    Block, Cueing, Impact, Move, Order, Part, Pattern, Position, Session, Sides, Step, Use,
};
use crate::time::{Offset, Span};

/// A class, the interval now running, where the class is, and the room from there.
pub(super) struct Case {
    pub(super) plan: Timeline,
    pub(super) n: usize,
    pub(super) at: Offset,
    pub(super) room: Span,
}

impl Case {
    /// The class with these changes done, one to the length of what runs among them.
    pub(super) fn with(&self, changes: &[Change]) -> Timeline {
        let all = self.plan.intervals();
        let (begun, ahead) = all.split_at(all.len().min(self.n + 1));
        let ahead: Vec<_> = ahead
            .iter()
            .map(|placed| placed.interval().clone())
            .collect();
        let begun_too = begun.iter().map(Placed::interval);
        let ahead = apply(begun_too, &ahead, changes, &mut 0);
        let mut begun = begun.to_vec();
        for running in begun.iter_mut().skip(self.n) {
            let length = changes.iter().rev().find_map(|change| match change.kind {
                ChangeKind::Length(length) if change.id == running.id => Some(length),
                _ => None,
            });
            let end = running.start + length.unwrap_or(running.span());
            *running = Placed::stay(running.start, end, running.interval().clone());
        }
        self.plan.followed_by(begun, ahead)
    }

    /// How much of a class is left from where it is.
    pub(super) fn left(&self, plan: &Timeline) -> Span {
        plan.end() - self.at
    }

    /// The class with this much room.
    pub(super) fn with_room(plan: Timeline, n: usize, at: Offset, room: Span) -> Self {
        Self { plan, n, at, room }
    }
}

pub(super) fn case(rng: &mut Rng, blocks: usize) -> Case {
    let plan = Timeline::of(&session(rng, blocks));
    let n = rng.usize(0..plan.intervals().len());
    let running = &plan.intervals()[n];
    let at = running.start + Span::from_millis(rng.u64(0..running.span().millis()));
    let left = plan.total().saturating_sub(at.span()).millis();
    let room = match rng.u8(0..10) {
        0 => rng.u64(0..=left * 2),
        1..5 => left * rng.u64(0..=100) / 100 / 1000 * 1000,
        _ => left.saturating_sub(rng.u64(0..200_000)),
    };
    Case {
        plan,
        n,
        at,
        room: Span::from_millis(room),
    }
}

pub(super) fn session(rng: &mut Rng, blocks: usize) -> Session {
    let mut parts = Vec::new();
    for block in 0..rng.usize(1..=blocks) {
        if block == 0 || rng.bool() {
            lead_in(rng, &mut parts);
        }
        parts.push(Part::Block(self::block(rng)));
    }
    if rng.bool() {
        parts.push(recover(rng));
    }
    if rng.u8(0..4) > 0 {
        let steps = (0..rng.usize(1..4)).map(|_| step(rng)).collect();
        parts.push(Part::CoolDown(steps));
    }
    of_parts(parts)
}

pub(super) fn of_parts(parts: Vec<Part>) -> Session {
    Session {
        title: "Tide Line".into(),
        slot: None,
        brief: String::new(),
        limits: vec![],
        people: None,
        groups: Vec::new(),
        equipment: vec![],
        stock: Vec::new(),
        cueing: Cueing::default(),
        parts,
    }
}

fn lead_in(rng: &mut Rng, parts: &mut Vec<Part>) {
    if rng.bool() {
        let say = "word ".repeat(rng.usize(0..60));
        let time = length(rng, 5, 90);
        parts.push(Part::Talk { time, say });
    }
    if rng.bool() {
        let steps = (0..rng.usize(1..4)).map(|_| step(rng)).collect();
        parts.push(Part::WarmUp(steps));
    }
    if rng.bool() {
        parts.push(recover(rng));
    }
    if rng.bool() {
        let time = length(rng, 3, 30);
        parts.push(Part::Ready { time });
    }
}

fn recover(rng: &mut Rng) -> Part {
    Part::Recover {
        time: length(rng, 5, 120),
        say: String::new(),
        turn: None,
    }
}

fn step(rng: &mut Rng) -> Step {
    Step {
        turn: turn(rng),
        time: Some(length(rng, 20, 120)),
    }
}

fn block(rng: &mut Rng) -> Block {
    let rounds = rng.u32(1..5);
    let pattern = match rng.u8(0..8) {
        0 => Pattern::Emom {
            times: rng.u32(1..9),
            every: Pattern::MINUTE,
            work: Some(length(rng, 5, 58)),
        },
        1 => Pattern::Amrap {
            time: length(rng, 60, 600),
        },
        2 => Pattern::Reps {
            rounds,
            rest: length(rng, 0, 40),
            pace: Span::from_secs(3),
            cap: None,
        },
        3 => Pattern::Rounds {
            work: (0..rounds).map(|_| length(rng, 10, 60)).collect(),
            rest: (0..rounds).map(|_| length(rng, 0, 40)).collect(),
        },
        _ => Pattern::Same {
            rounds,
            work: length(rng, 4, 60),
            rest: length(rng, 0, 40),
        },
    };
    let recovery = rng.bool().then(|| length(rng, 0, 90));
    Block {
        title: rng.bool().then(|| "Ebb".into()),
        moves: (0..rng.usize(1..6)).map(|_| turn(rng).into()).collect(),
        pattern,
        recovery,
        order: *rng
            .choice(&[Order::ByRound, Order::ByRound, Order::ByMove])
            .unwrap(),
        between: None,
        last_rest: false,
    }
}

/// Whole seconds mostly.
fn length(rng: &mut Rng, least: u64, most: u64) -> Span {
    let millis = if rng.u8(0..10) == 0 {
        rng.u64(0..1000)
    } else {
        0
    };
    Span::from_millis(rng.u64(least..most) * 1000 + millis)
}

fn turn(rng: &mut Rng) -> Arc<Use> {
    let position = *rng.choice(Position::ALL).unwrap();
    let equipment = rng.choice(&["", "", "mat", "chair", "band"]).unwrap();
    let mut turn = Use::plain(Arc::new(a_move("Squat", position, equipment)));
    turn.reps = Some(rng.u32(1..20));
    turn.work = (rng.u8(0..10) == 0).then(|| length(rng, 10, 59));
    turn.rest = (rng.u8(0..10) == 0).then(|| length(rng, 0, 30));
    Arc::new(turn)
}

pub(super) fn a_move(name: &str, position: Position, equipment: &str) -> Move {
    Move {
        id: name.to_lowercase(),
        name: name.into(),
        call: name.to_lowercase(),
        position,
        regions: vec![],
        muscles: vec![],
        loads: vec![],
        impact: Impact::None,
        sides: Sides::Both,
        equipment: equipment.split_whitespace().map(Into::into).collect(),
        energy: None,
        setup: String::new(),
        form: vec![],
        easier: vec![],
        harder: vec![],
        ..Move::default()
    }
}
