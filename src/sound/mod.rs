//! The sound of the class: tones, the voice that plays the score, and the device it plays on.
//!
//! The program's event loop never makes a beep: it orders *run from here at this moment*, and the
//! voice counts its own frames. This room refuses to know the screen and files. `library` alone
//! names the audio library, so everything else is tested without a sound card.

mod backend;
mod calls;
#[cfg(test)]
pub(crate) mod card;
mod desk;
mod device;
mod dll;
mod eager;
mod hush;
mod keeper;
mod level;
mod library;
mod order;
mod pacer;
mod palette;
mod progress;
mod reach;
mod render;
mod settings;
mod stream;
mod talk;
mod talker;
mod tapped;
mod tones;
mod units;
mod voice;
mod waking;

use std::sync::PoisonError;
use std::sync::atomic::Ordering;

pub use hush::{Hush, hush_stderr};
pub use order::Order;
pub use palette::Palette;
pub(crate) use palette::raised_cosine;
pub use render::{Rendering, render};
pub use settings::{Format, MOST_OFFSET_MS, Output, Route, Settings, SoundState};
pub use talk::{Talk, To, Utterance};
pub use units::{Clock, Decibels, Micros, SampleRate, Volume};
pub use voice::Voice;

use self::device::SystemDevice;
use self::keeper::{Keeping, Patience};
use crate::time::Span;

/// The devices that can play, as the system lists them; this may take a second.
#[must_use]
pub fn outputs() -> Vec<Output> {
    device::outputs()
}

/// The sound of one class. Dropped, it falls silent as soon as the device lets it, and nobody waits
/// for that: an ending that should be heard out wants [`Sound`] kept until then.
pub struct Sound(Keeping);

impl Sound {
    /// Begins to open the default device, on another thread, and returns at once. The clock must
    /// be the one whose milliseconds are the orders' moments.
    #[must_use]
    pub fn open(clock: Clock, settings: Settings) -> Self {
        Self::open_on(None, clock, settings)
    }

    /// The same with a device that the system calls so.
    #[must_use]
    pub fn open_on(name: Option<String>, clock: Clock, settings: Settings) -> Self {
        let (device, patience) = (SystemDevice { name }, Patience::USUAL);
        Self(Keeping::begin(device, clock, settings, patience))
    }

    /// Orders the voice; never waits. Without a device the order is remembered, and what has not
    /// gone by until then is played by the next device.
    pub fn order(&self, order: Order) {
        self.0.shared.desk.order(order);
    }

    /// How it stands.
    #[must_use]
    pub fn state(&self) -> SoundState {
        let state = self.0.shared.state.lock();
        state.unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// How far ahead of the clock the voice has committed at the most: an order for *now* is heard
    /// that much later. Nothing where no device plays.
    #[must_use]
    pub fn reach(&self) -> Span {
        match self.state() {
            SoundState::On { .. } => self.0.shared.reach.span(),
            _ => Span::ZERO,
        }
    }

    /// What the device that plays takes; nothing where none does.
    #[must_use]
    pub fn format(&self) -> Option<Format> {
        match self.state() {
            SoundState::On { format, .. } => Some(format),
            _ => None,
        }
    }

    /// How many words that were ordered were left out, since they could only have begun late.
    #[must_use]
    pub fn left_out(&self) -> u32 {
        self.0.shared.left_out.load(Ordering::Relaxed)
    }

    /// How often the device has run out of frames since the sound was opened.
    #[must_use]
    pub fn xruns(&self) -> u32 {
        self.0.shared.xruns.load(Ordering::Relaxed)
    }
}

impl std::fmt::Debug for Sound {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Sound").field(&self.state()).finish()
    }
}
