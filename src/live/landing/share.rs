//! An amount of time shared out evenly.
//!
//! It refuses to know what is shared, and why nobody can take more than so much.

use crate::time::Span;

const SECOND: Span = Span::from_secs(1);

/// Parts of the amount, one for each, none above its most; the same number of seconds for each as
/// far as its most allows, and what does not go round is given to the last ones, a second each.
/// The parts add up to the amount, or to all that can be taken where that is less.
pub(super) fn evenly(most: &[Span], amount: Span) -> Vec<Span> {
    let level = level(most, amount);
    let mut parts: Vec<Span> = most.iter().map(|&most| most.min(level)).collect();
    let mut rest = amount.less(parts.iter().copied().sum());
    for (part, &most) in parts.iter_mut().zip(most).rev() {
        let more = most.less(*part).min(SECOND).min(rest);
        *part += more;
        rest = rest.less(more);
    }
    parts
}

/// The most whole seconds that everyone can give, or all that he has, without passing the amount.
fn level(most: &[Span], amount: Span) -> Span {
    let fits = |secs: u64| {
        let level = Span::from_secs(secs);
        most.iter().map(|&most| most.min(level)).sum::<Span>() <= amount
    };
    let longest = most.iter().max().map_or(0, |most| most.secs_up());
    let (mut low, mut high) = (0, longest + 1);
    while low + 1 < high {
        let middle = low + (high - low) / 2;
        if fits(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    Span::from_secs(low)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_even_exact_and_late() {
        for (most, amount, parts) in [
            (
                vec![30_000, 30_000, 30_000],
                10_000,
                vec![3_000, 3_000, 4_000],
            ),
            (
                vec![2_000, 30_000, 30_000],
                12_000,
                vec![2_000, 5_000, 5_000],
            ),
            (
                vec![30_000, 30_000, 30_000],
                10_250,
                vec![3_000, 3_250, 4_000],
            ),
            (vec![2_500, 2_500], 5_000, vec![2_500, 2_500]),
            (vec![2_500, 2_500], 4_750, vec![2_250, 2_500]),
            (vec![1_000, 1_000], 9_000, vec![1_000, 1_000]),
            (vec![], 9_000, vec![]),
            (vec![5_000], 0, vec![0]),
        ] {
            let most: Vec<Span> = most.into_iter().map(Span::from_millis).collect();
            let got = evenly(&most, Span::from_millis(amount));
            let got: Vec<u64> = got.into_iter().map(Span::millis).collect();
            assert_eq!(got, parts, "{amount} of {most:?}");
        }
    }
}
