//! Keeps a device open: opens it aside, opens it again when it is lost, and says how it stands.
//!
//! Opening can fail, block or hang, and so can closing: each device has a thread of its own, which
//! nobody waits for. This file knows no audio library; `device` brings one.

use std::sync::atomic::{AtomicU32, AtomicU64, AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, SyncSender, channel, sync_channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::Duration;

use super::backend::{Backend, Event, Report, Studio, Trouble, What};
use super::calls::Calls;
use super::desk::Desk;
use super::progress::{Beginning, Pace, Progress};
use super::reach::Reach;
use super::settings::{Settings, SoundState};
use super::stream;
use super::units::Clock;

/// How long the keeper waits for what.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Patience {
    /// Before the first new attempt; each further one doubles it.
    pub(crate) first: Duration,
    /// The longest pause between attempts.
    pub(crate) most: Duration,
    /// Between two looks at whether the device takes frames.
    pub(crate) watch: Duration,
    /// Between two looks at whether the system plays on another device.
    pub(crate) follow: Duration,
}

impl Patience {
    pub(crate) const USUAL: Self = Self {
        first: Duration::from_millis(250),
        most: Duration::from_millis(750),
        watch: Duration::from_millis(125),
        follow: Duration::from_secs(2),
    };

    /// The pause before the attempt after the next.
    fn longer(self, pause: Duration) -> Duration {
        (pause * 2).min(self.most)
    }
}

/// What app and keeper share.
pub(crate) struct Shared {
    pub(crate) desk: Arc<Desk>,
    pub(crate) state: Mutex<SoundState>,
    pub(crate) xruns: Arc<AtomicU32>,
    pub(crate) reach: Reach,
    pub(crate) left_out: Arc<AtomicU32>,
}

/// Ends the keeping, and with it the sound, when dropped.
pub(crate) struct Keeping {
    pub(crate) shared: Arc<Shared>,
    events: SyncSender<Event>,
}

impl Keeping {
    /// Begins to keep a device open, on a thread of its own.
    pub(crate) fn begin(
        backend: impl Backend,
        clock: Clock,
        settings: Settings,
        patience: Patience,
    ) -> Self {
        let shared = Arc::new(Shared {
            desk: Arc::new(Desk::new(settings.volume, settings.muted)),
            state: Mutex::new(SoundState::Opening),
            xruns: Arc::default(),
            reach: Reach::default(),
            left_out: Arc::default(),
        });
        let (events, inbox) = sync_channel(16);
        let keeper = Keeper {
            backend: Arc::new(backend),
            clock,
            settings,
            patience,
            shared: Arc::clone(&shared),
            events: events.clone(),
            inbox,
            attempt: 0,
            pause: patience.first,
            was_on: false,
            beginning: Beginning::default(),
            opening: Arc::default(),
        };
        let started = thread::Builder::new()
            .name("sound".into())
            .spawn(move || keeper.keep());
        if started.is_err() {
            shared.say(false, &Trouble::NoThread);
        }
        Self { shared, events }
    }
}

impl Drop for Keeping {
    fn drop(&mut self) {
        let close = Event {
            attempt: 0,
            what: What::Close,
        };
        // Closed: the keeper has never started.
        let _ = self.events.send(close);
        self.shared.desk.close_line();
    }
}

impl Shared {
    fn set(&self, state: SoundState) {
        *self.state.lock().unwrap_or_else(PoisonError::into_inner) = state;
    }

    fn say(&self, was_on: bool, trouble: &Trouble) {
        let why = trouble.to_string();
        self.set(if was_on {
            SoundState::Lost { why }
        } else {
            SoundState::Absent { why }
        });
    }
}

struct Keeper<B> {
    backend: Arc<B>,
    clock: Clock,
    settings: Settings,
    patience: Patience,
    shared: Arc<Shared>,
    events: SyncSender<Event>,
    inbox: Receiver<Event>,
    attempt: u32,
    pause: Duration,
    was_on: bool,
    beginning: Beginning,
    /// Attempts that have not come to an end.
    opening: Arc<AtomicUsize>,
}

/// A device in the keeper's hand; dropped, it is closed by its own thread.
struct Held {
    _hand: Sender<()>,
    taken: Arc<AtomicU64>,
}

/// Looks after which a device that is still being opened is said not to answer.
const HANGING: u8 = 16;

/// Looks after which a device that still has not opened is let go and another attempt made: at the
/// usual patience some eight seconds.
const GIVEN_UP: u8 = 64;
/// Devices that may hang in opening at a time, each with a thread; with so many the last is waited for.
const MOST_HANGING: usize = 4;

/// Why the keeper goes on.
enum Next {
    Again(Trouble),
    Close,
}

impl<B: Backend> Keeper<B> {
    fn keep(mut self) {
        loop {
            self.attempt += 1;
            let next = match self.open() {
                Some(device) => self.watch(&device),
                None => Next::Again(Trouble::NoThread),
            };
            self.shared.desk.close_line();
            let Next::Again(trouble) = next else { return };
            self.shared.say(self.was_on, &trouble);
            if self.rest() {
                return;
            }
        }
    }

    /// Opens a device on a thread that lives as long as it; dropping what is returned closes it.
    fn open(&self) -> Option<Held> {
        let (hand, closed) = channel();
        self.shared.reach.reset();
        let shared = stream::Shared {
            calls: Calls::default(),
            reach: self.shared.reach.clone(),
            taken: Arc::default(),
            xruns: Arc::clone(&self.shared.xruns),
            left_out: Arc::clone(&self.shared.left_out),
        };
        let taken = Arc::clone(&shared.taken);
        let backend = Arc::clone(&self.backend);
        let studio = Studio {
            attempt: self.attempt,
            desk: Arc::clone(&self.shared.desk),
            clock: Arc::clone(&self.clock),
            offset: self.settings.offset_ms,
            words: self.settings.words,
            route: self.settings.route,
            keeps_awake: self.settings.keeps_awake,
            shared,
        };
        let report = Report {
            attempt: self.attempt,
            events: self.events.clone(),
            xruns: Arc::clone(&self.shared.xruns),
            said: Arc::default(),
            taken: Arc::clone(&taken),
            clock: Arc::clone(&self.clock),
            ailing: Arc::default(),
        };
        let opening = Arc::clone(&self.opening);
        let follow = self.patience.follow;
        let device = move || {
            let opened = backend.open(&studio, report.clone());
            opening.fetch_sub(1, Ordering::Relaxed);
            match opened {
                Ok(mut opened) => {
                    report.send(What::Opened(opened.name, opened.format));
                    // Until the keeper lets go.
                    while closed.recv_timeout(follow) == Err(RecvTimeoutError::Timeout) {
                        if (opened.has_moved)() {
                            report.broken(Trouble::Moved);
                        }
                    }
                    drop(opened.device);
                }
                Err(trouble) => report.send(What::Failed(trouble)),
            }
        };
        self.opening.fetch_add(1, Ordering::Relaxed);
        let name = "sound device".into();
        if thread::Builder::new().name(name).spawn(device).is_err() {
            self.opening.fetch_sub(1, Ordering::Relaxed);
            return None;
        }
        Some(Held { _hand: hand, taken })
    }

    /// Looks after a device until it is lost or no longer wanted, and lets go of it.
    fn watch(&mut self, device: &Held) -> Next {
        let (mut progress, mut looks) = (None::<Progress>, 0_u8);
        loop {
            match self.inbox.recv_timeout(self.patience.watch) {
                Ok(event) => match event.what {
                    What::Close => return Next::Close,
                    _ if event.attempt != self.attempt => {}
                    What::Failed(trouble) => return Next::Again(trouble),
                    What::Opened(device, format) => {
                        self.was_on = true;
                        self.shared.set(SoundState::On { device, format });
                        progress = Some(Progress::of(self.beginning));
                    }
                },
                Err(RecvTimeoutError::Disconnected) => return Next::Close,
                Err(RecvTimeoutError::Timeout) => match &mut progress {
                    None => {
                        looks = looks.saturating_add(1);
                        if looks >= GIVEN_UP && self.may_try_another() {
                            return Next::Again(Trouble::Hanging);
                        }
                        if looks > HANGING {
                            self.shared.say(self.was_on, &Trouble::Hanging);
                        }
                    }
                    Some(progress) => match progress.look(&device.taken) {
                        Pace::Goes => self.pause = self.patience.first,
                        Pace::Idle => {}
                        Pace::Stalled => {
                            self.beginning = progress.lesson();
                            return Next::Again(Trouble::Stalled);
                        }
                    },
                },
            }
        }
    }

    /// Whether few enough devices hang in opening for one more to be tried.
    fn may_try_another(&self) -> bool {
        self.opening.load(Ordering::Relaxed) < MOST_HANGING
    }

    /// Waits before the next attempt, each time longer; tells whether to close instead.
    fn rest(&mut self) -> bool {
        let pause = self.pause;
        self.pause = self.patience.longer(pause);
        loop {
            match self.inbox.recv_timeout(pause) {
                Ok(event) if matches!(event.what, What::Close) => return true,
                // What a device that was let go has still to say, which is not much.
                Ok(_) => {}
                Err(RecvTimeoutError::Disconnected) => return true,
                Err(RecvTimeoutError::Timeout) => return false,
            }
        }
    }
}

#[cfg(test)]
#[path = "keeper_tests.rs"]
mod tests;
