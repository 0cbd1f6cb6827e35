//! What a person has set about sound, and how it stands with it.

use super::units::Volume;

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
