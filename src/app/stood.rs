//! How long the whole program stood still while the steady clock went on: stopped by a signal, or
//! frozen with all that ran beside it.
//!
//! A thread that has nothing else to do looks at the clock. Where it was not let do so for long,
//! nothing of the program ran; where only the loop waits for a terminal that takes nothing, it goes
//! on, and so does the class.

use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::Duration;

use super::clock::Clock;
use crate::time::{Moment, Span};

/// How often the thread looks.
const EVERY: Duration = Duration::from_millis(400);
/// A thread that was not let run for less may have waited for a busy machine.
const LEAST: Span = Span::from_millis(2_000);

/// What looks at the clock.
#[derive(Debug)]
pub(super) struct Stood {
    /// Nothing where there is no thread to spare: then nothing is known.
    looks: Option<Arc<Mutex<Looks>>>,
    /// The thread ends when this is gone.
    _listens: Sender<()>,
}

/// The looks at the clock so far.
#[derive(Clone, Copy, Debug)]
struct Looks {
    last: Moment,
    stood: Span,
}

impl Looks {
    /// The same, a look later. Whoever looks, what was not looked at is counted once.
    fn at(self, now: Moment) -> Self {
        let gap = now.since(self.last);
        let stood = if gap >= LEAST { gap } else { Span::ZERO };
        Self {
            last: now.max(self.last),
            stood: self.stood + stood,
        }
    }
}

impl Stood {
    /// Begins to look.
    pub(super) fn begin(real: Clock) -> Self {
        let (listens, gone) = channel();
        let (last, stood) = (real.now(), Span::ZERO);
        let looks = Arc::new(Mutex::new(Looks { last, stood }));
        let theirs = looks.clone();
        let looking = move || {
            while gone.recv_timeout(EVERY) == Err(RecvTimeoutError::Timeout) {
                look(&theirs, real);
            }
        };
        let started = thread::Builder::new().name("stood".into()).spawn(looking);
        Self {
            looks: started.ok().map(|_| looks),
            _listens: listens,
        }
    }

    /// As if nothing had run for so long up to now.
    #[cfg(test)]
    pub(super) fn stop(&self, real: Clock, long: Span) {
        let looks = self.looks.as_ref().expect("a thread");
        let mut looks = looks.lock().unwrap_or_else(PoisonError::into_inner);
        looks.last = real.now().before(long);
    }

    /// How long the program has stood still in all, up to now: the loop may be back before the
    /// thread.
    pub(super) fn in_all(&self, real: Clock) -> Span {
        let looks = self.looks.as_ref();
        looks.map_or(Span::ZERO, |looks| look(looks, real))
    }
}

fn look(looks: &Mutex<Looks>, real: Clock) -> Span {
    let mut looks = looks.lock().unwrap_or_else(PoisonError::into_inner);
    *looks = looks.at(real.now());
    looks.stood
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whoever looks first after a stop, it is counted once; a busy machine is none.
    #[test]
    fn a_stop_is_counted_once_and_a_busy_machine_is_none() {
        for (looks, stood) in [
            (&[400, 800, 1_200][..], 0),
            (&[400, 2_300, 2_700], 0),
            (&[400, 2_400, 2_800], 2_000),
            (&[400, 4_400, 4_400, 4_401, 4_800], 4_000),
            (&[400, 4_400, 4_399, 4_800], 4_000),
            (&[60_000, 60_400, 90_400], 90_000),
            (&[1_900, 3_800, 5_700], 0),
        ] {
            let begin = Looks {
                last: Moment::ZERO,
                stood: Span::ZERO,
            };
            let end = looks
                .iter()
                .fold(begin, |seen, at| seen.at(Moment::from_millis(*at)));
            assert_eq!(end.stood, Span::from_millis(stood), "{looks:?}");
        }
    }
}
