//! What to say and when: the prompts of a class.
//!
//! They are a function of what is ahead, of the place, of what the class was taught and of what has
//! been heard, and of nothing else: no plan depends on an earlier one. A prompt that was missed
//! simply goes.

mod breath;
mod calls;
mod coming;
mod context;
mod draft;
mod known;
mod lead_in;
mod missed;
mod name_again;
mod occurrence;
mod order;
mod past;
mod phrases;
mod prompt;
mod said;
mod segment;
mod stations;
mod told;
mod topics;
mod walk;
mod window;

use std::ops::Range;

pub use known::Known;
pub use past::Past;
pub use phrases::guard;
pub use prompt::{Heard, Prompt, PromptKind, Unplaced};
pub use stations::{LONG_TO_EXPLAIN, explaining};

use self::context::{Context, Told};
use self::topics::Topic;
use self::walk::Walk;
use super::timeline::Timeline;
use crate::session::{Cueing, Load, Room};
use crate::time::{Offset, Span};

/// Everything to be said in a class, in order of time, never two at once.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CuePlan {
    /// What is said.
    pub prompts: Vec<Prompt>,
    /// What could not be placed.
    pub unplaced: Vec<Unplaced>,
    /// Up to where it is planned.
    until: Offset,
    /// What the last segment left for the move that ends it: its place, and the topics.
    left: Option<(usize, Vec<Topic>)>,
}

impl CuePlan {
    /// The plan for a whole class.
    #[must_use]
    pub fn of(timeline: &Timeline, cueing: &Cueing, limits: &[Load]) -> Self {
        let known = Known {
            past: &Past::of(&Room {
                limits,
                things: timeline.things(),
            }),
            before: None,
            heard: &[],
            speaking: None,
        };
        let whole = Offset::ZERO..timeline.end();
        Self::ahead(timeline, 0, whole, known, cueing, limits)
    }

    /// The plan for a class that runs, from the place where `stretch` begins, in the interval
    /// `running`, up to the first move that begins at its end or later.
    ///
    /// Nothing that was heard is said again; what is being said goes on, if it is still to be said.
    /// Where the preview of the next move can no longer have its lead, it is said late rather than
    /// never.
    #[must_use]
    pub fn ahead(
        timeline: &Timeline,
        running: usize,
        stretch: Range<Offset>,
        known: Known,
        cueing: &Cueing,
        limits: &[Load],
    ) -> Self {
        let told = Told::at(stretch.start, timeline, running, known);
        let context = Context::of(timeline, cueing, limits, &told);
        let mut plan = Self::default();
        let walk = Walk::from(&context, running, known);
        let left = walk.left();
        plan.take(&context, walk, stretch.end, left);
        plan
    }

    /// This plan and what comes after it up to `until`: the same as if it had been planned so far
    /// at first.
    #[must_use]
    pub fn further(
        &self,
        timeline: &Timeline,
        running: usize,
        until: Offset,
        known: Known,
        cueing: &Cueing,
        limits: &[Load],
    ) -> Self {
        let mut plan = self.clone();
        let Some((next, left)) = plan.left.take() else {
            return plan;
        };
        let told = Told::unheard();
        let context = Context::of(timeline, cueing, limits, &told);
        let mut walk = Walk::from(&context, running, known);
        walk.skip_to(next);
        plan.take(&context, walk, until, left);
        plan
    }

    fn take(&mut self, context: &Context, walk: Walk, until: Offset, mut left: Vec<Topic>) {
        self.until = context.timeline.end();
        for segment in walk {
            let begin = segment.begin();
            if let Some(now) = segment
                .now
                .as_ref()
                .filter(|_| begin >= until && begin > context.told.from)
            {
                self.until = begin;
                self.left = Some((now.at, left));
                return;
            }
            let said = said::of(context, &segment, left);
            self.prompts.extend(said.prompts);
            self.unplaced.extend(said.unplaced);
            left = said.left;
        }
    }

    /// The same plan from the interval `first` on, where that has become the interval `now`, and all
    /// comes so much later.
    #[must_use]
    pub fn moved(&self, first: usize, now: usize, by: Span) -> Self {
        let place = |interval: usize| now + interval.saturating_sub(first);
        let ahead = self.prompts.iter().filter(|p| p.interval >= first);
        let prompts = ahead.map(|prompt| prompt.moved(place, by)).collect();
        let about = |unplaced: &Unplaced| Unplaced {
            about: place(unplaced.about),
            ..unplaced.clone()
        };
        let unplaced = self.unplaced.iter().filter(|one| one.about >= first);
        Self {
            prompts,
            unplaced: unplaced.map(about).collect(),
            until: self.until + by,
            left: self.left.clone().map(|(next, left)| (place(next), left)),
        }
    }

    /// Up to where it is planned.
    #[must_use]
    pub const fn until(&self) -> Offset {
        self.until
    }

    /// What is being said at a place of the class in this interval.
    #[must_use]
    pub fn being_said(&self, at: Offset, interval: usize) -> Option<&Prompt> {
        let after = self.prompts.partition_point(|prompt| prompt.until <= at);
        let prompt = self.prompts.get(after)?;
        (prompt.at < at && prompt.interval == interval).then_some(prompt)
    }

    /// The prompts whose last word falls behind one place of the class and not behind another.
    pub fn said_within(&self, from: Offset, to: Offset) -> impl Iterator<Item = &Prompt> {
        let first = self.prompts.partition_point(|prompt| prompt.until <= from);
        let rest = self.prompts[first..].iter();
        rest.take_while(move |prompt| prompt.until <= to)
    }
}
