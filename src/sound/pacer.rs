//! When a frame is heard: the steady clock against the frames that a device has taken.
//!
//! A device takes frames in bursts, a callback at a time; blocks inside a burst say nothing about
//! its pace. So only a block that comes after a real pause is a stamp, and the stamps go through
//! the delay-locked loop. A stamp far off is first taken for a hiccup; several in a row mean that
//! the relation has changed (an underrun, a start-up prefill, a new route), and the loop starts
//! over.

use super::dll::DelayLockedLoop;
use super::units::{Micros, SampleRate};

/// A stamp further off than this is no ordinary jitter, in seconds.
const STRAY: f64 = 0.020;
/// So many strays in a row are believed.
const BELIEVED: u8 = 3;
/// So many stamps make a loop worth following.
const SETTLED: u32 = 8;
/// What the widest pause seen is kept at, from stamp to stamp.
const FADING: f64 = 0.99;
/// After so many seconds of frames without a stamp, the widest pause seen misleads.
const FORGOTTEN: f64 = 1.0;

/// The relation between frames taken and the steady clock.
#[derive(Debug)]
pub(crate) struct Pacer {
    rate: SampleRate,
    lock: Option<DelayLockedLoop>,
    last: Micros,
    stamped: u64,
    widest: f64,
    strays: u8,
    stamps: u32,
}

impl Pacer {
    /// For a device of that rate, of which nothing is known yet.
    pub(crate) fn new(rate: SampleRate) -> Self {
        Self {
            rate,
            lock: None,
            last: Micros(0),
            stamped: 0,
            widest: 0.0,
            strays: 0,
            stamps: 0,
        }
    }

    /// Takes note that the block beginning with `frame` was asked for at `now`. Tells whether the
    /// relation has been learned anew.
    pub(crate) fn note(&mut self, now: Micros, frame: u64, block: usize) -> bool {
        let pause = now.secs() - self.last.secs();
        self.last = now;
        if self.lock.is_none() {
            self.restart(now, frame);
            return true;
        }
        let rate = f64::from(self.rate.get());
        let burst = as_f64(frame - self.stamped) / rate;
        if burst > FORGOTTEN {
            self.widest = 0.0;
        }
        if burst == 0.0 || pause < 0.5 * self.widest.max(as_f64(block as u64) / rate) {
            return false;
        }
        self.widest = pause.min(1.5 * burst).max(self.widest * FADING);
        self.stamp(now, frame)
    }

    fn stamp(&mut self, now: Micros, frame: u64) -> bool {
        let frames = as_f64(frame - self.stamped);
        let Some(lock) = &mut self.lock else {
            return false;
        };
        if lock.error(frames, now.secs()).abs() < STRAY.max(0.5 * self.widest) {
            if self.stamps < SETTLED {
                lock.align(frames, now.secs());
            } else {
                lock.update(frames, now.secs());
            }
            self.stamped = frame;
            self.strays = 0;
            self.stamps += 1;
        } else {
            self.strays += 1;
            if self.strays >= BELIEVED {
                self.restart(now, frame);
            }
        }
        self.stamps >= SETTLED
    }

    fn restart(&mut self, now: Micros, frame: u64) {
        let rate = f64::from(self.rate.get());
        self.lock = Some(DelayLockedLoop::start(now.secs(), rate));
        self.stamped = frame;
        self.strays = 0;
        self.stamps = 0;
    }

    /// When the device asks for a frame, in seconds of the steady clock, jitter filtered out.
    pub(crate) fn time(&self, frame: u64) -> Option<f64> {
        let ahead = as_f64(frame.saturating_sub(self.stamped));
        self.lock.as_ref().map(|lock| lock.time(ahead))
    }
}

#[expect(clippy::cast_precision_loss, reason = "2^53 frames are 5000 years")]
fn as_f64(frames: u64) -> f64 {
    frames as f64
}
