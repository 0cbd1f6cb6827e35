//! A delay-locked loop: filters the jitter out of callback times.
//!
//! F. Adriaensen, "Using a DLL to filter time", Linux Audio Conference 2005. A callback comes late
//! by whatever the system was busy with, but on average as fast as the sound card plays; the
//! loop's time is smooth, and its rate is the card's true rate on the clock that stamped it.
//!
//! It reads no clock and knows no sound.

use std::f64::consts::{SQRT_2, TAU};

/// How much of an error is believed while the loop is new and only looks for its phase.
const EAGER: f64 = 0.4;

/// The loop, fed with the time at which each stretch of frames began. Times are in seconds.
#[derive(Clone, Debug)]
pub(crate) struct DelayLockedLoop {
    nominal: f64,
    /// How many hertz of the jitter pass: the lower, the smoother and the slower to learn.
    bandwidth: f64,
    /// Filtered time of the last callback.
    t0: f64,
    /// Predicted time of the next, were it `expected` frames later.
    t1: f64,
    expected: f64,
    /// Seconds a frame, as learned.
    frame: f64,
}

impl DelayLockedLoop {
    /// Starts at a first callback, where the card is believed to play `rate` frames a second.
    pub(crate) fn start(now: f64, rate: f64, bandwidth: f64) -> Self {
        Self {
            bandwidth,
            nominal: rate.recip(),
            t0: now,
            t1: now,
            expected: 0.0,
            frame: rate.recip(),
        }
    }

    /// How late (early: negative) a callback is that comes `frames` after the last one.
    pub(crate) fn error(&self, frames: f64, now: f64) -> f64 {
        now - self.predicted(frames)
    }

    fn predicted(&self, frames: f64) -> f64 {
        self.t1 + (frames - self.expected) * self.frame
    }

    /// Takes in a callback that came `frames` after the last one.
    pub(crate) fn update(&mut self, frames: f64, now: f64) {
        let omega = TAU * self.bandwidth * frames * self.nominal;
        let (b, c) = (SQRT_2 * omega, omega * omega);
        let error = self.error(frames, now);
        self.t0 = self.predicted(frames);
        self.t1 = self.t0 + b * error + frames * self.frame;
        self.expected = frames;
        self.frame += c * error / frames;
    }

    /// The same for a loop just started: finds the time in a few callbacks and leaves the rate
    /// alone. At its own bandwidth the loop would carry a bad first callback along for seconds.
    pub(crate) fn align(&mut self, frames: f64, now: f64) {
        let error = self.error(frames, now);
        self.t0 = self.predicted(frames);
        self.t1 = self.t0 + EAGER * error + frames * self.frame;
        self.expected = frames;
    }

    /// The filtered time of the frame that is `ahead` of the last callback's first.
    pub(crate) fn time(&self, ahead: f64) -> f64 {
        self.t0 + ahead * self.frame
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BANDWIDTH: f64 = 0.1;

    /// Adriaensen's formulas worked by hand: 1024 frames at 48 kHz, B = 0.1 Hz, the first
    /// callback 1 ms late.
    #[test]
    fn the_first_late_callback_moves_the_loop_as_the_formulas_say() {
        let period = 1024.0 / 48_000.0;
        let omega = TAU * BANDWIDTH * period;
        assert!((omega - 0.013_404_13).abs() < 5e-9);
        assert!((SQRT_2 * omega - 0.018_956_30).abs() < 5e-9);
        assert!((omega * omega - 1.796_707e-4).abs() < 5e-11);
        let mut dll = DelayLockedLoop::start(0.0, 48_000.0, BANDWIDTH);
        dll.update(1024.0, period + 0.001);
        assert!((dll.t0 - 0.021_333_333).abs() < 5e-10);
        assert!((dll.t1 - 0.042_685_623).abs() < 5e-10);
        assert!((dll.frame * 1024.0 - 0.021_333_513).abs() < 5e-10);
    }

    /// A card 100 ppm too slow, seen through 2 ms of jitter and uneven callbacks: the loop finds
    /// its rate to a few ppm and its time to a fraction of the jitter.
    #[test]
    fn rate_and_time_are_found_under_jitter() {
        let mut random = fastrand::Rng::with_seed(5);
        let true_frame = 1.0001 / 48_000.0;
        let mut dll = DelayLockedLoop::start(0.0, 48_000.0, BANDWIDTH);
        let mut clock = 0.0;
        for _ in 0..6000 {
            let frames = f64::from(random.u32(900..1150));
            clock += frames * true_frame;
            dll.update(frames, clock + 0.002 * random.f64());
        }
        assert!((dll.frame / true_frame - 1.0).abs() < 50e-6);
        assert!((dll.time(0.0) - clock - 0.001).abs() < 0.000_4);
    }
}
