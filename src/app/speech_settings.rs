//! What the user has set about spoken words: the field `speech` of the configuration.

use std::ffi::OsString;

use super::written::{field, name_field};
use crate::session::edit::FieldText;
use crate::session::{Node, Reader, Word};
use crate::sound::{MOST_OFFSET_MS, Route, To, Volume};
use crate::speech::{Keep, Maker, Preset, Program, Speaker};
use crate::store::Cache;

const SPEECH: &[&str] = &[
    "to",
    "when",
    "side",
    "device",
    "offset_ms",
    "volume",
    "speaker",
    "command",
    "voice",
    "words_per_minute",
    "count",
];
/// The longest text of a field, in characters.
const LONGEST: usize = 1024;
/// Words a minute that a program may be asked for: what a person can follow.
const RATES: std::ops::RangeInclusive<u32> = 80..=400;
/// What is asked for where nothing is set: the usual rate of the synthesizers known here.
const USUAL_RATE: u32 = 175;

/// Who hears the words.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum SpeaksTo {
    /// Nobody.
    #[default]
    Off,
    /// The instructor alone.
    Ear,
    /// Everybody.
    Room,
}

/// When the ear is spoken to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum When {
    /// In positions from which she cannot read the screen.
    #[default]
    WhenBlind,
    /// All the time.
    Always,
}

/// Which channel is the ear's.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum EarSide {
    /// The left one.
    #[default]
    Left,
    /// The right one.
    Right,
}

/// How a count is heard by everybody.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum CountBy {
    /// By tones.
    #[default]
    Tones,
    /// By numbers, where words are spoken to the room.
    Words,
}

/// What is set about spoken words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Speech {
    pub(crate) to: SpeaksTo,
    pub(crate) when: When,
    pub(crate) side: EarSide,
    /// A device of the ear's own, as the system calls it; empty: a channel of the usual one.
    pub(crate) device: String,
    /// How many milliseconds earlier that device is sent its sound.
    pub(crate) offset_ms: i64,
    pub(crate) volume: u8,
    pub(crate) speaker: Speaker,
    /// The program's name of a voice; empty: its usual one.
    pub(crate) voice: String,
    pub(crate) words_per_minute: u32,
    pub(crate) count: CountBy,
}

impl Default for Speech {
    fn default() -> Self {
        Self {
            to: SpeaksTo::Off,
            when: When::WhenBlind,
            side: EarSide::Left,
            device: String::new(),
            offset_ms: 0,
            volume: Volume::FULL.step(),
            speaker: Speaker::Found,
            voice: String::new(),
            words_per_minute: USUAL_RATE,
            count: CountBy::Tones,
        }
    }
}

impl Speech {
    /// The program that speaks, looked for in the folders of a `PATH`; nothing where none is there.
    pub(crate) fn program(&self, path: Option<&OsString>) -> Option<Program> {
        Program::of(&self.speaker, &self.voice, self.words_per_minute, path)
    }

    /// To whom words are spoken, if to anybody.
    pub(super) const fn listener(&self) -> Option<To> {
        match self.to {
            SpeaksTo::Off => None,
            SpeaksTo::Ear => Some(To::Ear),
            SpeaksTo::Room => Some(To::Room),
        }
    }

    /// What makes the words, where a program that speaks is found; nothing where none is.
    pub(super) fn maker(&self, keep: Option<Cache>) -> Option<Maker> {
        let program = self.program(std::env::var_os("PATH").as_ref())?;
        let keep = keep.map(|cache| Box::new(cache) as Box<dyn Keep>);
        Some(Maker::begin(program, keep))
    }

    /// What a file says of it.
    pub(super) fn fields(&self) -> Vec<FieldText> {
        let usual = Self::default();
        vec![
            field("to", &self.to.word(), &usual.to.word()),
            field("when", &self.when.word(), &usual.when.word()),
            field("side", &self.side.word(), &usual.side.word()),
            name_field("device", &self.device),
            field("offset_ms", &self.offset_ms, &usual.offset_ms),
            field("volume", &self.volume, &usual.volume),
            field("count", &self.count.word(), &usual.count.word()),
        ]
    }

    /// Whether counts are spoken.
    pub(super) fn speaks_counts(&self) -> bool {
        self.to == SpeaksTo::Room && self.count == CountBy::Words
    }

    /// What the channels of the usual device are for.
    pub(crate) fn route(&self) -> Route {
        match (self.to, self.side) {
            (SpeaksTo::Ear, _) if !self.device.is_empty() => Route::Together,
            (SpeaksTo::Ear, EarSide::Left) => Route::EarLeft,
            (SpeaksTo::Ear, EarSide::Right) => Route::EarRight,
            (SpeaksTo::Off | SpeaksTo::Room, _) => Route::Together,
        }
    }
}

impl Word for SpeaksTo {
    const KIND: &'static str = "somebody to speak to";
    const ALL: &'static [Self] = &[Self::Off, Self::Ear, Self::Room];
    fn word(self) -> &'static str {
        match self {
            Self::Off => "Off",
            Self::Ear => "Ear",
            Self::Room => "Room",
        }
    }
}

impl Word for When {
    const KIND: &'static str = "a time to speak";
    const ALL: &'static [Self] = &[Self::WhenBlind, Self::Always];
    fn word(self) -> &'static str {
        match self {
            Self::WhenBlind => "WhenBlind",
            Self::Always => "Always",
        }
    }
}

impl Word for EarSide {
    const KIND: &'static str = "a side";
    const ALL: &'static [Self] = &[Self::Left, Self::Right];
    fn word(self) -> &'static str {
        match self {
            Self::Left => "Left",
            Self::Right => "Right",
        }
    }
}

impl Word for CountBy {
    const KIND: &'static str = "a way to count";
    const ALL: &'static [Self] = &[Self::Tones, Self::Words];
    fn word(self) -> &'static str {
        match self {
            Self::Tones => "Tones",
            Self::Words => "Words",
        }
    }
}

impl Word for Preset {
    const KIND: &'static str = "a speaker program";
    const ALL: &'static [Self] = Self::ALL;
    fn word(self) -> &'static str {
        match self {
            Self::EspeakNg => "EspeakNg",
            Self::Say => "Say",
        }
    }
}

/// Reads the field.
pub(super) fn speech<'s>(reader: &mut Reader<'s>, node: &Node<'s>) -> Option<Speech> {
    let fields = reader.group(node, "Speech", "what is set about spoken words", SPEECH)?;
    let to = fields.maybe(reader, "to", Reader::word);
    let when = fields.maybe(reader, "when", Reader::word);
    let side = fields.maybe(reader, "side", Reader::word);
    let device = fields.maybe(reader, "device", |r, n, l| r.filled(n, l, LONGEST));
    let most = MOST_OFFSET_MS;
    let offset = fields.maybe(reader, "offset_ms", |r, n, l| r.whole(n, l, -most..=most));
    let volume = fields.maybe(reader, "volume", |r, n, l| r.count(n, l, 0..=10));
    let preset = fields.maybe(reader, "speaker", Reader::word);
    let own = fields.maybe(reader, "command", |r, n, l| {
        r.list(n, l, "a program and its arguments", |r, n| {
            r.filled(n, "an entry of `command`", LONGEST)
        })
    });
    let voice = fields.maybe(reader, "voice", |r, n, l| r.filled(n, l, LONGEST));
    let rate = fields.maybe(reader, "words_per_minute", |r, n, l| r.count(n, l, RATES));
    let count = fields.maybe(reader, "count", Reader::word);
    let usual = Speech::default();
    let speaker = match (own?.filter(|own: &Vec<String>| !own.is_empty()), preset?) {
        (Some(own), _) => Speaker::Own(own),
        (None, Some(preset)) => Speaker::Preset(preset),
        (None, None) => Speaker::Found,
    };
    let volume = volume?.and_then(|volume| u8::try_from(volume).ok());
    Some(Speech {
        to: to?.unwrap_or(usual.to),
        when: when?.unwrap_or(usual.when),
        side: side?.unwrap_or(usual.side),
        device: device?.unwrap_or(usual.device),
        offset_ms: offset?.unwrap_or(usual.offset_ms),
        volume: volume.unwrap_or(usual.volume),
        speaker,
        voice: voice?.unwrap_or(usual.voice),
        words_per_minute: rate?.unwrap_or(usual.words_per_minute),
        count: count?.unwrap_or(usual.count),
    })
}
