//! How long words take.
//!
//! It refuses to know what the words are for. A written text is counted as it is spoken: `45` is
//! two words (forty, five), `half-way` is two, `10 s` is two, `1:30` is two.

mod numbers;
mod sounds;

pub(super) use self::numbers::{number, span};

use self::sounds::Sounds;
use crate::session::Cueing;
use crate::time::Span;

/// The most pieces of one text that are told apart.
const SENTENCES: usize = 32;

/// Breath after every prompt (common practice, no source).
pub(super) const BREATH: Span = Span::from_millis(500);

/// How fast the times below are: words a minute, as a session file gives them.
const MEASURED_AT: u64 = 140;
/// How long each sound of a text takes at that, in milliseconds: fitted to what the general speech
/// synthesizer `espeak-ng` takes for the prompts of the sample sessions (`tests/spoken.rs`), whose
/// spread about these sums is 0.16 s, where counting words leaves 0.42 s.
const SYLLABLE: u64 = 50;
const CONSONANT: u64 = 75;
const WORD: u64 = 80;
const COMMA: u64 = 370;
const STOP: u64 = 480;
const BEGIN: u64 = 130;

/// How long a text takes to say, the breath after it included, rounded up to a millisecond.
pub(super) fn saying(text: &str, words_per_minute: u32) -> Span {
    speech(text, words_per_minute) + BREATH
}

/// How long a text takes to say, without breath.
fn speech(text: &str, words_per_minute: u32) -> Span {
    let sounds = Sounds::of(text);
    if sounds.words == 0 {
        return Span::ZERO;
    }
    let measured = BEGIN
        + sounds.syllables * SYLLABLE
        + sounds.consonants * CONSONANT
        + sounds.words * WORD
        + sounds.commas * COMMA
        + sounds.stops * STOP;
    Span::from_millis((measured * MEASURED_AT).div_ceil(u64::from(words_per_minute.max(1))))
}

/// How long a planner's text takes to say, sentence by sentence.
#[must_use]
pub fn time_to_say(text: &str, cueing: &Cueing) -> Span {
    let pieces = sentences(text).into_iter();
    pieces
        .map(|say| saying(&say, cueing.words_per_minute))
        .sum()
}

/// A text in the pieces in which it is said: its sentences, of a very long one the first.
pub(super) fn sentences(text: &str) -> Vec<String> {
    split(text, SENTENCES)
}

fn split(text: &str, most: usize) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut from = 0;
    for (at, c) in text.char_indices() {
        let after = at + c.len_utf8();
        let ends = matches!(c, '.' | '!' | '?' | ';' | '\n')
            && text[after..].chars().next().is_none_or(char::is_whitespace);
        if ends && out.len() + 1 < most {
            push_trimmed(&mut out, &text[from..after]);
            from = after;
        }
    }
    push_trimmed(&mut out, &text[from..]);
    out
}

fn push_trimmed(out: &mut Vec<String>, piece: &str) {
    let piece = piece.trim().trim_end_matches(['.', '!', ';']);
    if piece.chars().any(char::is_alphanumeric) {
        out.push(piece.to_owned());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Lucas, The Art of Public Speaking: 125 to 150 words a minute. Running text of this kind, in
    /// sentences with a breath after each, comes out within that, at each of its rates.
    #[test]
    fn speech_runs_at_the_published_rate() {
        let text = "Good morning and welcome. Two blocks tonight, each round a little shorter than \
                    the last. Your water stands by the door, and the mats stay rolled up until I \
                    call for them. Anyone may stop at any time. Breathe, and talk: when talking \
                    gets hard, do a little less.";
        let words = u32::try_from(text.split_whitespace().count()).unwrap();
        for rate in [125, 140, 150] {
            let cueing = Cueing {
                words_per_minute: rate,
                ..Cueing::default()
            };
            let minutes = time_to_say(text, &cueing).secs() / 60.0;
            let found = f64::from(words) / minutes;
            let asked = f64::from(rate);
            assert!((found - asked).abs() < asked * 0.15, "{found} for {rate}");
        }
        let [slow, fast] = [70, 140].map(|rate| speech("plank taps next", rate));
        assert_eq!(slow, fast * 2);
    }

    /// A word of many sounds takes longer than one of few, and a pause takes its time.
    #[test]
    fn words_alone_are_not_what_takes_time() {
        for (short, long) in [
            ("do it now", "standing hamstring stretches"),
            ("ten squats", "twelve crunches"),
            ("recovery fifteen", "recovery, fifteen"),
            (
                "on your back hold then change",
                "on your back, hold; then change",
            ),
        ] {
            assert!(saying(short, 140) < saying(long, 140), "{short}, {long}");
        }
    }

    #[test]
    fn a_text_falls_into_its_sentences() {
        assert_eq!(
            split("Water. Next block is on the floor; 2.5 m apart!", 9),
            ["Water", "Next block is on the floor", "2.5 m apart"]
        );
        assert_eq!(split("a. b. c. d.", 2), ["a", "b. c. d"]);
        assert!(split(" . ", 9).is_empty());
    }
}
