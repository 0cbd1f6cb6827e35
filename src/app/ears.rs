//! The loudspeaker in the app's hands: its settings, its state for the screen, and the orders.

use std::sync::Arc;

use super::clock::Clock;
use super::speech_settings::{SpeaksTo, Speech};
use crate::live::SoundOrder;
use crate::plan::{Score, Strike};
use crate::screen::SoundState;
use crate::sound::{self, Micros, Order, Route, SampleRate, Settings, Sound, Talk, To, Volume};
use crate::speech::{Counting, ORDERING};
use crate::time::{Moment, Span};

/// Counts are spoken from so far ahead on that the voice has the words by then.
const COUNTS_FROM: Span = Span::from_secs(1);

/// The sound of the program. A rehearsal that runs faster than the clock has none: its signals
/// would only be noise.
pub(super) struct Ears {
    clock: Clock,
    sound: Option<Sound>,
    /// The instructor's ear, where it has a device of its own.
    ear: Option<Sound>,
    /// What is to be heard.
    score: Score,
    counting: Counting,
    volume: u8,
    muted: bool,
}

impl Ears {
    /// Opens the loudspeaker, and the ear's own device where there is one; returns at once.
    pub(super) fn open(clock: Clock, settings: Settings, device: &str, speech: &Speech) -> Self {
        let audible = clock.pace() == 1;
        let named = |name: &str| (!name.is_empty()).then(|| name.to_owned());
        let words = Volume::new(speech.volume);
        let open = |name: &str, settings| Sound::open_on(named(name), micros(clock), settings);
        let main = Settings {
            words,
            route: speech.route(),
            ..settings
        };
        let ear = Settings {
            words,
            route: Route::Ear,
            offset_ms: speech.offset_ms,
            keeps_awake: settings.keeps_awake,
            ..Settings::default()
        };
        let has_ear = audible && speech.to == SpeaksTo::Ear && !speech.device.is_empty();
        Self {
            clock,
            sound: audible.then(|| open(device, main)),
            ear: has_ear.then(|| open(&speech.device, ear)),
            score: Score::silence(),
            counting: Counting::default(),
            volume: settings.volume.step(),
            muted: settings.muted,
        }
    }

    /// The clock that the sound goes by.
    pub(super) fn now(&self) -> Moment {
        self.clock.now()
    }

    /// Hands an order of the class on.
    pub(super) fn carry(&mut self, order: SoundOrder) {
        let SoundOrder { from, score } = order;
        self.score = self.score.then(from, &score);
        self.play(from, &score);
    }

    fn play(&mut self, from: Moment, score: &Score) {
        let earliest = self.clock.now() + self.reach() + ORDERING;
        let score = self.counting.tones(&self.score, score, earliest);
        self.order(Order::Play { from, score });
    }

    /// Has counts spoken, from a moment on that is far enough ahead; or has them as tones.
    pub(super) fn speak_counts(&mut self, speak: bool) {
        if speak == self.counting.is_spoken() {
            return;
        }
        let now = self.clock.now();
        if speak {
            self.counting.begin(now + self.reach() + COUNTS_FROM);
        } else {
            self.counting.end();
        }
        let score = self.score.clone();
        self.play(now, &score);
    }

    /// Whether the signals are muted.
    pub(super) const fn is_muted(&self) -> bool {
        self.muted
    }

    /// The beats of counts that are spoken, with their words.
    pub(super) fn spoken_counts(&self) -> &[(Moment, &'static str)] {
        self.counting.words()
    }

    /// What is to be heard.
    pub(super) const fn score(&self) -> &Score {
        &self.score
    }

    /// The sound through which somebody is spoken to.
    fn of(&self, to: To) -> Option<&Sound> {
        match to {
            To::Ear => self.ear.as_ref().or(self.sound.as_ref()),
            To::Room => self.sound.as_ref(),
        }
    }

    /// All words that are to be said to somebody.
    pub(super) fn say(&self, talks: Vec<Talk>, to: To) {
        if let Some(sound) = self.of(to) {
            sound.order(Order::Say(talks));
        }
    }

    /// Silences the words, or lets them be heard again.
    pub(super) fn mute_words(&self, muted: bool) {
        for sound in self.sound.iter().chain(&self.ear) {
            sound.order(Order::MuteWords(muted));
        }
    }

    /// At which rate somebody is spoken to, and how far ahead an order must come; nothing where no
    /// device plays.
    pub(super) fn speaks_at(&self, to: To) -> Option<(SampleRate, Span)> {
        let sound = self.of(to)?;
        Some((sound.format()?.rate, sound.reach()))
    }

    /// Why somebody cannot be reached, in words; nothing where they are, or where that is not known.
    pub(super) fn unreached(&self, to: To) -> Option<String> {
        if let (
            To::Ear,
            Some(sound::SoundState::Lost { why } | sound::SoundState::Absent { why }),
        ) = (to, self.ear.as_ref().map(Sound::state))
        {
            return Some(why);
        }
        let alone = to == To::Ear && self.ear.is_none();
        let format = self.of(to)?.format()?;
        (alone && format.channels < 2).then(|| "the device has one channel only".into())
    }

    /// These strikes and nothing else.
    pub(super) fn strike(&mut self, strikes: impl IntoIterator<Item = Strike>) {
        let (from, score) = (Moment::ZERO, Score::of(strikes));
        self.carry(SoundOrder { from, score });
    }

    /// Nothing more; what sounds fades.
    pub(super) fn quiet(&mut self) {
        self.strike([]);
    }

    /// How far ahead of the clock the loudspeaker has committed.
    pub(super) fn reach(&self) -> Span {
        self.sound.as_ref().map_or(Span::ZERO, Sound::reach)
    }

    /// Mutes, or lets be heard again.
    pub(super) fn mute(&mut self) {
        self.muted = !self.muted;
        self.order(Order::Mute(self.muted));
    }

    /// A step louder or softer; a muted sound that is made louder is heard again.
    pub(super) fn step(&mut self, louder: bool) {
        let volume = if louder {
            self.volume + 1
        } else {
            self.volume.saturating_sub(1)
        };
        self.volume = Volume::new(volume).step();
        self.muted &= !louder;
        self.order(Order::Mute(self.muted));
        self.order(Order::Volume(self.volume));
    }

    fn order(&self, order: Order) {
        if let Some(sound) = &self.sound {
            sound.order(order);
        }
    }

    /// How it stands, for the screen.
    pub(super) fn state(&self) -> SoundState {
        match self.sound.as_ref().map(Sound::state) {
            Some(sound::SoundState::Opening) => SoundState::Opening,
            Some(sound::SoundState::Lost { why }) => SoundState::Lost { why },
            Some(sound::SoundState::Absent { why }) => SoundState::Absent { why },
            Some(sound::SoundState::On { .. }) if self.muted => SoundState::Muted,
            Some(sound::SoundState::On { device, .. }) => SoundState::On {
                loudness: self.volume,
                device,
            },
            None => SoundState::TooFast,
        }
    }

    /// What a key of the sound has set where nobody hears it yet.
    pub(super) fn unheard(&self) -> Option<String> {
        set_unheard(&self.state(), self.muted, self.volume)
    }

    /// Whether a device plays, for the record; nothing while that is not known yet.
    pub(super) fn is_there(&self) -> Option<bool> {
        match self.sound.as_ref().map(Sound::state)? {
            sound::SoundState::Opening => None,
            sound::SoundState::On { .. } => Some(true),
            _ => Some(false),
        }
    }
}

fn set_unheard(state: &SoundState, muted: bool, volume: u8) -> Option<String> {
    Some(match state {
        SoundState::On { .. } | SoundState::Muted => return None,
        SoundState::TooFast => "no signals at this pace: this key does nothing".into(),
        _ if muted => "no sound device: muted once there is one".into(),
        _ => format!("no sound device: volume {volume}/10 once there is one"),
    })
}

fn micros(clock: Clock) -> sound::Clock {
    Arc::new(move || Micros(clock.micros()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn opened(pace: u32, settings: Settings) -> Ears {
        let clock = Clock::starting_at(Moment::ZERO, pace);
        Ears::open(clock, settings, "", &Speech::default())
    }

    /// The screen shows what the keys set only where a device plays; elsewhere it is said.
    #[test]
    fn what_nobody_hears_is_said() {
        let why = || "x".to_owned();
        let device = why();
        let silent = [
            SoundState::Opening,
            SoundState::Lost { why: why() },
            SoundState::Absent { why: why() },
        ];
        for state in silent {
            let said = |muted, volume| set_unheard(&state, muted, volume).expect("a word");
            assert!(said(true, 7).contains("muted"), "{state:?}");
            assert!(said(false, 7).contains("7/10"), "{state:?}");
        }
        let on = SoundState::On {
            loudness: 3,
            device,
        };
        for state in [on, SoundState::Muted] {
            assert_eq!(set_unheard(&state, false, 3), None, "{state:?}");
        }
        let ears = opened(60, Settings::default());
        assert!(ears.unheard().expect("a word").contains("pace"));
    }

    /// A step softer leaves what is muted muted, at whatever volume; a step louder ends it.
    #[test]
    fn only_louder_ends_a_mute() {
        for volume in 0..=Volume::FULL.step() {
            for muted in [false, true] {
                let settings = Settings {
                    volume: Volume::new(volume),
                    muted,
                    ..Settings::default()
                };
                let mut ears = opened(2, settings);
                ears.step(false);
                assert_eq!(ears.muted, muted, "softer from {volume}");
                assert_eq!(ears.volume, volume.saturating_sub(1));
                ears.step(true);
                assert!(!ears.muted, "louder from {volume}");
            }
        }
    }
}
