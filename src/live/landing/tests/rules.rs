//! The rules of floors, pauses and whole windows once more, from the README and slowly: every
//! interval is looked at by itself, and what stands around it is searched for each time.

use std::collections::HashMap;

use super::plans::Case;
use crate::plan::{Interval, Kind, Placed, Shape, Timeline, need};
use crate::session::Cueing;
use crate::time::Span;

/// The steps in their order: what is shortened, and to the first or to the last floor.
pub(super) const STEPS: [(&[What], Floor); 10] = [
    (&[What::Recovery], Floor::First),
    (&[What::Rest], Floor::First),
    (&[What::Talk], Floor::First),
    (&[What::Work, What::Window], Floor::First),
    (&[What::WarmUp], Floor::First),
    (&[What::CoolDown], Floor::First),
    (&[What::Recovery], Floor::Last),
    (&[What::Rest], Floor::Last),
    (&[What::Window], Floor::Last),
    (&[What::CoolDown], Floor::Last),
];

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum What {
    Recovery,
    Rest,
    Talk,
    Work,
    Window,
    WarmUp,
    CoolDown,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Floor {
    First,
    Last,
}

pub(super) fn what(of: &Placed) -> What {
    match of.kind {
        Kind::Recovery => What::Recovery,
        Kind::Rest => What::Rest,
        Kind::Talk | Kind::Ready => What::Talk,
        Kind::Free => What::Work,
        Kind::WarmUp => What::WarmUp,
        Kind::CoolDown => What::CoolDown,
        Kind::Work => match of.place.as_ref().map(|place| place.shape) {
            Some(Shape::Window) => What::Window,
            _ => What::Work,
        },
    }
}

pub(super) fn by_id(plan: &Timeline) -> HashMap<u32, &Placed> {
    plan.intervals().iter().map(|of| (of.id, of)).collect()
}

/// Whether a mat has been used in what was taught or runs.
pub(super) fn mat_lies(case: &Case) -> bool {
    let so_far = case.plan.intervals().iter().take(case.n + 1);
    let mut turns = so_far.flat_map(|interval| interval.moves.iter());
    turns.any(|turn| turn.equipment().contains(&"mat"))
}

/// Whether the length of an interval may not be changed at all in a class of these.
pub(super) fn is_fixed(all: &[Placed], of: &Placed) -> bool {
    let shape = of.place.as_ref().map(|place| place.shape);
    of.untimed || matches!(shape, Some(Shape::Grid { .. })) && !ends_a_grid(all, of)
}

/// Whether it is a rest of a grid that ends the class: no start hangs on it.
fn ends_a_grid(all: &[Placed], of: &Placed) -> bool {
    let is_last = all.last().is_some_and(|last| last.id == of.id);
    is_last && of.kind == Kind::Rest && of.grid().is_some()
}

/// The floor of an interval by itself.
fn own(all: &[Placed], of: &Placed, floor: Floor) -> Span {
    let planned = of.planned.millis();
    let up = |millis: u64| millis.div_ceil(1_000) * 1_000;
    let millis = match (what(of), floor) {
        _ if is_fixed(all, of) => planned,
        _ if ends_a_grid(all, of) => 1_000,
        (What::Recovery, Floor::First) => up(planned.div_ceil(2)).max(10_000),
        (What::Recovery, Floor::Last) => 10_000,
        // The count of 3, the default, and 2 s.
        (What::Rest, Floor::First) => up(planned.div_ceil(2)).max(5_000),
        (What::Rest, Floor::Last) => 5_000,
        (What::Talk, _) if of.kind == Kind::Ready => 5_000,
        (What::Talk, _) => {
            // At 140 words a minute, the default, `word` takes 355 ms, a beginning 130 ms, and the
            // breath after the sentence half a second.
            let words = of.say.split_whitespace().count() as u64;
            let once = if words > 0 { 130 + 500 } else { 0 };
            up(words * 355 + once).max(10_000)
        }
        (What::Window, Floor::Last) if planned >= 90_000 => {
            let third = up(planned.div_ceil(3)).max(60_000);
            // It would have been left out otherwise.
            let is_shorter = of.length < Span::from_millis(third);
            if is_shorter { 60_000 } else { third }
        }
        (What::Work | What::Window | What::WarmUp, _) => up((planned * 2).div_ceil(3)).max(5_000),
        (What::CoolDown, Floor::First) => up((planned * 3).div_ceil(4)),
        (What::CoolDown, Floor::Last) => up(planned.div_ceil(2)),
    };
    Span::from_millis(millis)
}

/// The floors of what is ahead in a class that came from this case; what does not stand in the
/// plan of the case has none.
pub(super) fn floors(case: &Case, after: &Timeline, floor: Floor) -> HashMap<u32, Span> {
    let all = after.intervals();
    let was = by_id(&case.plan);
    let mut out = HashMap::new();
    for (i, is) in all.iter().enumerate().skip(case.n + 1) {
        let Some(was) = was.get(&is.id) else { continue };
        let least = own(all, is, floor).max(owed(case, all, i));
        out.insert(is.id, least.min(was.span()));
    }
    out
}

/// What an interval of a pause keeps of the time to change: what those behind it leave over.
fn owed(case: &Case, all: &[Placed], i: usize) -> Span {
    let next = (i..all.len()).find(|&b| all[b].kind.is_moving());
    let Some(next) = next.filter(|&next| next > i) else {
        return Span::ZERO;
    };
    let from = (0..i).rev().find(|&b| all[b].kind.is_moving());
    let from = from.map(|from| &**all[from].interval());
    let was = by_id(&case.plan);
    let mut owed = need(&Cueing::default(), from, &all[next], mat_lies(case));
    for of in all[i + 1..next].iter().rev() {
        let floor = own(all, of, Floor::Last).max(owed).min(was[&of.id].span());
        owed = owed.saturating_sub(floor);
    }
    owed
}

/// What people do before each move, by the move's number: how long they rest, and what the change
/// to it needs.
pub(super) fn pauses(plan: &Timeline, mat_lies: bool) -> HashMap<u32, (Span, Span)> {
    let (mut out, mut pause) = (HashMap::new(), Span::ZERO);
    let mut before: Option<&Interval> = None;
    for placed in plan.intervals() {
        if placed.kind.is_moving() {
            let need = need(&Cueing::default(), before, placed, mat_lies);
            out.insert(placed.id, (pause, need));
            (pause, before) = (Span::ZERO, Some(&**placed.interval()));
        } else {
            pause += placed.span();
        }
    }
    out
}

/// Whether a class that came from this case fits once all is at the floors that come before rounds
/// are given up.
pub(super) fn fits(case: &Case, after: &Timeline) -> bool {
    let (first, last) = (
        floors(case, after, Floor::First),
        floors(case, after, Floor::Last),
    );
    let least: Span = after.intervals()[case.n + 1..]
        .iter()
        .map(|of| match what(of) {
            What::CoolDown => first[&of.id],
            _ => last[&of.id],
        })
        .sum();
    let running = after.intervals()[case.n].end - case.at;
    running + least <= case.room
}
