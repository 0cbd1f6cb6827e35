//! What stands around the class on the screen and is none of the class's own business.
//!
//! The app fills it in: the hour, the loudspeaker, the record, the keys. Texts come ready made,
//! so that nothing here has to know a clock.

/// How the loudspeaker is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SoundState {
    /// It plays.
    On {
        /// From 0 to 10.
        loudness: u8,
        /// What the system calls the device.
        device: String,
    },
    /// The instructor muted it.
    Muted,
    /// It was there and is gone; it is being looked for.
    Lost {
        /// In words for the person.
        why: String,
    },
    /// There is none; it is being looked for.
    Absent {
        /// In words for the person.
        why: String,
    },
    /// It is being opened.
    Opening,
    /// A rehearsal runs too fast for signals.
    TooFast,
}

impl SoundState {
    /// The state in words.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::On { loudness, .. } => format!("sound {loudness}/10"),
            Self::Muted => "sound muted".into(),
            Self::Lost { .. } => "sound lost, looking for it".into(),
            Self::Absent { .. } => "no sound here".into(),
            Self::Opening => "sound opening".into(),
            Self::TooFast => "no signals at this pace".into(),
        }
    }

    /// Which device plays, or why none does; this may be long.
    #[must_use]
    pub fn detail(&self) -> Option<&str> {
        match self {
            Self::On { device: text, .. }
            | Self::Lost { why: text }
            | Self::Absent { why: text } => Some(text),
            Self::Muted | Self::Opening | Self::TooFast => None,
        }
    }

    /// Whether nothing is heard though it should be.
    #[must_use]
    pub const fn is_trouble(&self) -> bool {
        matches!(self, Self::Lost { .. } | Self::Absent { .. })
    }
}

/// Whether the words are spoken, and to whom.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SpeechState {
    /// Nobody wants that.
    Off,
    /// To whom, in words.
    Speaks(String),
    /// They should be, and why they are not, in words.
    Silent(String),
}

/// Whether the class is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RecordState {
    /// The record is being begun.
    Beginning,
    /// Every fact is on disk.
    Recorded,
    /// A rehearsal, this many times as fast as the clock; nothing is kept.
    Rehearsal(u32),
    /// Nothing more is kept, for this reason.
    Off(String),
}

impl RecordState {
    /// The state in a word or two: there is always room for it.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Beginning => "beginning the record".into(),
            Self::Recorded => "recorded".into(),
            Self::Rehearsal(1) => "rehearsal".into(),
            Self::Rehearsal(pace) => format!("rehearsal at {pace}x"),
            Self::Off(_) => "not recorded".into(),
        }
    }

    /// Why nothing more is kept though it should be; this may be long.
    #[must_use]
    pub fn trouble(&self) -> Option<&str> {
        match self {
            Self::Off(why) => Some(why),
            Self::Beginning | Self::Recorded | Self::Rehearsal(_) => None,
        }
    }
}

/// A key and what it does now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hint {
    /// The key as its cap names it: `space`.
    pub key: String,
    /// What it does: `hold`.
    pub action: String,
}

impl Hint {
    /// A key and what it does.
    #[must_use]
    pub fn new(key: impl Into<String>, action: impl Into<String>) -> Self {
        let (key, action) = (key.into(), action.into());
        Self { key, action }
    }
}

/// Everything the screen shows besides the class itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Around {
    /// The hour: `18:02`; empty where it is not known.
    pub clock: String,
    /// When the class will end as it now stands: `18:46`; empty where it is not known.
    pub ends: String,
    /// The loudspeaker.
    pub sound: SoundState,
    /// Spoken words.
    pub speech: SpeechState,
    /// The record.
    pub record: RecordState,
    /// Whether prompts are shown.
    pub prompts: bool,
    /// Whether bars shrink as time goes; without it they step a few times in an interval, or not
    /// at all.
    pub motion: bool,
    /// A small thing to know, such as that the screen may go dark; empty where there is none.
    pub note: String,
    /// Whether the last seconds before a start or stop are shown as well as heard.
    pub flash: bool,
    /// The keys, most important first; those for which there is no room are left out.
    pub hints: Vec<Hint>,
}
