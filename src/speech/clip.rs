//! A prompt that was made: samples of one channel, trimmed, levelled, and brought to another rate.

use std::sync::Arc;

use ebur128::{EbuR128, Mode};
use rubato::audioadapter_buffers::direct::InterleavedSlice;
use rubato::{Fft, FixedSync, Resampler};

use super::fault::SpeechFault;
use crate::sound::{SampleRate, Utterance};
use crate::time::Span;

/// What a clip is brought to, in LUFS of one channel (ITU-R BS.1770). Synthesized speech has peaks some
/// 13 to 16 dB above its loudness, which leaves the ceiling to a few.
const LOUDNESS: f64 = -18.0;
/// The highest peak, against full scale: -1 dB (the tones' own limit, display and sound notes).
const CEILING: f32 = 0.89;
/// What is softer than this against the clip's peak, before its first and after its last louder
/// sample, is silence: -46 dB.
const SOFT: f32 = 0.005;
/// A clip whose peak is below this says nothing: -60 dB.
const NOTHING: f32 = 0.001;
/// Milliseconds kept before the first and after the last sound, and faded in and out.
const MARGIN: (u32, u32) = (5, 25);
/// Milliseconds that a loudness is measured over at the least (BS.1770).
const WINDOW: u32 = 400;

/// Samples of one channel at a rate.
#[derive(Clone, Debug, PartialEq)]
pub struct Clip {
    /// Frames a second.
    pub rate: SampleRate,
    /// The samples.
    pub samples: Vec<f32>,
}

impl Clip {
    /// Without the silence around the words, at the loudness that all have.
    pub(super) fn shaped(self) -> Result<Self, SpeechFault> {
        let mut clip = self.trimmed()?;
        clip.level();
        Ok(clip)
    }

    fn trimmed(self) -> Result<Self, SpeechFault> {
        let peak = peak(&self.samples);
        let loud = |sample: &f32| sample.abs() > peak * SOFT;
        let first = self.samples.iter().position(loud);
        let last = self.samples.iter().rposition(loud);
        let Some((first, last)) = first.zip(last).filter(|_| peak > NOTHING) else {
            return Err(SpeechFault::Silent);
        };
        let margin = |millis| self.rate.count(millis);
        let (before, after) = (margin(MARGIN.0), margin(MARGIN.1));
        let end = (last + 1 + after).min(self.samples.len());
        let mut samples = self.samples[first.saturating_sub(before)..end].to_vec();
        fade(samples.iter_mut().take(before), before);
        fade(samples.iter_mut().rev().take(before), before);
        Ok(Self { samples, ..self })
    }

    fn level(&mut self) {
        let ceiling = CEILING / peak(&self.samples).max(f32::MIN_POSITIVE);
        let gain = self.loudness().map_or(ceiling, |lufs| {
            #[expect(clippy::cast_possible_truncation, reason = "samples are f32")]
            let gain = 10_f64.powf((LOUDNESS - lufs) / 20.0) as f32;
            gain.min(ceiling)
        });
        for sample in &mut self.samples {
            *sample *= gain;
        }
    }

    /// Its loudness in LUFS; a clip shorter than what a loudness is measured over counts as if it were
    /// said again and again.
    pub(super) fn loudness(&self) -> Option<f64> {
        let mut meter = EbuR128::new(1, self.rate.get(), Mode::I).ok()?;
        let mut left = self.rate.count(WINDOW) + 1;
        while left > 0 {
            meter.add_frames_f32(&self.samples).ok()?;
            left = left.saturating_sub(self.samples.len().max(1));
        }
        meter.loudness_global().ok().filter(|lufs| lufs.is_finite())
    }

    /// How long it lasts, rounded up.
    #[must_use]
    pub fn length(&self) -> Span {
        let frames = u64::try_from(self.samples.len()).unwrap_or(u64::MAX / 1000);
        Span::from_millis((frames * 1000).div_ceil(u64::from(self.rate.get())))
    }

    /// The same for a device of another rate. Nothing where that cannot be done.
    #[must_use]
    pub fn at(&self, rate: SampleRate) -> Option<Utterance> {
        if rate == self.rate {
            let samples = Arc::from(self.samples.as_slice());
            return Some(Utterance { rate, samples });
        }
        let hertz = |rate: SampleRate| usize::try_from(rate.get()).ok();
        let (from, to) = (hertz(self.rate)?, hertz(rate)?);
        let mut resampler = Fft::<f32>::new(from, to, CHUNK, 1, FixedSync::Input).ok()?;
        let frames = self.samples.len();
        let input = InterleavedSlice::new(&self.samples, 1, frames).ok()?;
        let made = resampler.process_all(&input, frames, None).ok()?;
        let samples = made.take_data().into();
        Some(Utterance { rate, samples })
    }
}

/// Frames that the resampler takes at once.
const CHUNK: usize = 1024;

fn peak(samples: &[f32]) -> f32 {
    samples
        .iter()
        .fold(0.0, |peak, sample| peak.max(sample.abs()))
}

/// Raises samples from nothing, without a corner.
fn fade<'a>(samples: impl Iterator<Item = &'a mut f32>, length: usize) {
    for (sample, factor) in samples.zip(crate::sound::raised_cosine(length)) {
        *sample *= factor;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[expect(clippy::cast_precision_loss, reason = "some ten thousand samples")]
    fn tone(rate: u32, hertz: f32, level: f32, frames: usize) -> Vec<f32> {
        let turns = std::f32::consts::TAU * hertz / rate as f32;
        (0..frames)
            .map(|n| level * (turns * n as f32).sin())
            .collect()
    }

    fn clip(rate: u32, samples: Vec<f32>) -> Clip {
        let rate = SampleRate::hertz(rate);
        Clip { rate, samples }
    }

    /// A tone of 997 Hz at full scale in one channel is -3.01 LUFS (ITU-R BS.1770); so at -10 dB it is
    /// -13.01, and is brought to what all have, whatever level and length it came with.
    #[test]
    fn whatever_the_level_a_clip_is_brought_to_one_loudness() {
        for (level, frames) in [
            (0.9, 48_000),
            (0.3162, 48_000),
            (0.01, 30_000),
            (0.2, 9_000),
        ] {
            let mut samples = vec![0.0; 7_000];
            samples.extend(tone(48_000, 997.0, level, frames));
            samples.extend(vec![0.000_01; 9_000]);
            let clip = clip(48_000, samples);
            let shaped = clip.shaped().unwrap();
            let long = shaped.samples.len();
            assert!(
                (frames..frames + 1_500).contains(&long),
                "{long} of {frames}"
            );
            let mut meter = EbuR128::new(1, 48_000, Mode::I).unwrap();
            for _ in 0..6 {
                meter.add_frames_f32(&shaped.samples).unwrap();
            }
            let lufs = meter.loudness_global().unwrap();
            assert!(
                (lufs - LOUDNESS).abs() < 0.5,
                "{lufs} of {level} x {frames}"
            );
        }
    }

    /// One click over soft noise may not be brought above the ceiling for the noise's sake.
    #[test]
    fn no_peak_stands_above_the_ceiling() {
        let mut samples = tone(22_050, 300.0, 0.002, 22_050);
        samples[5_000] = 0.8;
        let shaped = clip(22_050, samples).shaped().unwrap();
        assert!(peak(&shaped.samples) <= CEILING + 1e-6);
        let empty = clip(22_050, vec![0.0; 1_000]);
        assert_eq!(empty.shaped().unwrap_err(), SpeechFault::Silent);
        assert_eq!(
            clip(8_000, Vec::new()).shaped().unwrap_err(),
            SpeechFault::Silent
        );
    }

    /// At another rate it lasts as long, has the same pitch, and begins at the same time.
    #[test]
    fn another_rate_changes_neither_length_nor_pitch_nor_onset() {
        for (from, to) in [
            (22_050, 48_000),
            (22_050, 44_100),
            (16_000, 44_100),
            (48_000, 44_100),
        ] {
            let mut samples = vec![0.0; from as usize / 10];
            samples.extend(tone(from, 500.0, 0.5, from as usize));
            let long = samples.len();
            let made = clip(from, samples).at(SampleRate::hertz(to)).unwrap();
            let wanted = long * to as usize / from as usize;
            assert!(made.samples.len().abs_diff(wanted) <= 1, "{from} to {to}");
            let turns = made
                .samples
                .windows(2)
                .filter(|w| w[0] <= 0.0 && w[1] > 0.0);
            let strong = turns.filter(|w| w[1] - w[0] > 0.005).count();
            assert!(
                strong.abs_diff(500) <= 2,
                "{strong} turns from {from} to {to}"
            );
            let onset = made.samples.iter().position(|s| s.abs() > 0.1).unwrap();
            assert!(
                onset.abs_diff(to as usize / 10) < to as usize / 500,
                "{onset}"
            );
        }
    }
}
