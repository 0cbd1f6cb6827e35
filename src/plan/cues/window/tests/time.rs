//! More time never says less, and prompts that are moved stay lawful and as late as they can be.

use super::legal;
use super::random::{self, Size, at, span};
use super::{Hold, Item, Range, Stretch, Window};
use crate::time::{Offset, Span};

fn size(rng: &mut fastrand::Rng) -> Size {
    Size {
        stretches: rng.usize(1..4),
        asks: rng.usize(2..10),
        calls: rng.usize(..4),
        length: 14,
        long: 5,
        moves: true,
    }
}

/// The window with one stretch longer at its end, and all after it later.
fn longer(window: &Window<()>, n: usize, by: Span) -> Window<()> {
    let end = window.stretches[n].until;
    let mut longer = window.clone();
    let shift = |point: &mut Offset, stretch: usize| {
        if stretch > n {
            *point = *point + by;
        }
    };
    for (k, stretch) in longer.stretches.iter_mut().enumerate() {
        shift(&mut stretch.from, k);
        if k >= n {
            stretch.until = stretch.until + by;
        }
        for zone in &mut stretch.closed {
            shift(&mut zone.0, k);
            shift(&mut zone.1, k);
        }
    }
    longer.stretches[n].budget += by;
    for range in longer.ranges_mut() {
        shift(&mut range.from, range.stretch);
        shift(&mut range.by, range.stretch);
        if let Some(soft) = &mut range.soft_from {
            shift(soft, range.stretch);
        }
        if range.stretch == n && range.by >= end {
            range.by = range.by + by;
        }
    }
    for call in &mut longer.calls {
        shift(&mut call.at, call.stretch);
    }
    longer
}

impl Window<()> {
    fn ranges_mut(&mut self) -> impl Iterator<Item = &mut Range> {
        let variants = self.asks.iter_mut().flat_map(|ask| &mut ask.variants);
        variants.flat_map(|variant| &mut variant.ranges)
    }
}

#[test]
fn a_longer_stretch_never_says_less() {
    let mut rng = fastrand::Rng::with_seed(31);
    let mut more = 0;
    for case in 0..1500 {
        let size = size(&mut rng);
        let window = random::window(&mut rng, size);
        let n = rng.usize(..size.stretches);
        let longer = longer(&window, n, span(rng.u64(1..6)));
        let (before, after) = (window.select().worth, longer.select().worth);
        assert!(after >= before, "case {case}: {window:?} {longer:?}");
        more += usize::from(after > before);
    }
    assert!(more > 150, "{more}");
}

#[test]
fn one_more_stretch_never_says_less() {
    let mut rng = fastrand::Rng::with_seed(32);
    let mut more = 0;
    for case in 0..1500 {
        let size = size(&mut rng);
        let window = random::window(&mut rng, size);
        let mut wider = window.clone();
        let n = wider.stretches.len();
        let from = wider.stretches[n - 1].until;
        wider.stretches.push(Stretch {
            from,
            until: from + span(8),
            closed: vec![],
            gap: Span::ZERO,
            budget: span(8),
        });
        for variant in wider.asks.iter_mut().flat_map(|ask| &mut ask.variants) {
            let last = variant.ranges[0].clone();
            variant.ranges.push(Range {
                stretch: n,
                from,
                by: from + span(8),
                ..last
            });
        }
        let (before, after) = (window.select().worth, wider.select().worth);
        assert!(after >= before, "case {case}: {window:?}");
        more += usize::from(after > before);
    }
    assert!(more > 150, "{more}");
}

/// The place of a lone ask with `soft_from` and `hold` in twenty milliseconds, beside another of
/// 4 that is said after it.
fn lone(soft_from: Option<u64>, hold: Hold, count: Option<(u64, u64)>) -> (u64, u64) {
    let mut rng = fastrand::Rng::with_seed(0);
    let mut window = random::window(&mut rng, size(&mut fastrand::Rng::with_seed(0)));
    let range = |soft_from, hold| Range {
        stretch: 0,
        from: at(2),
        by: at(20),
        hold,
        bonus: super::Worth::NONE,
        soft_from,
    };
    window.calls.clear();
    window.stretches = vec![Stretch {
        from: at(0),
        until: at(20),
        closed: count
            .into_iter()
            .map(|zone| (at(zone.0), at(zone.1)))
            .collect(),
        gap: span(1),
        budget: span(20),
    }];
    window.asks.truncate(2);
    for (ask, long) in window.asks.iter_mut().zip([3, 4]) {
        ask.needs = None;
        ask.variants.truncate(1);
        ask.variants[0].long = span(long);
        ask.variants[0].order = 1;
        ask.variants[0].ranges = vec![range(None, Hold::Early)];
    }
    window.asks[0].variants[0].ranges = vec![range(soft_from.map(at), hold)];
    let said = window.select().said;
    let items: Vec<Item> = said.iter().map(|said| said.item).collect();
    assert_eq!(items, [0, 1].map(|ask| Item::Ask { ask, variant: 0 }));
    (said[0].at.millis(), said[1].at.millis())
}

/// Counted by hand: three and four long, one apart, from 2 to 20.
#[test]
fn a_soft_beginning_gives_way_to_what_is_said_and_to_nothing_else() {
    use Hold::{Early, Late};
    for (soft_from, hold, count, places) in [
        (None, Early, None, (2, 6)),
        (Some(1), Early, None, (2, 6)),
        (Some(9), Early, None, (9, 13)),
        (Some(12), Early, None, (12, 16)),
        (Some(13), Early, None, (12, 16)),
        (Some(900), Early, None, (12, 16)),
        (Some(900), Early, Some((9, 15)), (6, 15)),
        (Some(6), Early, Some((7, 9)), (9, 13)),
        (None, Late, None, (2, 6)),
        (Some(9), Late, None, (9, 13)),
        (None, Late, Some((5, 15)), (2, 15)),
        (None, Late, Some((5, 10)), (2, 10)),
        (None, Late, Some((7, 12)), (4, 12)),
    ] {
        assert_eq!(
            lone(soft_from, hold, count),
            places,
            "{soft_from:?} {hold:?} {count:?}"
        );
    }
}

/// A prompt that stands late or soft could not begin a millisecond later without a breach.
#[test]
fn what_stands_late_can_stand_no_later_where_it_is() {
    let mut rng = fastrand::Rng::with_seed(33);
    let mut late = 0;
    for case in 0..1500 {
        let size = size(&mut rng);
        let window = random::window(&mut rng, size);
        let said = window.select().said;
        for n in 0..said.len() {
            let Item::Ask { ask, variant } = said[n].item else {
                continue;
            };
            let [range] = &window.asks[ask].variants[variant].ranges[..] else {
                continue;
            };
            if range.hold == Hold::Early {
                continue;
            }
            late += 1;
            let next = |later: u64| {
                let mut moved = said.clone();
                moved[n].at = moved[n].at + span(later);
                moved[n].until = moved[n].until + span(later);
                moved
            };
            let worth = legal::worth(&window, &said);
            assert!(
                legal::worth(&window, &next(1)) < worth,
                "case {case}: {window:?} {said:?}"
            );
        }
    }
    assert!(late > 100, "{late}");
}
