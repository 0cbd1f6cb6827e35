//! The best choice of a [`Selection`], by a mixed-integer program: every item is a yes or no, every
//! wish about a sum has what it lacks and what it is over as amounts that cost.
//!
//! The solver goes by nodes and never by the clock, so that the same wishes give the same choice on
//! every machine. Where its nodes run out, the best so far is given with the bound that no choice can
//! pass.

use std::collections::BTreeMap;

use microlp::{ComparisonOp, OptimizationDirection, Problem, SolveOptions, SolveOutcome, Variable};

use super::greedy::greedy;
use super::selection::{Charge, Selection, Sum};

/// Nodes of the search, at most; most selections need less than a hundred.
const NODES: u64 = 1_000;

/// A choice, and how good one can be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Solved {
    /// The chosen items, in order.
    pub(super) chosen: Vec<usize>,
    /// What they are worth.
    pub(super) total: i64,
    /// What no choice is worth more than.
    pub(super) bound: i64,
}

/// The best choice, or a good one with the bound; nothing where a group has too few things.
pub(super) fn solve(selection: &Selection) -> Option<Solved> {
    solve_within(selection, NODES)
}

fn solve_within(selection: &Selection, nodes: u64) -> Option<Solved> {
    let kept = selection.worth_looking_at();
    let small = selection.with_only(&kept);
    let begun = greedy(&small);
    let (program, choices) = program(&small);
    let hint = begun.as_ref().map(|chosen| hint(&choices, chosen));
    let mut options = SolveOptions::default();
    options.node_limit = Some(nodes);
    options.warm_start = hint;
    let (found, bound) = match program.solve_with(options) {
        Ok(outcome) => (read(&outcome, &choices), outcome.stats().best_bound),
        Err(_) => (None, None),
    };
    let allowed = [found, begun]
        .into_iter()
        .flatten()
        .filter(|chosen| small.allows(chosen));
    let best = allowed.max_by_key(|chosen| small.total(chosen))?;
    let total = small.total(&best);
    // All numbers are whole: what is above the last whole one can't be reached.
    let bound = bound.map_or_else(|| easy_bound(&small), whole).max(total);
    let chosen = best.into_iter().map(|item| kept[item]).collect();
    Some(Solved {
        chosen,
        total,
        bound,
    })
}

/// The greatest whole number that a bound leaves, rounding errors of the solver aside.
#[expect(clippy::cast_possible_truncation, reason = "far below 2^53")]
fn whole(bound: f64) -> i64 {
    (bound + 1e-2).floor() as i64
}

/// The worth of the best of each group, without any cost.
fn easy_bound(selection: &Selection) -> i64 {
    let of_group = |(group, size): (usize, &usize)| -> i64 {
        let mut all: Vec<i64> = (selection.items.iter())
            .filter(|item| item.group == group)
            .map(|item| item.worth)
            .collect();
        all.sort_unstable_by_key(|worth| std::cmp::Reverse(*worth));
        all.iter().take(*size).sum()
    };
    selection.sizes.iter().enumerate().map(of_group).sum()
}

fn program(selection: &Selection) -> (Problem, Vec<Variable>) {
    let mut program = Problem::new(OptimizationDirection::Maximize);
    let choices: Vec<Variable> = (selection.items.iter())
        .map(|item| program.add_binary_var(amount(item.worth)))
        .collect();
    for (group, size) in selection.sizes.iter().enumerate() {
        let of = (0..choices.len()).filter(|&item| selection.items[item].group == group);
        let row: Vec<(Variable, f64)> = of.map(|item| (choices[item], 1.0)).collect();
        let size = i64::try_from(*size).unwrap_or(i64::MAX);
        program.add_constraint(row, ComparisonOp::Eq, amount(size));
    }
    once(selection, &choices, &mut program);
    for sum in &selection.sums {
        add_sum(sum, &choices, &mut program);
    }
    for charge in &selection.charges {
        add_charge(charge, &choices, &mut program);
    }
    for limit in &selection.limits {
        let row: Vec<(Variable, f64)> = (limit.of.iter())
            .map(|(item, by)| (choices[*item], amount(*by)))
            .collect();
        program.add_constraint(row, ComparisonOp::Le, amount(limit.most));
    }
    (program, choices)
}

/// What may be chosen once, in whatever group or version.
fn once(selection: &Selection, choices: &[Variable], program: &mut Problem) {
    let mut rows: BTreeMap<usize, Vec<(Variable, f64)>> = BTreeMap::new();
    for (item, choice) in selection.items.iter().zip(choices) {
        rows.entry(item.once).or_default().push((*choice, 1.0));
    }
    for row in rows.into_values().filter(|row| row.len() > 1) {
        program.add_constraint(row, ComparisonOp::Le, 1.0);
    }
}

fn add_sum(sum: &Sum, choices: &[Variable], program: &mut Problem) {
    let row: Vec<(Variable, f64)> = sum
        .of
        .iter()
        .map(|(item, by)| (choices[*item], amount(*by)))
        .collect();
    let positive: i64 = sum.of.iter().map(|(_, by)| (*by).max(0)).sum();
    let negative: i64 = sum.of.iter().map(|(_, by)| (*by).min(0)).sum();
    let mut off = |sign: f64| {
        let by = program.add_var(-amount(sum.cost), (0.0, f64::INFINITY));
        let mut row = row.clone();
        row.push((by, sign));
        row
    };
    // A bound that the sum cannot pass asks nothing.
    let under = (sum.least > negative).then(|| off(1.0));
    let over = (sum.most < positive).then(|| off(-1.0));
    if let Some(row) = under {
        program.add_constraint(row, ComparisonOp::Ge, amount(sum.least));
    }
    if let Some(row) = over {
        program.add_constraint(row, ComparisonOp::Le, amount(sum.most));
    }
}

/// Each item lies below what is paid once: a row for each keeps the relaxation tight.
fn add_charge(charge: &Charge, choices: &[Variable], program: &mut Problem) {
    let paid = program.add_var(-amount(charge.cost), (0.0, 1.0));
    for item in &charge.of {
        let row = [(choices[*item], 1.0), (paid, -1.0)];
        program.add_constraint(row, ComparisonOp::Le, 0.0);
    }
}

#[expect(
    clippy::cast_precision_loss,
    reason = "scores and counts, far below 2^53"
)]
const fn amount(number: i64) -> f64 {
    number as f64
}

fn hint(choices: &[Variable], chosen: &[usize]) -> Vec<(Variable, f64)> {
    let each = choices.iter().enumerate();
    let value = |item: usize| if chosen.contains(&item) { 1.0 } else { 0.0 };
    each.map(|(item, choice)| (*choice, value(item))).collect()
}

fn read(outcome: &SolveOutcome, choices: &[Variable]) -> Option<Vec<usize>> {
    let solution = outcome.solution()?;
    let chosen = |item: &usize| solution.var_value(choices[*item]) > 0.5;
    Some((0..choices.len()).filter(chosen).collect())
}

#[cfg(test)]
mod tests {
    use super::super::selection::{Item, Limit};
    use super::*;

    /// A selection with wishes of every kind, small enough to try every choice.
    fn random(rng: &mut fastrand::Rng) -> Selection {
        let sizes: Vec<usize> = (0..rng.usize(1..4)).map(|_| rng.usize(1..4)).collect();
        let count = rng.usize(4..13);
        let item = |rng: &mut fastrand::Rng| Item {
            worth: rng.i64(-20..60),
            group: rng.usize(0..sizes.len()),
            once: rng.usize(0..count),
        };
        let items: Vec<Item> = (0..count).map(|_| item(rng)).collect();
        let some =
            |rng: &mut fastrand::Rng| -> Vec<usize> { (0..count).filter(|_| rng.bool()).collect() };
        let sums = (0..rng.usize(0..6)).map(|_| {
            let least = rng.i64(-2..6);
            let of = some(rng)
                .into_iter()
                .map(|item| (item, rng.i64(-1..4)))
                .collect();
            Sum {
                wish: "sum",
                of,
                least,
                most: least + rng.i64(0..3),
                cost: rng.i64(1..40),
            }
        });
        let sums = sums.collect();
        let charges = (0..rng.usize(0..4)).map(|_| Charge {
            wish: "once",
            of: some(rng),
            cost: rng.i64(1..30),
        });
        let charges = charges.collect();
        let limits = (0..rng.usize(0..3)).map(|_| Limit {
            of: some(rng)
                .into_iter()
                .map(|item| (item, rng.i64(1..3)))
                .collect(),
            most: rng.i64(0..4),
        });
        let limits = limits.collect();
        Selection {
            items,
            sizes,
            sums,
            charges,
            limits,
        }
    }

    /// Every choice tried: the reference is this search, which knows no program.
    fn exhaustive(selection: &Selection) -> Option<i64> {
        let all = 0..1_usize << selection.items.len();
        let choice = |bits: usize| -> Vec<usize> {
            (0..selection.items.len())
                .filter(|n| (bits >> n) & 1 == 1)
                .collect()
        };
        let allowed = all.map(choice).filter(|chosen| selection.allows(chosen));
        allowed.map(|chosen| selection.total(&chosen)).max()
    }

    #[test]
    fn the_choice_is_the_best_of_all_and_the_bound_says_so() {
        let mut rng = fastrand::Rng::with_seed(16);
        let (mut done, mut none, mut open) = (0, 0, 0);
        for n in 0..1_500 {
            let selection = random(&mut rng);
            let best = exhaustive(&selection);
            let solved = solve(&selection);
            assert_eq!(
                solved.as_ref().map(|solved| solved.total),
                best,
                "{n}: {selection:?}"
            );
            let Some(solved) = solved else {
                none += 1;
                continue;
            };
            assert!(selection.allows(&solved.chosen), "{n}");
            assert_eq!(selection.total(&solved.chosen), solved.total, "{n}");
            assert_eq!(solved.bound, solved.total, "{n}: proved");
            // A search that is broken off tells no more than it knows.
            for nodes in 0..2 {
                if let Some(few) = solve_within(&selection, nodes) {
                    let best = best.expect("a choice");
                    assert!(few.total <= best && best <= few.bound, "{n}, {nodes} nodes");
                    open += usize::from(few.bound > few.total);
                }
            }
            done += 1;
        }
        assert!(done > 400 && none > 100 && open > 0, "{done} {none} {open}");
    }

    /// What is left aside as no better is never missed: a thousand alike items beside a few.
    #[test]
    fn of_many_that_count_alike_a_few_are_looked_at() {
        let mut rng = fastrand::Rng::with_seed(3);
        let items: Vec<Item> = (0..3_000)
            .map(|n| Item {
                worth: rng.i64(0..1_000),
                group: n % 2,
                once: n / 2,
            })
            .collect();
        let of = (0..3_000).map(|n| (n, i64::from(n % 7 == 0))).collect();
        let sums = vec![Sum {
            wish: "sum",
            of,
            least: 2,
            most: 2,
            cost: 500,
        }];
        let selection = Selection {
            items,
            sizes: vec![3, 4],
            sums,
            ..Selection::default()
        };
        let kept = selection.worth_looking_at();
        assert!(kept.len() <= 4 * 7, "{}", kept.len());
        let solved = solve(&selection).expect("a choice");
        assert_eq!(solved.total, solved.bound);
        assert!(selection.allows(&solved.chosen));
    }
}
