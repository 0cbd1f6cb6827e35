//! The loudspeaker in the app's hands: its settings, its state for the screen, and the orders.

use std::sync::Arc;

use super::clock::Clock;
use crate::live::SoundOrder;
use crate::plan::{Score, Strike};
use crate::screen::SoundState;
use crate::sound::{self, Micros, Order, Settings, Sound, Volume};
use crate::time::{Moment, Span};

/// The sound of the program. A rehearsal that runs faster than the clock has none: its signals
/// would only be noise.
pub(super) struct Ears {
    clock: Clock,
    sound: Option<Sound>,
    volume: u8,
    muted: bool,
}

impl Ears {
    /// Opens the loudspeaker; returns at once.
    pub(super) fn open(clock: Clock, settings: Settings) -> Self {
        let audible = clock.pace() == 1;
        Self {
            clock,
            sound: audible.then(|| Sound::open(micros(clock), settings)),
            volume: settings.volume.step(),
            muted: settings.muted,
        }
    }

    /// The clock that the sound goes by.
    pub(super) fn now(&self) -> Moment {
        self.clock.now()
    }

    /// Hands an order of the class on.
    pub(super) fn carry(&self, order: SoundOrder) {
        let SoundOrder { from, score } = order;
        self.order(Order::Play { from, score });
    }

    /// These strikes and nothing else.
    pub(super) fn strike(&self, strikes: impl IntoIterator<Item = Strike>) {
        let (from, score) = (Moment::ZERO, Score::of(strikes));
        self.order(Order::Play { from, score });
    }

    /// Nothing more; what sounds fades.
    pub(super) fn quiet(&self) {
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
            Some(sound::SoundState::On { device }) => SoundState::On {
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
        let ears = Ears::open(Clock::starting_at(Moment::ZERO, 60), Settings::default());
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
                let mut ears = Ears::open(Clock::starting_at(Moment::ZERO, 2), settings);
                ears.step(false);
                assert_eq!(ears.muted, muted, "softer from {volume}");
                assert_eq!(ears.volume, volume.saturating_sub(1));
                ears.step(true);
                assert!(!ears.muted, "louder from {volume}");
            }
        }
    }
}
