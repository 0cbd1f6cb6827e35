//! The recorder: a thread that writes the journal, so that a slow disk never stops a class.
//!
//! The trade: an entry is safe shortly after it happened, not before the class goes on. What a
//! killed program can lose is what still waits in the queue, on a healthy disk nothing or the one
//! entry being written; on a disk that hangs up to [`QUEUE`] entries, after which the recorder
//! gives up and says so. Entries keep their order, and one that was lost is never followed by
//! another, so that what is in the record is always the beginning of what happened.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, SyncSender, TrySendError};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::Duration;

use super::fault::StoreFault;
use super::journal::{Journal, Medium, NotRecording};
use super::lack::Lack;
use super::pulse::PulseFile;
use crate::record::{Body, Pulse, Wall};

/// How many entries may wait for the disk. A class makes a few a minute.
pub const QUEUE: usize = 1024;
/// Why nothing more is recorded where the thread has gone.
const STOPPED: &str = "the recorder stopped";

/// Writes what happens in a class, in the background.
#[derive(Debug)]
pub struct Recorder {
    to: Option<SyncSender<Job>>,
    shared: Arc<Shared>,
    done: Receiver<()>,
}

/// What the thread is to do.
#[derive(Debug)]
enum Job {
    Write(Wall, Body),
    Beat,
}

#[derive(Debug, Default)]
struct Shared {
    poison: Mutex<Option<NotRecording>>,
    pulse: Mutex<Option<Pulse>>,
    /// The name of the record, once it was begun.
    name: Mutex<Option<String>>,
    lacks: Mutex<Vec<Lack>>,
    /// Whether the record is there, so that what is told can be kept.
    is_begun: AtomicBool,
    waiting: AtomicUsize,
}

impl Shared {
    fn poison(&self, why: NotRecording) {
        lock(&self.poison).get_or_insert(why);
    }

    fn state(&self) -> Result<(), NotRecording> {
        lock(&self.poison).clone().map_or(Ok(()), Err)
    }
}

/// Nothing that holds one of these locks can panic halfway, so a poisoned one is as good.
pub(super) fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Recorder {
    /// Starts the thread over a journal, and a pulse if there is to be one.
    #[must_use]
    pub fn start<M: Medium + Send + 'static>(
        journal: Journal<M>,
        pulse: Option<PulseFile>,
    ) -> Self {
        Self::with(move |jobs, shared| write_all(journal, pulse, jobs, shared))
    }

    /// Starts the thread with the beginning of a record: what happens meanwhile waits for it.
    #[must_use]
    pub fn beginning<M: Medium + Send + 'static>(
        begin: impl FnOnce() -> Result<(String, Journal<M>, PulseFile), StoreFault> + Send + 'static,
    ) -> Self {
        Self::with(move |jobs, shared| match begin() {
            Ok((name, journal, pulse)) => {
                *lock(&shared.name) = Some(name);
                write_all(journal, Some(pulse), jobs, shared);
            }
            Err(why) => shared.poison(NotRecording::since(why.to_string())),
        })
    }

    fn with(work: impl FnOnce(&Receiver<Job>, &Shared) + Send + 'static) -> Self {
        let (to, jobs) = mpsc::sync_channel(QUEUE);
        let (tell, done) = mpsc::channel();
        let shared = Arc::new(Shared::default());
        let theirs = shared.clone();
        let started = thread::Builder::new()
            .name("recorder".to_owned())
            .spawn(move || {
                work(&jobs, &theirs);
                let _ = tell.send(());
            });
        if let Err(why) = started {
            shared.poison(NotRecording::since(format!("no thread for it: {why}")));
        }
        Self {
            to: Some(to),
            shared,
            done,
        }
    }

    /// A recorder that records nothing, for this reason; a class runs with it all the same.
    #[must_use]
    pub fn none(why: NotRecording) -> Self {
        let (_, done) = mpsc::channel();
        let shared = Arc::new(Shared::default());
        shared.poison(why);
        Self {
            to: None,
            shared,
            done,
        }
    }

    /// Hands a fact or note over; `wall` is when it happened by the clock on the wall, which for a
    /// fact that is told late is not now. Never waits.
    pub fn entry(&self, wall: Wall, body: impl Into<Body>) {
        if self.state().is_err() {
            return;
        }
        self.shared.waiting.fetch_add(1, Ordering::Relaxed);
        if let Err(why) = self.send(Job::Write(wall, body.into())) {
            self.shared.waiting.fetch_sub(1, Ordering::Relaxed);
            self.shared.poison(NotRecording::since(why));
        }
    }

    /// Says where the class is, every now and then. Never waits; a beat that finds the one before it
    /// unwritten takes its place, and one that finds the queue full is left out.
    pub fn beat(&self, pulse: Pulse) {
        let is_asked = lock(&self.shared.pulse).replace(pulse).is_some();
        if !is_asked && self.send(Job::Beat).is_err() {
            // Else the next beat would take this one for asked for, and the pulse would stop for good.
            lock(&self.shared.pulse).take();
        }
    }

    /// Tells the name of a record that was begun in the background, once it was; also when the
    /// recorder has finished.
    pub fn told_name(&self) -> impl FnOnce() -> Option<String> + use<> {
        let shared = self.shared.clone();
        move || lock(&shared.name).clone()
    }

    /// What the place of the record does not give.
    #[must_use]
    pub fn lacks(&self) -> Vec<Lack> {
        lock(&self.shared.lacks).clone()
    }

    /// Whether the class is being recorded.
    ///
    /// # Errors
    /// It is not, and why.
    pub fn state(&self) -> Result<(), NotRecording> {
        self.shared.state()
    }

    /// Whether the record is there; one that is begun in the background may take its time.
    #[must_use]
    pub fn is_begun(&self) -> bool {
        self.shared.is_begun.load(Ordering::Acquire)
    }

    /// How many entries are not safe yet.
    #[must_use]
    pub fn waiting(&self) -> usize {
        self.shared.waiting.load(Ordering::Relaxed)
    }

    /// Waits until everything is safe, at most so long.
    ///
    /// # Errors
    /// Not everything was recorded, and why.
    pub fn finish(mut self, wait: Duration) -> Result<(), NotRecording> {
        self.state()?;
        drop(self.to.take());
        match self.done.recv_timeout(wait) {
            Ok(()) => self.state(),
            Err(RecvTimeoutError::Disconnected) => Err(NotRecording::since(STOPPED)),
            Err(RecvTimeoutError::Timeout) => {
                let waiting = self.waiting();
                Err(NotRecording::since(format!(
                    "the disk did not take the last {waiting} entries in time"
                )))
            }
        }
    }

    fn send(&self, job: Job) -> Result<(), &'static str> {
        let Some(to) = &self.to else {
            return Err("nothing writes");
        };
        to.try_send(job).map_err(|error| match error {
            TrySendError::Full(_) => "the disk has not answered for too long",
            TrySendError::Disconnected(_) => STOPPED,
        })
    }
}

fn write_all<M: Medium>(
    mut journal: Journal<M>,
    mut pulse: Option<PulseFile>,
    jobs: &Receiver<Job>,
    shared: &Shared,
) {
    *lock(&shared.lacks) = journal.lacks().to_vec();
    shared.is_begun.store(true, Ordering::Release);
    let mut ended = false;
    for job in jobs {
        let done = match job {
            Job::Write(wall, body) => {
                ended |= body.is_end();
                let done = journal.append(wall, body).map(drop);
                shared.waiting.fetch_sub(1, Ordering::Relaxed);
                done
            }
            Job::Beat => {
                let beat = lock(&shared.pulse).take();
                if let (Some(file), Some(beat)) = (&mut pulse, beat) {
                    file.beat(beat);
                }
                journal.look()
            }
        };
        if let Err(why) = done {
            shared.poison(why);
        }
    }
    if let (true, Ok(()), Some(file)) = (ended, shared.state(), pulse) {
        file.remove();
    }
}
