//! How loud the voice is at this sample: a factor that glides to where it was told to go.

use super::units::{SampleRate, Volume};

/// Milliseconds in which a change of volume is carried out.
const GLIDE: u32 = 10;

/// The common factor of all samples.
#[derive(Debug)]
pub(super) struct Level {
    pub(super) volume: Volume,
    pub(super) muted: bool,
    now: f32,
    step: f32,
}

impl Level {
    pub(super) fn new(rate: SampleRate) -> Self {
        let step = 1.0 / f32::from(u16::try_from(rate.count(GLIDE)).unwrap_or(u16::MAX));
        Self {
            volume: Volume::FULL,
            muted: false,
            now: 1.0,
            step: step.min(1.0),
        }
    }

    #[expect(clippy::cast_possible_truncation, reason = "samples are f32")]
    fn target(&self) -> f32 {
        if self.muted {
            0.0
        } else {
            self.volume.amplitude() as f32
        }
    }

    /// Where nothing sounds a change takes no time.
    pub(super) fn settle(&mut self) {
        self.now = self.target();
    }

    /// The next sample at this level.
    pub(super) fn applied(&mut self, sample: f32) -> f32 {
        self.now += (self.target() - self.now).clamp(-self.step, self.step);
        sample * self.now
    }

    pub(super) fn apply(&mut self, out: &mut [f32]) {
        let target = self.target();
        for sample in out {
            self.now += (target - self.now).clamp(-self.step, self.step);
            *sample *= self.now;
        }
    }
}
