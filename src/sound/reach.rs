//! How far ahead of the clock a device has committed: what the stream measures and the app is told.
//!
//! The class goes by this figure, so it must not flutter: it is told in whole steps, and only
//! grows while one device plays.

use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};

use crate::time::Span;

/// It is told in steps of so many milliseconds, rounded up.
const STEP: f64 = 10.0;
/// More is never told: a class that waits longer for its count-in would seem broken.
const MOST: f64 = 1_000.0;

/// The figure, shared by a stream and whoever asks.
#[derive(Clone, Debug, Default)]
pub(crate) struct Reach(Arc<AtomicU32>);

impl Reach {
    /// Begins anew, with another device.
    pub(crate) fn reset(&self) {
        self.0.store(0, Ordering::Relaxed);
    }

    /// Takes in a measured distance in seconds; returns what is told, in milliseconds.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to a thousand"
    )]
    pub(crate) fn grow(&self, secs: f64) -> u32 {
        let millis = ((secs * 1000.0 / STEP).ceil() * STEP).clamp(0.0, MOST) as u32;
        self.0.fetch_max(millis, Ordering::Relaxed).max(millis)
    }

    /// What is told.
    pub(crate) fn span(&self) -> Span {
        Span::from_millis(u64::from(self.0.load(Ordering::Relaxed)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_told_in_steps_and_only_grows_until_another_device_comes() {
        let reach = Reach::default();
        for (secs, told) in [
            (-0.2, 0),
            (0.0, 0),
            (0.101, 110),
            (0.110, 110),
            (0.04, 110),
            (0.1701, 180),
            (7.0, 1_000),
        ] {
            assert_eq!(reach.grow(secs), told, "{secs}");
        }
        reach.reset();
        assert_eq!(reach.span(), Span::ZERO);
    }
}
