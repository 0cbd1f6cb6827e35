//! Which words are ordered when, as the class changes: placed on the clock, kept once they stand, and
//! counted. It knows no device and no speaker program; both are told.
//!
//! Once words have begun, or can no longer be called back, their beginning stands; everything after
//! that is placed anew as often as the class changes. What is not ready in its time is left out.

use std::collections::VecDeque;

use super::placing::{BREATH, Placed, Wall, Word, place, walls};
use crate::plan::Score;
use crate::sound::{Talk, To, Utterance};
use crate::time::{Moment, Span};

/// How far ahead of the words a voice in the ear begins: people who repeat what they hear follow half a
/// second behind or a little more (Marslen-Wilson 1985, Speech Communication 4:55-73), and want to have
/// the beginning first.
const AHEAD: Span = Span::from_secs(1);
/// Words are ordered so far ahead of their time.
const ORDERED: Span = Span::from_secs(30);
/// Beyond the reach of the device an order takes so long at the most.
pub const ORDERING: Span = Span::from_millis(40);
/// Words that are remembered as counted.
const COUNTED: usize = 64;

/// Words that are to be said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Due {
    /// When.
    pub at: Moment,
    /// When they are to have been said.
    pub until: Moment,
    /// The words.
    pub say: String,
}

/// Words with the moment at which they begin.
#[derive(Clone, Debug)]
struct Begun {
    words: Due,
    begin: Moment,
    what: Utterance,
}

/// How many words were spoken and how many were not.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Spoken.
    pub spoken: u32,
    /// Not ready in time, or without a place.
    pub left_out: u32,
}

/// What is known of the sound at a moment.
pub struct Heard<'a> {
    /// The moment.
    pub now: Moment,
    /// How far ahead the device has committed.
    pub reach: Span,
    /// The tones.
    pub score: &'a Score,
    /// A prompt, if it is ready.
    pub ready: &'a dyn Fn(&str) -> Option<Utterance>,
}

/// The words that were ordered.
#[derive(Debug)]
pub struct Talks {
    to: To,
    begun: Vec<Begun>,
    ordered: Vec<(Moment, String)>,
    counted: VecDeque<(Moment, String)>,
    tally: Tally,
}

impl Talks {
    /// No words yet, for somebody.
    #[must_use]
    pub const fn to(to: To) -> Self {
        Self {
            to,
            begun: Vec::new(),
            ordered: Vec::new(),
            counted: VecDeque::new(),
            tally: Tally {
                spoken: 0,
                left_out: 0,
            },
        }
    }

    /// What is to be ordered, where that has changed.
    pub fn decide(&mut self, ahead: &[Due], heard: &Heard) -> Option<Vec<Talk>> {
        let earliest = heard.now + heard.reach + ORDERING;
        let walls = walls(heard.score, heard.now, heard.now + ORDERED * 2);
        // A count that comes sooner than it was to come ends what is being said.
        self.begun.retain(|begun| {
            let end = begun.begin + begun.what.length();
            let is_over = walls.iter().any(|w| w.from < end && begun.begin < w.to);
            begun.begin < earliest && ahead.contains(&begun.words) && !is_over
        });
        self.place_the_rest(ahead, &walls, earliest, heard);
        self.count(ahead, heard.now);
        let key = |begun: &Begun| (begun.begin, begun.words.say.clone());
        let keys: Vec<(Moment, String)> = self.begun.iter().map(key).collect();
        if keys == self.ordered {
            return None;
        }
        self.ordered = keys;
        let talks = self.begun.iter().map(|begun| Talk {
            at: begun.begin,
            what: begun.what.clone(),
            to: self.to,
        });
        Some(talks.collect())
    }

    fn place_the_rest(&mut self, ahead: &[Due], walls: &[Wall], earliest: Moment, heard: &Heard) {
        let lead = match self.to {
            To::Ear => AHEAD,
            To::Room => Span::ZERO,
        };
        let until = heard.now + ORDERED;
        let ends = self.begun.iter().map(|one| one.begin + one.what.length());
        let free = ends.map(|end| end + BREATH);
        let earliest = free.max().unwrap_or(Moment::ZERO).max(earliest);
        let new = ahead.iter().filter(|words| {
            words.at <= until && !self.begun.iter().any(|begun| begun.words == **words)
        });
        let ready = new.filter_map(|words| Some((words, (heard.ready)(&words.say)?)));
        let ready: Vec<(&Due, Utterance)> = ready.collect();
        let words = ready.iter().map(|(words, made)| Word {
            at: words.at,
            until: words.until,
            length: made.length(),
        });
        let words: Vec<Word> = words.collect();
        let placed = place(&words, walls, lead, earliest);
        for ((words, what), placed) in ready.into_iter().zip(placed) {
            if let Placed::At(begin) = placed {
                let words = words.clone();
                self.begun.push(Begun { words, begin, what });
            }
        }
    }

    /// Counts words whose time has come: spoken where they have a place.
    fn count(&mut self, ahead: &[Due], now: Moment) {
        for words in ahead.iter().filter(|words| words.at <= now) {
            let key = (words.at, words.say.clone());
            if self.counted.contains(&key) {
                continue;
            }
            let is_spoken = self.begun.iter().any(|begun| begun.words == *words);
            self.tally.spoken += u32::from(is_spoken);
            self.tally.left_out += u32::from(!is_spoken);
            self.counted.push_back(key);
            if self.counted.len() > COUNTED {
                self.counted.pop_front();
            }
        }
    }

    /// How many were spoken.
    #[must_use]
    pub const fn tally(&self) -> Tally {
        self.tally
    }
}
