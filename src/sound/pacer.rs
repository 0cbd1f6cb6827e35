//! When a frame is heard: the steady clock against the frames that a device has taken.
//!
//! Each callback brings a stamp, the time at which its first frame will be heard. The stamps go
//! through the delay-locked loop. A stamp far off is first taken for a hiccup; if the next one says
//! the same, the relation has changed (an underrun, a new route), and the loop starts over.

use super::dll::DelayLockedLoop;
use super::units::SampleRate;

/// Hertz of the jitter that pass. A sound server under load is off by some milliseconds for seconds
/// on end; a crystal that is off by 100 ppm is learned with a passing fault of a quarter of one.
const BANDWIDTH: f64 = 0.03;
/// A stamp further off than this is no ordinary jitter, in seconds.
const STRAY: f64 = 0.020;
/// Two strays that agree to this, in seconds, are believed.
const AGREED: f64 = 0.005;
/// So many strays in a row are believed whatever they say.
const BELIEVED: u8 = 4;
/// So many stamps make a loop worth following.
const SETTLED: u32 = 12;

/// The relation between frames taken and the steady clock.
#[derive(Debug)]
pub(crate) struct Pacer {
    rate: SampleRate,
    lock: Option<DelayLockedLoop>,
    stamped: u64,
    stray: f64,
    strays: u8,
    stamps: u32,
}

impl Pacer {
    /// For a device of that rate, of which nothing is known yet.
    pub(crate) fn new(rate: SampleRate) -> Self {
        Self {
            rate,
            lock: None,
            stamped: 0,
            stray: 0.0,
            strays: 0,
            stamps: 0,
        }
    }

    /// Takes note that a frame will be heard at a time, in seconds.
    pub(crate) fn stamp(&mut self, frame: u64, heard: f64) {
        let frames = as_f64(frame.saturating_sub(self.stamped));
        let Some(lock) = &mut self.lock else {
            return self.restart(frame, heard);
        };
        if frames == 0.0 {
            return;
        }
        let error = lock.error(frames, heard);
        if error.abs() < STRAY {
            if self.stamps < SETTLED {
                lock.align(frames, heard);
            } else {
                lock.update(frames, heard);
            }
            self.stamped = frame;
            self.strays = 0;
            self.stamps += 1;
            return;
        }
        let agreed = self.strays > 0 && (error - self.stray).abs() < AGREED;
        (self.stray, self.strays) = (error, self.strays + 1);
        if agreed || self.strays >= BELIEVED {
            self.restart(frame, heard);
        }
    }

    /// Forgets what was learned: the device has stopped and goes on.
    pub(crate) fn forget(&mut self) {
        self.lock = None;
    }

    fn restart(&mut self, frame: u64, heard: f64) {
        let rate = f64::from(self.rate.get());
        self.lock = Some(DelayLockedLoop::start(heard, rate, BANDWIDTH));
        self.stamped = frame;
        self.strays = 0;
        self.stamps = 0;
    }

    /// Whether the loop has seen enough to be followed in small steps only.
    pub(crate) const fn is_settled(&self) -> bool {
        self.stamps >= SETTLED
    }

    /// When a frame is heard, in seconds of the steady clock, jitter filtered out.
    pub(crate) fn time(&self, frame: u64) -> Option<f64> {
        let ahead = as_f64(frame.saturating_sub(self.stamped));
        self.lock.as_ref().map(|lock| lock.time(ahead))
    }
}

#[expect(clippy::cast_precision_loss, reason = "2^53 frames are 5000 years")]
pub(crate) fn as_f64(frames: u64) -> f64 {
    frames as f64
}
