//! A simulated sound card, for tests: two periods of buffer, a crystal that is off, callbacks that
//! come late, and an ear that notes when each sample is heard.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    reason = "figures of a test are small"
)]

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use super::Order;
use super::desk::Desk;
use super::palette::Palette;
use super::stream::{Delay, Shared, Stream};
use super::units::{Micros, SampleRate, Volume};
use crate::plan::SignalKind;
use crate::time::Span;

/// Frames a second, as the card says.
pub(crate) const RATE: u32 = 48_000;

/// A card that plays `1 + ppm/10^6` times as fast as it says.
pub(crate) struct Card {
    pub(crate) desk: Desk,
    pub(crate) stream: Stream,
    pub(crate) shared: Shared,
    pub(crate) now: Arc<AtomicU64>,
    /// Seconds a frame, truly.
    pub(crate) frame: f64,
    /// When the next period is due, in seconds of the steady clock.
    pub(crate) due: f64,
    pub(crate) random: fastrand::Rng,
    /// Whether it tells its delay.
    pub(crate) tells: bool,
    /// The most by which what it tells is off, in seconds.
    pub(crate) noise: f64,
    /// The most by which a callback is late, in seconds.
    pub(crate) late: f64,
    period: usize,
    offset: f64,
    /// What reaches the ear: when, by the steady clock, and the samples of a period.
    pub(crate) ear: Vec<(f64, Vec<f32>)>,
    /// The same of what is for one ear alone.
    pub(crate) alone: Vec<(f64, Vec<f32>)>,
}

/// What a card is like.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Make {
    pub(crate) ppm: f64,
    pub(crate) period: usize,
    /// How many milliseconds later than the card tells it is heard; the user has set the same.
    pub(crate) offset: i64,
}

impl Card {
    /// A card that begins to play at second 1 of the clock.
    pub(crate) fn new(make: Make, palette: Palette) -> Self {
        let desk = Desk::new(Volume::FULL, false);
        let now = Arc::new(AtomicU64::new(0));
        let clock = Arc::clone(&now);
        let delay = Delay {
            buffer: (make.period * 1000) as i64 / i64::from(RATE),
            offset: make.offset,
        };
        let shared = Shared::default();
        let stream = Stream::new(
            palette,
            delay,
            Arc::new(move || Micros(clock.load(Ordering::Relaxed))),
            desk.new_line(1),
            shared.clone(),
        );
        let mut card = Self {
            desk,
            stream,
            shared,
            now,
            frame: 1.0 / (f64::from(RATE) * (1.0 + make.ppm * 1e-6)),
            due: 1.0,
            random: fastrand::Rng::with_seed(7),
            tells: true,
            noise: 0.0005,
            late: 0.005,
            period: make.period,
            offset: make.offset as f64 / 1000.0,
            ear: Vec::new(),
            alone: Vec::new(),
        };
        // The first period fills the buffer.
        card.serve(0.0);
        card
    }

    /// Tones of one sample, whose value tells the kind: what an ear hears of them is exact.
    pub(crate) fn clicks() -> Palette {
        let tones = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0].map(|value| vec![value]);
        Palette::of(SampleRate::hertz(RATE), tones)
    }

    /// The clicks heard so far: what, and when by the steady clock in seconds. Forgets the rest.
    pub(crate) fn take_clicks(&mut self) -> Vec<(SignalKind, f64)> {
        let frame = self.frame;
        let clicks = self.ear.drain(..).flat_map(|(from, samples)| {
            let sounding = samples.into_iter().enumerate().filter(|(_, s)| *s != 0.0);
            let heard = sounding.map(move |(n, s)| (kind_of(s), from + n as f64 * frame));
            heard.collect::<Vec<_>>()
        });
        clicks.collect()
    }

    /// Stretches in which something sounded for one ear alone so far: from, to, and the highest sample.
    /// Forgets the rest.
    pub(crate) fn take_alone(&mut self) -> Vec<(f64, f64, f32)> {
        let mut runs: Vec<(f64, f64, f32)> = Vec::new();
        for (from, samples) in self.alone.drain(..) {
            for (n, sample) in samples.into_iter().enumerate().filter(|(_, s)| *s != 0.0) {
                let at = from + n as f64 * self.frame;
                match runs.last_mut().filter(|run| at - run.1 < 0.01) {
                    Some(run) => (run.1, run.2) = (at, run.2.max(sample)),
                    None => runs.push((at, at, sample)),
                }
            }
        }
        runs
    }

    /// The steady clock in milliseconds.
    pub(crate) fn millis(&self) -> u64 {
        self.now.load(Ordering::Relaxed) / 1000
    }

    /// One callback, some milliseconds late.
    pub(crate) fn callback(&mut self) {
        let late = self.late * self.random.f64();
        self.serve(late);
    }

    /// A callback that comes so many seconds late. Its first frame is heard when the period that
    /// was in the buffer has been played, however late the callback is.
    pub(crate) fn serve(&mut self, late: f64) {
        let length = self.frame * self.period as f64;
        let now = self.due + late;
        self.now.fetch_max((now * 1e6) as u64, Ordering::Relaxed);
        let noise = self.noise * (2.0 * self.random.f64() - 1.0);
        let delay = (length - late + noise).max(0.0);
        let told = self.tells.then_some((delay * 1e9) as i64);
        self.shared.calls.tell(told);
        let frames = (0..self.period).map(|_| self.stream.next_frame());
        let (samples, alone) = frames.map(|frame| (frame.room, frame.ear)).unzip();
        let heard = self.due + length.max(late) + self.offset;
        self.ear.push((heard, samples));
        self.alone.push((heard, alone));
        self.due += length;
    }

    /// The card stands still for a while, and the buffer runs dry.
    pub(crate) fn stop(&mut self, secs: f64) {
        self.due += secs;
    }

    pub(crate) fn play_until(&mut self, secs: f64) {
        while self.due < secs {
            self.callback();
        }
    }

    pub(crate) fn order(&self, order: Order) {
        self.desk.order(order);
    }

    pub(crate) fn reach(&self) -> Span {
        self.shared.reach.span()
    }
}

fn kind_of(sample: f32) -> SignalKind {
    super::tones::KINDS[sample.round() as usize - 1]
}
