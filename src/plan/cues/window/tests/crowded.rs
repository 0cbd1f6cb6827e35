//! Long windows with more to say than there is time for, at the scale of a class.

use super::{Ask, Call, Hold, Range, Rank, Stretch, Variant, Window, Worth};
use crate::time::{Offset, Span};

/// How important the asks of a window are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ranks {
    /// Eleven ranks.
    Mixed,
    /// One rank.
    One,
}

/// The ranks of the asks, above them that of the first call, beneath them that of the others.
const TOP: Rank = Rank::below(0);
const ASKS: usize = 11;
const TIMES: Rank = Rank::below(12);
const PAUSE: Rank = Rank::below(13);

fn secs(n: u64) -> Offset {
    Offset::from_millis(n * 1000)
}

/// Work of three seconds for each ask, then three pauses of together one; about half fits.
pub(crate) fn window(rng: &mut fastrand::Rng, asks: usize, ranks: Ranks) -> Window<()> {
    let n = asks as u64;
    let stretches = stretches(&[n * 3, n.div_ceil(2), n.div_ceil(3), n.div_ceil(6)]);
    let asks = (0..asks).map(|_| ask(rng, &stretches, ranks)).collect();
    let end = stretches[0].until.millis() / 1000;
    let times = [
        end / 2,
        end.saturating_sub(60),
        end.saturating_sub(10),
        end - 7,
    ];
    let calls = times.into_iter().enumerate();
    let calls = calls.map(|(n, time)| Call {
        say: (),
        rank: if n == 0 { TOP } else { TIMES },
        stretch: 0,
        at: secs(time),
        long: Span::from_millis(1100),
    });
    Window {
        asks,
        calls: calls.collect(),
        stretches,
    }
}

/// Stretches of these seconds, each with a count of three at its end.
fn stretches(lengths: &[u64]) -> Vec<Stretch> {
    let mut from = 0;
    let lengths = lengths.iter().enumerate();
    lengths
        .map(|(n, &length)| {
            let until = from + length;
            let stretch = Stretch {
                from: secs(from),
                until: secs(until),
                closed: vec![(secs(until - length.min(3)), secs(until))],
                gap: Span::from_secs(if n == 0 { 4 } else { 0 }),
                budget: Span::from_millis(length * if n == 0 { 500 } else { 1000 }),
            };
            from = until;
            stretch
        })
        .collect()
}

fn ask(rng: &mut fastrand::Rng, stretches: &[Stretch], ranks: Ranks) -> Ask<()> {
    let rank = match ranks {
        Ranks::Mixed => rng.usize(1..=ASKS),
        Ranks::One => 1,
    };
    let long = rng.u64(1000..5000);
    let order = rng.u8(..);
    let coming = rng.u8(..4) == 0;
    let lengths = [long, long * 2 / 3];
    let variants = lengths[..rng.usize(1..3)].iter().map(|&long| Variant {
        say: (),
        long: Span::from_millis(long),
        order,
        ranges: ranges(rng, stretches),
    });
    Ask {
        rank: Rank::below(rank),
        needs: None,
        coming,
        variants: variants.collect(),
    }
}

/// Anywhere in the work from some time on, rather in a pause.
fn ranges(rng: &mut fastrand::Rng, stretches: &[Stretch]) -> Vec<Range> {
    let first = rng.usize(..3);
    let ranges = stretches[first..].iter().enumerate();
    ranges
        .map(|(n, stretch)| Range {
            stretch: first + n,
            from: Offset::from_millis(rng.u64(stretch.from.millis()..stretch.until.millis())),
            by: stretch.until,
            hold: Hold::Early,
            bonus: if first + n > 0 {
                Worth::of(PAUSE, 1)
            } else {
                Worth::NONE
            },
            soft_from: None,
        })
        .collect()
}
