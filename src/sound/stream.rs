//! What a device plays: the voice, its orders, and the corrections that keep it on the clock.
//!
//! The callback of the device pulls samples from here. For each block of 64 frames it reads the
//! clock it was handed, takes the orders that have come (a non-blocking read), and lets the voice
//! fill the block. It frees no score: whoever sends one keeps a reference until it is out of use.
//! It frees at most a channel block in some thirty orders.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::Receiver;

use super::Order;
use super::pacer::Pacer;
use super::palette::Palette;
use super::units::{Clock, SampleRate};
use super::voice::Voice;

/// Frames that are made at once.
pub(crate) const BLOCK: usize = 64;
/// Milliseconds by which the voice may be off before it is set right.
const TOLERANCE: i64 = 2;

/// The endless samples of one opened device, one channel.
pub(crate) struct Stream {
    voice: Voice,
    rate: SampleRate,
    pacer: Pacer,
    delay: f64,
    clock: Clock,
    orders: Receiver<Order>,
    taken: Arc<AtomicU64>,
    block: [f32; BLOCK],
    place: usize,
    frames: u64,
}

/// How long a frame takes from the device's asking for it to the ear, in milliseconds.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Delay {
    /// What lies in the device's buffer before it.
    pub(crate) buffer: i64,
    /// What the user's ear has found out about the rest; may be negative.
    pub(crate) offset: i64,
}

impl Stream {
    /// For a device of that rate and delay. `taken` counts the frames that the device has taken.
    pub(crate) fn new(
        palette: Palette,
        delay: Delay,
        clock: Clock,
        orders: Receiver<Order>,
        taken: Arc<AtomicU64>,
    ) -> Self {
        let rate = palette.rate();
        let mut voice = Voice::new(palette);
        // An order waits for the next callback, and then its frame waits in the buffer.
        voice.reach(2 * delay.buffer + delay.offset);
        Self {
            voice,
            rate,
            pacer: Pacer::new(rate),
            delay: secs(delay.buffer + delay.offset),
            clock,
            orders,
            taken,
            block: [0.0; BLOCK],
            place: BLOCK,
            frames: 0,
        }
    }

    /// The device's rate.
    pub(crate) const fn rate(&self) -> SampleRate {
        self.rate
    }

    /// Makes the next block.
    pub(crate) fn block(&mut self) -> &[f32; BLOCK] {
        let now = (self.clock)();
        for order in self.orders.try_iter() {
            // The sender still holds the score: dropping ours frees nothing.
            drop(self.voice.take(order));
        }
        if self.pacer.note(now, self.frames, BLOCK) {
            self.set_right();
        }
        self.voice.fill(&mut self.block);
        self.frames += BLOCK as u64;
        self.taken.store(self.frames, Ordering::Relaxed);
        &self.block
    }

    /// Steps the voice to where the clock says it is, if that is off. Only what has yet to begin
    /// moves by that; a tone that sounds is played out as it is.
    fn set_right(&mut self) {
        if let Some(time) = self.pacer.time(self.frames) {
            let right = self.rate.frames_of_secs(time + self.delay);
            let off = (right - self.voice.position()).abs();
            if self.frames == 0 || off > self.rate.frames(TOLERANCE) {
                self.voice.step_to(right);
            }
        }
    }
}

#[expect(
    clippy::cast_precision_loss,
    reason = "a delay is some hundred milliseconds"
)]
fn secs(millis: i64) -> f64 {
    millis as f64 / 1000.0
}

impl Iterator for Stream {
    type Item = f32;

    fn next(&mut self) -> Option<f32> {
        if self.place == BLOCK {
            self.block();
            self.place = 0;
        }
        let sample = self.block[self.place];
        self.place += 1;
        Some(sample)
    }
}

#[cfg(test)]
#[path = "stream_tests.rs"]
mod tests;
