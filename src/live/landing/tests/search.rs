//! Every plan that obeys the order, tried one by one: none loses fewer seconds of work.

use std::sync::Arc;

use fastrand::Rng;

use super::plans::{Case, a_move, of_parts};
use super::properties::{STEPS, could_give};
use crate::live::landing::{Change, ChangeKind, Landing, apply};
use crate::plan::{Kind, Timeline};
use crate::session::{Block, Cueing, Order, Part, Pattern, Position, Step, Use};
use crate::time::Span;

fn small(rng: &mut Rng) -> Case {
    let secs = |rng: &mut Rng, range| Span::from_secs(rng.u64(range));
    let mut parts: Vec<Part> = (0..rng.usize(1..=2))
        .map(|_| {
            Part::Block(Block {
                title: None,
                moves: (0..rng.usize(1..=2)).map(|_| turn(rng)).collect(),
                pattern: Pattern::Same {
                    rounds: rng.u32(1..=2),
                    work: secs(rng, 4..13),
                    rest: secs(rng, 0..9),
                },
                recovery: rng.bool().then(|| secs(rng, 8..15)),
                order: Order::ByRound,
            })
        })
        .collect();
    if rng.bool() {
        let (turn, time) = (turn(rng), secs(rng, 4..8));
        parts.push(Part::CoolDown(vec![Step { turn, time }]));
    }
    let plan = Timeline::of(&of_parts(parts));
    let n = rng.usize(0..plan.intervals().len().div_ceil(2));
    let at = plan.intervals()[n].start;
    let left = plan.total().less(at.span()).secs_down();
    let room = Span::from_secs(rng.u64(0..=left));
    Case { plan, n, at, room }
}

fn turn(rng: &mut Rng) -> Arc<Use> {
    let position = *rng.choice(&[Position::Standing, Position::Supine]).unwrap();
    Arc::new(Use::plain(Arc::new(a_move("Squat", position, ""))))
}

/// The rounds in the order in which they are given up: block and round.
fn giving_up(case: &Case) -> Vec<(usize, usize)> {
    let mut rounds: Vec<(usize, usize)> = Vec::new();
    let works = case.plan.intervals().iter().enumerate();
    for (i, work) in works.filter(|(_, i)| i.kind == Kind::Work) {
        let place = work.place.as_ref().unwrap();
        let round = (place.block, place.round);
        if i <= case.n {
            rounds.retain(|&r| r != round);
        } else if !rounds.contains(&round) && !has_begun(case, round) {
            rounds.push(round);
        }
    }
    let mut order = Vec::new();
    while !rounds.is_empty() {
        let count = |block: usize| rounds.iter().filter(|r| r.0 == block).count();
        let last = *rounds
            .iter()
            .max_by_key(|r| (count(r.0), r.0, r.1))
            .unwrap();
        rounds.retain(|&r| r != last);
        order.push(last);
    }
    order
}

fn has_begun(case: &Case, round: (usize, usize)) -> bool {
    case.plan.intervals()[..=case.n].iter().any(|i| {
        let place = i.place.as_ref().map(|place| (place.block, place.round));
        i.kind == Kind::Work && place == Some(round)
    })
}

/// The class without these rounds, and without the pauses that led to them.
fn without(case: &Case, rounds: &[(usize, usize)]) -> Timeline {
    let all = case.plan.intervals();
    let goes = |i: usize| {
        let place = all[i].place.as_ref()?;
        let next = all.get(i + 1).and_then(|next| next.place.as_ref());
        let of = match (all[i].kind, next) {
            (Kind::Work, _) => place,
            (_, next) => next?,
        };
        (i > case.n && rounds.contains(&(of.block, of.round))).then_some(all[i].id)
    };
    let drop = |id| Change {
        id,
        kind: ChangeKind::Drop,
    };
    let drops: Vec<Change> = (0..all.len()).filter_map(goes).map(drop).collect();
    apply(&case.plan, case.n, &drops, &mut 0)
}

/// Fewest seconds of work lost by any allowed taking of exactly `over` seconds; all takings of
/// whole seconds are tried. `able`: step and most of each interval.
fn least_lost(able: &[(usize, u64)], over: u64) -> Option<u64> {
    fn walk(able: &[(usize, u64)], taken: &mut Vec<u64>, over: u64, best: &mut Option<u64>) {
        if taken.len() == able.len() {
            if over == 0 && is_in_order(able, taken) {
                let lost = able.iter().zip(taken.iter()).filter(|(a, _)| a.0 == 3);
                let lost = lost.map(|(_, &t)| t).sum();
                *best = Some(best.map_or(lost, |best| best.min(lost)));
            }
            return;
        }
        for part in 0..=able[taken.len()].1.min(over) {
            taken.push(part);
            walk(able, taken, over - part, best);
            taken.pop();
        }
    }
    let mut best = None;
    walk(able, &mut Vec::new(), over, &mut best);
    best
}

fn is_in_order(able: &[(usize, u64)], taken: &[u64]) -> bool {
    let last = able
        .iter()
        .zip(taken)
        .filter(|&(_, &t)| t > 0)
        .map(|(a, _)| a.0)
        .max();
    let full = |(a, &t): (&(usize, u64), &u64)| Some(a.0) >= last || t == a.1;
    able.iter().zip(taken).all(full)
}

/// Seconds of work lost by the best allowed plan; nothing where none ends in time.
fn best(case: &Case) -> Option<u64> {
    let order = giving_up(case);
    for given_up in 0..=order.len() {
        let plan = without(case, &order[..given_up]);
        let all_gone = given_up == order.len();
        let give = could_give(case, &plan);
        let ahead = || plan.intervals()[case.n + 1..].iter();
        let able: Vec<(usize, u64)> = ahead()
            .filter_map(|i| {
                let step = STEPS.iter().position(|kinds| kinds.contains(&i.kind))?;
                (step < 4 || all_gone).then_some((step, give[&i.id].secs_down()))
            })
            .collect();
        let dropped = case.plan.time_in(Kind::Work).less(plan.time_in(Kind::Work));
        let left = plan.total().less(case.at.span());
        let over = left.less(case.room).secs_down();
        if let Some(lost) = least_lost(&able, over) {
            return Some(lost + dropped.secs_down());
        }
    }
    None
}

#[test]
fn no_plan_that_obeys_the_order_loses_less_work() {
    let mut rng = Rng::with_seed(9);
    let (mut some, mut none) = (0, 0);
    for number in 0..3_000 {
        let case = small(&mut rng);
        let landing = Landing::of(&case.plan, case.n, case.at, case.room, &Cueing::default());
        let after = apply(&case.plan, case.n, &landing.changes, &mut 0);
        let lost = case
            .plan
            .time_in(Kind::Work)
            .less(after.time_in(Kind::Work));
        if let Some(best) = best(&case) {
            assert_eq!(lost, Span::from_secs(best), "case {number}: {landing:#?}");
            assert_eq!(landing.over, Span::ZERO, "case {number}");
            some += u32::from(best > 0);
        } else {
            assert!(!landing.over.is_zero(), "case {number}: {landing:#?}");
            none += 1;
        }
    }
    assert!(some > 500 && none > 50, "{some} {none}");
}
