//! What a time, or a list with one for each round, may become, and what that asks of the plan.

use super::knobs::Knob;
use crate::session::edit::Role;
use crate::time::Span;

/// Times are multiples of this wherever they can be.
const NICE: i64 = 5_000;
/// What it costs to leave a multiple of five seconds: more than every strain there can be, so that
/// as few times do as must.
const NOT_NICE: u64 = 10_000_000_000_000;
/// What it costs to change the steps of a ladder.
const OTHER_STEP: u64 = 3_000;

/// One way for a time to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Choice {
    /// The times.
    pub(super) spans: Vec<Span>,
    /// By how many seconds the class becomes longer.
    pub(super) more: i64,
    /// What it asks of the plan.
    pub(super) cost: u64,
}

/// Every way for a time to be, within its bounds and in its shape; of those by which the class
/// becomes as much longer, the one that asks least.
pub(super) fn choices(knob: &Knob) -> Vec<Choice> {
    let spans: Vec<i64> = knob.at.spans.iter().map(|span| millis(*span)).collect();
    let stays = Choice {
        spans: knob.at.spans.clone(),
        more: 0,
        cost: 0,
    };
    let mut found = vec![stays];
    if spans.contains(&0) {
        return found;
    }
    let (step, shape) = shape(&spans);
    for new_step in steps(step) {
        let reach = millis(knob.ceilings[0]).max(spans[0]) - spans[0];
        let low = millis(knob.floors[0]) - spans[0];
        for by in low.div_euclid(1000)..=reach.div_euclid(1000) {
            let new = shape.iter().map(|k| spans[0] + by * 1000 + k * new_step);
            let new: Vec<i64> = new.collect();
            found.extend(choice(knob, &spans, &new, step != new_step));
        }
    }
    found.sort_by_key(|choice| (choice.more, choice.cost));
    found.dedup_by_key(|choice| choice.more);
    found
}

fn millis(span: Span) -> i64 {
    i64::try_from(span.millis()).unwrap_or(i64::MAX / 4)
}

/// The steps in which the times of a list lie apart, and how many of them each is from the first.
fn shape(spans: &[i64]) -> (i64, Vec<i64>) {
    let apart = spans.iter().map(|span| span - spans[0]);
    let step = apart.clone().fold(0, gcd);
    let count = |by: i64| if step == 0 { 0 } else { by / step };
    (step, apart.map(count).collect())
}

fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a.abs() } else { gcd(b, a % b) }
}

/// The steps that a ladder may have: its own, and multiples of five seconds, or of one where it
/// has small ones, from half to twice as high.
fn steps(step: i64) -> Vec<i64> {
    let unit = if step > NICE { NICE } else { 1_000 };
    let others = (1..).map(|n| n * unit).skip_while(|other| other * 2 < step);
    let others = others.take_while(|other| *other <= step * 2);
    let mut steps: Vec<i64> = others.filter(|other| *other != step).collect();
    steps.push(step);
    steps
}

fn choice(knob: &Knob, before: &[i64], after: &[i64], other_step: bool) -> Option<Choice> {
    let within = |(n, span): (usize, &i64)| {
        let (floor, ceiling) = (millis(knob.floors[n]), millis(knob.ceilings[n]));
        (floor.max(1)..=ceiling).contains(span)
    };
    if !after.iter().enumerate().all(within) {
        return None;
    }
    let mut more = 0;
    let mut cost = 0;
    let mut is_nice = true;
    for (n, (&old, &new)) in before.iter().zip(after).enumerate() {
        let count = i64::try_from(knob.times[n]).unwrap_or(i64::MAX / 4);
        more += count * (new - old);
        cost += strain(knob.at.role, old, new) * knob.times[n];
        is_nice &= old % NICE != 0 || new % NICE == 0;
    }
    let shift = if is_nice { 0 } else { NOT_NICE };
    let shape = if other_step { OTHER_STEP } else { 0 };
    let to_span = |millis: i64| Span::from_millis(millis.unsigned_abs());
    (more % 1000 == 0).then(|| Choice {
        spans: after.iter().copied().map(to_span).collect(),
        more: more / 1000,
        cost: cost + shift + shape,
    })
}

/// What a change of one interval asks: its square by the length, so that all give a like share,
/// weighted in the order in which a landing takes.
fn strain(role: Role, old: i64, new: i64) -> u64 {
    let by = (new - old).unsigned_abs();
    let weight = match (role, new > old) {
        (Role::Recovery, _) => 1,
        (Role::Rest, _) | (Role::CoolDown, true) => 2,
        (Role::Window, _) | (Role::WarmUp, true) => 3,
        (Role::Talk, false) | (Role::Ready, _) => 4,
        (Role::CoolDown, false) => 5,
        (Role::Work, _) | (Role::WarmUp, false) => 6,
        (Role::Talk, true) => 8,
    };
    weight * by * by / old.unsigned_abs().max(1)
}
