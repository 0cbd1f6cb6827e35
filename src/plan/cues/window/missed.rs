//! Why something is not said: how much room is open to it beside what is.

use super::score::Nature;
use super::{Ask, Item, Lack, Missed, Opening, Range, Said, Variant, Window};
use crate::time::{Offset, Span};

/// Everything of a window that is not among what is said, with the reason.
pub(super) fn of<T>(window: &Window<T>, said: &[Said]) -> Vec<Missed> {
    let beside = Beside { window, said };
    let asks = (0..window.asks.len()).filter(|&n| beside.variant_said(n).is_none());
    let is_called = |n: usize| said.iter().any(|said| said.item == Item::Call(n));
    let calls = (0..window.calls.len()).filter(|&n| !is_called(n));
    let asks = asks.map(|n| beside.ask(n));
    asks.chain(calls.map(|n| beside.call(n))).collect()
}

/// A window with what is said in it.
struct Beside<'a, T> {
    window: &'a Window<T>,
    said: &'a [Said],
}

impl<T> Beside<'_, T> {
    fn variant_said(&self, n: usize) -> Option<&Variant<T>> {
        self.said.iter().find_map(|said| match said.item {
            Item::Ask { ask, variant } if ask == n => Some(&self.window.asks[n].variants[variant]),
            _ => None,
        })
    }

    fn ask(&self, n: usize) -> Missed {
        let ask = &self.window.asks[n];
        let needed = ask.needs.map(|needed| (needed, self.variant_said(needed)));
        let makes_sense = |variant: &Variant<T>| match needed {
            Some((needed, Some(said))) => (said.order, needed) < (variant.order, n),
            _ => true,
        };
        let numbered = ask.variants.iter().enumerate();
        let sensible = numbered.filter(|(_, variant)| makes_sense(variant));
        let shortest = sensible.min_by_key(|(_, variant)| variant.long);
        let why = match (needed, shortest) {
            (Some((needed, None)), _) => Lack::Needed(needed),
            (_, None) => Lack::Nowhere,
            (_, Some((_, variant))) => self.lack(n, ask, variant),
        };
        let variant = shortest.map_or(0, |(k, _)| k);
        let item = Item::Ask { ask: n, variant };
        Missed { item, why }
    }

    fn lack(&self, n: usize, ask: &Ask<T>, variant: &Variant<T>) -> Lack {
        let nature = if ask.coming {
            Nature::Coming
        } else {
            Nature::Free
        };
        let openings = variant.ranges.iter().map(|range| {
            let mut walls = self.window.stretches[range.stretch].closed.clone();
            let (mut from, mut by) = (range.from, range.by);
            for said in self.said {
                let silence = self.silence(said, nature, range.stretch);
                let (start, end) = (said.at.before(silence), said.until + silence);
                match self.order_of(said) {
                    None => walls.push((start, end)),
                    Some(order) if order < (variant.order, n) => from = from.max(end),
                    Some(_) => by = by.min(start),
                }
            }
            self.opening(
                &Range {
                    from,
                    by,
                    ..range.clone()
                },
                walls,
                variant.long,
            )
        });
        openings
            .max_by_key(Opening::room)
            .map_or(Lack::Nowhere, Lack::Room)
    }

    fn call(&self, n: usize) -> Missed {
        let call = &self.window.calls[n];
        let mut walls = self.window.stretches[call.stretch].closed.clone();
        walls.extend(self.said.iter().map(|said| {
            let silence = self.silence(said, Nature::Call, call.stretch);
            (said.at.before(silence), said.until + silence)
        }));
        let range = Range {
            stretch: call.stretch,
            from: call.at,
            by: call.at + call.long,
            hold: super::Hold::Early,
            bonus: super::Worth::NONE,
            soft_from: None,
        };
        Missed {
            item: Item::Call(n),
            why: Lack::Room(self.opening(&range, walls, call.long)),
        }
    }

    fn opening(&self, range: &Range, walls: Vec<(Offset, Offset)>, long: Span) -> Opening {
        let stretch = &self.window.stretches[range.stretch];
        let here = self
            .said
            .iter()
            .filter(|said| said.stretch == range.stretch);
        let spoken = here.map(|said| said.until - said.at).sum();
        let (from, by) = (range.from.max(stretch.from), range.by.min(stretch.until));
        Opening {
            stretch: range.stretch,
            time: longest(from, by, walls),
            allowance: stretch.budget.saturating_sub(spoken),
            long,
        }
    }

    /// The place of an ask in the order; a call has none.
    fn order_of(&self, said: &Said) -> Option<(u8, usize)> {
        match said.item {
            Item::Ask { ask, variant } => {
                Some((self.window.asks[ask].variants[variant].order, ask))
            }
            Item::Call(_) => None,
        }
    }

    /// The silence wanted between something said and something of this nature in a stretch.
    fn silence(&self, said: &Said, nature: Nature, stretch: usize) -> Span {
        if said.stretch != stretch {
            return Span::ZERO;
        }
        let other = match said.item {
            Item::Ask { ask, .. } if self.window.asks[ask].coming => Nature::Coming,
            Item::Ask { .. } => Nature::Free,
            Item::Call(_) => Nature::Call,
        };
        nature.silence(other, self.window.stretches[stretch].gap)
    }
}

/// The longest time in one piece between two points that no wall covers.
fn longest(from: Offset, by: Offset, mut walls: Vec<(Offset, Offset)>) -> Span {
    walls.sort_unstable();
    let (mut at, mut best) = (from, Span::ZERO);
    for (start, end) in walls {
        best = best.max(start.min(by) - at);
        at = at.max(end);
    }
    best.max(by - at)
}
