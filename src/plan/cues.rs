//! What to say and when: the prompts of a class.
//!
//! It refuses to know what has really been said. A prompt that was missed simply goes.

use std::ops::Range;

use serde::{Deserialize, Serialize};

use super::course::Course;
use super::timeline::Timeline;
use crate::session::{Cueing, Load};
use crate::time::{Offset, Span};

/// What a prompt is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PromptKind {
    /// The coming move by name, with its change of position.
    Preview,
    /// How to get into it.
    Setup,
    /// What to fetch for it.
    Fetch,
    /// Another version of it.
    Option,
    /// How it is done well.
    Form,
    /// Half of the work is done.
    Half,
    /// Change sides.
    Switch,
    /// Seconds left.
    Seconds,
    /// A recovery, or the end of the class, comes.
    Recover,
    /// What the planner wrote for a briefing, a recovery or a move, what changes in the next round,
    /// or the list of a circuit.
    Brief,
}

/// Words with their time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Prompt {
    /// When it begins to be said.
    pub at: Offset,
    /// When it has been said.
    pub until: Offset,
    /// What it is about.
    pub kind: PromptKind,
    /// The words.
    pub say: String,
    /// The interval in which it is said, by its place in the timeline.
    pub interval: usize,
    /// The interval which it is about.
    pub about: usize,
    /// The number of that interval, which stays with it whatever is changed around it.
    pub id: u32,
    /// Whether it is for a limit of someone in the room.
    pub marked: bool,
}

/// Words for which there was no time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unplaced {
    /// The interval which they are about.
    pub about: usize,
    /// What they are about.
    pub kind: PromptKind,
    /// The words.
    pub say: String,
    /// Whether they are for a limit of someone in the room.
    pub marked: bool,
    /// How much time was missing.
    pub short: Span,
    /// Why they could not be placed.
    pub why: String,
}

/// Everything to be said in a class, in order of time, never two at once.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CuePlan {
    /// What is said.
    pub prompts: Vec<Prompt>,
    /// What could not be placed.
    pub unplaced: Vec<Unplaced>,
    /// What was said of the moves that are under way or next, before the class was last changed.
    pub(super) heard: Vec<Prompt>,
}

impl CuePlan {
    /// The plan for a whole class.
    #[must_use]
    pub fn of(timeline: &Timeline, cueing: &Cueing, limits: &[Load]) -> Self {
        Self::of_rest(timeline, Offset::ZERO, cueing, limits)
    }

    /// The plan for what is left of a class from `from` on; what lies before counts as taught.
    ///
    /// It is the end of the whole plan: every prompt of it that begins at `from` or later. One
    /// thing is added: where the preview of the next move lay before `from`, whoever comes in here
    /// has not heard it, so it is said now, late rather than never, and only from here to the end
    /// of that move may anything give way to it. A prompt that began before `from` is not in the
    /// plan; the caller shows it to its end.
    #[must_use]
    pub fn of_rest(timeline: &Timeline, from: Offset, cueing: &Cueing, limits: &[Load]) -> Self {
        let until = Offset::ZERO + timeline.total();
        Self::of_stretch(timeline, from..until, cueing, limits)
    }

    /// The plan for a part of a class: as [`CuePlan::of_rest`], but it stops with the last move
    /// that begins before the end of `stretch`. What it has is what the whole plan has there.
    #[must_use]
    pub fn of_stretch(
        timeline: &Timeline,
        stretch: Range<Offset>,
        cueing: &Cueing,
        limits: &[Load],
    ) -> Self {
        Course::of(timeline, cueing, limits).plan(stretch, None)
    }

    /// The plan for what is left of a class that was changed at `from`, where this plan was
    /// followed until then: nothing heard is said again, nothing due is left out. What was being
    /// said at `from` goes on if the new plan has it too, else it counts as not heard. Where all
    /// was said as the new plan would have had it, this is the end of that plan.
    ///
    /// The timeline must give unchanged intervals the ids they had.
    #[must_use]
    pub fn onward(
        &self,
        timeline: &Timeline,
        from: Offset,
        cueing: &Cueing,
        limits: &[Load],
    ) -> Self {
        let course = Course::of(timeline, cueing, limits);
        let heard = course.heard(self, from);
        let until = Offset::ZERO + timeline.total();
        let mut plan = course.plan(from..until, Some(&heard));
        plan.heard = heard;
        plan.heard.retain(|prompt| prompt.until <= from);
        plan
    }
}
