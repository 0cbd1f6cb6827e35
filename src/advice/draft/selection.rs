//! Things to choose from and what is wished of the choice, as whole numbers: what each is worth by
//! itself, how many of each group, and what sums of the choice cost that are too small or too large.
//!
//! What the things are is not known here, nor how the best choice is found.

use std::collections::BTreeMap;

/// More than any sum: a wish without an upper bound.
pub(super) const MANY: i64 = 1_000_000;

/// One thing that may be chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Item {
    /// What it is worth, whatever is chosen beside it.
    pub(super) worth: i64,
    /// The group in which it would stand.
    pub(super) group: usize,
    /// Of all items with this number one is chosen at the most.
    pub(super) once: usize,
}

/// A wish about a sum over the chosen: what it lacks or is over costs so much a unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Sum {
    /// What it is for.
    pub(super) wish: &'static str,
    /// The items that count, and how much.
    pub(super) of: Vec<(usize, i64)>,
    /// From here on it costs nothing.
    pub(super) least: i64,
    /// Up to here.
    pub(super) most: i64,
    /// The cost of a unit.
    pub(super) cost: i64,
}

impl Sum {
    /// What a value of the sum costs.
    pub(super) fn costs(&self, value: i64) -> i64 {
        (self.least - value).max(value - self.most).max(0) * self.cost
    }
}

/// In which wishes something counts, and how much.
pub(super) type Marks = Vec<(usize, i64)>;

/// What costs once, however many of its items are chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Charge {
    /// What it is for.
    pub(super) wish: &'static str,
    /// The items for which it is to be paid.
    pub(super) of: Vec<usize>,
    /// How much.
    pub(super) cost: i64,
}

/// A sum over the chosen that no choice passes, whatever else it is worth.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Limit {
    /// The items that count, and how much: one or more.
    pub(super) of: Vec<(usize, i64)>,
    /// Up to here.
    pub(super) most: i64,
}

/// What there is to choose from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Selection {
    /// The things.
    pub(super) items: Vec<Item>,
    /// How many of each group are chosen.
    pub(super) sizes: Vec<usize>,
    /// The wishes about sums.
    pub(super) sums: Vec<Sum>,
    /// What costs once.
    pub(super) charges: Vec<Charge>,
    /// What may not be passed.
    pub(super) limits: Vec<Limit>,
}

/// The name under which the worth of the chosen things themselves stands in a score.
pub(super) const WORTH: &str = "moves";

impl Selection {
    /// Wishes for a sum within a range: each unit outside it costs so much.
    pub(super) fn ask(
        &mut self,
        wish: &'static str,
        of: Vec<(usize, i64)>,
        (least, most): (i64, i64),
        cost: i64,
    ) {
        self.sums.push(Sum {
            wish,
            of,
            least,
            most,
            cost,
        });
    }

    /// What a choice is worth by each wish; costs are negative.
    pub(super) fn score(&self, chosen: &[usize]) -> Vec<(&'static str, i64)> {
        let is_chosen = |item: &usize| chosen.contains(item);
        let worth = chosen.iter().map(|&item| self.items[item].worth).sum();
        let mut score: Vec<(&'static str, i64)> = vec![(WORTH, worth)];
        let mut add = |wish: &'static str, cost: i64| match score
            .iter_mut()
            .find(|(known, _)| *known == wish)
        {
            Some((_, sum)) => *sum -= cost,
            None => score.push((wish, -cost)),
        };
        for sum in &self.sums {
            let counted = sum.of.iter().filter(|(item, _)| is_chosen(item));
            let value: i64 = counted.map(|(_, by)| by).sum();
            add(sum.wish, sum.costs(value));
        }
        for charge in &self.charges {
            let paid = charge.of.iter().any(is_chosen);
            add(charge.wish, if paid { charge.cost } else { 0 });
        }
        score
    }

    /// The whole of a score.
    pub(super) fn total(&self, chosen: &[usize]) -> i64 {
        self.score(chosen).iter().map(|(_, part)| part).sum()
    }

    /// Whether a choice has the right number of each group, nothing twice, and passes no limit.
    pub(super) fn allows(&self, chosen: &[usize]) -> bool {
        let count = |group: usize| {
            chosen
                .iter()
                .filter(|&&item| self.items[item].group == group)
                .count()
        };
        let mut once: Vec<usize> = chosen.iter().map(|&item| self.items[item].once).collect();
        once.sort_unstable();
        let is_new = once.windows(2).all(|pair| pair[0] != pair[1]);
        let within = |limit: &Limit| {
            let counted = limit.of.iter().filter(|(item, _)| chosen.contains(item));
            counted.map(|(_, by)| by).sum::<i64>() <= limit.most
        };
        is_new
            && self.limits.iter().all(within)
            && self
                .sizes
                .iter()
                .enumerate()
                .all(|(group, size)| count(group) == *size)
    }

    /// For each item the wishes in which it counts, and how much; what costs once stands behind the
    /// sums and counts one, behind them stand the limits.
    pub(super) fn marks(&self) -> Vec<Marks> {
        let mut marks: Vec<Marks> = vec![Vec::new(); self.items.len()];
        for (n, sum) in self.sums.iter().enumerate() {
            for &(item, by) in sum.of.iter().filter(|(_, by)| *by != 0) {
                marks[item].push((n, by));
            }
        }
        for (n, charge) in self.charges.iter().enumerate() {
            for &item in &charge.of {
                marks[item].push((self.sums.len() + n, 1));
            }
        }
        let before = self.sums.len() + self.charges.len();
        for (n, limit) in self.limits.iter().enumerate() {
            for &(item, by) in &limit.of {
                marks[item].push((before + n, by));
            }
        }
        marks
    }

    /// The items without which nothing is lost: of those that count alike in every wish as many of
    /// the best as there are places in all. A choice with one that is left out could have one of the
    /// best in its place: at most one fewer of them than there are places is taken already.
    pub(super) fn worth_looking_at(&self) -> Vec<usize> {
        let places: usize = self.sizes.iter().sum();
        let mut alike: BTreeMap<(usize, Marks), Vec<usize>> = BTreeMap::new();
        for (item, marks) in self.marks().into_iter().enumerate() {
            alike
                .entry((self.items[item].group, marks))
                .or_default()
                .push(item);
        }
        let mut kept: Vec<usize> = alike
            .into_values()
            .flat_map(|all| self.best_of(all, places))
            .collect();
        kept.sort_unstable();
        kept
    }

    /// The best of some that count alike, each thing once.
    fn best_of(&self, mut all: Vec<usize>, places: usize) -> Vec<usize> {
        all.sort_by_key(|&item| (std::cmp::Reverse(self.items[item].worth), item));
        let mut seen = std::collections::BTreeSet::new();
        all.retain(|&item| seen.insert(self.items[item].once));
        all.truncate(places);
        all
    }

    /// The same with some of its items, in their order.
    pub(super) fn with_only(&self, kept: &[usize]) -> Self {
        let place: BTreeMap<usize, usize> = kept
            .iter()
            .enumerate()
            .map(|(n, &item)| (item, n))
            .collect();
        let moved = |of: &[(usize, i64)]| {
            let kept = of.iter();
            kept.filter_map(|(item, by)| Some((*place.get(item)?, *by)))
                .collect()
        };
        let sum = |sum: &Sum| Sum {
            of: moved(&sum.of),
            ..sum.clone()
        };
        let limit = |limit: &Limit| Limit {
            of: moved(&limit.of),
            most: limit.most,
        };
        let charge = |charge: &Charge| Charge {
            of: charge
                .of
                .iter()
                .filter_map(|item| place.get(item).copied())
                .collect(),
            ..charge.clone()
        };
        Self {
            items: kept.iter().map(|&item| self.items[item]).collect(),
            sizes: self.sizes.clone(),
            sums: self.sums.iter().map(sum).collect(),
            charges: self.charges.iter().map(charge).collect(),
            limits: self.limits.iter().map(limit).collect(),
        }
    }
}
