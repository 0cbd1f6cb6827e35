//! A window that is being filled: what is asked for in a segment, in which words, and where.
//!
//! What is worth asking for is not known here.

use super::context::Context;
use super::order;
use super::segment::Segment;
use super::topics::Topic;
use super::window::{self, Ask, Hold, Item, Variant, Window, Worth};
use crate::time::Offset;

/// Words with what they are about.
#[derive(Clone, Debug)]
pub(super) struct Line {
    pub(super) topic: Topic,
    pub(super) say: String,
    /// The interval that they are about.
    pub(super) about: usize,
}

/// Words, their place in the order of saying, and where they may stand.
pub(super) type Wording = (String, u8, Vec<window::Range>);

/// Words in these ranges.
pub(super) fn wording(say: &str, order: u8, ranges: Vec<window::Range>) -> Wording {
    (say.to_owned(), order, ranges)
}

/// Where in a stretch something may be said.
pub(super) fn within(
    stretch: usize,
    (from, by): (Offset, Offset),
    hold: Hold,
    bonus: Worth,
) -> window::Range {
    window::Range {
        stretch,
        from,
        by,
        hold,
        bonus,
        soft_from: None,
    }
}

/// The same words in each of these ranges, the last one preferred; in none, where there is none.
pub(super) fn each_by_itself(say: &str, order: u8, ranges: Vec<window::Range>) -> Vec<Wording> {
    if ranges.is_empty() {
        return vec![(say.to_owned(), order, ranges)];
    }
    let ranges = ranges.into_iter().rev();
    ranges
        .map(|range| (say.to_owned(), order, vec![range]))
        .collect()
}

/// A window that is being filled.
pub(super) struct Draft<'c, 'a, 's> {
    pub(super) context: &'c Context<'a>,
    pub(super) segment: &'s Segment<'a>,
    /// The intervals of the window's stretches.
    pub(super) stretches: Vec<usize>,
    pub(super) window: Window<Line>,
}

/// What is known of the preview of the coming move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Announced {
    /// It was heard.
    Heard,
    /// It is the ask with this number.
    Asked(usize),
}

impl<'c, 'a, 's> Draft<'c, 'a, 's> {
    pub(super) fn of(context: &'c Context<'a>, segment: &'s Segment<'a>) -> Self {
        let stretches: Vec<usize> = segment.intervals().collect();
        let window = Window {
            stretches: stretches.iter().map(|&n| context.stretch(n)).collect(),
            asks: Vec::new(),
            calls: Vec::new(),
        };
        Self {
            context,
            segment,
            stretches,
            window,
        }
    }

    /// Asks for one topic in one stretch, unless it was heard.
    pub(super) fn ask(
        &mut self,
        topic: &Topic,
        about: usize,
        order: u8,
        stretch: usize,
        range: (Offset, Offset),
    ) -> Option<usize> {
        let range = within(stretch, range, Hold::Early, Worth::NONE);
        let variants = topic.wordings();
        let variants = variants.map(|say| wording(say, order, vec![range.clone()]));
        self.ask_in(topic, about, false, variants.collect())
    }

    /// Asks for one topic in these variants, unless it was heard or its place in the order is past.
    pub(super) fn ask_in(
        &mut self,
        topic: &Topic,
        about: usize,
        coming: bool,
        mut variants: Vec<Wording>,
    ) -> Option<usize> {
        let interval = self.context.interval(about);
        let told = self.context.told;
        let is_heard = |say: &str| told.has(interval, topic.kind, say);
        if variants.iter().any(|(say, ..)| is_heard(say)) {
            return None;
        }
        if !topic.marked {
            let past = self.past_order();
            variants.retain(|(_, order, _)| *order > past);
        }
        if variants.is_empty() {
            return None;
        }
        for range in variants.iter_mut().flat_map(|(.., ranges)| ranges) {
            let gap = self.window.stretches[range.stretch].gap;
            let quiet = told.quiet_until(self.stretches[range.stretch], gap, coming);
            range.from = range.from.max(quiet);
        }
        let variants = variants.into_iter().map(|(say, order, ranges)| Variant {
            long: self.context.saying(&say),
            say: Line {
                topic: topic.clone(),
                say,
                about,
            },
            order,
            ranges,
        });
        self.window.asks.push(Ask {
            rank: topic.importance.rank(),
            needs: None,
            coming,
            variants: variants.collect(),
        });
        Some(self.window.asks.len() - 1)
    }

    /// Up to where the order of saying is past, since the preview was heard.
    fn past_order(&self) -> u8 {
        let next = self.segment.next.as_ref();
        let heard = next.and_then(|next| self.context.told.preview_of(next.interval));
        match heard.map(|preview| preview.in_move) {
            Some(true) => order::COMING,
            Some(false) => order::PREVIEW,
            None => 0,
        }
    }

    /// The stretches without a move, with their intervals.
    pub(super) fn pauses(&self) -> impl Iterator<Item = (usize, usize)> + use<> {
        let moves = usize::from(self.segment.now.is_some());
        let pauses: Vec<(usize, usize)> = self
            .stretches
            .iter()
            .copied()
            .enumerate()
            .skip(moves)
            .collect();
        pauses.into_iter()
    }

    /// The words of an ask or a call.
    pub(super) fn words(&self, item: Item) -> &Line {
        match item {
            Item::Ask { ask, variant } => &self.window.asks[ask].variants[variant].say,
            Item::Call(call) => &self.window.calls[call].say,
        }
    }
}
