//! The tones as samples, made once for a sample rate.
//!
//! The audio callback only copies from here: it computes no sine and allocates nothing.

use std::f64::consts::TAU;

use super::tones::{KINDS, Note, notes, place};
use super::units::SampleRate;
use crate::plan::SignalKind;

/// Milliseconds of the rise of a note (raised cosine, 5 to 10 ms).
const RISE: u32 = 5;
/// Milliseconds of its fall.
const FALL: u32 = 10;
/// Milliseconds in which a tone that is cut short fades out: as long as the rise, so that a tone
/// that takes over and the one under it never add up to more than either.
const FADE: u32 = RISE;
/// Amplitudes of the overtones against the fundamental, from the first on.
const PARTIALS: [f64; 4] = [1.0, 0.5, 0.25, 0.12];
/// No overtone stands above this, in hertz.
const CEILING: f64 = 5000.0;
/// Points of one period that are looked at for its peak.
const PERIOD_POINTS: u32 = 512;

/// The samples of every signal at one sample rate, at full volume.
#[derive(Clone, Debug)]
pub struct Palette {
    rate: SampleRate,
    tones: [Vec<f32>; KINDS.len()],
    fade: Vec<f32>,
}

impl Palette {
    /// Makes the samples for a rate.
    #[must_use]
    pub fn at(rate: SampleRate) -> Self {
        Self::of(rate, KINDS.map(|kind| tone(notes(kind), rate)))
    }

    /// Samples of one's own, in the order of [`KINDS`].
    pub(crate) fn of(rate: SampleRate, tones: [Vec<f32>; KINDS.len()]) -> Self {
        let rise = raised_cosine(rate.count(FADE));
        let fade = rise.into_iter().map(|factor| 1.0 - factor).collect();
        Self { rate, tones, fade }
    }

    /// The sample rate for which it was made.
    #[must_use]
    pub const fn rate(&self) -> SampleRate {
        self.rate
    }

    /// The samples of a signal's tone.
    #[must_use]
    pub fn tone(&self, kind: SignalKind) -> &[f32] {
        &self.tones[place(kind)]
    }

    /// The factors of a fade-out, falling from 1.
    pub(crate) fn fade(&self) -> &[f32] {
        &self.fade
    }
}

/// `0.5(1 - cos(pi i/N))` for `i` in `0..N`: rising, without a corner at either end.
pub(crate) fn raised_cosine(length: usize) -> Vec<f32> {
    (0..length).map(|i| ramp(i, length)).collect()
}

#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    reason = "a ramp has some hundred frames, and samples are f32"
)]
fn ramp(i: usize, length: usize) -> f32 {
    (0.5 * (1.0 - (TAU / 2.0 * i as f64 / length as f64).cos())) as f32
}

fn tone(notes: &[Note], rate: SampleRate) -> Vec<f32> {
    let mut out = Vec::new();
    for note in notes {
        out.resize(rate.count(note.at).max(out.len()), 0.0);
        out.extend(samples(note, rate));
    }
    out
}

/// The samples of one note, ramps included.
pub(crate) fn samples(note: &Note, rate: SampleRate) -> Vec<f32> {
    let mut out = steady(note, rate);
    let rise = raised_cosine(rate.count(RISE));
    let fall = raised_cosine(rate.count(FALL));
    for (sample, factor) in out.iter_mut().zip(&rise) {
        *sample *= factor;
    }
    for (sample, factor) in out.iter_mut().rev().zip(&fall) {
        *sample *= factor;
    }
    out
}

#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    reason = "a note has some ten thousand frames, and samples are f32"
)]
fn steady(note: &Note, rate: SampleRate) -> Vec<f32> {
    let partials = partials(note.pitch.hertz, rate);
    let peak = (0..PERIOD_POINTS)
        .map(|i| wave(&partials, f64::from(i) / f64::from(PERIOD_POINTS)).abs())
        .fold(f64::MIN_POSITIVE, f64::max);
    let scale = note.pitch.level.amplitude() / peak;
    let turns = note.pitch.hertz / f64::from(rate.get());
    (0..rate.count(note.length))
        .map(|i| (wave(&partials, turns * i as f64) * scale) as f32)
        .collect()
}

/// The overtones of a pitch that a sample rate can carry.
fn partials(hertz: f64, rate: SampleRate) -> Vec<(f64, f64)> {
    let highest = CEILING.min(0.45 * f64::from(rate.get()));
    (1..)
        .map(f64::from)
        .zip(PARTIALS)
        .filter(|&(n, _)| n * hertz <= highest)
        .collect()
}

/// The wave at a place counted in periods of the fundamental.
fn wave(partials: &[(f64, f64)], turns: f64) -> f64 {
    partials
        .iter()
        .map(|&(n, amplitude)| amplitude * (TAU * n * turns).sin())
        .sum()
}

#[cfg(test)]
#[path = "palette_tests.rs"]
mod tests;
