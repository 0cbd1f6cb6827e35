//! Where orders arrive: passed on to the stream that plays, remembered for the one that comes next.
//!
//! A device can be lost in the middle of a class. What is to be heard is kept here as one score,
//! so that the next device goes on at the right place, and so that the voice never has to know
//! what was ordered when. The audio callback never waits for this desk: it reads a channel.

use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use super::order::Order;
use super::talk::Talks;
use super::units::Volume;
use crate::plan::Score;

/// What a stream is told.
#[derive(Clone, Debug)]
pub(crate) enum Told {
    /// All that is to be heard; it may be told again and again.
    Score(Score),
    /// All that is to be said.
    Talks(Talks),
    /// Whether the words are silent.
    MuteWords(bool),
    /// How loud.
    Volume(Volume),
    /// Whether to be silent all the same.
    Mute(bool),
}

/// The desk, shared by the app and the device's keeper.
#[derive(Debug)]
pub(crate) struct Desk(Mutex<Standing>);

#[derive(Debug)]
struct Standing {
    line: Option<Sender<Told>>,
    /// Whose line that is, or was: attempts to open a device are counted.
    attempt: u32,
    score: Score,
    talks: Talks,
    volume: Volume,
    muted: bool,
    words_muted: bool,
    /// Lists of words that a voice may still hold, as with scores.
    lists: Vec<Talks>,
    /// Scores that a voice may still hold. They are freed here, never in the callback.
    scores: Vec<Score>,
}

impl Desk {
    pub(crate) fn new(volume: Volume, muted: bool) -> Self {
        let score = Score::silence();
        let talks: Talks = [].into();
        Self(Mutex::new(Standing {
            line: None,
            attempt: 0,
            scores: vec![score.clone()],
            lists: vec![talks.clone()],
            talks,
            words_muted: false,
            score,
            volume,
            muted,
        }))
    }

    fn standing(&self) -> MutexGuard<'_, Standing> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Remembers the order, and passes it on where a stream plays.
    pub(crate) fn order(&self, order: Order) {
        let mut standing = self.standing();
        let told = standing.remember(order);
        if let Some(line) = &standing.line
            && line.send(told).is_err()
        {
            standing.line = None;
        }
    }

    /// A new line, on which all that stands has been said; the one before is closed. A device that
    /// was let go while it opened, and opens after all, gets no line that another one has.
    pub(crate) fn new_line(&self, attempt: u32) -> Receiver<Told> {
        let mut standing = self.standing();
        let (line, orders) = channel();
        for told in [
            Told::Volume(standing.volume),
            Told::Mute(standing.muted),
            Told::MuteWords(standing.words_muted),
            Told::Score(standing.score.clone()),
            Told::Talks(standing.talks.clone()),
        ] {
            // The other end is in our hand.
            let _ = line.send(told);
        }
        if attempt >= standing.attempt {
            (standing.line, standing.attempt) = (Some(line), attempt);
        }
        orders
    }

    /// No stream plays any more.
    pub(crate) fn close_line(&self) {
        self.standing().line = None;
    }
}

impl Standing {
    fn remember(&mut self, order: Order) -> Told {
        match order {
            Order::Play { from, score } => {
                self.scores.retain(Score::is_shared);
                let score = self.score.then(from, &score);
                self.scores.push(score.clone());
                self.score = score.clone();
                Told::Score(score)
            }
            Order::Say(talks) => {
                self.lists.retain(|list| Arc::strong_count(list) > 1);
                self.talks = talks.into();
                self.lists.push(self.talks.clone());
                Told::Talks(self.talks.clone())
            }
            Order::MuteWords(muted) => {
                self.words_muted = muted;
                Told::MuteWords(muted)
            }
            Order::Volume(step) => {
                self.volume = Volume::new(step);
                Told::Volume(self.volume)
            }
            Order::Mute(muted) => {
                self.muted = muted;
                Told::Mute(muted)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{SignalKind, Strike};
    use crate::time::Moment;

    fn play(from: u64, strikes: &[u64]) -> Order {
        let kind = SignalKind::Go;
        let strikes = strikes.iter().map(|&at| Moment::from_millis(at));
        Order::Play {
            from: Moment::from_millis(from),
            score: Score::of(strikes.map(|at| Strike { at, kind })),
        }
    }

    fn moments(told: &Told) -> Vec<u64> {
        let Told::Score(score) = told else {
            panic!("{told:?}")
        };
        let strikes = score.strikes().iter();
        strikes.map(|strike| strike.at.millis()).collect()
    }

    #[test]
    fn a_new_line_is_told_what_stands_and_nothing_that_is_over() {
        let desk = Desk::new(Volume::new(7), false);
        desk.order(play(0, &[1_000, 9_000]));
        desk.order(play(8_000, &[9_500]));
        desk.order(Order::Mute(true));
        let told: Vec<Told> = desk.new_line(1).try_iter().collect();
        let [
            Told::Volume(volume),
            Told::Mute(true),
            Told::MuteWords(false),
            score,
            Told::Talks(_),
        ] = &told[..]
        else {
            panic!("{told:?}");
        };
        assert_eq!((volume.step(), moments(score)), (7, vec![9_500]));
    }

    /// The callback's reference is never the last one, so it frees no score.
    #[test]
    fn a_score_outlives_the_voice_that_drops_it() {
        let desk = Desk::new(Volume::FULL, false);
        let line = desk.new_line(1);
        for n in 0..20 {
            desk.order(play(n * 1_000, &[n * 1_000 + 500]));
            let held: Vec<Told> = line.try_iter().collect();
            desk.order(play(n * 1_000, &[]));
            for told in &held {
                assert!(!matches!(told, Told::Score(score) if !score.is_shared()));
            }
        }
        assert!(desk.standing().scores.len() <= 3, "and is freed in time");
    }

    /// The same for what is to be said.
    #[test]
    fn words_outlive_the_voice_that_drops_them() {
        use crate::sound::{SampleRate, Talk, To, Utterance};
        let talk = Talk {
            at: Moment::ZERO,
            what: Utterance {
                rate: SampleRate::hertz(8_000),
                samples: [0.5].into(),
            },
            to: To::Ear,
        };
        let desk = Desk::new(Volume::FULL, false);
        let line = desk.new_line(1);
        for _ in 0..20 {
            desk.order(Order::Say(vec![talk.clone()]));
            let held: Vec<Told> = line.try_iter().collect();
            desk.order(Order::Say(Vec::new()));
            for told in &held {
                assert!(!matches!(told, Told::Talks(list) if Arc::strong_count(list) < 2));
            }
        }
        assert!(desk.standing().lists.len() <= 3, "and are freed in time");
    }

    /// A device that hung in opening was let go and another one plays; the first opens after all.
    #[test]
    fn a_line_asked_for_late_takes_none_away() {
        let desk = Desk::new(Volume::FULL, false);
        let lines = [2, 1, 2].map(|attempt| desk.new_line(attempt));
        desk.order(play(0, &[500]));
        let told = lines.map(|line| line.try_iter().count() - 5);
        assert_eq!(told, [0, 0, 1], "the last line of the latest attempt");
        let late = desk.new_line(1);
        desk.order(play(0, &[700]));
        assert_eq!(late.try_iter().count(), 5);
    }
}
