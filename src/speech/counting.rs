//! A count that is spoken: which of its beats are words in place of tones.
//!
//! A beat is one or the other, never both and never neither: what could only be ordered late stays a
//! tone, and what was once ordered as a word stays one. It knows no device and no clock.

use crate::plan::{Score, SignalKind};
use crate::time::{Moment, Span};

/// The numbers that are spoken; a beat further from the end of its count stays a tone.
pub const NUMBERS: [&str; 10] = [
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
];
/// Beats no further apart belong to one count.
const COUNT: Span = Span::from_millis(1_500);
/// Spoken beats that are past are remembered so long.
const KEPT: Span = Span::from_secs(5);

/// Which beats are spoken.
#[derive(Clone, Debug, Default)]
pub struct Counting {
    from: Option<Moment>,
    spoken: Vec<(Moment, &'static str)>,
}

impl Counting {
    /// Counts are spoken from a moment on.
    pub fn begin(&mut self, from: Moment) {
        self.from = Some(from);
    }

    /// Counts are tones again.
    pub fn end(&mut self) {
        self.from = None;
        self.spoken.clear();
    }

    /// Whether counts are spoken.
    #[must_use]
    pub const fn is_spoken(&self) -> bool {
        self.from.is_some()
    }

    /// What is left of a score for the tones. What is to be heard in all is `whole`; no word that was
    /// not ordered yet can begin before `earliest`.
    pub fn tones(&mut self, whole: &Score, score: &Score, earliest: Moment) -> Score {
        let Some(from) = self.from else {
            return score.clone();
        };
        let mut beats = beats(whole);
        beats.retain(|beat| beat.0 >= from && (beat.0 >= earliest || self.spoken.contains(beat)));
        let past = self.spoken.iter().filter(|beat| beat.0 < earliest);
        let past = past.filter(|beat| beat.0 >= earliest.before(KEPT) && !beats.contains(beat));
        let past = past.filter(|beat| beats.first().is_none_or(|first| beat.0 < first.0));
        let past: Vec<_> = past.copied().collect();
        self.spoken = past.into_iter().chain(beats).collect();
        score.without(|strike| {
            strike.kind == SignalKind::Count
                && self
                    .spoken
                    .binary_search_by_key(&strike.at, |beat| beat.0)
                    .is_ok()
        })
    }

    /// The beats that are spoken, with their words, in order of time.
    #[must_use]
    pub fn words(&self) -> &[(Moment, &'static str)] {
        &self.spoken
    }
}

/// The beats of all counts with their numbers, in order of time.
fn beats(score: &Score) -> Vec<(Moment, &'static str)> {
    let mut out = Vec::new();
    let mut number = 0;
    let mut after: Option<Moment> = None;
    for strike in score.strikes().iter().rev() {
        if strike.kind != SignalKind::Count {
            (number, after) = match strike.kind {
                SignalKind::Go | SignalKind::Stop | SignalKind::End => (0, Some(strike.at)),
                // What else is heard within a count is no end of it.
                SignalKind::Half | SignalKind::Switch | SignalKind::Warn | SignalKind::Count => {
                    (number, after)
                }
            };
            continue;
        }
        let goes_on = after.is_some_and(|after| after.since(strike.at) < COUNT);
        number = if goes_on { number + 1 } else { 1 };
        after = Some(strike.at);
        if let Some(word) = NUMBERS.get(number - 1) {
            out.push((strike.at, *word));
        }
    }
    out.reverse();
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Strike;

    fn at(millis: u64) -> Moment {
        Moment::from_millis(millis)
    }

    fn score(strikes: &[(u64, SignalKind)]) -> Score {
        Score::of(strikes.iter().map(|(millis, kind)| Strike {
            at: at(*millis),
            kind: *kind,
        }))
    }

    use SignalKind::{Count, Go, Half, Stop};

    #[test]
    fn a_count_goes_down_to_one_before_its_end() {
        let score = score(&[
            (1_000, Count),
            (2_000, Count),
            (2_500, Half),
            (3_000, Count),
            (4_000, Go),
            (30_000, Count),
            (31_000, Count),
            (32_000, Stop),
            (33_000, Count),
            (40_000, Count),
        ]);
        let told: Vec<(u64, &str)> = beats(&score)
            .iter()
            .map(|(at, word)| (at.millis(), *word))
            .collect();
        assert_eq!(
            told,
            [
                (1_000, "three"),
                (2_000, "two"),
                (3_000, "one"),
                (30_000, "two"),
                (31_000, "one"),
                (33_000, "one"),
                (40_000, "one"),
            ]
        );
    }

    /// Whatever is ordered when: each beat of what is to be heard is a tone or a word, never both; a word
    /// that was not ordered in time is none.
    #[test]
    fn each_beat_is_a_tone_or_a_word() {
        let mut random = fastrand::Rng::with_seed(5);
        for _ in 0..300 {
            let mut counting = Counting::default();
            let mut whole = Score::silence();
            let mut now = 0;
            let mut ordered: Vec<Moment> = Vec::new();
            for step in 0..20 {
                now += random.u64(0..2_500);
                if random.u8(0..6) == 0 {
                    counting.end();
                    ordered.clear();
                } else if !counting.is_spoken() || step == 0 {
                    counting.begin(at(now + 2_000));
                }
                let start = now + random.u64(0..6_000);
                let mut strikes: Vec<(u64, SignalKind)> =
                    (0..3).map(|n| (start + n * 1_000, Count)).collect();
                strikes.push((start + 3_000, Go));
                let next = score(&strikes);
                whole = whole.then(at(now), &next);
                let earliest = at(now + 300);
                let tones = counting.tones(&whole, &next, earliest);
                for strike in next.strikes() {
                    let is_word = counting.words().iter().any(|word| word.0 == strike.at);
                    let is_tone = tones.has(*strike);
                    assert!(is_word != is_tone, "{strike:?} at {now}");
                    if is_word && strike.at < earliest {
                        assert!(ordered.contains(&strike.at), "{strike:?} late at {now}");
                    }
                }
                let words = counting.words();
                assert!(words.is_sorted_by(|a, b| a.0 < b.0), "{words:?}");
                ordered.extend(words.iter().map(|word| word.0));
            }
        }
    }
}
