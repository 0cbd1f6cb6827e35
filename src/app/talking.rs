//! The words of a class as they are spoken: made ahead by a speaker program, and ordered of the device.

use std::sync::Arc;

use super::ears::Ears;
use super::speech_settings::{SpeaksTo, Speech, When};
use crate::live::{Live, is_blind};
use crate::sound::{SampleRate, Talk, To};
use crate::speech::{Due, Heard, Keep, Maker, NUMBERS, State, Talks};
use crate::store::Cache;
use crate::time::{Moment, Span};

/// How often what is needed is said again, should a program that failed speak once more.
const AGAIN: Span = Span::from_secs(10);
/// The rate of most devices, in hertz, for words that are made before one is known.
const USUAL_RATE: u32 = 48_000;

/// The longest a number of a count may last: it must be over before the next.
const LONGEST_NUMBER: Span = Span::from_millis(900);

/// The words of a class as they are spoken.
pub(super) struct Talking {
    how: Speech,
    maker: Option<Maker>,
    talks: Option<Talks>,
    muted: bool,
    needed: (Vec<Arc<str>>, SampleRate),
    said_at: Moment,
    /// The prompts that were ordered, and the numbers.
    prompts: Vec<Talk>,
    numbers: Vec<Talk>,
}

impl Talking {
    /// A voice as it is set; nothing is spoken at another pace than the clock's.
    pub(super) fn of(how: &Speech, keep: Option<Cache>, is_audible: bool) -> Self {
        let talks = how.listener().filter(|_| is_audible).map(Talks::to);
        let maker = talks.as_ref().and_then(|_| how.maker(keep));
        Self {
            how: how.clone(),
            maker,
            talks,
            muted: false,
            needed: (Vec::new(), SampleRate::hertz(USUAL_RATE)),
            said_at: Moment::ZERO,
            prompts: Vec::new(),
            numbers: Vec::new(),
        }
    }

    /// Has the words of a class made while she is still on the page before it.
    pub(super) fn prepare(&mut self, live: &Live) {
        let Some(maker) = &self.maker else { return };
        let intervals = live.plan().intervals();
        let prompts = live.cues().prompts.iter().filter(|prompt| {
            self.wants(intervals.get(prompt.interval).is_some_and(|i| is_blind(i)))
        });
        let texts = prompts.map(|prompt| Arc::from(prompt.say.as_str()));
        let texts = self.numbers_needed().into_iter().chain(texts);
        maker.need(texts.collect(), SampleRate::hertz(USUAL_RATE));
    }

    /// Whether words are spoken to whoever it is, where she can or cannot see the screen.
    fn wants(&self, is_blind: bool) -> bool {
        self.how.to != SpeaksTo::Ear || self.how.when == When::Always || is_blind
    }

    /// Asks for what is to come, and orders what is ready.
    pub(super) fn look(&mut self, live: &Live, now: Moment, ears: &mut Ears) {
        let Some(to) = self.how.listener().filter(|_| self.maker.is_some()) else {
            return;
        };
        let Some((rate, reach)) = ears.speaks_at(to) else {
            ears.speak_counts(false);
            return;
        };
        let ahead = live.words_ahead(now).into_iter();
        let ahead = ahead.filter(|words| self.wants(words.is_blind));
        let ahead: Vec<Due> = ahead
            .map(|words| Due {
                at: words.at,
                until: words.until,
                say: words.say,
            })
            .collect();
        self.ask_for(&ahead, now, rate);
        let (Some(talks), Some(maker)) = (&mut self.talks, &self.maker) else {
            return;
        };
        let heard = Heard {
            now,
            reach,
            score: ears.score(),
            ready: &|say| maker.ready(say, rate),
        };
        let prompts = talks.decide(&ahead, &heard);
        let numbers = self.numbers(ears, rate, to);
        if prompts.is_none() && numbers == self.numbers {
            return;
        }
        self.prompts = prompts.unwrap_or_else(|| std::mem::take(&mut self.prompts));
        self.numbers = numbers;
        let mut all = [&self.prompts[..], &self.numbers[..]].concat();
        all.sort_by_key(|talk| talk.at);
        ears.say(all, to);
    }

    fn numbers_needed(&self) -> Vec<Arc<str>> {
        let numbers = NUMBERS.iter().map(|number| Arc::from(*number));
        let numbers = numbers.filter(|_| self.how.speaks_counts());
        numbers.collect()
    }

    /// The numbers of counts that are to be spoken: once all of them are ready, and for as long as both
    /// signals and words are to be heard.
    fn numbers(&self, ears: &mut Ears, rate: SampleRate, to: To) -> Vec<Talk> {
        let Some(maker) = self.maker.as_ref().filter(|_| self.how.speaks_counts()) else {
            return Vec::new();
        };
        let ready = |word: &str| {
            let made = maker.ready(word, rate)?;
            (made.length() <= LONGEST_NUMBER).then_some(made)
        };
        let all = NUMBERS.iter().all(|number| ready(number).is_some());
        ears.speak_counts(all && !self.muted && !ears.is_muted());
        let words = ears.spoken_counts().iter();
        let talks = words.filter_map(|(at, word)| {
            let (at, what) = (*at, ready(word)?);
            Some(Talk { at, what, to })
        });
        talks.collect()
    }

    fn ask_for(&mut self, ahead: &[Due], now: Moment, rate: SampleRate) {
        let texts = ahead.iter().map(|words| Arc::from(words.say.as_str()));
        let texts = self.numbers_needed().into_iter().chain(texts);
        let needed = (texts.collect(), rate);
        if needed == self.needed && now.since(self.said_at) < AGAIN {
            return;
        }
        (self.needed, self.said_at) = (needed, now);
        if let Some(maker) = &self.maker {
            maker.need(self.needed.0.clone(), rate);
        }
    }

    /// Mutes the words, or lets them be heard again.
    pub(super) fn mute(&mut self, ears: &mut Ears) {
        self.muted = !self.muted;
        if self.muted {
            ears.speak_counts(false);
        }
        ears.mute_words(self.muted);
    }

    /// Whom it speaks to, or why it does not, for the screen; and whether that is trouble.
    pub(super) fn stands(&self, ears: &Ears) -> (String, bool) {
        let Some((to, talks)) = self.how.listener().zip(self.talks.as_ref()) else {
            return (String::new(), false);
        };
        let Some(maker) = &self.maker else {
            return ("no voice: no speaker program was found".into(), true);
        };
        if let State::Fails { why } = maker.state() {
            return (format!("no voice: {why}"), true);
        }
        if let Some(why) = ears.unreached(to) {
            return (format!("no voice: {why}"), true);
        }
        let whom = match (to, self.how.when) {
            _ if self.muted => "voice muted",
            (To::Room, _) => "voice to the room",
            (To::Ear, When::WhenBlind) => "voice in the ear, on the mat",
            (To::Ear, When::Always) => "voice in the ear",
        };
        let said = match talks.tally().left_out {
            0 => whom.to_owned(),
            left_out => format!("{whom}, {left_out} left out"),
        };
        (said, false)
    }
}

/// Prompts are kept in the program's cache, those of a class and those of a track.
impl Keep for Cache {
    fn load(&self, name: &str) -> Option<Vec<u8>> {
        self.load(name)
    }
    fn has(&self, name: &str) -> bool {
        self.has(name)
    }
    fn store(&self, name: &str, bytes: &[u8]) {
        self.store(name, bytes);
    }
}
