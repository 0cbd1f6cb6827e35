//! What has been said in a class, and is to be said.

use std::sync::Arc;

use crate::plan::{CuePlan, Heard, Interval, Prompt};
use crate::time::{Offset, Span};

/// What was said up to a place, and is to be said from there on.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Said {
    pub(super) heard: Arc<Vec<Heard>>,
    pub(super) noted: Offset,
    pub(super) speaking: Option<Speaking>,
    pub(super) cues: Arc<CuePlan>,
    /// The place of what ran then.
    pub(super) running: usize,
}

impl Said {
    /// The same, where the interval `first` has become the interval `now`, and the class stands `by`
    /// later than it did.
    pub(super) fn moved(self, first: usize, now: usize, by: Span) -> Self {
        if first == now && by.is_zero() {
            return self;
        }
        let place = |interval: usize| now + interval.saturating_sub(first);
        Self {
            noted: self.noted + by,
            speaking: self.speaking.map(|speaking| Speaking {
                prompt: speaking.prompt.moved(place, by),
                ..speaking
            }),
            cues: Arc::new(self.cues.moved(first, now, by)),
            ..self
        }
    }
}

/// What is being said.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Speaking {
    /// The number of the interval in which it is said.
    pub(super) said_in: u32,
    pub(super) prompt: Prompt,
    /// What runs, and all up to what it is about, as it was when this began to be said: only as long
    /// as that stays so are the words true.
    pub(super) of: Vec<Arc<Interval>>,
}

impl Speaking {
    /// Whether the words are as true of what runs and comes now.
    pub(super) fn is_true_of<'a>(&self, coming: impl Iterator<Item = &'a Arc<Interval>>) -> bool {
        let same =
            |(was, is): (&Arc<Interval>, &Arc<Interval>)| was.id == is.id && was.moves == is.moves;
        let mut alike = 0;
        let all = self.of.iter().zip(coming).inspect(|_| alike += 1).all(same);
        all && alike == self.of.len()
    }
}
