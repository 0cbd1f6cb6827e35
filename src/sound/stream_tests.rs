//! The stream on a simulated sound card: bursts, jitter, drift, prefill, underruns.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    reason = "figures of a test are small"
)]

use std::sync::atomic::AtomicU64;
use std::sync::mpsc::{Sender, channel};

use super::*;
use crate::plan::{Signal, SignalKind};
use crate::sound::Micros;
use crate::time::{Moment, Offset, Span};

const PERIOD: usize = 2048;
const RATE: u32 = 48_000;

/// A card with two periods of buffer that plays `1 + ppm/10^6` times as fast as it says.
struct Card {
    stream: Stream,
    orders: Sender<Order>,
    now: Arc<AtomicU64>,
    frame: f64,
    /// When the next period is due, in seconds of the steady clock.
    due: f64,
    random: fastrand::Rng,
    /// Frames taken so far.
    taken: u64,
    /// Sounds heard: the true time of the onset's frame, and the samples.
    heard: Vec<(f64, Vec<f32>)>,
}

impl Card {
    fn new(ppm: f64, buffer: i64) -> Self {
        let (orders, inbox) = channel();
        let now = Arc::new(AtomicU64::new(0));
        let clock = Arc::clone(&now);
        let delay = Delay { buffer, offset: 0 };
        let stream = Stream::new(
            Palette::at(SampleRate::hertz(RATE)),
            delay,
            Arc::new(move || Micros(clock.fetch_add(3, Ordering::Relaxed))),
            inbox,
            Arc::default(),
        );
        let mut card = Self {
            stream,
            orders,
            now,
            frame: 1.0 / (f64::from(RATE) * (1.0 + ppm * 1e-6)),
            due: 1.0,
            random: fastrand::Rng::with_seed(7),
            taken: 0,
            heard: Vec::new(),
        };
        // The first period fills the buffer and is followed at once by the second.
        card.burst(0.0);
        card
    }

    /// One callback, up to 5 ms late. Its first frame is heard a period after it was due.
    fn callback(&mut self) {
        let late = 0.005 * self.random.f64();
        self.burst(late);
        self.due += self.frame * PERIOD as f64;
    }

    fn burst(&mut self, late: f64) {
        let micros = ((self.due + late) * 1e6) as u64;
        self.now.fetch_max(micros, Ordering::Relaxed);
        for n in 0..PERIOD / BLOCK {
            let time = self.due + self.frame * (PERIOD + n * BLOCK) as f64;
            let block = *self.stream.block();
            self.hear(time, &block);
        }
        self.taken += PERIOD as u64;
    }

    /// Collects sounds: a sound ends with 200 ms of silence.
    fn hear(&mut self, time: f64, block: &[f32; BLOCK]) {
        let Some(first) = block.iter().position(|&sample| sample != 0.0) else {
            return;
        };
        let at = time + first as f64 * self.frame;
        match self.heard.last_mut() {
            Some((from, samples))
                if at - *from < (samples.len() as f64 + 0.2 * f64::from(RATE)) * self.frame =>
            {
                let silent = ((time - *from) / self.frame).round() as usize;
                samples.resize(silent, 0.0);
                samples.extend_from_slice(block);
            }
            _ => self.heard.push((at, block[first..].to_vec())),
        }
    }

    /// Orders a run from the start of the class at second 3 of the clock.
    fn run(&self, score: &Arc<[Signal]>) {
        let order = Order::Run {
            score: Arc::clone(score),
            from: Offset::ZERO,
            at: Moment::from_millis(3_000),
        };
        self.orders.send(order).unwrap();
    }

    fn play_until(&mut self, secs: f64) {
        while self.due < secs {
            self.callback();
        }
    }
}

/// Signals of a class: three counts and a go, every `every` milliseconds.
fn score(minutes: u64, every: u64) -> Arc<[Signal]> {
    let mut signals = Vec::new();
    let mut at = 5_000;
    while at < minutes * 60_000 {
        for (n, kind) in [
            (0, SignalKind::Count),
            (1, SignalKind::Count),
            (2, SignalKind::Go),
        ] {
            signals.push(Signal {
                at: Offset::from_millis(at + n * 1000),
                kind,
            });
        }
        at += every;
    }
    signals.into()
}

/// Plays a score from second 3 on and compares what is heard with what was ordered.
fn errors(card: &mut Card, score: &Arc<[Signal]>, minutes: u64) -> Vec<f64> {
    card.run(score);
    card.play_until(minutes as f64 * 60.0 + 10.0);
    assert_eq!(card.heard.len(), score.len());
    let pairs = card.heard.iter().zip(score.iter());
    pairs
        .map(|((at, _), signal)| at - 3.0 - signal.at.secs())
        .collect()
}

/// The first sample of a tone is the zero of its ramp, so it is heard one frame on.
const RAMP_ZERO: f64 = 1.0 / 48_000.0;
/// The mean of the simulated lateness of callbacks, which no loop can tell from delay: the sound
/// is sent that much too early.
const MEAN_LATE: f64 = 0.0025;

/// A card off by 100 ppm drifts 360 ms in an hour; every onset stays within 10 ms of the clock,
/// and within half of that of the loop's own bias.
#[test]
fn an_hour_on_a_drifting_card_stays_within_ten_milliseconds() {
    for ppm in [100.0, -100.0] {
        let mut card = Card::new(ppm, 43);
        let score = score(60, 20_000);
        let errors = errors(&mut card, &score, 60);
        let worst = errors
            .iter()
            .map(|e| (e - RAMP_ZERO + MEAN_LATE).abs())
            .fold(0.0, f64::max);
        println!("{ppm} ppm: worst {:.2} ms", worst * 1000.0);
        assert!(worst < 0.005, "{worst}");
        assert!(errors.iter().all(|e| e.abs() < 0.010));
        tones_are_whole(&card, &score);
    }
}

/// Corrections touch no tone: every tone heard is its tone, sample for sample.
fn tones_are_whole(card: &Card, score: &[Signal]) {
    let palette = Palette::at(SampleRate::hertz(RATE));
    for ((_, heard), signal) in card.heard.iter().zip(score) {
        let tone = &palette.tone(signal.kind)[1..];
        let mut wanted = tone.to_vec();
        wanted.resize(heard.len().max(tone.len()), 0.0);
        let padding = wanted.len() - heard.len();
        assert!(padding <= 1, "a tone ends in one sample of zero");
        assert!(heard[..] == wanted[..heard.len()], "{signal:?}");
    }
}

/// Within a figure of counts nobody hears a correction: steps are of a few milliseconds.
#[test]
fn counts_keep_their_second_under_drift_and_jitter() {
    let mut card = Card::new(100.0, 43);
    let score = score(5, 10_000);
    let errors = errors(&mut card, &score, 5);
    for figure in errors.chunks(3).skip(2) {
        assert!((figure[1] - figure[0]).abs() < 0.004 && (figure[2] - figure[1]).abs() < 0.004);
    }
}

/// Underruns: the card stops twice for 700 ms and goes on. The voice finds its place again.
#[test]
fn after_an_underrun_the_signals_are_back_on_the_clock() {
    let mut card = Card::new(20.0, 43);
    let score = score(2, 10_000);
    card.play_until(2.0);
    card.run(&score);
    card.play_until(12.0);
    card.due += 0.7;
    card.callback();
    card.due += 0.7;
    card.play_until(60.0);
    for (at, _) in card.heard.iter().skip(3) {
        let offset = (at - 3.0) * 1000.0;
        let nearest = score.iter().map(|s| (offset - s.at.millis() as f64).abs());
        assert!(nearest.fold(f64::MAX, f64::min) < 10.0, "{offset}");
    }
    assert!(card.heard.len() >= 15);
}

/// A device that stumbles while it starts, as after a rebuild: a second later the sound is right.
#[test]
fn a_second_after_a_bad_start_the_sound_is_on_the_clock() {
    for stumble in [0.0, 0.015, 0.032, 0.2] {
        let mut card = Card::new(0.0, 43);
        let start = card.due;
        card.play_until(start + 0.1);
        card.due += stumble;
        let at = ((start + 1.2) * 1000.0) as u64;
        let order = Order::Strike {
            kind: SignalKind::Go,
            at: Moment::from_millis(at),
        };
        card.orders.send(order).unwrap();
        card.play_until(start + 3.0);
        let error = card.heard[0].0 - at as f64 / 1000.0 - RAMP_ZERO + MEAN_LATE;
        assert!(error.abs() < 0.005, "{stumble}: {error}");
    }
}

/// Every sixth callback comes 60 ms late, as on a busy machine, and the card drifts: the voice
/// follows the drift and none of the hiccups.
#[test]
fn very_late_callbacks_are_left_out_and_drift_is_still_followed() {
    let mut card = Card::new(100.0, 43);
    let score = score(8, 10_000);
    card.run(&score);
    for n in 1.. {
        if card.due > 490.0 {
            break;
        }
        if n % 6 == 0 {
            card.burst(0.060);
            card.due += card.frame * PERIOD as f64;
        } else {
            card.callback();
        }
    }
    assert_eq!(card.heard.len(), score.len());
    for ((at, _), signal) in card.heard.iter().zip(score.iter()) {
        assert!((at - 3.0 - signal.at.secs()).abs() < 0.010);
    }
}

/// An order for *now* is heard as soon as the buffer allows, not dropped as late.
#[test]
fn a_strike_now_is_heard_after_the_buffer() {
    let mut card = Card::new(0.0, 43);
    card.play_until(10.0);
    for n in 0..20 {
        let order = Order::Strike {
            kind: SignalKind::Count,
            at: Moment::from_millis(((card.due - 0.04) * 1000.0) as u64),
        };
        card.orders.send(order).unwrap();
        let before = card.due;
        card.play_until(before + 0.7);
        assert_eq!(card.heard.len(), n + 1);
        assert!(card.heard[n].0 - before < 0.060);
    }
}

/// A chain that is 200 ms late, as Bluetooth is, gets its sound that much earlier.
#[test]
fn a_positive_offset_sends_the_sound_earlier() {
    let onset = |offset| {
        let (orders, inbox) = channel();
        let delay = Delay { buffer: 0, offset };
        let palette = Palette::at(SampleRate::hertz(8_000));
        let clock: Clock = Arc::new(|| Micros(0));
        let stream = Stream::new(palette, delay, clock, inbox, Arc::default());
        let at = Moment::ZERO + Span::from_secs(1);
        let kind = SignalKind::Go;
        orders.send(Order::Strike { kind, at }).unwrap();
        let mut samples = stream.take(20_000);
        samples.position(|sample| sample != 0.0).unwrap()
    };
    assert_eq!(onset(0), 8_001);
    assert_eq!(onset(200), 8_001 - 1_600);
    assert_eq!(onset(-50), 8_001 + 400);
}
