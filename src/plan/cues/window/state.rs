//! What matters of the part of a set that is already placed, and how it grows by one decision.

use std::cmp::Ordering;

use super::Range;
use super::score::{Nature, Score, Way};
use super::worth::Worth;
use crate::time::{Offset, Span};

const NATURES: [Nature; 3] = [Nature::Free, Nature::Coming, Nature::Call];

/// The part of a set that is placed, as far as what comes after it can tell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct State {
    pub(super) worth: Worth,
    /// The stretch of the last prompt.
    stretch: usize,
    /// The last prompt at a chosen place in that stretch, with its end.
    free: Option<(Nature, Offset)>,
    /// The end of the last call in that stretch.
    call: Option<Offset>,
    /// From when on another prompt may begin there, one time for each nature.
    open: [Offset; 3],
    /// The speech in that stretch; none where its budget can no longer be reached.
    spoken: Span,
    /// The asks said that still matter, in order of their number.
    said: Vec<usize>,
}

impl State {
    /// Nothing is said yet.
    pub(super) fn start() -> Self {
        Self {
            worth: Worth::NONE,
            stretch: 0,
            free: None,
            call: None,
            open: [Offset::ZERO; 3],
            spoken: Span::ZERO,
            said: Vec::new(),
        }
    }

    /// Whether whatever can follow the other can follow this one, and the whole is worth no less.
    pub(super) fn is_as_good_as(&self, other: &Self) -> bool {
        let is_earlier = match self.stretch.cmp(&other.stretch) {
            Ordering::Less => true,
            Ordering::Equal => {
                let mut opens = self.open.iter().zip(&other.open);
                self.spoken <= other.spoken && opens.all(|(a, b)| a <= b)
            }
            Ordering::Greater => false,
        };
        is_earlier && self.worth >= other.worth && self.said == other.said
    }

    /// From when on a prompt may begin in a stretch; none where the stretch is over.
    fn opens(&self, nature: Nature, stretch: usize) -> Option<Offset> {
        match stretch.cmp(&self.stretch) {
            Ordering::Less => None,
            Ordering::Equal => Some(self.open[nature as usize]),
            Ordering::Greater => Some(Offset::ZERO),
        }
    }

    /// The same as it is seen from a stretch in which something more is said.
    fn entered(&self, stretch: usize) -> Self {
        if stretch == self.stretch {
            return self.clone();
        }
        Self {
            stretch,
            said: self.said.clone(),
            ..Self::start()
        }
    }

    /// The last prompts of the stretch, with their ends.
    fn lasts(&self) -> impl Iterator<Item = (Nature, Offset)> {
        let call = self.call.map(|end| (Nature::Call, end));
        self.free.into_iter().chain(call)
    }
}

impl Score {
    /// The state after an ask is said in this way, as early as that can be; none where it can't.
    pub(super) fn said(&self, step: usize, way: &Way, state: &State) -> Option<State> {
        if !self.makes_sense(way.ask, state) {
            return None;
        }
        let places = way.ranges.iter().filter_map(|range| {
            let at = self.earliest(way, range, state)?;
            Some((range.stretch, at + way.long))
        });
        let (stretch, end) = places.min()?;
        let mut next = state.entered(stretch);
        next.worth = state.worth + way.worth;
        next.free = Some((way.nature, end));
        let said = next.said.partition_point(|&ask| ask < way.ask);
        next.said.insert(said, way.ask);
        self.forget(&mut next, step);
        self.close(&mut next, way.long);
        Some(next)
    }

    /// The state after an ask is not said at this step; none where something said needs it.
    pub(super) fn skipped(&self, step: usize, state: &State) -> Option<State> {
        let ask = self.steps[step].ask;
        let is_said = state.said.contains(&ask);
        let is_owed = self.backward && self.links.is_last(ask, step) && !is_said;
        if is_owed
            && state
                .said
                .iter()
                .any(|&by| self.links.needs[by] == Some(ask))
        {
            return None;
        }
        let mut next = state.clone();
        self.forget(&mut next, step);
        Some(next)
    }

    /// The state after a call is said; none where it can't be.
    pub(super) fn called(&self, call: usize, state: &State) -> Option<State> {
        let call = &self.calls[call];
        let opens = state.opens(Nature::Call, call.stretch)?;
        if call.at < opens || call.long > self.allowance(call.stretch, state) {
            return None;
        }
        let mut next = state.entered(call.stretch);
        next.worth = state.worth + call.worth;
        next.call = Some(call.end());
        self.close(&mut next, call.long);
        Some(next)
    }

    /// Whether two states, the one of this score and one of the same score read from its end, are
    /// the two parts of one set that fits.
    pub(super) fn meet(&self, state: &State, rest: &State) -> bool {
        let rest_is_in = self.stretches.len().saturating_sub(rest.stretch + 1);
        let (early, late) = if self.backward {
            (rest, state)
        } else {
            (state, rest)
        };
        let in_time = match state.stretch.cmp(&rest_is_in) {
            Ordering::Less => true,
            Ordering::Equal => self.stand_apart(state, rest),
            Ordering::Greater => false,
        };
        in_time
            && late.said.iter().all(|&ask| {
                let is_said = |needed| early.said.contains(&needed) || late.said.contains(&needed);
                !early.said.contains(&ask) && self.links.needs[ask].is_none_or(is_said)
            })
    }

    /// Whether two parts of a set leave each other time and speech in the stretch where they meet.
    fn stand_apart(&self, state: &State, rest: &State) -> bool {
        let Some(stretch) = self.stretches.get(state.stretch) else {
            return true;
        };
        let length = self.end.span();
        state.spoken + rest.spoken <= stretch.budget
            && state.lasts().all(|(nature, end)| {
                rest.lasts().all(|(other, left)| {
                    let silence = nature.silence(other, stretch.gap);
                    end.span() + silence + left.span() <= length
                })
            })
    }

    fn makes_sense(&self, ask: usize, state: &State) -> bool {
        let has = |ask| state.said.contains(&ask);
        let needs_are_met = self.links.needs[ask].is_none_or(|needed| has(needed) != self.backward);
        !has(ask) && needs_are_met && !self.is_too_late(ask, state)
    }

    /// Whether an ask comes too late, read from the end: something that needs it is still to be said
    /// earlier. So what is said at the later of two places is one run, and states stay few.
    fn is_too_late(&self, ask: usize, state: &State) -> bool {
        self.backward && self.links.comes_before_something_owed(ask, &state.said)
    }

    /// The earliest place in a range after everything of a state.
    fn earliest(&self, way: &Way, range: &Range, state: &State) -> Option<Offset> {
        let opens = state.opens(way.nature, range.stretch)?;
        if way.long > self.allowance(range.stretch, state) {
            return None;
        }
        let closed = &self.stretches[range.stretch].closed;
        clear_of(closed, opens.max(range.from), range.by, way.long)
    }

    fn allowance(&self, stretch: usize, state: &State) -> Span {
        let budget = self.stretches[stretch].budget;
        if stretch == state.stretch {
            budget.saturating_sub(state.spoken)
        } else {
            budget
        }
    }

    /// Leaves out what no longer matters after a step.
    fn forget(&self, state: &mut State, step: usize) {
        state.said.retain(|&ask| self.links.matters(ask, step + 1));
    }

    /// Takes account of a prompt that was added to the stretch.
    fn close(&self, state: &mut State, long: Span) {
        let stretch = &self.stretches[state.stretch];
        state.open = NATURES.map(|nature| {
            let ends = state.lasts().map(|(last, end)| {
                let silence = last.silence(nature, stretch.gap);
                end + silence
            });
            ends.max().unwrap_or_default()
        });
        state.spoken += long;
        let first = state.open.into_iter().min().unwrap_or_default();
        if state.spoken + (stretch.until - first) <= stretch.budget {
            state.spoken = Span::ZERO;
        }
    }
}

/// The earliest place at or after `from` that lies clear of the walls and ends in time.
pub(super) fn clear_of(
    walls: &[(Offset, Offset)],
    from: Offset,
    by: Offset,
    long: Span,
) -> Option<Offset> {
    let mut at = from;
    while at + long <= by {
        match wall_at(walls, at, at + long) {
            Some((_, end)) => at = end,
            None => return Some(at),
        }
    }
    None
}

/// A wall that a piece of time touches.
pub(super) fn wall_at(
    walls: &[(Offset, Offset)],
    from: Offset,
    until: Offset,
) -> Option<(Offset, Offset)> {
    let mut walls = walls.iter().copied();
    walls.find(|wall| from < wall.1 && until > wall.0)
}
