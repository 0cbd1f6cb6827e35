//! Prompts made ahead, on a thread of their own, in the order in which they are needed.
//!
//! Whoever needs prompts says which, the next one first, as often as that changes; and asks later
//! whether one is ready. Nobody ever waits. A program that fails again and again is left alone for a
//! while, and that is said.

use std::collections::{HashMap, HashSet};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::Duration;

use super::clip::Clip;
use super::fault::SpeechFault;
use super::program::{Program, speakable};
use super::{key, run, wav};
use crate::sound::{SampleRate, Utterance};

/// So many of the prompts that are needed next are held ready; those after them are made and kept.
const READY: usize = 48;
/// Failures in a row after which the program is left alone.
const FAILURES: u32 = 3;
/// For how long.
const ALONE: Duration = Duration::from_secs(30);

/// Where prompts that were made are kept from class to class. A fault of it is nobody's business: then
/// they are made again.
pub trait Keep: Send {
    /// What is kept under a name.
    fn load(&self, name: &str) -> Option<Vec<u8>>;
    /// Whether something is kept under a name.
    fn has(&self, name: &str) -> bool;
    /// Keeps something under a name.
    fn store(&self, name: &str, bytes: &[u8]);
}

/// How it stands with the speaker program.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum State {
    /// It speaks, as far as is known.
    #[default]
    Speaks,
    /// It failed.
    Fails {
        /// In words for the person.
        why: String,
    },
}

/// What is needed, the next one first, for a device of a rate.
struct Need {
    texts: Vec<Arc<str>>,
    rate: SampleRate,
}

#[derive(Default)]
struct Shared {
    ready: HashMap<Arc<str>, Utterance>,
    state: State,
}

/// The thread that makes prompts. Dropped, it ends as soon as the program that runs is done.
pub struct Maker {
    needs: Sender<Need>,
    shared: Arc<Mutex<Shared>>,
}

impl std::fmt::Debug for Maker {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Maker").finish_non_exhaustive()
    }
}

impl Maker {
    /// Begins to make prompts with a program.
    #[must_use]
    pub fn begin(program: Program, keep: Option<Box<dyn Keep>>) -> Self {
        let (needs, inbox) = channel();
        let shared = Arc::<Mutex<Shared>>::default();
        let bench = Bench {
            voice: program.voice(),
            program,
            keep,
            shared: Arc::clone(&shared),
            failures: 0,
        };
        let started = thread::Builder::new()
            .name("speech".into())
            .spawn(move || bench.work(&inbox));
        if let Err(error) = started {
            lock(&shared).state = State::Fails {
                why: error.to_string(),
            };
        }
        Self { needs, shared }
    }

    /// Says what is needed, the next one first; what was needed before and is not among it is
    /// forgotten.
    pub fn need(&self, texts: Vec<Arc<str>>, rate: SampleRate) {
        // Closed: the thread could not be started, which its state tells.
        let _ = self.needs.send(Need { texts, rate });
    }

    /// A prompt, if it is ready for a device of that rate.
    #[must_use]
    pub fn ready(&self, text: &str, rate: SampleRate) -> Option<Utterance> {
        let shared = lock(&self.shared);
        let ready = shared.ready.get(text);
        ready.filter(|made| made.rate == rate).cloned()
    }

    /// How it stands.
    #[must_use]
    pub fn state(&self) -> State {
        lock(&self.shared).state.clone()
    }
}

fn lock(shared: &Mutex<Shared>) -> MutexGuard<'_, Shared> {
    shared.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A prompt made at once, for who can wait: the file of a class.
///
/// # Errors
/// What is wrong with the program, or with what it wrote.
pub fn make(program: &Program, keep: Option<&dyn Keep>, text: &str) -> Result<Clip, SpeechFault> {
    let name = key::name(&program.voice(), text);
    let kept = keep.and_then(|keep| keep.load(&name));
    if let Some(clip) = kept.and_then(|bytes| wav::read(bytes).ok()) {
        return Ok(clip);
    }
    let words = speakable(text);
    if words.is_empty() {
        return Err(SpeechFault::Silent);
    }
    let clip = wav::read(run::run(program, &words)?)?.shaped()?;
    if let Some((keep, bytes)) = keep.zip(wav::written(&clip)) {
        keep.store(&name, &bytes);
    }
    Ok(clip)
}

struct Bench {
    program: Program,
    voice: String,
    keep: Option<Box<dyn Keep>>,
    shared: Arc<Mutex<Shared>>,
    failures: u32,
}

impl Bench {
    fn work(mut self, inbox: &Receiver<Need>) {
        while let Ok(need) = inbox.recv() {
            let mut need = Some(need);
            while let Some(now) = need.take() {
                need = self.make_all(&latest(now, inbox), inbox);
            }
        }
    }

    /// Makes what is needed, until something else is; returns that.
    fn make_all(&mut self, need: &Need, inbox: &Receiver<Need>) -> Option<Need> {
        let near: HashSet<&Arc<str>> = need.texts.iter().take(READY).collect();
        lock(&self.shared)
            .ready
            .retain(|text, made| made.rate == need.rate && near.contains(text));
        for text in &need.texts {
            if let Ok(other) = inbox.try_recv() {
                return Some(other);
            }
            if near.contains(text) {
                self.make_ready(text, need.rate);
            } else if !self.is_kept(text) {
                let _ = self.made(text);
            }
            if self.failures >= FAILURES {
                self.failures = 0;
                return leave_alone(inbox);
            }
        }
        None
    }

    fn make_ready(&mut self, text: &Arc<str>, rate: SampleRate) {
        if lock(&self.shared).ready.contains_key(text) {
            return;
        }
        let made = self.made(text).and_then(|clip| clip.at(rate));
        if let Some(made) = made {
            lock(&self.shared).ready.insert(Arc::clone(text), made);
        }
    }

    fn is_kept(&self, text: &str) -> bool {
        let name = key::name(&self.voice, text);
        self.keep.as_ref().is_none_or(|keep| keep.has(&name))
    }

    fn made(&mut self, text: &str) -> Option<Clip> {
        let made = make(&self.program, self.keep.as_deref(), text);
        let state = match &made {
            Ok(_) => State::Speaks,
            Err(fault) => State::Fails {
                why: fault.to_string(),
            },
        };
        self.failures = if made.is_ok() { 0 } else { self.failures + 1 };
        lock(&self.shared).state = state;
        made.ok()
    }
}

/// Waits, and goes on with what is needed by then.
fn leave_alone(inbox: &Receiver<Need>) -> Option<Need> {
    let (_never, wait) = channel::<()>();
    let _ = wait.recv_timeout(ALONE);
    inbox.try_recv().ok()
}

/// The last need that has come; those before it count no more.
fn latest(need: Need, inbox: &Receiver<Need>) -> Need {
    inbox.try_iter().last().unwrap_or(need)
}

#[cfg(test)]
#[cfg(unix)]
#[path = "maker_tests.rs"]
mod tests;
