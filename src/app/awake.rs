//! Keeps the screen lit and the laptop awake while a class runs.
//!
//! Each of the two is asked for on a thread of its own, since the services that answer may hang or
//! be gone. A class waits for neither the answer nor the release, and goes on without them. What is
//! not answered within [`PATIENCE`] is told as not granted, and told anew should it come after all.

#[cfg(target_os = "linux")]
mod bus;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex, MutexGuard};
use std::thread;
use std::time::Duration;

/// Who asks, and why, as the system shows it to whoever wonders.
const WHO: &str = "Matside";
const WHY: &str = "a class is running";

/// How long the system may take to answer before it is told that something may sleep.
const PATIENCE: Duration = Duration::from_secs(4);

/// Whether the screen stays lit and the laptop awake.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum AwakeState {
    /// The system has not answered yet.
    Trying,
    /// Both are held.
    Held,
    /// Something may sleep.
    Unavailable {
        /// What, in words for the screen.
        why: String,
    },
}

/// How it stands with one of the two.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Answer {
    /// None came yet.
    Asked,
    /// It is held.
    Held,
    /// It was refused, or no answer came in time.
    No,
}

/// The screen and the laptop.
type Answers = Arc<Mutex<[Answer; 2]>>;

/// Keeps everything awake until it is dropped.
#[derive(Debug)]
pub(crate) struct Awake {
    answers: Answers,
    /// Never sent to: the threads let go when these ends are gone.
    _release: Vec<Sender<()>>,
}

/// What the system grants, kept as long as it is to hold.
type Grant = Option<Box<dyn std::any::Any>>;

impl Awake {
    /// Asks the system, and comes back at once.
    pub(crate) fn begin() -> Self {
        Self::asking(screen, laptop, PATIENCE)
    }

    /// How it stands.
    pub(crate) fn state(&self) -> AwakeState {
        let why = match *lock(&self.answers) {
            [Answer::Asked, _] | [_, Answer::Asked] => return AwakeState::Trying,
            [Answer::Held, Answer::Held] => return AwakeState::Held,
            [_, Answer::Held] => "screen may sleep",
            [Answer::Held, _] => "laptop may sleep",
            [_, _] => "screen and laptop may sleep",
        };
        AwakeState::Unavailable { why: why.into() }
    }

    fn asking(
        screen: impl FnOnce() -> Grant + Send + 'static,
        laptop: impl FnOnce() -> Grant + Send + 'static,
        patience: Duration,
    ) -> Self {
        let answers = Answers::new(Mutex::new([Answer::Asked; 2]));
        let mut release = Vec::new();
        let asked: [Box<dyn FnOnce() -> Grant + Send>; 2] = [Box::new(screen), Box::new(laptop)];
        for (which, ask) in asked.into_iter().enumerate() {
            let (end, released) = channel();
            let (told, late) = (Arc::clone(&answers), Arc::clone(&answers));
            let (answered, waiting) = channel::<()>();
            let spawned = spawn("awake", move || {
                hold(
                    ask,
                    |answer| tell(&told, which, answer),
                    &released,
                    answered,
                );
            })
            .and_then(|()| {
                spawn("awake-late", move || {
                    told_late(&late, which, &waiting, patience);
                })
            });
            if spawned.is_err() {
                tell(&answers, which, Answer::No);
            }
            release.push(end);
        }
        Self {
            answers,
            _release: release,
        }
    }
}

fn spawn(name: &str, run: impl FnOnce() + Send + 'static) -> std::io::Result<()> {
    thread::Builder::new()
        .name(name.into())
        .spawn(run)
        .map(drop)
}

/// Asks, tells, keeps what was granted until the other end of `released` is gone, and lets go.
fn hold(
    ask: impl FnOnce() -> Grant,
    tell: impl FnOnce(Answer),
    released: &Receiver<()>,
    answered: Sender<()>,
) {
    let grant = catch_unwind(AssertUnwindSafe(ask)).unwrap_or(None);
    tell(if grant.is_some() {
        Answer::Held
    } else {
        Answer::No
    });
    drop(answered);
    let _ = released.recv();
    // A library may take it for certain that the service is still there.
    let _ = catch_unwind(AssertUnwindSafe(|| drop(grant)));
}

/// Waits for the answer, and tells that there is none should it take too long.
fn told_late(answers: &Answers, which: usize, waiting: &Receiver<()>, patience: Duration) {
    if waiting.recv_timeout(patience) == Err(RecvTimeoutError::Timeout) {
        let mut answers = lock(answers);
        if answers[which] == Answer::Asked {
            answers[which] = Answer::No;
        }
    }
}

fn tell(answers: &Answers, which: usize, answer: Answer) {
    lock(answers)[which] = answer;
}

fn lock<T>(state: &Mutex<T>) -> MutexGuard<'_, T> {
    state
        .lock()
        .unwrap_or_else(std::sync::PoisonError::into_inner)
}

#[cfg(target_os = "linux")]
use bus::{laptop, screen};

#[cfg(not(target_os = "linux"))]
fn screen() -> Grant {
    kept(asked().display(true).create())
}

#[cfg(not(target_os = "linux"))]
fn laptop() -> Grant {
    kept(asked().idle(true).sleep(true).create())
}

#[cfg(not(target_os = "linux"))]
fn asked() -> keepawake::Builder {
    let mut builder = keepawake::Builder::default();
    builder
        .app_name(WHO)
        .app_reverse_domain("matside")
        .reason(WHY);
    builder
}

#[cfg(not(target_os = "linux"))]
fn kept<E>(granted: Result<keepawake::KeepAwake, E>) -> Grant {
    granted.ok().map(|held| Box::new(held) as _)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tells on a channel when it is dropped, and may panic then.
    struct Told(Sender<&'static str>, &'static str, bool);

    impl Drop for Told {
        fn drop(&mut self) {
            let _ = self.0.send(self.1);
            assert!(!self.2, "the service has gone");
        }
    }

    /// Waits for the thread's answer; `ask` ran when its channel closes.
    fn settled(awake: &Awake, asked: &Receiver<()>) -> AwakeState {
        while asked.recv().is_ok() {}
        loop {
            match awake.state() {
                AwakeState::Trying => thread::yield_now(),
                state => return state,
            }
        }
    }

    #[test]
    fn what_is_granted_is_held_and_what_is_not_is_told() {
        for (screen, laptop, why) in [
            (true, true, None),
            (false, true, Some("screen may sleep")),
            (true, false, Some("laptop may sleep")),
            (false, false, Some("screen and laptop may sleep")),
        ] {
            let (asks, asked) = channel::<()>();
            let grant = |yes: bool| yes.then(|| Box::new(()) as _);
            let awake = Awake::asking(
                move || {
                    drop(asks);
                    grant(screen)
                },
                move || grant(laptop),
                Duration::MAX,
            );
            let expected = why.map_or(AwakeState::Held, |why| AwakeState::Unavailable {
                why: why.into(),
            });
            assert_eq!(settled(&awake, &asked), expected);
        }
    }

    /// The answer comes when the test lets it, the end of patience at once or never.
    #[test]
    fn a_service_that_hangs_holds_nobody_up_and_is_told() {
        for (screen_hangs, patience, why) in [
            (true, Duration::MAX, None),
            (false, Duration::MAX, None),
            (true, Duration::ZERO, Some("screen may sleep")),
            (false, Duration::ZERO, Some("laptop may sleep")),
        ] {
            let (answer, late) = channel::<()>();
            let (granted, is_granted) = channel::<()>();
            let hangs = move || {
                let _ = late.recv();
                Some(Box::new(()) as _)
            };
            let grants = move || {
                drop(granted);
                Some(Box::new(()) as _)
            };
            let awake = if screen_hangs {
                Awake::asking(hangs, grants, patience)
            } else {
                Awake::asking(grants, hangs, patience)
            };
            match why {
                None => {
                    while is_granted.recv().is_ok() {}
                    assert_eq!(awake.state(), AwakeState::Trying);
                }
                // The other is granted, but with no patience it may be told late for a moment.
                Some(why) => until(&awake, &AwakeState::Unavailable { why: why.into() }),
            }
            drop(answer);
            until(&awake, &AwakeState::Held);
        }
    }

    fn until(awake: &Awake, state: &AwakeState) {
        while awake.state() != *state {
            thread::yield_now();
        }
    }

    #[test]
    fn everything_is_released_at_the_end_even_where_the_first_release_panics() {
        let (told, released) = channel();
        let (screen, laptop) = (told.clone(), told);
        let awake = Awake::asking(
            move || Some(Box::new(Told(screen, "screen", true)) as _),
            move || Some(Box::new(Told(laptop, "laptop", false)) as _),
            Duration::MAX,
        );
        until(&awake, &AwakeState::Held);
        assert!(released.try_recv().is_err());
        drop(awake);
        let all: std::collections::BTreeSet<_> = released.iter().collect();
        assert_eq!(all, ["laptop", "screen"].into());
    }

    #[test]
    fn an_ask_that_panics_is_a_refusal() {
        let (asks, asked) = channel::<()>();
        let awake = Awake::asking(
            move || {
                let _asks = asks;
                panic!("the library gave up")
            },
            || Some(Box::new(()) as _),
            Duration::MAX,
        );
        let why = "screen may sleep".into();
        assert_eq!(settled(&awake, &asked), AwakeState::Unavailable { why });
    }
}
