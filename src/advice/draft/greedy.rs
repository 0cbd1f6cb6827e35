//! A choice made one by one, each time what is worth most beside what is chosen: where the search for
//! the best begins.

use super::selection::Selection;

/// What is chosen so far, and what every wish has of it.
struct Choosing<'a> {
    selection: &'a Selection,
    marks: Vec<Vec<(usize, i64)>>,
    /// The value of each sum; behind them how many of each charge, then the value of each limit.
    values: Vec<i64>,
    chosen: Vec<usize>,
}

/// A choice, if each group has enough for its places when they are filled in order.
pub(super) fn greedy(selection: &Selection) -> Option<Vec<usize>> {
    let mut choosing = Choosing {
        selection,
        marks: selection.marks(),
        values: vec![0; selection.sums.len() + selection.charges.len() + selection.limits.len()],
        chosen: Vec::new(),
    };
    for (group, &size) in selection.sizes.iter().enumerate() {
        for _ in 0..size {
            let best = choosing.best_of(group)?;
            choosing.take(best);
        }
    }
    choosing.chosen.sort_unstable();
    Some(choosing.chosen)
}

impl Choosing<'_> {
    fn best_of(&self, group: usize) -> Option<usize> {
        let items = &self.selection.items;
        let is_taken = |once: usize| self.chosen.iter().any(|&item| items[item].once == once);
        let free = (0..items.len())
            .filter(|&item| items[item].group == group && !is_taken(items[item].once));
        let free = free.filter(|&item| self.has_room(item));
        free.max_by_key(|&item| (self.gain(item), std::cmp::Reverse(item)))
    }

    /// Whether no limit is passed with an item.
    fn has_room(&self, item: usize) -> bool {
        let before = self.selection.sums.len() + self.selection.charges.len();
        self.marks[item].iter().all(|&(n, by)| {
            let limit = n.checked_sub(before).map(|n| &self.selection.limits[n]);
            limit.is_none_or(|limit| self.values[n] + by <= limit.most)
        })
    }

    /// How much better the choice is with an item.
    fn gain(&self, item: usize) -> i64 {
        let sums = &self.selection.sums;
        let changes = self.marks[item].iter().map(|&(n, by)| match sums.get(n) {
            Some(sum) => sum.costs(self.values[n]) - sum.costs(self.values[n] + by),
            None if self.values[n] == 0 => {
                let charge = self.selection.charges.get(n - sums.len());
                charge.map_or(0, |charge| -charge.cost)
            }
            None => 0,
        });
        self.selection.items[item].worth + changes.sum::<i64>()
    }

    fn take(&mut self, item: usize) {
        for &(n, by) in &self.marks[item] {
            self.values[n] += by;
        }
        self.chosen.push(item);
    }
}
