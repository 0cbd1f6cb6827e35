//! The cheapest choice of one way for each time that makes the class longer by a number of
//! seconds: by the sums that can be reached, one time after the other.

use super::choices::Choice;

/// How far sums on the way may lie outside of what is between nothing and the goal.
const SLACK: i64 = 180;

/// What was reached with the times so far: the least cost, and the way chosen last.
#[derive(Clone, Copy)]
struct Reached {
    cost: u64,
    by: u32,
}

const NOWHERE: Reached = Reached {
    cost: u64::MAX,
    by: 0,
};

/// One way for each time, so that together they come to the goal, and cheaply. Where no ways do,
/// the nearest sum below it, or where all are above it, the least.
pub(super) fn solve(options: &[Vec<Choice>], goal: i64) -> Vec<usize> {
    let (low, high) = (goal.min(0) - SLACK, goal.max(0) + SLACK);
    let least: i64 = options
        .iter()
        .map(|all| all.iter().map(|c| c.more).min().unwrap_or(0))
        .sum();
    if least >= goal {
        return options.iter().map(|all| at_end(all, |more| more)).collect();
    }
    let most: i64 = options
        .iter()
        .map(|all| all.iter().map(|c| c.more).max().unwrap_or(0))
        .sum();
    if most <= goal {
        return options
            .iter()
            .map(|all| at_end(all, |more| -more))
            .collect();
    }
    let layers = layers(options, low, high);
    let found = layers.last().map_or(0, |last| nearest(last, low, goal));
    back(options, &layers, low, found)
}

fn at_end(all: &[Choice], key: impl Fn(i64) -> i64) -> usize {
    let place = (0..all.len()).min_by_key(|&n| (key(all[n].more), all[n].cost));
    place.unwrap_or(0)
}

fn index(sum: i64, low: i64) -> usize {
    usize::try_from(sum - low).unwrap_or(usize::MAX)
}

fn layers(options: &[Vec<Choice>], low: i64, high: i64) -> Vec<Vec<Reached>> {
    let wide = index(high, low) + 1;
    let mut layers: Vec<Vec<Reached>> = Vec::with_capacity(options.len());
    let mut before = vec![NOWHERE; wide];
    before[index(0, low)].cost = 0;
    for all in options {
        let mut next = vec![NOWHERE; wide];
        for (at, reached) in before.iter().enumerate().filter(|(_, r)| r.cost < u64::MAX) {
            let at = i64::try_from(at).unwrap_or(0) + low;
            for (by, choice) in (0..).zip(all) {
                let to = at + choice.more;
                let cost = reached.cost + choice.cost;
                if (low..=high).contains(&to) && cost < next[index(to, low)].cost {
                    next[index(to, low)] = Reached { cost, by };
                }
            }
        }
        before.clone_from(&next);
        layers.push(next);
    }
    layers
}

/// The goal where it was reached, else the nearest sum below it.
fn nearest(last: &[Reached], low: i64, goal: i64) -> i64 {
    let below = (low..=goal).rev();
    let mut reached = below.filter(|sum| last[index(*sum, low)].cost < u64::MAX);
    reached.next().unwrap_or(0)
}

fn back(options: &[Vec<Choice>], layers: &[Vec<Reached>], low: i64, mut sum: i64) -> Vec<usize> {
    let mut chosen: Vec<usize> = Vec::with_capacity(layers.len());
    for (all, layer) in options.iter().zip(layers).rev() {
        let by = layer[index(sum, low)].by as usize;
        chosen.push(by);
        sum -= all[by].more;
    }
    chosen.reverse();
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    fn choice(more: i64, cost: u64) -> Choice {
        Choice {
            spans: Vec::new(),
            more,
            cost,
        }
    }

    /// Every set of choices of small cases is tried.
    #[test]
    fn no_cheaper_way_to_the_goal_exists() {
        let mut rng = fastrand::Rng::with_seed(3);
        let mut exact = 0;
        for _ in 0..2_000 {
            let options: Vec<Vec<Choice>> = (0..rng.usize(1..5))
                .map(|_| {
                    let count = rng.usize(1..6);
                    let mut all: Vec<Choice> = (0..count)
                        .map(|_| choice(rng.i64(-30..30), rng.u64(0..50)))
                        .collect();
                    all.push(choice(0, 0));
                    all
                })
                .collect();
            let goal = rng.i64(-60..60);
            let mut sums = vec![(0_i64, 0_u64)];
            for all in &options {
                let with = |(sum, cost): &(i64, u64)| {
                    all.iter()
                        .map(move |c| (sum + c.more, cost + c.cost))
                        .collect::<Vec<_>>()
                };
                sums = sums.iter().flat_map(with).collect();
            }
            let best = sums
                .iter()
                .filter(|(sum, _)| *sum == goal)
                .map(|(_, cost)| *cost)
                .min();
            let chosen = solve(&options, goal);
            let found = options.iter().zip(&chosen).map(|(all, &n)| &all[n]);
            let (sum, cost) = found.fold((0, 0), |(s, c), one| (s + one.more, c + one.cost));
            if let Some(best) = best {
                assert_eq!((sum, cost), (goal, best), "{options:?}");
                exact += 1;
            } else {
                assert_ne!(sum, goal);
            }
        }
        assert!(exact > 500, "{exact}");
    }
}
