//! Small windows in every shape, in milliseconds.

use super::{Ask, Call, Hold, Range, Rank, Stretch, Variant, Window, Worth};
use crate::time::{Offset, Span};

/// How large a random window is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Size {
    pub(super) stretches: usize,
    pub(super) asks: usize,
    pub(super) calls: usize,
    /// The longest that a stretch can be.
    pub(super) length: u64,
    /// The longest that a prompt can be.
    pub(super) long: u64,
    /// Whether prompts may be moved from their earliest place.
    pub(super) moves: bool,
}

pub(super) fn at(millis: u64) -> Offset {
    Offset::from_millis(millis)
}

pub(super) fn span(millis: u64) -> Span {
    Span::from_millis(millis)
}

pub(super) fn window(rng: &mut fastrand::Rng, size: Size) -> Window<()> {
    let stretches = stretches(rng, size);
    let ranks = rng.usize(1..5);
    let chains = rng.bool();
    let asks = (0..size.asks).map(|n| {
        let needs = (chains && n > 0 && rng.bool()).then(|| rng.usize(..n));
        ask(rng, &stretches, size, needs, ranks)
    });
    let asks = asks.collect();
    let calls = (0..size.calls).map(|_| call(rng, &stretches, size, ranks));
    let calls = calls.collect();
    Window {
        stretches,
        asks,
        calls,
    }
}

fn stretches(rng: &mut fastrand::Rng, size: Size) -> Vec<Stretch> {
    let mut from = rng.u64(..3);
    let one = |n: usize, rng: &mut fastrand::Rng| {
        let length = rng.u64(2..=size.length);
        let until = from + length;
        let closed = (0..rng.usize(..3)).map(|_| {
            let start = rng.u64(from.saturating_sub(2)..until);
            (at(start), at(start + rng.u64(1..3)))
        });
        let closed = closed.collect();
        let gap = if n == 0 || rng.u8(..4) == 0 {
            rng.u64(..4)
        } else {
            0
        };
        let stretch = Stretch {
            from: at(from),
            until: at(until),
            closed,
            gap: span(gap),
            budget: span(if rng.bool() {
                length
            } else {
                rng.u64(1..=length)
            }),
        };
        from = until + if rng.u8(..4) == 0 { rng.u64(..3) } else { 0 };
        stretch
    };
    let mut one = one;
    (0..size.stretches).map(|n| one(n, rng)).collect()
}

fn ask(
    rng: &mut fastrand::Rng,
    stretches: &[Stretch],
    size: Size,
    needs: Option<usize>,
    ranks: usize,
) -> Ask<()> {
    let order = rng.u8(..6);
    let variants = (0..rng.usize(1..3)).map(|_| {
        let long = rng.u64(1..=size.long);
        let ranges = (0..rng.usize(1..3)).map(|_| range(rng, stretches, size, long));
        let ranges = ranges.collect();
        Variant {
            say: (),
            long: span(long),
            order: if rng.u8(..3) == 0 { rng.u8(..6) } else { order },
            ranges,
        }
    });
    let variants = variants.collect();
    Ask {
        rank: Rank::below(rng.usize(..ranks) * 3),
        needs,
        coming: rng.u8(..3) == 0,
        variants,
    }
}

fn range(rng: &mut fastrand::Rng, stretches: &[Stretch], size: Size, long: u64) -> Range {
    let n = rng.usize(..stretches.len());
    let (from, until) = (stretches[n].from.millis(), stretches[n].until.millis());
    let begin = if rng.bool() {
        from
    } else {
        rng.u64(from.saturating_sub(1)..until)
    };
    let bonus = match rng.u8(..4) {
        0 => Worth::of(Rank::below(rng.usize(..12)), 1),
        1 => Worth::of(Rank::below(9), rng.u32(1..3)),
        _ => Worth::NONE,
    };
    Range {
        stretch: n,
        from: at(begin),
        by: at(if rng.bool() {
            until + 1
        } else {
            begin + long + rng.u64(..size.length)
        }),
        hold: if size.moves && rng.u8(..3) == 0 {
            Hold::Late
        } else {
            Hold::Early
        },
        bonus,
        soft_from: (size.moves && rng.u8(..3) == 0).then(|| at(begin + rng.u64(..6))),
    }
}

fn call(rng: &mut fastrand::Rng, stretches: &[Stretch], size: Size, ranks: usize) -> Call<()> {
    let n = rng.usize(..stretches.len());
    Call {
        say: (),
        rank: Rank::below(rng.usize(..ranks) * 3),
        stretch: n,
        at: at(rng.u64(stretches[n].from.millis()..=stretches[n].until.millis())),
        long: span(rng.u64(1..=size.long)),
    }
}
