//! Every time that a session gives, with its place in the file.

use std::sync::Arc;

use super::super::model::{Block, Part, Pattern, Session, Step as OfFrame};
use super::super::moves::Use;
use super::super::together::{Doing, Together};
use super::{Path, Step};
use crate::time::Span;

/// What a time is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// A recovery, between rounds or parts.
    Recovery,
    /// Rests between works.
    Rest,
    /// Talk.
    Talk,
    /// Getting ready.
    Ready,
    /// Works.
    Work,
    /// A window in which moves are repeated freely.
    Window,
    /// A step of the warm-up.
    WarmUp,
    /// A step of the cool-down.
    CoolDown,
}

/// A time, or a list with one for each round, where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TimeAt {
    /// Where.
    pub path: Path,
    /// What for.
    pub role: Role,
    /// The part, counted from 0.
    pub part: usize,
    /// The times; more than one in a list.
    pub spans: Vec<Span>,
    /// Whether it is a list.
    pub is_list: bool,
}

/// Every time of a session that can be given another length, in the order of the file.
#[must_use]
pub fn times(session: &Session) -> Vec<TimeAt> {
    let mut found = Vec::new();
    let mut copy = session.clone();
    visit(&mut copy, &mut |path, role, part, spans, is_list| {
        found.push(TimeAt {
            path: path.to_vec(),
            role,
            part,
            spans: spans.to_vec(),
            is_list,
        });
    });
    found
}

/// The session with other times at these places.
#[must_use]
pub fn set_times(session: &Session, new: &[TimeAt]) -> Session {
    let mut session = session.clone();
    visit(&mut session, &mut |path, _, _, spans, _| {
        if let Some(new) = new.iter().find(|new| new.path == path) {
            spans.copy_from_slice(&new.spans);
        }
    });
    session
}

type Visitor<'v> = dyn FnMut(&[Step], Role, usize, &mut [Span], bool) + 'v;

struct Walk<'v, 'f> {
    path: Path,
    part: usize,
    see: &'v mut Visitor<'f>,
}

fn visit(session: &mut Session, see: &mut Visitor<'_>) {
    let mut walk = Walk {
        path: vec![Step::Field("parts")],
        part: 0,
        see,
    };
    for (n, part) in session.parts.iter_mut().enumerate() {
        walk.part = n;
        walk.path.push(Step::Item(n));
        walk.part(part);
        walk.path.pop();
    }
}

impl Walk<'_, '_> {
    fn see(&mut self, steps: &[Step], role: Role, spans: &mut [Span], is_list: bool) {
        let long = self.path.len();
        self.path.extend_from_slice(steps);
        (self.see)(&self.path, role, self.part, spans, is_list);
        self.path.truncate(long);
    }

    fn one(&mut self, steps: &[Step], role: Role, span: &mut Span) {
        self.see(steps, role, std::slice::from_mut(span), false);
    }

    fn part(&mut self, part: &mut Part) {
        let time_at = [Step::Field("time")];
        match part {
            Part::Talk { time, .. } => self.one(&time_at, Role::Talk, time),
            Part::Ready { time } => self.one(&time_at, Role::Ready, time),
            Part::Recover { time, .. } => self.one(&time_at, Role::Recovery, time),
            Part::Free { time, .. } => self.one(&time_at, Role::Window, time),
            Part::WarmUp(steps) => self.steps(Role::WarmUp, steps),
            Part::CoolDown(steps) => self.steps(Role::CoolDown, steps),
            Part::Block(block) => self.block(block),
            Part::Repeat { parts, between, .. } => self.repeat(parts, between.as_deref_mut()),
            // It lasts up to its mark, whatever comes before.
            Part::Until { .. } => {}
        }
    }

    fn repeat(&mut self, parts: &mut [Part], between: Option<&mut Part>) {
        self.path.push(Step::Field("parts"));
        for (n, part) in parts.iter_mut().enumerate() {
            self.path.push(Step::Item(n));
            self.part(part);
            self.path.pop();
        }
        self.path.pop();
        if let Some(between) = between {
            self.path.push(Step::Field("between"));
            self.part(between);
            self.path.pop();
        }
    }

    fn steps(&mut self, role: Role, steps: &mut [OfFrame]) {
        for (n, step) in steps.iter_mut().enumerate() {
            let at = [Step::Item(0), Step::Item(n), Step::Item(1)];
            if let Some(time) = &mut step.time {
                self.one(&at, role, time);
            }
        }
    }

    fn block(&mut self, block: &mut Block) {
        let at = |name| [Step::Field("pattern"), Step::Field(name)];
        match &mut block.pattern {
            Pattern::Rounds { work, rest } => {
                self.see(&at("work"), Role::Work, work, true);
                self.see(&at("rest"), Role::Rest, rest, true);
            }
            Pattern::Same { work, rest, .. } => {
                self.one(&at("work"), Role::Work, work);
                self.one(&at("rest"), Role::Rest, rest);
            }
            Pattern::Reps {
                rest, cap: None, ..
            } => self.one(&at("rest"), Role::Rest, rest),
            Pattern::Amrap { time } => self.one(&at("time"), Role::Window, time),
            // Its windows stay whole, whatever the work in them; or it ends at its cap.
            Pattern::Emom { .. } | Pattern::Reps { .. } => return,
        }
        if let Some(recovery) = &mut block.recovery {
            self.one(&[Step::Field("recovery")], Role::Recovery, recovery);
        }
        for (n, doing) in block.moves.iter_mut().enumerate() {
            match doing {
                Doing::One(turn) => self.turn(n, turn),
                Doing::Together(together) => self.together(n, Arc::make_mut(together)),
            }
        }
    }

    /// The times of several at once stand with them, never with one of them.
    fn together(&mut self, n: usize, together: &mut Together) {
        let at = |name| [Step::Field("moves"), Step::Item(n), Step::Field(name)];
        let own = [
            ("swap", Role::Rest, &mut together.swap),
            ("work", Role::Work, &mut together.work),
            ("rest", Role::Rest, &mut together.rest),
        ];
        for (name, role, span) in own {
            if let Some(span) = span {
                self.one(&at(name), role, span);
            }
        }
    }

    fn turn(&mut self, n: usize, turn: &mut Arc<Use>) {
        // Of a place that differs by round nobody can tell which list a time is from.
        let is_alike = turn.rounds.is_empty();
        if !is_alike || turn.work.is_none() && turn.rest.is_none() {
            return;
        }
        let turn = Arc::make_mut(turn);
        let at = |name| [Step::Field("moves"), Step::Item(n), Step::Field(name)];
        if let Some(work) = &mut turn.work {
            self.one(&at("work"), Role::Work, work);
        }
        if let Some(rest) = &mut turn.rest {
            self.one(&at("rest"), Role::Rest, rest);
        }
    }
}
