//! What a person has set about sound, and how it stands with it.

use super::units::{SampleRate, Volume};

/// How much earlier or later the sound can be sent, in milliseconds.
pub const MOST_OFFSET_MS: i64 = 1000;

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
    /// How loud the words are.
    pub words: Volume,
    /// Who hears what on which channel.
    pub route: Route,
    /// Whether a tone that nobody hears keeps the device from falling asleep.
    pub keeps_awake: bool,
}

/// What a device's channels are for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Route {
    /// Tones and words for the room on both; nothing for the ear.
    #[default]
    Together,
    /// The left channel is the instructor's ear, the right one the room.
    EarLeft,
    /// The right channel is the instructor's ear, the left one the room.
    EarRight,
    /// Both are the instructor's ear: a device of its own.
    Ear,
}

impl Route {
    /// What a channel of a device with so many plays, of what is for the room and for the ear. A device
    /// of one channel is the room's, unless it is the ear's alone: nothing of the ear is ever heard by
    /// the room.
    pub(crate) fn sample(self, channel: u16, channels: u16, room: f32, ear: f32) -> f32 {
        match (self, channel, channels) {
            (Self::Ear, 0 | 1, _) | (Self::EarLeft, 0, 2..) | (Self::EarRight, 1, _) => ear,
            (Self::Together, 0 | 1, _) | (Self::EarLeft, 1, _) | (_, 0, _) => room,
            _ => 0.0,
        }
    }

    /// Whether an ear is reached by a device with so many channels.
    #[must_use]
    pub const fn has_ear(self, channels: u16) -> bool {
        match self {
            Self::Together => false,
            Self::Ear => channels > 0,
            Self::EarLeft | Self::EarRight => channels > 1,
        }
    }
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            offset_ms: 0,
            volume: Volume::FULL,
            muted: false,
            words: Volume::FULL,
            route: Route::default(),
            keeps_awake: false,
        }
    }
}

/// What a device takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Format {
    /// Frames a second.
    pub rate: SampleRate,
    /// Samples a frame.
    pub channels: u16,
}

/// A device that can play.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Output {
    /// What the system calls it.
    pub name: String,
    /// The same for a machine.
    pub id: String,
    /// Whether it is the system's default.
    pub is_default: bool,
    /// How many channels it usually plays.
    pub channels: u16,
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
        /// Its rate and channels.
        format: Format,
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Of what is for the ear nothing goes to the room's channel, and of the room's nothing to the ear.
    #[test]
    fn each_channel_is_somebodys() {
        use Route::{Ear, EarLeft, EarRight, Together};
        for (route, channels, heard) in [
            (Together, 1, &[1.0][..]),
            (Together, 2, &[1.0, 1.0]),
            (Together, 4, &[1.0, 1.0, 0.0, 0.0]),
            (EarLeft, 1, &[1.0]),
            (EarLeft, 2, &[2.0, 1.0]),
            (EarRight, 2, &[1.0, 2.0]),
            (EarRight, 6, &[1.0, 2.0, 0.0, 0.0, 0.0, 0.0]),
            (Ear, 1, &[2.0]),
            (Ear, 2, &[2.0, 2.0]),
        ] {
            let each = (0..channels).map(|n| route.sample(n, channels, 1.0, 2.0));
            assert!(each.eq(heard.iter().copied()), "{route:?} of {channels}");
            assert_eq!(route.has_ear(channels), heard.contains(&2.0));
        }
    }
}
