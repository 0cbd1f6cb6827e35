//! A score as samples, without a device: for a sound file, and for tests.

use std::sync::Arc;

use super::palette::Palette;
use super::talk::{Talk, Talks};
use super::talker::Talker;
use super::units::SampleRate;
use super::voice::Voice;
use crate::plan::{Score, Signal, SignalKind, Strike};
use crate::time::{Moment, Offset, Span};

/// Frames that are made at once, as by a device: words step back beside a tone by whole blocks.
const BLOCK: usize = 64;

/// The samples of a score from the class's start to its end, and of the last tone's ringing; with words,
/// where there are some.
#[derive(Debug)]
pub struct Rendering {
    voice: Voice,
    score: Score,
    talker: Talker,
    /// Lists of words that the talker may still hold.
    lists: Vec<Talks>,
    rate: SampleRate,
    left: usize,
    block: Vec<f32>,
    ear: Vec<f32>,
    place: usize,
}

/// Renders a score: one channel, full volume, each onset in the frame nearest to its time.
#[must_use]
pub fn render(score: &[Signal], total: Span, rate: SampleRate) -> Rendering {
    let palette = Palette::at(rate);
    let left = frames(rate, total) + palette.tone(SignalKind::End).len();
    let mut voice = Voice::new(palette);
    let score = Score::of(score.iter().map(|signal| Strike {
        at: Moment::ZERO + signal.at.since(Offset::ZERO),
        kind: signal.kind,
    }));
    voice.take(score.clone());
    Rendering {
        voice,
        score,
        talker: Talker::new(rate, Arc::default()),
        lists: Vec::new(),
        rate,
        left,
        block: Vec::new(),
        ear: Vec::new(),
        place: 0,
    }
}

fn frames(rate: SampleRate, span: Span) -> usize {
    let millis = i64::try_from(span.millis()).unwrap_or(i64::MAX);
    usize::try_from(rate.frames(millis)).unwrap_or(0)
}

impl Rendering {
    /// Only from a place of the class on: what begins before it is not heard.
    #[must_use]
    pub fn from(mut self, from: Offset) -> Self {
        let skipped = frames(self.rate, from.span());
        self.left = self.left.saturating_sub(skipped);
        self.voice
            .begin_at(i64::try_from(skipped).unwrap_or(i64::MAX));
        self.voice.take(self.score.clone());
        self
    }

    /// Only so much of it.
    #[must_use]
    pub fn no_longer_than(mut self, span: Span) -> Self {
        self.left = self.left.min(frames(self.rate, span));
        self
    }

    /// How many samples are still to come.
    #[must_use]
    pub const fn left(&self) -> usize {
        self.left + self.block.len() - self.place
    }

    /// Where the next sample stands in the class.
    #[must_use]
    pub fn here(&self) -> Moment {
        self.rate.moment(self.voice.position())
    }

    /// All words that are to be said from here on, with what is being said.
    pub fn say(&mut self, talks: Vec<Talk>) {
        let talks: Talks = talks.into();
        self.talker.take(Arc::clone(&talks));
        self.lists.retain(|list| Arc::strong_count(list) > 1);
        self.lists.push(talks);
    }

    /// The next samples, a block at a time; none after the end.
    pub fn next_block(&mut self) -> Option<&[f32]> {
        let length = self.left.min(BLOCK);
        self.left -= length;
        self.place = 0;
        self.block.resize(length, 0.0);
        let position = self.voice.position();
        let sounded = !self.voice.is_silent();
        self.voice.fill(&mut self.block);
        if length > 0 && !self.lists.is_empty() {
            self.ear.resize(length, 0.0);
            let tones = sounded || !self.voice.is_silent();
            self.talker
                .fill(position, tones, &mut self.block, &mut self.ear);
        }
        (length > 0).then_some(self.block.as_slice())
    }
}

impl Iterator for Rendering {
    type Item = f32;

    fn next(&mut self) -> Option<f32> {
        if self.place == self.block.len() {
            self.next_block()?;
        }
        let sample = self.block.get(self.place).copied();
        self.place += 1;
        sample
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        (self.left(), Some(self.left()))
    }
}

impl ExactSizeIterator for Rendering {}

#[cfg(test)]
#[path = "render_tests.rs"]
mod tests;
