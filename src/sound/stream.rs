//! What a device plays: the voice, the words, their orders, and the corrections that keep it on the clock.
//!
//! The callback of the device pulls samples from here. At its beginning the stream reads the clock
//! it was handed, learns when its first frame will be heard, and sets the voice right; then, for
//! each block of 64 frames, it takes the orders that have come (a non-blocking read) and lets the
//! voice fill the block. It frees no score: whoever sends one keeps a reference until it is out of
//! use. It frees at most a channel block in some thirty orders.

use std::sync::Arc;
use std::sync::atomic::{AtomicU32, AtomicU64, Ordering};
use std::sync::mpsc::Receiver;

use super::calls::{Call, Calls};
use super::desk::Told;
use super::pacer::{Pacer, as_f64};
use super::palette::Palette;
use super::reach::Reach;
use super::talker::Talker;
use super::units::{Clock, SampleRate, Volume};
use super::voice::Voice;
use super::waking::Waking;

/// Frames that are made at once.
pub(crate) const BLOCK: usize = 64;
/// Microseconds by which the voice may be off before it is set right.
const TOLERANCE: f64 = 250e-6;
/// Seconds by which it is set right at a time, so that nobody hears it.
const NUDGE: f64 = 500e-6;
/// Further off than this in seconds, the device has stopped and gone on: the place is taken up
/// anew.
const LOST: f64 = 0.020;
/// Callbacks of a new device that say nothing about how far ahead it will be.
const WARMING: u64 = 4;

/// What a stream shares with those who opened it.
#[derive(Clone, Default)]
pub(crate) struct Shared {
    /// The device's callbacks.
    pub(crate) calls: Calls,
    /// How far ahead of the clock the voice commits.
    pub(crate) reach: Reach,
    /// The frames that the device has taken.
    pub(crate) taken: Arc<AtomicU64>,
    /// How often the device has run dry.
    pub(crate) xruns: Arc<AtomicU32>,
    /// How many words were left out.
    pub(crate) left_out: Arc<AtomicU32>,
}

/// What is heard at a moment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Frame {
    /// By everybody.
    pub(crate) room: f32,
    /// By the instructor alone.
    pub(crate) ear: f32,
}

/// The endless frames of one opened device.
pub(crate) struct Stream {
    voice: Voice,
    talker: Talker,
    waking: Option<Waking>,
    rate: SampleRate,
    pacer: Pacer,
    delay: Delay,
    clock: Clock,
    orders: Receiver<Told>,
    shared: Shared,
    block: [f32; BLOCK],
    ear: [f32; BLOCK],
    place: usize,
    frames: u64,
    call: u64,
    called: u64,
    begun: u64,
    xruns: u32,
}

/// How long a frame takes from the device's asking for it to the ear, in milliseconds.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Delay {
    /// What is taken to lie in the device's buffer before it, where the device does not tell.
    pub(crate) buffer: i64,
    /// What the user's ear has found out about the rest; may be negative.
    pub(crate) offset: i64,
}

impl Stream {
    /// For a device of that rate and delay.
    pub(crate) fn new(
        palette: Palette,
        delay: Delay,
        clock: Clock,
        orders: Receiver<Told>,
        shared: Shared,
    ) -> Self {
        let rate = palette.rate();
        Self {
            voice: Voice::new(palette),
            talker: Talker::new(rate, Arc::clone(&shared.left_out)),
            waking: None,
            rate,
            pacer: Pacer::new(rate),
            delay,
            clock,
            orders,
            xruns: shared.xruns.load(Ordering::Relaxed),
            shared,
            block: [0.0; BLOCK],
            ear: [0.0; BLOCK],
            place: BLOCK,
            frames: 0,
            call: 0,
            called: 0,
            begun: 0,
        }
    }

    /// The device's rate.
    pub(crate) const fn rate(&self) -> SampleRate {
        self.rate
    }

    /// How loud the words are.
    pub(crate) fn words(mut self, volume: Volume) -> Self {
        self.talker.volume(volume);
        self
    }

    /// Whether a tone that nobody hears goes on beneath all else.
    pub(crate) fn kept_awake(mut self, keeps: bool) -> Self {
        self.waking = keeps.then(|| Waking::at(self.rate));
        self
    }

    /// The frame that is handed out next.
    fn frame(&self) -> u64 {
        self.frames - (BLOCK - self.place) as u64
    }

    /// A callback of the device begins with the next frame.
    fn begin(&mut self, call: Call) {
        self.call = call.number;
        self.begun += 1;
        let now = (self.clock)().secs();
        let frame = self.frame();
        let delay = call.delay.unwrap_or_else(|| secs(self.delay.buffer));
        let xruns = self.shared.xruns.load(Ordering::Relaxed);
        if xruns != self.xruns {
            self.xruns = xruns;
            self.pacer.forget();
        }
        self.pacer.stamp(frame, now + delay);
        self.set_right();
        self.measure(now, frame);
    }

    /// Brings the voice to where the clock says it is. Only what has yet to begin moves by that; a
    /// tone that sounds is played out as it is. Small faults are mended in steps that nobody hears,
    /// and never between the beats of a count.
    fn set_right(&mut self) {
        let Some(time) = self.pacer.time(self.frames) else {
            return;
        };
        let right = self.rate.frames_of_secs(time + secs(self.delay.offset));
        let off = right - self.voice.position();
        let frames = |secs| self.rate.frames_of_secs(secs);
        if self.frames == 0 {
            self.voice.begin_at(right);
        } else if off.abs() >= frames(LOST) {
            self.voice.step_to(right);
        } else if off.abs() > frames(TOLERANCE) && !self.voice.is_counting() {
            let most = if self.pacer.is_settled() {
                frames(NUDGE)
            } else {
                off.abs()
            };
            let step = off.clamp(-most, most);
            self.voice.step_to(self.voice.position() + step);
        }
    }

    /// Learns how far ahead of the clock the voice is when the callback has been served, which is
    /// how late an order can come.
    fn measure(&mut self, now: f64, frame: u64) {
        let length = as_f64(frame - self.called) / f64::from(self.rate.get());
        self.called = frame;
        if self.begun > WARMING {
            let ahead = self.rate.secs(self.voice.position()) - now;
            let millis = self.shared.reach.grow(ahead + length);
            self.voice.reach(i64::from(millis));
        }
    }

    /// Makes the next block.
    fn fill(&mut self) {
        for order in self.orders.try_iter() {
            match order {
                // The sender still holds the score: dropping ours frees nothing.
                Told::Score(score) => drop(self.voice.take(score)),
                Told::Volume(volume) => self.voice.volume(volume),
                Told::Mute(muted) => self.voice.mute(muted),
                Told::Talks(talks) => self.talker.take(talks),
                Told::MuteWords(muted) => self.talker.mute(muted),
            }
        }
        let position = self.voice.position();
        let sounded = !self.voice.is_silent();
        self.voice.fill(&mut self.block);
        self.ear.fill(0.0);
        let tones = sounded || !self.voice.is_silent();
        self.talker
            .fill(position, tones, &mut self.block, &mut self.ear);
        if let Some(waking) = &mut self.waking {
            waking.add(&mut self.block, &mut self.ear);
        }
        self.frames += BLOCK as u64;
        self.shared.taken.store(self.frames, Ordering::Relaxed);
        self.place = 0;
    }
}

#[expect(
    clippy::cast_precision_loss,
    reason = "a delay is some hundred milliseconds"
)]
fn secs(millis: i64) -> f64 {
    millis as f64 / 1000.0
}

impl Stream {
    /// The next frame.
    pub(crate) fn next_frame(&mut self) -> Frame {
        if let Some(call) = self.shared.calls.since(self.call) {
            self.begin(call);
        }
        if self.place == BLOCK {
            self.fill();
        }
        let frame = Frame {
            room: self.block[self.place],
            ear: self.ear[self.place],
        };
        self.place += 1;
        frame
    }
}

#[cfg(test)]
#[path = "stream_tests.rs"]
mod tests;
