//! The best order, by the sets of moves already placed: for each set and each move that stands last
//! in it, the least trouble so far. Time and memory double with each move: for n moves n^3 2^n
//! steps, and n 2^n numbers are kept.

use super::problem::Problem;

/// What is out of reach.
const NEVER: u64 = u64::MAX / 4;

/// The costs of a problem, looked up in its inmost loop.
struct Costs {
    moves: usize,
    /// By place and move.
    alone: Vec<Vec<u64>>,
    /// By place, and the moves at it and at the next.
    step: Vec<Vec<Vec<u64>>>,
    /// By the last move and the first.
    around: Vec<Vec<u64>>,
}

impl Costs {
    fn of(problem: &Problem) -> Self {
        let moves = problem.len();
        let alone = |place: usize, of: usize| {
            let may = problem.may(place, of);
            if may {
                problem.alone(place, of).total()
            } else {
                NEVER
            }
        };
        let row = |place: usize| (0..moves).map(|of| alone(place, of)).collect();
        let step = |place: usize| {
            let row = |a: usize| {
                (0..moves)
                    .map(|b| problem.step(place, a, b).total())
                    .collect()
            };
            (0..moves).map(row).collect()
        };
        let around = |a: usize| (0..moves).map(|b| problem.around(a, b).total()).collect();
        Self {
            moves,
            alone: (0..moves).map(row).collect(),
            step: (0..moves - 1).map(step).collect(),
            around: (0..moves).map(around).collect(),
        }
    }
}

/// The best orders, at most so many.
pub(super) fn best(problem: &Problem, most: usize) -> Vec<Vec<usize>> {
    let costs = Costs::of(problem);
    let mut table = vec![NEVER; costs.moves << costs.moves];
    let (mut least, mut found) = (NEVER, Vec::new());
    for first in (0..costs.moves).filter(|first| costs.alone[0][*first] < NEVER) {
        fill(&costs, first, &mut table);
        let ends = |last: usize| table[at(&costs, full(&costs), last)] + costs.around[last][first];
        let reached = (0..costs.moves).map(ends).min().unwrap_or(NEVER);
        if reached < least {
            least = reached;
            found.clear();
        }
        if reached == least && least < NEVER {
            let lasts = (0..costs.moves).filter(|last| ends(*last) == least);
            for last in lasts {
                let mut order = vec![last];
                back(&costs, &table, full(&costs), &mut order, &mut found, most);
            }
        }
    }
    if found.is_empty() {
        found.push((0..costs.moves).collect());
    }
    found
}

const fn full(costs: &Costs) -> usize {
    (1 << costs.moves) - 1
}

const fn at(costs: &Costs, set: usize, last: usize) -> usize {
    set * costs.moves + last
}

/// The least trouble of every set that begins with this move, by its last.
fn fill(costs: &Costs, first: usize, table: &mut [u64]) {
    table.fill(NEVER);
    table[at(costs, 1 << first, first)] = costs.alone[0][first];
    for set in (1..=full(costs)).filter(|set| set & (1 << first) != 0) {
        let place = set.count_ones() as usize;
        if place == costs.moves {
            continue;
        }
        for last in 0..costs.moves {
            let so_far = table[at(costs, set, last)];
            if so_far >= NEVER {
                continue;
            }
            for next in (0..costs.moves).filter(|next| set & (1 << next) == 0) {
                let cost = so_far + costs.step[place - 1][last][next] + costs.alone[place][next];
                let to = at(costs, set | (1 << next), next);
                table[to] = table[to].min(cost);
            }
        }
    }
}

/// Goes back from the last move to the first by every way that is as good.
fn back(
    costs: &Costs,
    table: &[u64],
    set: usize,
    order: &mut Vec<usize>,
    found: &mut Vec<Vec<usize>>,
    most: usize,
) {
    let last = order[order.len() - 1];
    let before = set & !(1 << last);
    if before == 0 {
        found.push(order.iter().rev().copied().collect());
        return;
    }
    let place = before.count_ones() as usize;
    let here = table[at(costs, set, last)];
    for other in (0..costs.moves).filter(|other| before & (1 << other) != 0) {
        if found.len() >= most {
            return;
        }
        let cost = costs.step[place - 1][other][last] + costs.alone[place][last];
        if table[at(costs, before, other)] + cost == here {
            order.push(other);
            back(costs, table, before, order, found, most);
            order.pop();
        }
    }
}
