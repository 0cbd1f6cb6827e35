//! Plays a class with keys pressed at random moments, as the program's own loop does it.

use std::sync::Arc;
use std::sync::mpsc::channel;
use std::time::{Duration, Instant};

use matside::live::{Act, HoldReason, Input, Live, Output};
use matside::plan::Score;
use matside::session::{Library, Session};
use matside::sound::{
    Clock, Micros, Order, Route, Settings, Sound, SoundState, Volume, hush_stderr,
};

use super::log::Log;
use super::meant::{Ordered, meant};
use super::naive::Naive;
use super::words::Spoken;
use super::{Moment, SoundOrder, Span};

const CLASS: &str = include_str!("class.ron");
/// Soft enough that both players together stay below full scale.
pub(crate) const VOLUME: Volume = Volume::new(8);
/// The device has this long to open and to be learned.
const OPENING: u64 = 4_000;

/// What came of it.
pub(crate) struct Played {
    pub(crate) log: Log,
    pub(crate) keys: u32,
    pub(crate) xruns: u32,
    pub(crate) device: String,
    /// When the device was lost, and why.
    pub(crate) lost: Vec<(Moment, String)>,
}

/// The app's clock, as a test may have one.
pub(crate) fn clock() -> Clock {
    #[expect(
        clippy::disallowed_methods,
        reason = "this test hears the real device in real time"
    )]
    let origin = Instant::now();
    Arc::new(move || Micros(u64::try_from(origin.elapsed().as_micros()).unwrap()))
}

struct Class {
    live: Live,
    clock: Clock,
    sound: Sound,
    /// The other player, for comparison; words are heard without it.
    naive: Option<Naive>,
    words: Option<Spoken>,
    score: Score,
    ordered: Vec<Ordered>,
    lost: Vec<(Moment, String)>,
}

impl Class {
    fn now(&self) -> Moment {
        Moment::from_millis((self.clock)().0 / 1000)
    }

    fn say(&mut self, now: Moment, input: &Input) {
        self.live.handle(now, input);
        while let Some(output) = self.live.poll_output() {
            if let Output::Sound(order) = output {
                let SoundOrder { from, score } = order.clone();
                if let Some(naive) = &self.naive {
                    naive.order(from, score.clone());
                }
                self.score = self.score.then(from, &score);
                self.sound.order(Order::Play { from, score });
                let given = now;
                self.ordered.push(Ordered { given, order });
            }
        }
        if let Some(words) = &mut self.words {
            words.look(&self.live, now, &self.sound, &self.score);
        }
    }

    fn look(&mut self, now: Moment) {
        if let SoundState::Lost { why } = self.sound.state()
            && self
                .lost
                .last()
                .is_none_or(|(at, _)| now.since(*at) > Span::from_secs(2))
        {
            self.lost.push((now, why));
        }
    }

    /// Wakes when the class wants to, until a moment.
    fn run_to(&mut self, until: Moment) {
        let (_never, wait) = channel::<()>();
        loop {
            let now = self.now();
            self.look(now);
            self.say(now, &Input::Reach(self.sound.reach()));
            self.say(now, &Input::Wake);
            if now >= until || self.live.is_over() {
                return;
            }
            let wake = self.live.next_wakeup(now).map_or(until, |wake| wake.at);
            let left = wake.min(until).since(self.now());
            let most = Span::from_millis(250);
            let _ = wait.recv_timeout(Duration::from_millis(left.min(most).millis()));
        }
    }
}

/// Plays for so many seconds, sound settings and keys as told.
pub(crate) fn play(seconds: u64, offset_ms: i64, seed: u64, is_spoken: bool) -> Played {
    let _hush = hush_stderr().unwrap();
    let clock = clock();
    let settings = Settings {
        offset_ms,
        volume: VOLUME,
        muted: false,
        route: if is_spoken {
            Route::EarLeft
        } else {
            Route::Together
        },
        ..Settings::default()
    };
    let session = Session::read("fog", CLASS, &Library::builtin()).unwrap();
    let mut class = Class {
        live: Live::new(Arc::new(session)),
        sound: Sound::open(Arc::clone(&clock), settings),
        naive: (!is_spoken).then(|| Naive::open(Arc::clone(&clock))),
        words: is_spoken.then(Spoken::begin),
        score: Score::silence(),
        clock,
        ordered: Vec::new(),
        lost: Vec::new(),
    };
    class.run_to(Moment::from_millis(OPENING));
    let SoundState::On { device, .. } = class.sound.state() else {
        panic!("no sound: {:?}", class.sound.state());
    };
    let mut random = fastrand::Rng::with_seed(seed);
    let end = Moment::from_millis(OPENING + seconds * 1000);
    let mut keys = 0;
    class.say(class.now(), &Input::Act(Act::Begin));
    while class.now() < end && !class.live.is_over() {
        let most = if class.live.is_held() { 2_000 } else { 9_000 };
        let next = class.now() + Span::from_millis(random.u64(500..most));
        class.run_to(next.min(end));
        let now = class.now();
        let input = key(&class.live, now, &mut random);
        class.say(now, &input);
        keys += 1;
    }
    // What is still to come is no longer meant.
    let now = class.now();
    class.say(now, &Input::End);
    class.say(now, &Input::End);
    class.run_to(now);
    let (_never, wait) = channel::<()>();
    let _ = wait.recv_timeout(Duration::from_secs(2));
    let reach = class.sound.reach();
    let (meant, void) = meant(&class.ordered, reach);
    Played {
        log: Log {
            reach,
            meant,
            void,
            words: class.words.map_or_else(Vec::new, |words| words.meant),
        },
        keys,
        xruns: class.sound.xruns(),
        device,
        lost: class.lost,
    }
}

/// A key that keeps the class alive for the time it is listened to.
fn key(live: &Live, now: Moment, random: &mut fastrand::Rng) -> Input {
    let long = live.left(now) > Span::from_secs(200);
    Input::Act(match random.u8(0..12) {
        _ if live.is_held() => Act::Resume,
        0 | 1 => Act::Hold(HoldReason::Hold),
        2 => Act::Hold(HoldReason::Break),
        3 | 4 => Act::Back,
        5 | 6 => Act::Add(Span::from_secs(10)),
        7 => Act::Take(Span::from_secs(10)),
        8 => Act::Undo,
        9 => Act::OnceMore,
        10 if long => Act::Skip,
        _ if long => Act::GoOn,
        _ => Act::Mark,
    })
}
