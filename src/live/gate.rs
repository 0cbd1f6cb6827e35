//! The gate through which every change of the class goes: it keeps what a body needs between two
//! moves.
//!
//! Where a change brings two moves together that did not follow one another, or takes time from
//! between them, or sends people elsewhere than before, the pause between is made as long as the
//! way needs: get down, get up, fetch, and hear what comes. A pause that was planned shorter stays
//! as it was planned. Starts on a grid stay on it.

use std::collections::HashMap;
use std::fmt;
use std::sync::Arc;

use super::course::{Remaining, Running};
use crate::plan::{Interval, Kind, PositionChange, Transition, leaves_mat, need};
use crate::session::Cueing;
use crate::time::{Offset, Span};

/// What the gate must know of the class besides what is left of it.
#[derive(Clone, Copy)]
pub(super) struct Gate<'a> {
    pub(super) at: Offset,
    pub(super) cueing: &'a Cueing,
    /// The last interval in which people moved before what runs, or ran.
    pub(super) moved: Option<&'a Arc<Interval>>,
    /// The pause in which they kept moving since, if there was one.
    pub(super) active: Option<&'a Arc<Interval>>,
    /// Whether a mat lies where it was used.
    pub(super) mat_lies: bool,
}

/// Time that was put in so that people get to a move, and what they need it for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct PutIn {
    span: Span,
    what_for: Option<&'static str>,
}

impl PutIn {
    /// Both; where they are for different things, time to change.
    pub(super) fn and(self, other: Self) -> Self {
        let what_for = match (self.what_for, other.what_for) {
            (Some(a), Some(b)) if a != b => Some("to change"),
            (a, b) => a.or(b),
        };
        let span = self.span + other.span;
        Self { span, what_for }
    }
}

/// Behind the word of a change: nothing, or `, +0:04 to get down`.
impl fmt::Display for PutIn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.what_for {
            Some(what_for) if !self.span.is_zero() => {
                write!(f, ", +{} {what_for}", self.span.ceil_secs())
            }
            _ => Ok(()),
        }
    }
}

/// The way to a move: from which one, how long the pause between is, and what it needs.
#[derive(Clone, Copy)]
struct Way {
    from: Option<u32>,
    change: PositionChange,
    /// What is left of it.
    pause: Span,
    /// With what is past of it.
    whole: Span,
    need: Span,
    /// What of that the body is on its way.
    moves: Span,
    /// What of that it takes to fetch things, or to walk to a station.
    fetches: Span,
    walks: bool,
}

impl Way {
    /// What this much too little is wanted for, where the way needed `before` if it was the same
    /// one: what it needs now and did not need then, else what comes last on it.
    fn what_for(&self, lack: Span, before: Option<&Self>) -> &'static str {
        let grown = before.map(|old| {
            let more = |now: Span, then: Span| now.saturating_sub(then);
            (more(self.moves, old.moves), more(self.fetches, old.fetches))
        });
        let grown = grown.filter(|more| *more != (Span::ZERO, Span::ZERO));
        let (moves, fetches) = grown.unwrap_or((self.moves, self.fetches));
        let moves = !moves.is_zero() && lack > fetches;
        match (self.change, moves, !fetches.is_zero()) {
            (PositionChange::Down, true, false) => "to get down",
            (PositionChange::Down, true, true) => "to get down and fetch things",
            (PositionChange::Up, true, false) => "to get up",
            (PositionChange::Up, true, true) => "to get up and fetch things",
            (_, true, false) => "to change",
            (_, true, true) => "to change and fetch things",
            (_, false, true) if self.walks => "to get to the stations",
            (_, false, true) => "to fetch things",
            (_, false, false) => "to get ready",
        }
    }
}

impl<'a> Gate<'a> {
    /// What runs is left: whoever moves in it comes from there.
    pub(super) fn leaves(&mut self, running: Option<&'a Running>) {
        let now = running.map(|running| &running.interval);
        if let Some(now) = now.filter(|now| now.kind.is_moving()) {
            self.moved = Some(now);
            self.active = None;
            self.mat_lies |= leaves_mat(now);
        } else if let Some(now) = now.filter(|now| now.is_active_pause()) {
            self.active = Some(now);
        }
    }

    /// Makes the pauses long enough that a change left too short.
    pub(super) fn keep(
        &self,
        before: &Remaining,
        left: &mut Remaining,
        next_id: &mut u32,
    ) -> PutIn {
        self.lengthen_pauses(before, left, false, next_id)
    }

    /// The same, where a change is taken back: what it brings together had a pause, however short,
    /// and needs no more than that.
    pub(super) fn restore(
        &self,
        before: &Remaining,
        left: &mut Remaining,
        next_id: &mut u32,
    ) -> PutIn {
        self.lengthen_pauses(before, left, true, next_id)
    }

    fn lengthen_pauses(
        &self,
        before: &Remaining,
        left: &mut Remaining,
        restoring: bool,
        next_id: &mut u32,
    ) -> PutIn {
        let same = same_end(before, left);
        let changed = |of: &Remaining| of.ahead.len() - same;
        // A mat that no longer lies there must be fetched for whatever needs it first behind the
        // change.
        let to_mat =
            self.mat_behind(before, changed(before)) && !self.mat_behind(left, changed(left));
        let known = self.ways(before, changed(before), to_mat);
        let known: HashMap<u32, Way> = known.into_iter().map(|(_, id, way)| (id, way)).collect();
        let mut all: Option<Vec<Arc<Interval>>> = None;
        let mut put_in = PutIn::default();
        let (mut grown, mut reach) = (0, 0);
        for (at, id, way) in self.ways(left, changed(left), to_mat) {
            let most = if restoring {
                way.need.min(way.whole)
            } else {
                way.need
            };
            let old = known.get(&id).filter(|old| old.from == way.from);
            let floor = match old {
                Some(old) => most.min(old.pause + way.need.saturating_sub(old.need)),
                None => most,
            };
            let lack = floor.saturating_sub(way.pause);
            if lack.is_zero() || self.is_within_a_grid(left, at) {
                continue;
            }
            put_in = put_in.and(PutIn {
                span: lack,
                what_for: Some(way.what_for(lack, old)),
            });
            if at == 0
                && let Some(running) = left.running.as_mut()
                && !running.interval.kind.is_moving()
                && running.interval.grid().is_none()
            {
                running.target += lack;
                continue;
            }
            let all = all.get_or_insert_with(|| left.ahead.to_vec());
            grown += usize::from(lengthen(all, at + grown, lack, next_id));
            reach = at + grown + 1;
        }
        if let Some(mut all) = all {
            all.truncate(reach);
            left.ahead.replace(reach - grown, all);
        }
        put_in
    }

    /// Whether a mat lies where it was used behind the first `count` ahead.
    fn mat_behind(&self, left: &Remaining, count: usize) -> bool {
        let running = left.running.as_ref().map(|running| &running.interval);
        let mut done = running.into_iter().chain(left.ahead.iter().take(count));
        self.mat_lies || done.any(|of| of.kind.is_moving() && leaves_mat(of))
    }

    /// Puts time to get there before what a jump leads to, where people move in it at once.
    pub(super) fn lead_in(
        &self,
        from: Option<&Arc<Interval>>,
        left: &mut Remaining,
        id: &mut u32,
    ) -> PutIn {
        let none = PutIn::default();
        let Some(running) = left.running.as_ref() else {
            return none;
        };
        let target = running.interval.clone();
        if !target.kind.is_moving() {
            return none;
        }
        let body = self.active.or(from).map(|body| &**body);
        let way = self.way(from, body, &target, self.mat_lies);
        let takes = way.need;
        if takes.is_zero() {
            return none;
        }
        left.ahead.push(target.clone());
        let ready = ready(&target, takes, id);
        left.begin(ready, self.at);
        PutIn {
            span: takes,
            what_for: Some(way.what_for(takes, None)),
        }
    }

    /// Where a change between two starts of a grid leaves too little of the pause to get to what now
    /// comes, the first window that went stays as a rest: the starts keep to the grid. A pause that
    /// was shorter to begin with is enough as it was.
    pub(super) fn keep_start(&self, gone: &Interval, left: &mut Remaining, next_id: &mut u32) {
        let Some(running) = left.running.as_ref() else {
            return;
        };
        let Some(every) = running.interval.grid() else {
            return;
        };
        let Some(&(at, _, way)) = self.ways(left, 0, false).first() else {
            return;
        };
        if way.pause >= way.need.min(way.whole) || !self.is_within_a_grid(left, at) {
            return;
        }
        let id = *next_id;
        *next_id += 1;
        let free = Interval {
            id,
            length: every,
            planned: every,
            place: gone.place.clone(),
            ..running.interval.as_ref().clone()
        };
        let mut first: Vec<_> = left.ahead.iter().take(at).cloned().collect();
        first.push(Arc::new(free));
        left.ahead.replace(at, first);
    }

    /// The ways to the moves among the first `count` ahead, and to the first one after; `to_mat`
    /// where they are wanted up to the first that needs a mat behind those.
    fn ways(&self, left: &Remaining, count: usize, to_mat: bool) -> Vec<(usize, u32, Way)> {
        let mut ways = Vec::new();
        let Some(running) = left.running.as_ref() else {
            return ways;
        };
        let mut mat = self.mat_lies;
        let mut active = None;
        let (mut from, mut pause, mut past) = if running.interval.kind.is_moving() {
            mat |= leaves_mat(&running.interval);
            (Some(&running.interval), Span::ZERO, Span::ZERO)
        } else {
            let past = running.elapsed(self.at);
            let here = Some(&running.interval).filter(|here| here.is_active_pause());
            active = here.or(self.active);
            (self.moved, running.left(self.at), past)
        };
        for (at, next) in left.ahead.iter().enumerate() {
            if !next.kind.is_moving() {
                pause += next.length;
                active = Some(next).filter(|next| next.is_active_pause()).or(active);
                continue;
            }
            let body = active.take().or(from).map(|body| &**body);
            let way = Way {
                pause,
                whole: past + pause,
                ..self.way(from, body, next, mat)
            };
            ways.push((at, next.id, way));
            let needs_mat = leaves_mat(next);
            if at >= count && (!to_mat || needs_mat) {
                break;
            }
            mat |= needs_mat;
            (from, pause, past) = (Some(next), Span::ZERO, Span::ZERO);
        }
        ways
    }

    /// The way from what was done last to a move, without a pause.
    fn way(
        &self,
        from: Option<&Arc<Interval>>,
        before: Option<&Interval>,
        next: &Interval,
        mat_lies: bool,
    ) -> Way {
        let way = Transition::of(before, next, mat_lies);
        let moves = way.change.takes(self.cueing);
        Way {
            from: from.map(|from| from.id),
            change: way.change,
            pause: Span::ZERO,
            whole: Span::ZERO,
            need: need(self.cueing, before, next, mat_lies),
            moves,
            fetches: way.takes(self.cueing).saturating_sub(moves),
            walks: way.walks,
        }
    }

    /// Whether a move and the one before it are of one grid, whose starts stay where they are.
    fn is_within_a_grid(&self, left: &Remaining, at: usize) -> bool {
        let Some(next) = left
            .ahead
            .iter()
            .nth(at)
            .filter(|next| next.grid().is_some())
        else {
            return false;
        };
        let running = left.running.as_ref().map(|running| &running.interval);
        let before = left.ahead.iter().take(at);
        let before = self.moved.into_iter().chain(running).chain(before);
        let moved = before.filter(|before| before.kind.is_moving()).last();
        moved.is_some_and(|moved| moved.block() == next.block())
    }
}

/// How many intervals at the end are the very same.
fn same_end(before: &Remaining, left: &Remaining) -> usize {
    let pairs = before.ahead.iter().rev().zip(left.ahead.iter().rev());
    pairs.take_while(|(a, b)| Arc::ptr_eq(a, b)).count()
}

/// Makes the pause before `at` longer; whether one had to be put there.
fn lengthen(all: &mut Vec<Arc<Interval>>, at: usize, lack: Span, next_id: &mut u32) -> bool {
    let pause = at.checked_sub(1).map(|before| &mut all[before]);
    if let Some(pause) = pause.filter(|pause| !pause.kind.is_moving() && pause.grid().is_none()) {
        *pause = Arc::new(Interval {
            length: pause.length + lack,
            ..pause.as_ref().clone()
        });
        return false;
    }
    let ready = ready(&all[at], lack, next_id);
    all.insert(at, ready);
    true
}

/// Time to get to a move that no plan had.
fn ready(target: &Interval, length: Span, next_id: &mut u32) -> Arc<Interval> {
    let id = *next_id;
    *next_id += 1;
    Arc::new(Interval {
        id,
        kind: Kind::Ready,
        length,
        planned: length,
        part: target.part,
        place: None,
        moves: Arc::default(),
        say: "".into(),
        untimed: false,
        go: target.go,
        mark: None,
    })
}
