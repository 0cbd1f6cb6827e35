//! What the device tells with each of its callbacks: that it came, and when its first frame will
//! be heard.
//!
//! The callback's own thread writes it and reads it a moment later, on the other side of the audio
//! library, which passes nothing through. No lock and no waiting.

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, AtomicU64, Ordering};

/// Nothing was told.
const UNTOLD: i64 = -1;
/// No device holds so much: what is more is nonsense, in nanoseconds.
const MOST: i64 = 5_000_000_000;

/// The callbacks of one device.
#[derive(Clone, Debug)]
pub(crate) struct Calls(Arc<Told>);

#[derive(Debug)]
struct Told {
    count: AtomicU64,
    delay: AtomicI64,
}

/// A callback: its number, and how many seconds pass until its first frame is heard.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Call {
    pub(crate) number: u64,
    pub(crate) delay: Option<f64>,
}

impl Default for Calls {
    fn default() -> Self {
        Self(Arc::new(Told {
            count: AtomicU64::new(0),
            delay: AtomicI64::new(UNTOLD),
        }))
    }
}

impl Calls {
    /// A callback comes; its first frame is heard so many nanoseconds later.
    pub(crate) fn tell(&self, delay: Option<i64>) {
        let delay = delay.filter(|nanos| (0..MOST).contains(nanos));
        let nanos = delay.unwrap_or(UNTOLD);
        self.0.delay.store(nanos, Ordering::Relaxed);
        self.0.count.fetch_add(1, Ordering::Relaxed);
    }

    /// The callback that is served now, if it is not the one of that number.
    pub(crate) fn since(&self, number: u64) -> Option<Call> {
        let count = self.0.count.load(Ordering::Relaxed);
        let nanos = self.0.delay.load(Ordering::Relaxed);
        (count != number).then(|| Call {
            number: count,
            delay: (nanos != UNTOLD).then(|| secs(nanos)),
        })
    }
}

#[expect(clippy::cast_precision_loss, reason = "a delay is below five seconds")]
fn secs(nanos: i64) -> f64 {
    nanos as f64 / 1e9
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_call_is_told_once_and_nonsense_is_no_delay() {
        let calls = Calls::default();
        assert_eq!(calls.since(0), None);
        for (n, told, delay) in [
            (1, Some(0), Some(0.0)),
            (2, Some(250_000_000), Some(0.25)),
            (3, Some(-1), None),
            (4, Some(7_000_000_000), None),
            (5, None, None),
        ] {
            calls.tell(told);
            let call = Call { number: n, delay };
            assert_eq!(calls.since(n - 1), Some(call));
            assert_eq!(calls.since(n), None);
        }
    }
}
