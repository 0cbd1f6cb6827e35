//! Keeps the screen lit and the laptop awake while a class runs.
//!
//! The system is asked on a thread of its own, since the services that answer may hang or be gone.
//! A class waits for neither the answer nor the release, and goes on without them. The screen and
//! the laptop are asked for one by one: where only one of them is granted, that one is kept.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, MutexGuard};
use std::thread;

use keepawake::KeepAwake;

/// The name of the thread.
const THREAD: &str = "awake";

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

/// Keeps everything awake until it is dropped.
#[derive(Debug)]
pub(crate) struct Awake {
    state: Arc<Mutex<AwakeState>>,
    /// Never sent to: the thread lets go when this end is gone.
    _release: Sender<()>,
}

/// What the system grants, kept as long as it is to hold.
type Grant = Option<Box<dyn std::any::Any>>;

impl Awake {
    /// Asks the system, and comes back at once.
    pub(crate) fn begin() -> Self {
        Self::asking(screen, laptop)
    }

    /// How it stands.
    pub(crate) fn state(&self) -> AwakeState {
        lock(&self.state).clone()
    }

    fn asking(
        screen: impl FnOnce() -> Grant + Send + 'static,
        laptop: impl FnOnce() -> Grant + Send + 'static,
    ) -> Self {
        let state = Arc::new(Mutex::new(AwakeState::Trying));
        let (release, released) = channel();
        let told = Arc::clone(&state);
        let thread = thread::Builder::new().name(THREAD.into());
        let spawned = thread.spawn(move || hold(&told, &released, screen, laptop));
        if spawned.is_err() {
            *lock(&state) = granted(false, false);
        }
        Self {
            state,
            _release: release,
        }
    }
}

/// Asks, tells, keeps what was granted until the other end of `released` is gone, and lets go.
fn hold(
    state: &Mutex<AwakeState>,
    released: &Receiver<()>,
    screen: impl FnOnce() -> Grant,
    laptop: impl FnOnce() -> Grant,
) {
    let laptop = catch_unwind(AssertUnwindSafe(laptop)).unwrap_or(None);
    let screen = catch_unwind(AssertUnwindSafe(screen)).unwrap_or(None);
    *lock(state) = granted(screen.is_some(), laptop.is_some());
    let _ = released.recv();
    for grant in [screen, laptop] {
        // The library takes it for certain that the service is still there.
        let _ = catch_unwind(AssertUnwindSafe(|| drop(grant)));
    }
}

fn granted(screen: bool, laptop: bool) -> AwakeState {
    let why = match (screen, laptop) {
        (true, true) => return AwakeState::Held,
        (false, true) => "screen may sleep",
        (true, false) => "laptop may sleep",
        (false, false) => "screen and laptop may sleep",
    };
    AwakeState::Unavailable { why: why.into() }
}

fn lock(state: &Mutex<AwakeState>) -> MutexGuard<'_, AwakeState> {
    state
        .lock()
        .unwrap_or_else(std::sync::PoisonError::into_inner)
}

fn screen() -> Grant {
    kept(asked().display(true).create())
}

fn laptop() -> Grant {
    kept(asked().idle(true).sleep(true).create())
}

fn asked() -> keepawake::Builder {
    let mut builder = keepawake::Builder::default();
    builder
        .app_name("Matside")
        .app_reverse_domain("matside")
        .reason("a class is running");
    builder
}

fn kept<E>(granted: Result<KeepAwake, E>) -> Grant {
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
            );
            let expected = why.map_or(AwakeState::Held, |why| AwakeState::Unavailable {
                why: why.into(),
            });
            assert_eq!(settled(&awake, &asked), expected);
        }
    }

    #[test]
    fn a_service_that_hangs_holds_nobody_up() {
        let (answer, never) = channel::<()>();
        let awake = Awake::asking(
            move || {
                let _ = never.recv();
                None
            },
            || None,
        );
        assert_eq!(awake.state(), AwakeState::Trying);
        drop(awake);
        drop(answer);
    }

    #[test]
    fn everything_is_released_at_the_end_even_where_the_first_release_panics() {
        let (told, released) = channel();
        let (screen, laptop) = (told.clone(), told);
        let awake = Awake::asking(
            move || Some(Box::new(Told(screen, "screen", true)) as _),
            move || Some(Box::new(Told(laptop, "laptop", false)) as _),
        );
        assert!(released.try_recv().is_err());
        drop(awake);
        let all: Vec<_> = released.iter().collect();
        assert_eq!(all, ["screen", "laptop"]);
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
        );
        let why = "screen may sleep".into();
        assert_eq!(settled(&awake, &asked), AwakeState::Unavailable { why });
    }
}
