//! Words as sound: samples with a time and somebody to hear them.

use std::sync::Arc;

use super::units::SampleRate;
use crate::time::{Moment, Span};

/// Spoken words, one channel.
#[derive(Clone, Debug, PartialEq)]
pub struct Utterance {
    /// Frames a second.
    pub rate: SampleRate,
    /// The samples.
    pub samples: Arc<[f32]>,
}

impl Utterance {
    /// How long it lasts, rounded up.
    #[must_use]
    pub fn length(&self) -> Span {
        let frames = u64::try_from(self.samples.len()).unwrap_or(u64::MAX / 1000);
        Span::from_millis((frames * 1000).div_ceil(u64::from(self.rate.get())))
    }
}

/// Who hears words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum To {
    /// The instructor alone.
    Ear,
    /// Everybody.
    Room,
}

/// Words at a moment. What begins at the same moment for the same is the same.
#[derive(Clone, Debug, PartialEq)]
pub struct Talk {
    /// When they begin.
    pub at: Moment,
    /// The words.
    pub what: Utterance,
    /// Who hears them.
    pub to: To,
}

/// What is to be said, in order of time, shared with whoever plays it.
pub(crate) type Talks = Arc<[Talk]>;
