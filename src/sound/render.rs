//! A score as samples, without a device: for a sound file, and for tests.

use super::palette::Palette;
use super::units::SampleRate;
use super::voice::Voice;
use crate::plan::{Score, Signal, SignalKind, Strike};
use crate::time::{Moment, Offset, Span};

/// Frames that are made at once.
const BLOCK: usize = 1024;

/// The samples of a score from the class's start to its end, and of the last tone's ringing.
#[derive(Debug)]
pub struct Rendering {
    voice: Voice,
    left: usize,
    block: Vec<f32>,
    place: usize,
}

/// Renders a score: one channel, full volume, each onset in the frame nearest to its time.
#[must_use]
pub fn render(score: &[Signal], total: Span, rate: SampleRate) -> Rendering {
    let palette = Palette::at(rate);
    let total = i64::try_from(total.millis()).unwrap_or(i64::MAX);
    let frames = usize::try_from(rate.frames(total)).unwrap_or(0);
    let left = frames + palette.tone(SignalKind::End).len();
    let mut voice = Voice::new(palette);
    voice.take(Score::of(score.iter().map(|signal| Strike {
        at: Moment::ZERO + signal.at.since(Offset::ZERO),
        kind: signal.kind,
    })));
    Rendering {
        voice,
        left,
        block: Vec::new(),
        place: 0,
    }
}

impl Rendering {
    /// The next samples, a block at a time; none after the end.
    pub fn next_block(&mut self) -> Option<&[f32]> {
        let length = self.left.min(BLOCK);
        self.left -= length;
        self.place = 0;
        self.block.resize(length, 0.0);
        self.voice.fill(&mut self.block);
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
        let left = self.left + self.block.len() - self.place;
        (left, Some(left))
    }
}

impl ExactSizeIterator for Rendering {}

#[cfg(test)]
#[path = "render_tests.rs"]
mod tests;
