//! The rules of a window, written again from its types without any of its placing.

use super::{Item, Said, Window, Worth};
use crate::time::Span;

/// What a set of places is worth; none where it breaks a rule.
pub(super) fn worth<T>(window: &Window<T>, said: &[Said]) -> Option<Worth> {
    let pairs = (0..said.len()).flat_map(|n| (n + 1..said.len()).map(move |m| (n, m)));
    let apart = pairs.into_iter().all(|(n, m)| {
        let (a, b) = (&said[n], &said[m]);
        may_stand_together(window, a, b)
    });
    let rules = apart && is_within_budgets(window, said) && makes_sense(window, said);
    let worths: Option<Vec<Worth>> = said.iter().map(|said| alone(window, said)).collect();
    rules.then_some(worths?.into_iter().sum())
}

/// What one thing at its place is worth; none where it must not stand there whatever else is said.
pub(super) fn alone<T>(window: &Window<T>, said: &Said) -> Option<Worth> {
    let stretch = &window.stretches[said.stretch];
    let (from, until) = (said.at, said.until);
    let touches = |zone: &(_, _)| !(until <= zone.0 || zone.1 <= from);
    if from < stretch.from || until > stretch.until || stretch.closed.iter().any(touches) {
        return None;
    }
    match said.item {
        Item::Call(n) => {
            let call = &window.calls[n];
            let on_time = call.at == from && call.at + call.long == until;
            (on_time && call.stretch == said.stretch).then_some(Worth::of(call.rank, 1))
        }
        Item::Ask { ask, variant } => {
            let (of, variant) = (&window.asks[ask], &window.asks[ask].variants[variant]);
            let ranges = variant.ranges.iter().filter(|range| {
                range.stretch == said.stretch && range.from <= from && until <= range.by
            });
            let bonus = ranges.map(|range| range.bonus).max()?;
            (until == from + variant.long).then_some(Worth::of(of.rank, 1) + bonus)
        }
    }
}

/// Whether two things may be said at their places, one beside the other.
pub(super) fn may_stand_together<T>(window: &Window<T>, a: &Said, b: &Said) -> bool {
    let (first, second) = if a.at <= b.at { (a, b) } else { (b, a) };
    let gap = if a.stretch == b.stretch {
        window.stretches[a.stretch].gap
    } else {
        Span::ZERO
    };
    let coming = |ask: usize| window.asks[ask].coming;
    let order = |ask: usize, variant: usize| (window.asks[ask].variants[variant].order, ask);
    let silence = match (first.item, second.item) {
        (Item::Call(_), Item::Call(_)) => Span::ZERO,
        (Item::Call(_), Item::Ask { ask, .. }) | (Item::Ask { ask, .. }, Item::Call(_)) => {
            if coming(ask) { Span::ZERO } else { gap }
        }
        (
            Item::Ask { ask, variant },
            Item::Ask {
                ask: other,
                variant: other_variant,
            },
        ) => {
            if ask == other || order(ask, variant) > order(other, other_variant) {
                return false;
            }
            gap
        }
    };
    first.until + silence <= second.at
}

pub(super) fn is_within_budgets<T>(window: &Window<T>, said: &[Said]) -> bool {
    window.stretches.iter().enumerate().all(|(n, stretch)| {
        let here = said.iter().filter(|said| said.stretch == n);
        here.map(|said| said.until.millis() - said.at.millis())
            .sum::<u64>()
            <= stretch.budget.millis()
    })
}

/// Whether everything said comes after what it needs.
pub(super) fn makes_sense<T>(window: &Window<T>, said: &[Said]) -> bool {
    said.iter().all(|one| match one.item {
        Item::Call(_) => true,
        Item::Ask { ask, .. } => window.asks[ask].needs.is_none_or(|needed| {
            said.iter().any(|other| {
                matches!(other.item, Item::Ask { ask, .. } if ask == needed) && other.at < one.at
            })
        }),
    })
}
