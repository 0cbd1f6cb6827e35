//! Restarts the sound server under a sound that plays, and tells how long it is until frames are
//! taken again.

use std::path::Path;
use std::process::{Child, Command};
use std::sync::mpsc::channel;
use std::time::Duration;

use matside::sound::{Settings, Sound, SoundState, hush_stderr};

use super::player::clock;
use super::{Moment, Span};

/// How often it is restarted.
const TIMES: u64 = 8;
/// The longest that anybody waits here.
const LONG: Span = Span::from_secs(20);

/// For each restart: how long the server was away, and how long after its start sound was back.
pub(crate) fn restarts(serve: &Path, seed: u64) -> Vec<(Span, Span)> {
    let _hush = hush_stderr().unwrap();
    let mut random = fastrand::Rng::with_seed(seed);
    let clock = clock();
    let now = || Moment::from_millis(clock().0 / 1000);
    let mut server = Served::start(serve);
    let sound = Sound::open(std::sync::Arc::clone(&clock), Settings::default());
    wait_for(&now, || plays(&sound));
    let mut restarts = Vec::new();
    for n in 0..TIMES {
        drop(server);
        let away = Span::from_millis(random.u64(50..400) * (n + 1));
        pause(away);
        let from = now();
        server = Served::start(serve);
        wait_for(&now, || sound.reach() == Span::ZERO);
        wait_for(&now, || plays(&sound));
        restarts.push((away, now().since(from)));
        pause(Span::from_millis(random.u64(300..2_000)));
    }
    restarts
}

/// Some callbacks have been served since the device was opened.
fn plays(sound: &Sound) -> bool {
    matches!(sound.state(), SoundState::On { .. }) && sound.reach() > Span::ZERO
}

fn pause(span: Span) {
    let (_never, wait) = channel::<()>();
    let _ = wait.recv_timeout(Duration::from_millis(span.millis()));
}

fn wait_for(now: &impl Fn() -> Moment, is_so: impl Fn() -> bool) {
    let begun = now();
    while !is_so() {
        assert!(now().since(begun) < LONG, "no sound for {LONG:?}");
        pause(Span::from_millis(5));
    }
}

/// A server that dies without a farewell when dropped.
struct Served(Child);

impl Served {
    fn start(serve: &Path) -> Self {
        Self(Command::new(serve).spawn().unwrap())
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}
