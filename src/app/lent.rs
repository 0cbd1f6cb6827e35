//! The terminal lent to another program: who may read it meanwhile, and whose the signals are.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// Whether the terminal is lent, known to all who listen to it.
#[derive(Clone, Debug, Default)]
pub(super) struct Lent(Arc<Inner>);

#[derive(Debug, Default)]
struct Inner {
    reads: Mutex<()>,
    is_away: AtomicBool,
}

impl Lent {
    /// Lends it: until this is over nobody else reads.
    pub(super) fn lend<T>(&self, to: impl FnOnce() -> T) -> T {
        let _reads = self.reading();
        self.0.is_away.store(true, Ordering::Release);
        let done = to();
        self.0.is_away.store(false, Ordering::Release);
        done
    }

    /// Waits until it is not lent, and keeps it from being lent while it is read.
    pub(super) fn reading(&self) -> MutexGuard<'_, ()> {
        self.0.reads.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Whether what the system says is for the other program.
    pub(super) fn is_away(&self) -> bool {
        self.0.is_away.load(Ordering::Acquire)
    }
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc::channel;

    use super::*;

    /// Whoever wants to read while the terminal is lent reads when it is back, and not before.
    #[test]
    fn nobody_reads_a_terminal_that_is_lent() {
        let lent = Lent::default();
        let (says, told) = channel();
        assert!(!lent.is_away());
        let reader = lent.lend(|| {
            assert!(lent.is_away());
            let (other, says) = (lent.clone(), says.clone());
            let reader = std::thread::spawn(move || {
                let _reads = other.reading();
                says.send("read").expect("somebody listens");
            });
            says_nothing(&told);
            reader
        });
        reader.join().expect("it read");
        assert_eq!(told.recv(), Ok("read"));
        assert!(!lent.is_away());
        drop(says);
    }

    fn says_nothing(told: &std::sync::mpsc::Receiver<&str>) {
        // Long enough for a thread that nobody stops.
        let long = std::time::Duration::from_millis(200);
        assert!(told.recv_timeout(long).is_err());
    }
}
