//! What a set of things said is worth: a count for each rank, compared from the highest down.

use std::iter::Sum;
use std::ops::Add;

/// How many ranks there can be.
const RANKS: usize = 16;
/// Beneath them all, what is only preferred.
const COUNTS: usize = RANKS + 1;

/// How much something counts: one of a rank outweighs all of the lower ranks together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(in super::super) struct Rank(usize);

impl Rank {
    /// The rank that so many others stand above; at most 15.
    ///
    /// # Panics
    /// Where there is no such rank; in a constant that is an error of compilation.
    pub(in super::super) const fn below(others: usize) -> Self {
        assert!(others < RANKS, "there are 16 ranks");
        Self(others)
    }
}

/// A count for each rank, the highest first.
///
/// The order is that of the counts, compared one after the other. It does not change when the same
/// is added on both sides, so the best whole is made of best parts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(in super::super) struct Worth([u32; COUNTS]);

impl Worth {
    /// Nothing.
    pub(in super::super) const NONE: Self = Self([0; COUNTS]);

    /// So many of one rank.
    pub(in super::super) const fn of(rank: Rank, count: u32) -> Self {
        let mut counts = [0; COUNTS];
        counts[rank.0] = count;
        Self(counts)
    }

    /// So much better than another of the same worth.
    pub(super) fn preference(count: usize) -> Self {
        let mut counts = [0; COUNTS];
        counts[RANKS] = u32::try_from(count).unwrap_or(u32::MAX);
        Self(counts)
    }

    /// The same without preferences.
    pub(super) fn of_ranks(self) -> Self {
        self.to_depth(RANKS)
    }

    /// The counts of the `depth` highest ranks alone.
    pub(super) fn to_depth(mut self, depth: usize) -> Self {
        self.0[depth..].fill(0);
        self
    }

    /// The depths at which more is counted than at those before.
    pub(super) fn depths(self) -> impl Iterator<Item = usize> {
        (1..=COUNTS).filter(move |&depth| self.0[depth - 1] > 0)
    }
}

impl Add for Worth {
    type Output = Self;
    fn add(mut self, other: Self) -> Self {
        for (count, more) in self.0.iter_mut().zip(other.0) {
            *count += more;
        }
        self
    }
}

impl Sum for Worth {
    fn sum<I: Iterator<Item = Self>>(worths: I) -> Self {
        worths.fold(Self::NONE, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_of_a_rank_outweighs_all_of_the_lower_ranks_together() {
        for higher in 0..RANKS - 1 {
            let lower = (higher + 1..RANKS).map(|rank| Worth::of(Rank::below(rank), 100_000));
            let lower: Worth = lower.sum::<Worth>() + Worth::preference(100_000);
            assert!(Worth::of(Rank::below(higher), 1) > lower, "{higher}");
            assert!(Worth::of(Rank::below(higher), 2) > lower + Worth::of(Rank::below(higher), 1));
        }
    }

    #[test]
    fn the_depths_are_those_of_the_ranks_in_use() {
        let worth = Worth::of(Rank::below(2), 7) + Worth::of(Rank::below(15), 1);
        assert_eq!(worth.depths().collect::<Vec<_>>(), [3, 16]);
        assert_eq!(worth.to_depth(3), Worth::of(Rank::below(2), 7));
        assert_eq!(worth.to_depth(2), Worth::NONE);
    }
}
