//! Plays a score on the real device, for an ear or a recorder. Run it by hand:
//! `cargo test --test sound_by_ear -- --ignored --nocapture`
//!
//! It prints when the clock's origin was, what was ordered and how the device stood, so that a
//! recording can be compared with it.

#![expect(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "what it prints is its result, and a fault should stop it"
)]

use std::sync::Arc;
use std::sync::mpsc::channel;
use std::time::{Duration, Instant};

use matside::plan::{Signal, SignalKind};
use matside::sound::{Clock, Micros, Order, Settings, Sound, hush_stderr};
use matside::time::{Moment, Offset};

/// The app's clock, as a test may have one.
fn clock() -> Clock {
    #[expect(
        clippy::disallowed_methods,
        reason = "this test hears the real device in real time"
    )]
    let origin = Instant::now();
    println!("origin");
    Arc::new(move || Micros(u64::try_from(origin.elapsed().as_micros()).unwrap()))
}

/// Twenty seconds of figures: two counts and a go every 2.5 s, half a second apart.
fn score() -> Arc<[Signal]> {
    let figure = [SignalKind::Count, SignalKind::Count, SignalKind::Go];
    let signals = (0..8_u64).flat_map(|n| {
        let kinds = figure.into_iter().zip(0_u64..);
        kinds.map(move |(kind, place)| Signal {
            at: Offset::from_millis(n * 2_500 + place * 500),
            kind,
        })
    });
    signals.collect()
}

#[test]
#[ignore = "plays through the loudspeaker for as long as MATSIDE_HEAR says, in seconds"]
fn play_a_score() {
    let hear = std::env::var("MATSIDE_HEAR").ok();
    let seconds: u64 = hear.and_then(|text| text.parse().ok()).unwrap_or(24);
    let _hush = hush_stderr().unwrap();
    let clock = clock();
    let sound = Sound::open(Arc::clone(&clock), Settings::default());
    let (_never, wait) = channel::<()>();
    let (from, at) = (Offset::ZERO, Moment::from_millis(2_000));
    let score = score();
    for signal in score.iter() {
        println!("ordered {:?} {}", signal.kind, 2_000 + signal.at.millis());
    }
    sound.order(Order::Run { score, from, at });
    let mut last = None;
    for _ in 0..seconds * 20 {
        let _ = wait.recv_timeout(Duration::from_millis(50));
        let state = sound.state();
        if last.as_ref() != Some(&state) {
            println!("at {} us: {state:?}", clock().0);
            last = Some(state);
        }
    }
    println!("xruns {}", sound.xruns());
}
