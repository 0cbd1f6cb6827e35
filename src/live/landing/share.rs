//! An amount of time shared out by length: everyone gives the same share of what he has.
//!
//! What is shared, and why nobody gives more than so much, is not known here.

use crate::time::Span;

const SECOND: Span = Span::from_secs(1);

/// Binary digits of a share behind the point: fine enough to tell the milliseconds of half a day.
const DIGITS: u32 = 26;

/// Somebody who gives.
#[derive(Clone, Copy, Debug)]
pub(super) struct Giver {
    /// What he has.
    pub(super) length: Span,
    /// What he has given already, and gives in any case.
    pub(super) least: Span,
    /// The most that he gives, what he has given already included.
    pub(super) most: Span,
}

impl Giver {
    /// What he gives at this share of his length, in whole seconds within his bounds.
    fn at(&self, share: u64) -> Span {
        let length = self.length.millis().max(1);
        let exact = (u128::from(length) * u128::from(share)) >> DIGITS;
        let given = Span::from_millis(u64::try_from(exact).unwrap_or(u64::MAX)).floor_secs();
        given.max(self.least).min(self.most)
    }
}

/// What each gives so that together they give the amount, or all they can where that is less.
///
/// Each gives the same share of his length, as far as his bounds allow, in whole seconds; seconds
/// that do not go round come from the last of those whose turn it is.
pub(super) fn shares(givers: &[Giver], amount: Span) -> Vec<Span> {
    let most = || givers.iter().map(|giver| giver.most);
    if most().sum::<Span>() <= amount {
        return most().collect();
    }
    let share = common_share(givers, amount);
    let mut parts: Vec<Span> = givers.iter().map(|giver| giver.at(share)).collect();
    let mut rest = amount.saturating_sub(parts.iter().copied().sum());
    for (part, giver) in parts.iter_mut().zip(givers).rev() {
        let more = giver
            .at(share + 1)
            .saturating_sub(*part)
            .min(SECOND)
            .min(rest);
        *part += more;
        rest = rest.saturating_sub(more);
    }
    parts
}

/// The greatest share at which together they do not pass the amount.
fn common_share(givers: &[Giver], amount: Span) -> u64 {
    let fits = |share: u64| givers.iter().map(|giver| giver.at(share)).sum::<Span>() <= amount;
    let mut high = 1 << DIGITS;
    while high < u64::MAX / 4 && fits(high) {
        high *= 2;
    }
    let mut low = 0;
    while low + 1 < high {
        let middle = low + (high - low) / 2;
        if fits(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shared(givers: &[(u64, u64, u64)], amount: u64) -> Vec<u64> {
        let [length, least, most] = [0, 1, 2];
        let giver = |of: &(u64, u64, u64)| {
            let of = [of.0, of.1, of.2].map(Span::from_millis);
            Giver {
                length: of[length],
                least: of[least],
                most: of[most],
            }
        };
        let givers: Vec<Giver> = givers.iter().map(giver).collect();
        let parts = shares(&givers, Span::from_millis(amount));
        parts.into_iter().map(Span::millis).collect()
    }

    #[test]
    fn parts_are_equal_shares_exact_and_late() {
        let three = [(30_000, 0, 30_000); 3];
        assert_eq!(shared(&three, 10_000), [3_000, 3_000, 4_000]);
        assert_eq!(shared(&three, 10_250), [3_000, 3_250, 4_000]);
        let two = [(120_000, 0, 60_000), (30_000, 0, 30_000)];
        assert_eq!(shared(&two, 25_000), [20_000, 5_000]);
        assert_eq!(shared(&two, 24_000), [19_000, 5_000]);
        assert_eq!(shared(&two, 500), [500, 0]);
        assert_eq!(shared(&two, 80_000), [60_000, 20_000]);
        let bound = [(60_000, 0, 2_000), (60_000, 0, 30_000)];
        assert_eq!(shared(&bound, 12_000), [2_000, 10_000]);
        let odd = [(2_500, 0, 2_500); 2];
        assert_eq!(shared(&odd, 5_000), [2_500, 2_500]);
        assert_eq!(shared(&odd, 4_750), [2_250, 2_500]);
        assert_eq!(shared(&odd, 9_000), [2_500, 2_500]);
        assert_eq!(shared(&[], 9_000), [0_u64; 0]);
        assert_eq!(shared(&[(5_000, 0, 5_000)], 0), [0]);
    }

    #[test]
    fn who_has_given_already_gives_more_once_the_share_reaches_him() {
        // Half of 20 s and half of 60 s are given; then 10 s more, then 20 s more.
        let given = [(20_000, 10_000, 15_000), (60_000, 20_000, 50_000)];
        assert_eq!(shared(&given, 30_000), [10_000, 20_000]);
        assert_eq!(shared(&given, 40_000), [10_000, 30_000]);
        assert_eq!(shared(&given, 48_000), [12_000, 36_000]);
    }

    #[test]
    fn more_than_everything_can_be_shared_out() {
        let most = 3_600_000;
        let given = [(10_000, 0, most), (20_000, 0, most)];
        assert_eq!(shared(&given, 600_000), [200_000, 400_000]);
    }
}
