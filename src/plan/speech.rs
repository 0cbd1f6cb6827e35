//! How long words take, and numbers in words.
//!
//! It refuses to know what the words are for. A written text is counted as it is spoken: `45` is
//! two words (forty, five), `half-way` is two, `10 s` is two, `1:30` is two.

use crate::session::Cueing;
use crate::time::Span;

/// The most pieces of one text that are told apart.
const SENTENCES: usize = 32;

/// Breath after every prompt (common practice, no source).
pub(super) const BREATH: Span = Span::from_millis(500);

/// How long a text takes to say, the breath after it included, rounded up to a millisecond.
pub(super) fn saying(text: &str, words_per_minute: u32) -> Span {
    speech(words(text), words_per_minute) + BREATH
}

/// How long so many words take, without breath.
fn speech(words: u64, words_per_minute: u32) -> Span {
    Span::from_millis((words * 60_000).div_ceil(u64::from(words_per_minute.max(1))))
}

/// How many words a text has when it is spoken.
fn words(text: &str) -> u64 {
    text.split(|c: char| c.is_whitespace() || matches!(c, '-' | '/' | '_' | '–' | '—'))
        .map(token)
        .sum()
}

/// Words of a piece without space or hyphen: its numbers, its runs of letters, its symbols.
fn token(piece: &str) -> u64 {
    if piece.bytes().all(|b| b.is_ascii_alphabetic()) {
        return u64::from(!piece.is_empty());
    }
    let (mut count, mut rest) = (0, piece);
    while let Some(c) = rest.chars().next() {
        let run = run_of(rest, c);
        count += match c {
            '0'..='9' => number_words(&rest[..run]),
            '%' | '+' | '&' | '=' | '°' | '×' => 1,
            _ if c.is_alphanumeric() => 1,
            '.' | ',' if count > 0 && rest[run..].starts_with(|d: char| d.is_ascii_digit()) => 1,
            _ => 0,
        };
        rest = &rest[run..];
    }
    count
}

/// The length in bytes of the run that begins with `first`.
fn run_of(rest: &str, first: char) -> usize {
    let same = |c: char| match first {
        '0'..='9' => c.is_ascii_digit(),
        _ if first.is_alphabetic() => c.is_alphabetic() || matches!(c, '\'' | '’'),
        _ => false,
    };
    let end = rest.char_indices().skip(1).find(|&(_, c)| !same(c));
    end.map_or(rest.len(), |(at, _)| at)
}

fn number_words(digits: &str) -> u64 {
    let digit_by_digit = digits.len() as u64;
    match digits.parse::<u64>() {
        Ok(n) if n < 10_000 => {
            let said = number(n);
            said.split([' ', '-']).count() as u64
        }
        _ => digit_by_digit,
    }
}

const SMALL: [&str; 20] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];
const TENS: [&str; 10] = [
    "", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
];

/// A number in words: `forty-five`, `one hundred and twenty`.
pub(super) fn number(n: u64) -> String {
    match n {
        0..20 => SMALL[usize::try_from(n).unwrap_or(0)].to_owned(),
        20..100 => joined(
            TENS[usize::try_from(n / 10).unwrap_or(0)].to_owned(),
            "-",
            n % 10,
        ),
        100..1000 => joined(format!("{} hundred", number(n / 100)), " and ", n % 100),
        1000..1_000_000 => joined(format!("{} thousand", number(n / 1000)), " ", n % 1000),
        _ => n.to_string(),
    }
}

fn joined(large: String, between: &str, small: u64) -> String {
    if small == 0 {
        large
    } else {
        large + between + &number(small)
    }
}

/// A length in words, to the second: `forty-five seconds`, `two minutes`, `one minute thirty`.
pub(super) fn span(length: Span) -> String {
    let secs = (length.millis() + 500) / 1000;
    match (secs / 60, secs % 60) {
        (0, 1) => "one second".to_owned(),
        (0, s) => format!("{} seconds", number(s)),
        (1, 0) => "one minute".to_owned(),
        (m, 0) => format!("{} minutes", number(m)),
        (1, s) => format!("one minute {}", number(s)),
        (m, s) => format!("{} minutes {}", number(m), number(s)),
    }
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

    /// Lucas, The Art of Public Speaking: 125 to 150 words a minute.
    #[test]
    fn speech_runs_at_the_published_rate() {
        assert_eq!(speech(3, 150).millis(), 1200);
        assert_eq!(speech(3, 125).millis(), 1440);
        for (rate, fit) in [(125, 20), (150, 25)] {
            assert!(speech(fit, rate) <= Span::from_secs(10));
            assert!(speech(fit + 1, rate) > Span::from_secs(10));
        }
        assert_eq!(
            saying("plank taps next", 150),
            Span::from_millis(1200) + BREATH
        );
    }

    #[test]
    fn a_text_is_counted_as_it_is_spoken() {
        for (text, spoken) in [
            ("plank taps next", 3),
            ("forty-five seconds", 3),
            ("45 s", 3),
            ("10s left", 3),
            ("7.5 kg", 4),
            ("1:30", 2),
            ("20/10", 2),
            ("half-way", 2),
            ("120 steps", 5),
            ("50%", 2),
            ("don't lock, breathe", 3),
            ("wrists: forearms", 2),
            ("knees · down", 2),
            ("", 0),
        ] {
            assert_eq!(words(text), spoken, "{text}");
        }
    }

    #[test]
    fn numbers_are_words() {
        for (n, said) in [
            (1, "one"),
            (12, "twelve"),
            (20, "twenty"),
            (45, "forty-five"),
            (120, "one hundred and twenty"),
        ] {
            assert_eq!(number(n), said);
        }
        for (secs, said) in [
            (45, "forty-five seconds"),
            (60, "one minute"),
            (90, "one minute thirty"),
            (120, "two minutes"),
        ] {
            assert_eq!(span(Span::from_secs(secs)), said);
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
