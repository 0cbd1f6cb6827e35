//! A good order for more moves than can be tried: begun at each move by the least step, and made
//! better by putting moves elsewhere for as long as that helps. No promise that it is the best.

use super::problem::Problem;

/// How many orders are looked at, at most: long lists are left at what was found by then.
const LOOKS: usize = 300_000;
/// How many beginnings are tried.
const BEGINNINGS: usize = 40;

/// A good order.
pub(super) fn order(problem: &Problem) -> Vec<usize> {
    let given: Vec<usize> = (0..problem.len()).collect();
    let mut looks = LOOKS;
    let firsts = (0..problem.len())
        .filter(|first| problem.may(0, *first))
        .take(BEGINNINGS);
    let begun = firsts.map(|first| nearest(problem, first));
    let begun = begun.chain([given]).filter(|order| problem.allows(order));
    let better = begun.map(|order| better(problem, order, &mut looks));
    let best = better.min_by_key(|order| problem.trouble(order).total());
    best.unwrap_or_else(|| (0..problem.len()).collect())
}

fn nearest(problem: &Problem, first: usize) -> Vec<usize> {
    let mut order = vec![first];
    let mut left: Vec<usize> = (0..problem.len()).filter(|of| *of != first).collect();
    while !left.is_empty() {
        let (place, last) = (order.len(), order[order.len() - 1]);
        let cost =
            |of: &usize| (problem.step(place - 1, last, *of) + problem.alone(place, *of)).total();
        let may = left.iter().copied().filter(|of| problem.may(place, *of));
        let next = may.min_by_key(cost).unwrap_or(left[0]);
        left.retain(|of| *of != next);
        order.push(next);
    }
    order
}

/// One move, or a run of some, put elsewhere or turned round, as long as it helps.
fn better(problem: &Problem, mut order: Vec<usize>, looks: &mut usize) -> Vec<usize> {
    let mut least = problem.trouble(&order).total();
    loop {
        let before = least;
        for from in 0..order.len() {
            for to in 0..order.len() {
                for turned in [false, true] {
                    if *looks == 0 {
                        return order;
                    }
                    *looks -= 1;
                    let other = if turned {
                        turned_round(&order, from, to)
                    } else {
                        put(&order, from, to)
                    };
                    let cost = problem.trouble(&other).total();
                    if cost < least && problem.allows(&other) {
                        (order, least) = (other, cost);
                    }
                }
            }
        }
        if least == before {
            return order;
        }
    }
}

fn put(order: &[usize], from: usize, to: usize) -> Vec<usize> {
    let mut other = order.to_vec();
    let of = other.remove(from);
    other.insert(to, of);
    other
}

fn turned_round(order: &[usize], from: usize, to: usize) -> Vec<usize> {
    let mut other = order.to_vec();
    other[from.min(to)..=from.max(to)].reverse();
    other
}
