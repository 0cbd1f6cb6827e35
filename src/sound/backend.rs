//! What a device and its keeper say to one another.
//!
//! A keeper needs no audio library, only something that opens a device and reports on it; so the
//! keeping is tested with a device that the test plays.

use std::any::Any;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, AtomicU64, Ordering};
use std::sync::mpsc::SyncSender;

use super::calls::Calls;
use super::desk::Desk;
use super::palette::Palette;
use super::settings::{Format, Route};
use super::stream::{Delay, Shared, Stream};
use super::units::{Clock, SampleRate, Volume};

/// Why there is no sound.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub(crate) enum Trouble {
    #[error("no sound device was found")]
    NoDevice,
    #[error("no sound device is called `{0}`")]
    NoSuchDevice(String),
    #[error("another program holds the sound device")]
    Busy,
    #[error("the sound device is gone")]
    Gone,
    #[error("the system does not let this program use the sound device")]
    Refused,
    #[error("the system plays on another sound device now")]
    Moved,
    #[error("the sound device takes no sound")]
    Stalled,
    #[error("the sound device does not answer")]
    Hanging,
    #[error("the system can start no thread for the sound")]
    NoThread,
    #[error("the sound device fails: {0}")]
    Other(String),
}

/// An audio library, or a test's stand-in.
pub(crate) trait Backend: Send + Sync + 'static {
    /// Opens the default device and lets it play a stream of `studio`. What is returned keeps it
    /// open, and never leaves the thread it was opened on.
    fn open(&self, studio: &Studio, report: Report) -> Result<Opened, Trouble>;
}

/// An open device.
pub(crate) struct Opened {
    pub(crate) name: String,
    pub(crate) format: Format,
    pub(crate) device: Box<dyn Any>,
    /// Whether the system now plays on another device than this one.
    pub(crate) has_moved: Box<dyn FnMut() -> bool>,
}

/// Makes the stream for a device whose rate and buffer are known.
pub(crate) struct Studio {
    pub(super) attempt: u32,
    pub(super) desk: Arc<Desk>,
    pub(super) clock: Clock,
    pub(super) offset: i64,
    pub(super) words: Volume,
    pub(super) route: Route,
    pub(super) keeps_awake: bool,
    pub(super) shared: Shared,
}

impl Studio {
    /// Where the device's callbacks are told.
    pub(crate) fn calls(&self) -> Calls {
        self.shared.calls.clone()
    }

    /// The steady clock.
    pub(crate) fn clock(&self) -> Clock {
        Arc::clone(&self.clock)
    }

    /// What the device's channels are for.
    pub(crate) const fn route(&self) -> Route {
        self.route
    }

    /// A stream for a device of that rate. So many milliseconds lie in its buffer where it does not
    /// tell with each callback.
    pub(crate) fn stream(&self, rate: SampleRate, buffer: i64) -> Stream {
        let palette = Palette::at(rate);
        let delay = Delay {
            buffer,
            offset: self.offset,
        };
        let orders = self.desk.new_line(self.attempt);
        let stream = Stream::new(palette, delay, self.clock(), orders, self.shared.clone());
        stream.words(self.words).kept_awake(self.keeps_awake)
    }
}

/// Through which a device tells what happens to it, from its own callback: it never waits.
#[derive(Clone)]
pub(crate) struct Report {
    pub(super) attempt: u32,
    pub(super) events: SyncSender<Event>,
    pub(super) xruns: Arc<AtomicU32>,
    pub(super) said: Arc<AtomicBool>,
    pub(super) taken: Arc<AtomicU64>,
    pub(super) clock: Clock,
    pub(super) ailing: Arc<Ailing>,
}

/// Since when, and since which frame, a device has had nothing but faults.
#[derive(Debug)]
pub(crate) struct Ailing {
    since: AtomicU64,
    frame: AtomicU64,
}

impl Default for Ailing {
    fn default() -> Self {
        Self {
            since: AtomicU64::new(0),
            frame: AtomicU64::new(u64::MAX),
        }
    }
}

/// Microseconds after which a device that only reports faults is given up.
const AILING: u64 = 500_000;

impl Report {
    /// The device has to be opened again. Told once: a broken device repeats itself endlessly.
    pub(crate) fn broken(&self, trouble: Trouble) {
        if !self.said.swap(true, Ordering::Relaxed) {
            // The channel has room, since each device speaks three times at most.
            let _ = self.events.try_send(self.event(What::Failed(trouble)));
        }
    }

    /// Something went wrong that may pass, as it does on a busy machine. The device is given up
    /// where such faults go on for half a second without a frame taken between them.
    pub(crate) fn fault(&self, trouble: Trouble) {
        let (now, taken) = ((self.clock)().0, self.taken.load(Ordering::Relaxed));
        if self.ailing.frame.swap(taken, Ordering::Relaxed) != taken {
            self.ailing.since.store(now, Ordering::Relaxed);
        }
        if now.saturating_sub(self.ailing.since.load(Ordering::Relaxed)) >= AILING {
            self.broken(trouble);
        }
    }

    /// Some frames came too late.
    pub(crate) fn xrun(&self) {
        self.xruns.fetch_add(1, Ordering::Relaxed);
    }

    fn event(&self, what: What) -> Event {
        let attempt = self.attempt;
        Event { attempt, what }
    }

    /// From the device's own thread, which may wait.
    pub(super) fn send(&self, what: What) {
        // Closed: nobody listens any more.
        let _ = self.events.send(self.event(what));
    }
}

/// What the keeper is told, and by which attempt.
#[derive(Debug)]
pub(crate) struct Event {
    pub(super) attempt: u32,
    pub(super) what: What,
}

#[derive(Debug)]
pub(crate) enum What {
    Opened(String, Format),
    Failed(Trouble),
    Close,
}
