//! The units of sound: decibels, volume steps, sample rates, microseconds of the steady clock.
//!
//! Rounding of time to frames happens here and nowhere else, always from an absolute time, so
//! that it cannot add up over a class.

use std::sync::Arc;

use crate::time::Moment;

/// A ratio of amplitudes in decibels; 0 leaves a sample as it is.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Decibels(pub f64);

impl Decibels {
    /// The factor for a sample: 10^(dB/20).
    #[must_use]
    pub fn amplitude(self) -> f64 {
        10_f64.powf(self.0 / 20.0)
    }
}

/// How loud the signals are, in steps from 0 (silent) to 10 (as loud as the tones are made).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Volume(u8);

/// What one step of the volume is worth: a change that is clearly heard.
const STEP: f64 = 3.0;

impl Volume {
    /// As loud as the tones are made.
    pub const FULL: Self = Self(10);

    /// The given step; what is past 10 is 10.
    #[must_use]
    pub const fn new(step: u8) -> Self {
        Self(if step > 10 { 10 } else { step })
    }

    /// The step, 0 to 10.
    #[must_use]
    pub const fn step(self) -> u8 {
        self.0
    }

    /// What it does to the tones' level; nothing where it silences them.
    #[must_use]
    pub fn decibels(self) -> Option<Decibels> {
        (self.0 > 0).then(|| Decibels(-STEP * f64::from(10 - self.0)))
    }

    /// The factor for a sample.
    pub(crate) fn amplitude(self) -> f64 {
        self.decibels().map_or(0.0, Decibels::amplitude)
    }
}

/// A reading of the steady clock in microseconds: a [`Moment`] is the same clock in milliseconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Micros(pub u64);

impl Micros {
    /// The reading in seconds.
    #[expect(
        clippy::cast_precision_loss,
        reason = "2^53 microseconds are 285 years"
    )]
    pub(crate) fn secs(self) -> f64 {
        self.0 as f64 / 1e6
    }
}

impl From<Moment> for Micros {
    fn from(moment: Moment) -> Self {
        Self(moment.millis().saturating_mul(1000))
    }
}

/// The steady clock, handed in by the app: sound reads no clock of its own.
pub type Clock = Arc<dyn Fn() -> Micros + Send + Sync>;

/// Frames in a second. A frame is one sample for every loudspeaker.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SampleRate(u32);

impl SampleRate {
    /// A rate in hertz; 0 is taken as 1.
    #[must_use]
    pub const fn hertz(hertz: u32) -> Self {
        Self(if hertz == 0 { 1 } else { hertz })
    }

    /// The rate in hertz.
    #[must_use]
    pub const fn get(self) -> u32 {
        self.0
    }

    /// The frame nearest to a time of whole milliseconds; half a frame is rounded up.
    #[must_use]
    pub fn frames(self, millis: i64) -> i64 {
        millis
            .saturating_mul(i64::from(self.0))
            .saturating_add(500)
            .div_euclid(1000)
    }

    /// The frame nearest to a time in seconds.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a float turned into an integer saturates"
    )]
    pub(crate) fn frames_of_secs(self, secs: f64) -> i64 {
        (secs * f64::from(self.0)).round() as i64
    }

    /// The moment of a frame, in whole milliseconds before it.
    pub(crate) fn moment(self, frame: i64) -> Moment {
        let millis = frame.saturating_mul(1000).div_euclid(i64::from(self.0));
        Moment::from_millis(u64::try_from(millis).unwrap_or(0))
    }

    /// The time of a frame in seconds.
    #[expect(clippy::cast_precision_loss, reason = "2^53 frames are 5000 years")]
    pub(crate) fn secs(self, frame: i64) -> f64 {
        frame as f64 / f64::from(self.0)
    }

    /// The same as a count, for lengths.
    pub(crate) fn count(self, millis: u32) -> usize {
        usize::try_from(self.frames(i64::from(millis))).unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decibels_are_twenty_times_the_logarithm_of_the_amplitude() {
        for (decibels, amplitude) in [(0.0, 1.0), (-20.0, 0.1), (20.0, 10.0), (-6.020_6, 0.5)] {
            assert!((Decibels(decibels).amplitude() - amplitude).abs() < 1e-6);
        }
    }

    #[test]
    fn a_volume_step_is_three_decibels_and_zero_is_silence() {
        assert_eq!(Volume::new(0).decibels(), None);
        assert_eq!(Volume::new(1).decibels(), Some(Decibels(-27.0)));
        assert_eq!(Volume::new(10).decibels(), Some(Decibels(0.0)));
        assert_eq!(Volume::new(200), Volume::FULL);
    }

    /// Against exact fractions: 44.1 frames a millisecond.
    #[test]
    fn frames_are_rounded_from_the_absolute_time() {
        let rate = SampleRate::hertz(44_100);
        for (millis, frame) in [
            (0, 0),
            (1, 44),
            (5, 221),
            (10, 441),
            (3_600_001, 158_760_044),
        ] {
            assert_eq!(rate.frames(millis), frame, "{millis} ms");
        }
        assert_eq!(rate.frames(-1), -44);
        assert_eq!(SampleRate::hertz(1).frames(1_499), 1);
        assert_eq!(SampleRate::hertz(1).frames(1_500), 2);
    }
}
