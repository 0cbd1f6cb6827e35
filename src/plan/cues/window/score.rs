//! A window brought into the fixed order of saying, forward or backward in time.
//!
//! A variant splits into its ways, one for each bonus it can have; the ways of an ask at one place
//! of the order are a step. The steps in their order and the calls in order of time are the two
//! sides of the grid that `search` walks. Read backward, from the end of the window, it is a grid
//! of the same kind: stretches, steps and calls turn round, and silence is the same both ways.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::given::{Call, Range, Stretch, Variant, Window};
use super::links::Links;
use super::worth::Worth;
use crate::time::{Offset, Span};

/// One way to say an ask: a variant where it has the same bonus.
#[derive(Clone, Debug)]
pub(super) struct Way {
    pub(super) ask: usize,
    pub(super) variant: usize,
    pub(super) nature: Nature,
    pub(super) long: Span,
    /// Each within its stretch and long enough.
    pub(super) ranges: Vec<Range>,
    /// What the ask and the bonus are worth together; of variants worth the same, the first more.
    pub(super) worth: Worth,
}

/// The ways of one ask at one place of the order, the preferred first.
#[derive(Clone, Debug)]
pub(super) struct Step {
    pub(super) ask: usize,
    pub(super) ways: Vec<Way>,
}

/// A call that has its place.
#[derive(Clone, Debug)]
pub(super) struct TimedCall {
    pub(super) call: usize,
    pub(super) stretch: usize,
    pub(super) at: Offset,
    pub(super) long: Span,
    pub(super) worth: Worth,
}

impl TimedCall {
    pub(super) fn end(&self) -> Offset {
        self.at + self.long
    }
}

/// What decides how near two prompts may stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Nature {
    /// Said at a place that may be chosen.
    Free,
    /// The same, about what comes after the stretch.
    Coming,
    /// Said at its time.
    Call,
}

impl Nature {
    /// The least silence between two prompts of a stretch with this gap.
    pub(super) fn silence(self, other: Self, gap: Span) -> Span {
        match (self, other) {
            (Self::Call, Self::Call | Self::Coming) | (Self::Coming, Self::Call) => Span::ZERO,
            _ => gap,
        }
    }
}

/// The steps and calls of a window in order.
#[derive(Clone, Debug)]
pub(super) struct Score {
    /// Where the window ends, counted from the start of the class.
    pub(super) end: Offset,
    pub(super) stretches: Vec<Stretch>,
    pub(super) steps: Vec<Step>,
    pub(super) calls: Vec<TimedCall>,
    pub(super) links: Links,
    /// Whether time is read backward, from the end of the window.
    pub(super) backward: bool,
}

/// A set to be said: steps with the way taken, and calls, both by their place in a score.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Picks {
    pub(super) ways: Vec<(usize, usize)>,
    pub(super) calls: Vec<usize>,
}

impl Score {
    /// The score of a window, forward. What can be said nowhere is not in it.
    pub(super) fn of<T>(window: &Window<T>) -> Self {
        debug_assert!(window.stretches.is_sorted_by(|a, b| a.until <= b.from));
        let needs: Vec<_> = window.asks.iter().map(|ask| ask.needs).collect();
        let steps = in_sense(steps(window), &needs);
        let numbered = window.calls.iter().enumerate();
        let mut calls: Vec<TimedCall> = numbered
            .filter_map(|(n, call)| timed(n, call, &window.stretches[call.stretch]))
            .collect();
        calls.sort_by_key(|call| (call.at, call.call));
        Self {
            end: window
                .stretches
                .last()
                .map(|last| last.until)
                .unwrap_or_default(),
            stretches: window.stretches.clone(),
            links: Links::of(needs, steps.iter().map(|step| step.ask)),
            steps,
            calls,
            backward: false,
        }
    }

    /// The same read from its end.
    pub(super) fn reversed(&self) -> Self {
        let end = self.end;
        let mut stretches = self.stretches.clone();
        stretches.reverse();
        for stretch in &mut stretches {
            (stretch.from, stretch.until) = turned(end, stretch.from, stretch.until);
            for zone in &mut stretch.closed {
                *zone = turned(end, zone.0, zone.1);
            }
        }
        let nth = |stretch: usize| self.stretches.len() - 1 - stretch;
        let mut steps = self.steps.clone();
        steps.reverse();
        let ways = steps.iter_mut().flat_map(|step| &mut step.ways);
        for range in ways.flat_map(|way| &mut way.ranges) {
            (range.from, range.by) = turned(end, range.from, range.by);
            range.stretch = nth(range.stretch);
        }
        let mut calls = self.calls.clone();
        calls.reverse();
        for call in &mut calls {
            call.at = turned(end, call.at, call.end()).0;
            call.stretch = nth(call.stretch);
        }
        Self {
            end,
            stretches,
            links: Links::of(self.links.needs.clone(), steps.iter().map(|step| step.ask)),
            steps,
            calls,
            backward: !self.backward,
        }
    }

    /// The same with the `depth` highest ranks alone; what is worth nothing then is not said,
    /// unless something else needs it.
    pub(super) fn to_depth(&self, depth: usize) -> Self {
        let mut score = self.clone();
        for step in &mut score.steps {
            for way in &mut step.ways {
                way.worth = way.worth.to_depth(depth);
            }
            let is_linked = self.links.has(step.ask);
            step.ways
                .retain(|way| is_linked || way.worth != Worth::NONE);
        }
        for call in &mut score.calls {
            call.worth = call.worth.to_depth(depth);
        }
        score
    }

    /// Every ask in the way that is worth most, and every call, where that makes sense.
    pub(super) fn everything(&self) -> Option<Picks> {
        let mut best: Vec<Option<(usize, usize)>> = vec![None; self.links.needs.len()];
        for (n, step) in self.steps.iter().enumerate() {
            for (k, way) in step.ways.iter().enumerate() {
                let so_far = best[step.ask].map(|(n, k)| self.steps[n].ways[k].worth);
                if so_far.is_none_or(|worth| worth < way.worth) {
                    best[step.ask] = Some((n, k));
                }
            }
        }
        let step_of = |ask: usize| best[ask].map(|pick| pick.0);
        let makes_sense = |&(n, _): &(usize, usize)| {
            self.links.needs[self.steps[n].ask]
                .is_none_or(|needed| step_of(needed).is_some_and(|m| m < n))
        };
        let mut ways: Vec<_> = best.iter().copied().flatten().collect();
        ways.sort_unstable();
        ways.iter().all(makes_sense).then(|| Picks {
            ways,
            calls: (0..self.calls.len()).collect(),
        })
    }

    /// The ways of a set, in order.
    pub(super) fn ways(&self, picks: &Picks) -> impl Iterator<Item = &Way> {
        picks.ways.iter().map(|&(n, k)| &self.steps[n].ways[k])
    }

    /// The calls of a set, in order.
    pub(super) fn calls_of(&self, picks: &Picks) -> impl Iterator<Item = &TimedCall> {
        picks.calls.iter().map(|&n| &self.calls[n])
    }

    /// What a set is worth.
    pub(super) fn worth(&self, picks: &Picks) -> Worth {
        let asks: Worth = self.ways(picks).map(|way| way.worth).sum();
        let calls = self.calls_of(picks).map(|call| call.worth).sum();
        (asks + calls).of_ranks()
    }
}

/// A piece of time as it is read from the end.
fn turned(end: Offset, from: Offset, until: Offset) -> (Offset, Offset) {
    (Offset::ZERO + (end - until), Offset::ZERO + (end - from))
}

fn steps<T>(window: &Window<T>) -> Vec<Step> {
    let mut steps: BTreeMap<(u8, usize), Step> = BTreeMap::new();
    for (ask, n, variant) in window.variants() {
        let ways = ways(window, ask, n, variant);
        let step = steps.entry((variant.order, ask)).or_insert(Step {
            ask,
            ways: Vec::new(),
        });
        step.ways.extend(ways);
    }
    steps.into_values().collect()
}

fn ways<T>(window: &Window<T>, ask: usize, n: usize, variant: &Variant<T>) -> Vec<Way> {
    let mut ranges: BTreeMap<Reverse<Worth>, Vec<Range>> = BTreeMap::new();
    let fitting = variant.ranges.iter().filter_map(|range| {
        let range = within(range, &window.stretches[range.stretch]);
        (range.from + variant.long <= range.by).then_some(range)
    });
    for range in fitting {
        ranges.entry(Reverse(range.bonus)).or_default().push(range);
    }
    let of = &window.asks[ask];
    let nature = if of.coming {
        Nature::Coming
    } else {
        Nature::Free
    };
    let preference = Worth::preference(of.variants.len() - 1 - n);
    let by_bonus = ranges.into_iter();
    by_bonus
        .map(|(Reverse(bonus), ranges)| Way {
            ask,
            variant: n,
            nature,
            long: variant.long,
            ranges,
            worth: Worth::of(of.rank, 1) + bonus + preference,
        })
        .collect()
}

/// A range held to its stretch.
fn within(range: &Range, stretch: &Stretch) -> Range {
    Range {
        from: range.from.max(stretch.from),
        by: range.by.min(stretch.until),
        ..range.clone()
    }
}

/// The steps that have ways, without those before anything that they need.
fn in_sense(steps: Vec<Step>, needs: &[Option<usize>]) -> Vec<Step> {
    let mut sayable = vec![false; needs.len()];
    let mut kept = steps;
    kept.retain(|step| {
        let makes_sense = needs[step.ask].is_none_or(|needed| sayable[needed]);
        let keep = makes_sense && !step.ways.is_empty();
        sayable[step.ask] |= keep;
        keep
    });
    kept
}

/// A call in its stretch, where no count is in its way.
fn timed<T>(n: usize, call: &Call<T>, stretch: &Stretch) -> Option<TimedCall> {
    let end = call.at + call.long;
    let is_inside = stretch.from <= call.at && end <= stretch.until;
    let is_counted = stretch.closed.iter().any(|z| call.at < z.1 && end > z.0);
    (is_inside && !is_counted).then_some(TimedCall {
        call: n,
        stretch: call.stretch,
        at: call.at,
        long: call.long,
        worth: Worth::of(call.rank, 1),
    })
}

impl<T> Window<T> {
    /// Every variant with its ask and its place among the ask's variants.
    fn variants(&self) -> impl Iterator<Item = (usize, usize, &Variant<T>)> {
        let asks = self.asks.iter().enumerate();
        asks.flat_map(|(n, ask)| {
            let variants = ask.variants.iter().enumerate();
            variants.map(move |(k, variant)| (n, k, variant))
        })
    }
}
