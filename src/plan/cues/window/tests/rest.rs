//! The choice made again under way, after its beginning was followed, is the rest of the choice.

use super::legal;
use super::random::{self, Size};
use super::{Item, Said, Window};
use crate::time::{Offset, Span};

/// What is left of a window at a time at which nothing is being said.
///
/// An ask whose place in the order is past is out: in the whole window it could not be said after
/// what has been said either.
fn rest(window: &Window<()>, heard: &[Said], now: Offset) -> Window<()> {
    let mut rest = window.clone();
    for (n, stretch) in rest.stretches.iter_mut().enumerate() {
        let here = heard.iter().filter(|said| said.stretch == n);
        stretch.budget = stretch
            .budget
            .saturating_sub(here.map(|said| said.until - said.at).sum());
    }
    let order = |ask: usize, variant: usize| (window.asks[ask].variants[variant].order, ask);
    let past = heard.iter().filter_map(|said| match said.item {
        Item::Ask { ask, variant } => Some(order(ask, variant)),
        Item::Call(_) => None,
    });
    let past = past.max();
    let is_heard = |n: usize| {
        heard
            .iter()
            .any(|said| matches!(said.item, Item::Ask { ask, .. } if ask == n))
    };
    for (n, ask) in rest.asks.iter_mut().enumerate() {
        for (k, variant) in ask.variants.iter_mut().enumerate() {
            let is_past = past.is_some_and(|past| order(n, k) < past);
            variant.ranges.retain(|_| !is_past && !is_heard(n));
            for range in &mut variant.ranges {
                let open = opens(window, heard, Some(n), range.stretch);
                range.from = range.from.max(open).max(now);
            }
        }
        ask.needs = ask.needs.filter(|&needed| !is_heard(needed));
    }
    for (n, call) in rest.calls.iter_mut().enumerate() {
        let is_past = call.at < now || heard.iter().any(|said| said.item == Item::Call(n));
        if is_past || call.at < opens(window, heard, None, call.stretch) {
            // Longer than any stretch: it cannot be said.
            call.long = Span::from_secs(1000);
        }
    }
    rest
}

/// When another prompt may begin in a stretch: an ask, or a call.
fn opens(window: &Window<()>, heard: &[Said], ask: Option<usize>, stretch: usize) -> Offset {
    let gap = window.stretches[stretch].gap;
    let coming = |n: usize| window.asks[n].coming;
    let ends = heard
        .iter()
        .filter(|said| said.stretch == stretch)
        .map(|said| {
            let close = match (said.item, ask) {
                (Item::Call(_), None) => true,
                (Item::Call(_), Some(n)) => coming(n),
                (Item::Ask { ask, .. }, None) => coming(ask),
                (Item::Ask { .. }, Some(_)) => false,
            };
            said.until + if close { Span::ZERO } else { gap }
        });
    ends.max().unwrap_or_default()
}

/// How often a choice was made again, and how often it fell on something else of the same worth.
fn follow(seed: u64, moves: bool) -> (usize, usize) {
    let mut rng = fastrand::Rng::with_seed(seed);
    let (mut cuts, mut others) = (0, 0);
    for case in 0..2000 {
        let size = Size {
            stretches: rng.usize(1..4),
            asks: rng.usize(2..9),
            calls: rng.usize(..4),
            length: 20,
            long: 4,
            moves,
        };
        let window = random::window(&mut rng, size);
        let whole = window.select().said;
        for n in 1..whole.len() {
            let (heard, to_come) = whole.split_at(n);
            let end = heard[n - 1].until.millis();
            let now = Offset::from_millis(rng.u64(end..=to_come[0].at.millis()));
            let rest = rest(&window, heard, now);
            let again = rest.select();
            let worth = legal::worth(&rest, to_come);
            assert_eq!(
                worth,
                Some(again.worth),
                "case {case}, {heard:?} at {now:?}: {window:?}"
            );
            cuts += 1;
            others += usize::from(again.said != to_come);
        }
    }
    (cuts, others)
}

#[test]
fn the_rest_of_a_choice_is_the_choice_of_the_rest() {
    let (cuts, others) = follow(21, false);
    assert!(cuts > 3000 && others == 0, "{others} of {cuts}");
}

/// Where a prompt was moved past a call, two sets of one worth may change places.
#[test]
fn so_it_is_where_prompts_are_moved_back_but_for_a_tie_in_a_thousand() {
    let (cuts, others) = follow(22, true);
    assert!(cuts > 3000 && others * 1000 <= cuts, "{others} of {cuts}");
}
