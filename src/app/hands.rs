//! The reader of hands: which strokes of keys are meant, on every page alike.
//!
//! A switch chatters, a foot stays on a pedal, a thumb rests on the space bar, a key is still down
//! when the next page appears. Most terminals tell neither holding nor letting go: then a key that
//! is held is known by the gaps of its repeats, and what might be the first of them waits until it
//! is clear whether more follow. Nothing here reads a clock or knows what a key does.

use std::collections::HashMap;

use crossterm::event::KeyCode;

use super::keys::Key;
use super::strokes::{Motion, Stroke};
use crate::time::{Moment, Span};

/// How soon after an accepted press the same key down again is the chatter of its switch, where it
/// is known not to be held.
const CHATTER: Span = Span::from_millis(120);
/// The longest gap between two repeats of a held key, and so the longest wait until a press is known
/// for one. From memory: keyboards repeat thirty times a second, slow settings ten times.
pub(super) const REPEAT: Span = Span::from_millis(130);
/// A held key has repeated for longer than a worn switch chatters.
const TRAIN: Span = Span::from_millis(60);
/// The longest time before a held key first repeats. From memory: 250 ms on a bare console, 500 or
/// 660 on desktops, 1000 at the slowest setting.
const DELAY: Span = Span::from_millis(1_200);
/// How soon after an accepted press the same key does nothing: the usual delays, and a little.
const STAND: Span = Span::from_millis(700);
/// The same for what begins or records a class: the longest delay.
const BEGIN: Span = Span::from_millis(1_100);

/// What a key is on a page, and so how it may be meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Nature {
    /// It writes or moves a mark: each press counts, and holding it repeats it.
    Flow,
    /// It is counted by presses, and held it counts once.
    Step,
    /// It turns something, or cannot well be done twice by mistake.
    Turn,
    /// It begins or records something.
    Begin,
}

impl Nature {
    const fn stands(self) -> Span {
        match self {
            Self::Flow => Span::ZERO,
            Self::Step => REPEAT,
            Self::Turn => STAND,
            Self::Begin => BEGIN,
        }
    }
}

/// What a key did lately.
#[derive(Clone, Copy, Debug)]
struct Past {
    /// When it was last accepted.
    taken: Moment,
    /// When it was last heard.
    heard: Moment,
    /// The first press of the run of presses that was last heard, and how many there were.
    run: (Moment, u32),
}

/// A press that waits to be known for one.
#[derive(Clone, Copy, Debug)]
struct Waiting {
    stroke: Stroke,
    at: Moment,
}

/// What was made of a stroke.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Meant {
    /// It is a press.
    Press,
    /// It is none, or is not known for one yet.
    Nothing,
}

/// Judges strokes. Moments are real time, whatever a rehearsal makes of it.
#[derive(Clone, Debug, Default)]
pub(super) struct Hands {
    past: HashMap<Key, Past>,
    waiting: Option<Waiting>,
    /// The key that was heard last: a keyboard repeats no other.
    last: Option<Key>,
}

impl Hands {
    /// Hands that started the program with Enter, and may still be on it.
    pub(super) fn at_the_start(now: Moment) -> Self {
        let enter = Key::plain(KeyCode::Enter);
        let mut hands = Self {
            last: Some(enter),
            ..Self::default()
        };
        hands.accept(enter, now);
        hands
    }

    /// The press that was waiting for more, once it is clear that none follow: by the time, or by
    /// another key that moved.
    pub(super) fn settled(&mut self, now: Moment, next: Option<Key>) -> Option<Stroke> {
        let waiting = self.waiting?;
        let other = next.is_some_and(|next| next != waiting.stroke.key);
        if !other && now < self.due()? {
            return None;
        }
        self.waiting = None;
        let past = self.past.get_mut(&waiting.stroke.key)?;
        past.taken = waiting.at;
        Some(waiting.stroke)
    }

    /// When to look again.
    pub(super) fn due(&self) -> Option<Moment> {
        let past = self.past.get(&self.waiting?.stroke.key)?;
        Some(past.heard + REPEAT)
    }

    /// Judges a stroke.
    pub(super) fn judge(&mut self, stroke: Stroke, nature: Nature, at: Moment) -> Meant {
        if stroke.motion == Motion::Up {
            return Meant::Nothing;
        }
        let same = self.last.replace(stroke.key) == Some(stroke.key);
        match stroke.motion {
            Motion::Held if nature == Nature::Flow => Meant::Press,
            Motion::Held | Motion::Up => Meant::Nothing,
            _ if nature == Nature::Flow => self.accept(stroke.key, at),
            Motion::DownOrHeld if same => self.down_or_held(stroke, nature, at),
            Motion::Down | Motion::DownOrHeld => self.down(stroke.key, at),
        }
    }

    fn accept(&mut self, key: Key, at: Moment) -> Meant {
        let fresh = Past {
            taken: at,
            heard: at,
            run: (at, 1),
        };
        self.past.insert(key, fresh);
        Meant::Press
    }

    fn down(&mut self, key: Key, at: Moment) -> Meant {
        match self.past.get(&key) {
            Some(past) if at.since(past.taken) < CHATTER => Meant::Nothing,
            _ => self.accept(key, at),
        }
    }

    fn down_or_held(&mut self, stroke: Stroke, nature: Nature, at: Moment) -> Meant {
        let Some(past) = self.past.get_mut(&stroke.key) else {
            return self.accept(stroke.key, at);
        };
        let gap = at.since(std::mem::replace(&mut past.heard, at));
        if gap > DELAY {
            return self.accept(stroke.key, at);
        }
        if gap <= REPEAT {
            past.run.1 += 1;
            let (first, presses) = past.run;
            if presses > 2 && at.since(first) >= TRAIN {
                self.waiting = None;
            }
            return Meant::Nothing;
        }
        past.run = (at, 1);
        let stands = at.since(past.taken) < nature.stands();
        self.waiting = (!stands).then_some(Waiting { stroke, at });
        Meant::Nothing
    }
}

#[cfg(test)]
#[path = "hands_tests.rs"]
mod tests;
