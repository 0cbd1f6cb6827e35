//! Every set, in every variant, at every millisecond: none is worth more than the chosen one.

use std::collections::BTreeMap;

use super::legal;
use super::random::{self, Size};
use super::{Item, Said, Selection, Window, Worth};
use crate::time::Offset;

/// Every place at which a thing may stand by itself, with what it is worth there.
fn places(window: &Window<()>, items: &[Item]) -> Vec<(Said, Worth)> {
    let mut found: BTreeMap<(usize, u64, usize), (Said, Worth)> = BTreeMap::new();
    for &item in items {
        let (long, key) = match item {
            Item::Ask { ask, variant } => (window.asks[ask].variants[variant].long, variant),
            Item::Call(n) => (window.calls[n].long, 0),
        };
        for stretch in 0..window.stretches.len() {
            for millis in 0..window.stretches[stretch].until.millis() {
                let start = Offset::from_millis(millis);
                let said = Said {
                    item,
                    stretch,
                    at: start,
                    until: start + long,
                };
                if let Some(worth) = legal::alone(window, &said) {
                    found.insert((stretch, millis, key), (said, worth));
                }
            }
        }
    }
    found.into_values().collect()
}

fn best(
    window: &Window<()>,
    open: &[Vec<(Said, Worth)>],
    said: &mut Vec<Said>,
    worth: Worth,
) -> Worth {
    let Some((first, rest)) = open.split_first() else {
        let keeps = legal::is_within_budgets(window, said) && legal::makes_sense(window, said);
        return if keeps { worth } else { Worth::NONE };
    };
    let mut found = best(window, rest, said, worth);
    for (one, more) in first {
        if said
            .iter()
            .all(|other| legal::may_stand_together(window, other, one))
        {
            said.push(one.clone());
            if legal::is_within_budgets(window, said) {
                found = found.max(best(window, rest, said, worth + *more));
            }
            said.pop();
        }
    }
    found
}

fn exhaustive(window: &Window<()>) -> Worth {
    let asks = window.asks.iter().enumerate().map(|(ask, of)| {
        let variants = 0..of.variants.len();
        variants.map(|variant| Item::Ask { ask, variant }).collect()
    });
    let calls = (0..window.calls.len()).map(|n| vec![Item::Call(n)]);
    let items: Vec<Vec<Item>> = asks.chain(calls).collect();
    let open: Vec<_> = items.iter().map(|items| places(window, items)).collect();
    best(window, &open, &mut Vec::new(), Worth::NONE)
}

/// What was met while windows were compared.
#[derive(Debug, Default)]
struct Met {
    everything: usize,
    nothing: usize,
    /// Said in a variant that is not the first, or in another place of the order.
    other_variant: usize,
    needed: usize,
    /// Windows in which five or more were said.
    many: usize,
    calls: usize,
}

impl Met {
    fn note(&mut self, window: &Window<()>, chosen: &Selection) {
        self.everything += usize::from(chosen.missed.is_empty());
        self.nothing += usize::from(chosen.said.is_empty());
        self.many += usize::from(chosen.said.len() >= 5);
        for said in &chosen.said {
            match said.item {
                Item::Ask { ask, variant } => {
                    self.other_variant += usize::from(variant > 0);
                    self.needed += usize::from(window.asks[ask].needs.is_some());
                }
                Item::Call(_) => self.calls += 1,
            }
        }
    }
}

fn compare(seed: u64, cases: usize, size: impl Fn(&mut fastrand::Rng) -> Size) -> Met {
    let mut rng = fastrand::Rng::with_seed(seed);
    let mut met = Met::default();
    for case in 0..cases {
        let size = size(&mut rng);
        let window = random::window(&mut rng, size);
        let chosen = window.select();
        let legal = legal::worth(&window, &chosen.said);
        assert_eq!(
            legal,
            Some(chosen.worth),
            "case {case}: {window:?} {chosen:?}"
        );
        assert_eq!(
            exhaustive(&window),
            chosen.worth,
            "case {case}: {window:?} {chosen:?}"
        );
        met.note(&window, &chosen);
    }
    met
}

#[test]
fn no_set_of_a_small_window_is_worth_more() {
    let met = compare(1, 6000, |rng| Size {
        stretches: rng.usize(1..4),
        asks: rng.usize(1..5),
        calls: rng.usize(..3),
        length: rng.u64(4..13),
        long: 3,
        moves: true,
    });
    assert!((600..5000).contains(&met.everything), "{met:?}");
    assert!(met.nothing < 800, "{met:?}");
    assert!(
        met.other_variant.min(met.needed).min(met.calls) > 300,
        "{met:?}"
    );
}

#[test]
fn no_set_of_up_to_ten_asks_is_worth_more() {
    let met = compare(2, 300, |rng| Size {
        stretches: rng.usize(1..4),
        asks: rng.usize(6..11),
        calls: rng.usize(..4),
        length: 6,
        long: 2,
        moves: true,
    });
    assert!(met.everything < 20 && met.many > 20, "{met:?}");
}
