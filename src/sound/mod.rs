//! The sound of the class: tones, the voice that plays the score, and the device it plays on.
//!
//! The program's event loop never makes a beep: it orders *run from here at this moment*, and the
//! voice counts its own frames. This room refuses to know the screen and files. `device` alone
//! names the audio library, so everything else is tested without a sound card.

mod backend;
mod desk;
mod device;
mod dll;
mod hush;
mod keeper;
mod pacer;
mod palette;
mod render;
mod stream;
mod tones;
mod units;
mod voice;

use std::sync::atomic::Ordering;
use std::sync::{Arc, PoisonError};

pub use hush::{Hush, hush_stderr};
pub use palette::Palette;
pub use render::{Rendering, render};
pub use units::{Clock, Decibels, Micros, SampleRate, Volume};
pub use voice::Voice;

use self::device::DefaultDevice;
use self::keeper::{Keeping, Patience};
use crate::plan::{Signal, SignalKind};
use crate::time::{Moment, Offset};

/// What the voice is told to do.
#[derive(Clone, Debug)]
pub enum Order {
    /// From a moment on the class runs on from an offset: play every signal of the score that is
    /// not before it. Replaces an earlier run; strikes stay, and a tone that sounds sounds on.
    Run {
        /// The signals in order of time.
        score: Arc<[Signal]>,
        /// Where the class stands at the moment.
        from: Offset,
        /// When it runs on.
        at: Moment,
    },
    /// One tone at a moment.
    Strike {
        /// Which.
        kind: SignalKind,
        /// When.
        at: Moment,
    },
    /// Nothing more: the run and waiting strikes are forgotten, a sounding tone fades in 10 ms.
    Hold,
    /// How loud, 0 (silent) to 10.
    Volume(u8),
    /// Whether to be silent whatever the volume; the run goes on unheard.
    Mute(bool),
}

/// What a person has set about sound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Settings {
    /// How many milliseconds later than its buffer tells the device is heard: a positive number
    /// sends the sound that much earlier, a negative one later. A Bluetooth loudspeaker wants 100
    /// to 300.
    pub offset_ms: i64,
    /// How loud.
    pub volume: Volume,
    /// Whether to be silent.
    pub muted: bool,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            offset_ms: 0,
            volume: Volume::FULL,
            muted: false,
        }
    }
}

/// How it stands with the sound, as the person should be told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SoundState {
    /// The device is being opened for the first time.
    Opening,
    /// A device plays.
    On {
        /// What the system calls it.
        device: String,
    },
    /// A device played and is lost; it is tried again and again.
    Lost {
        /// In words for the person.
        why: String,
    },
    /// No device has been opened yet; it is tried again and again.
    Absent {
        /// In words for the person.
        why: String,
    },
}

/// The sound of one class. Dropped, it falls silent as soon as the device lets it, and nobody waits
/// for that: an ending that should be heard out wants [`Sound`] kept until then.
pub struct Sound(Keeping);

impl Sound {
    /// Begins to open the default device, on another thread, and returns at once. The clock must
    /// be the one whose milliseconds are the orders' moments.
    #[must_use]
    pub fn open(clock: Clock, settings: Settings) -> Self {
        let patience = Patience::USUAL;
        Self(Keeping::begin(DefaultDevice, clock, settings, patience))
    }

    /// Orders the voice; never waits. Without a device the order is remembered as far as it lasts
    /// (a run, the volume) and dropped as far as it does not (a strike).
    pub fn order(&self, order: Order) {
        self.0.shared.desk.order(order);
    }

    /// How it stands.
    #[must_use]
    pub fn state(&self) -> SoundState {
        let state = self.0.shared.state.lock();
        state.unwrap_or_else(PoisonError::into_inner).clone()
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
