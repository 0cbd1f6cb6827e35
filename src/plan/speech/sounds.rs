//! What of a written text takes time when it is spoken: syllables, consonants, words and pauses.
//!
//! English by rule, without a dictionary: a vowel, or vowels next to each other, make a syllable;
//! an `e` at the end is mute. How long each takes is not known here.

use super::numbers::number;

/// The vowels next to each other that are spoken apart, as in `radio`.
const APART: [&[char; 2]; 6] = [
    &['i', 'a'],
    &['i', 'o'],
    &['e', 'o'],
    &['i', 'u'],
    &['i', 'e'],
    &['u', 'a'],
];
/// Two letters for one consonant.
const PAIRS: [&[char; 2]; 8] = [
    &['c', 'h'],
    &['s', 'h'],
    &['t', 'h'],
    &['c', 'k'],
    &['p', 'h'],
    &['w', 'h'],
    &['g', 'h'],
    &['n', 'g'],
];

/// What of a text takes time.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Sounds {
    pub(super) words: u64,
    pub(super) syllables: u64,
    pub(super) consonants: u64,
    /// After a comma or a dash.
    pub(super) commas: u64,
    /// After a colon, or between two sentences.
    pub(super) stops: u64,
}

impl Sounds {
    /// Those of a text.
    pub(super) fn of(text: &str) -> Self {
        let mut sounds = Self::default();
        for piece in text.split_whitespace() {
            let before = sounds.words;
            for part in piece.split(['-', '/', '_', '–', '—']) {
                sounds.token(part);
            }
            match piece.chars().last() {
                Some(',') => sounds.commas += 1,
                Some(':' | ';' | '.' | '?' | '!') => sounds.stops += 1,
                _ if before == sounds.words => sounds.commas += 1,
                _ => {}
            }
        }
        // After the last word there is the breath.
        let end = text.trim_end().chars().last();
        sounds.commas -= u64::from(end == Some(','));
        let is_stop = matches!(end, Some(':' | ';' | '.' | '?' | '!'));
        sounds.stops -= u64::from(is_stop);
        sounds
    }

    /// A piece without space or hyphen: its numbers, its runs of letters, its symbols.
    fn token(&mut self, piece: &str) {
        let (mut rest, first) = (piece, self.words);
        while let Some(c) = rest.chars().next() {
            let run = run_of(rest, c);
            match c {
                '0'..='9' => self.digits(&rest[..run]),
                '%' | '+' | '&' | '=' | '°' | '×' => self.word("percent"),
                _ if c.is_alphanumeric() => self.word(&rest[..run]),
                '.' | ','
                    if self.words > first
                        && rest[run..].starts_with(|d: char| d.is_ascii_digit()) =>
                {
                    self.word("point");
                }
                _ => {}
            }
            rest = &rest[run..];
        }
    }

    fn digits(&mut self, digits: &str) {
        match digits.parse::<u64>() {
            Ok(n) if n < 10_000 => {
                for word in number(n).split([' ', '-']) {
                    self.word(word);
                }
            }
            _ => {
                for digit in digits.bytes() {
                    for word in number(u64::from(digit - b'0')).split(' ') {
                        self.word(word);
                    }
                }
            }
        }
    }

    fn word(&mut self, word: &str) {
        let letters = word.chars().flat_map(char::to_lowercase);
        let letters: Vec<char> = letters.filter(|c| c.is_alphanumeric()).collect();
        self.words += 1;
        self.syllables += syllables(&letters);
        self.consonants += consonants(&letters);
    }
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

/// A letter of another script is taken for a syllable of its own.
const fn is_vowel(c: char) -> bool {
    matches!(c, 'a' | 'e' | 'i' | 'o' | 'u' | 'y') || !c.is_ascii()
}

fn syllables(word: &[char]) -> u64 {
    let mut count = 0;
    let mut before = None;
    for (at, &c) in word.iter().enumerate() {
        if is_vowel(c) && !before.is_some_and(is_vowel)
            || !c.is_ascii()
            || at > 0 && is_apart(word, at)
        {
            count += 1;
        }
        before = Some(c);
    }
    if count > 1 && ends_mute(word) {
        count -= 1;
    }
    count.max(1)
}

/// Whether the vowel at a place is spoken apart from the one before it.
fn is_apart(word: &[char], at: usize) -> bool {
    let two = [word[at - 1], word[at]];
    let before = at.checked_sub(2).map(|before| word[before]);
    // `tion`, `cious`, `quarter`, `guard`, `people`, `field` have one syllable there, `easier` and
    // `quiet` two.
    let together = match two[0] {
        'i' if two[1] == 'e' => !matches!(word.get(at + 1), Some('r' | 't')),
        'i' => matches!(before, Some('t' | 's' | 'c' | 'g')),
        'u' => matches!(before, Some('q' | 'g')),
        _ => word.starts_with(&['p', 'e', 'o']),
    };
    APART.contains(&&two) && !together
}

/// Whether the word ends in a mute `e`: `raise`, `planks` has none, `circles` and `reached` do not
/// count theirs.
fn ends_mute(word: &[char]) -> bool {
    let from_end = |n: usize| word.len().checked_sub(n).map(|at| word[at]);
    let vowel = |n: usize| from_end(n).is_some_and(is_vowel);
    match (from_end(2), from_end(1)) {
        (_, Some('e')) => !vowel(2) && (from_end(2) != Some('l') || vowel(3)),
        (Some('e'), Some('s')) => {
            let hiss = matches!(from_end(3), Some('s' | 'z' | 'x' | 'c' | 'g'));
            let hush = from_end(3) == Some('h') && matches!(from_end(4), Some('c' | 's'));
            let rings = from_end(3) == Some('l') && !vowel(4);
            !vowel(3) && !hiss && !hush && !rings
        }
        // `hundred` has two.
        (Some('e'), Some('d')) => {
            let rings = from_end(3) == Some('r') && !vowel(4);
            !vowel(3) && !rings && !matches!(from_end(3), Some('t' | 'd'))
        }
        _ => false,
    }
}

fn consonants(word: &[char]) -> u64 {
    let (mut count, mut at) = (0, 0);
    while at < word.len() {
        let pair = word[at..].first_chunk::<2>();
        let one = pair.is_some_and(|pair| PAIRS.contains(&pair) || pair[0] == pair[1]);
        count += u64::from(!is_vowel(word[at]));
        at += if one && !is_vowel(word[at]) { 2 } else { 1 };
    }
    count
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of_word(word: &str) -> u64 {
        Sounds::of(word).syllables
    }

    /// Counted by ear, from memory.
    #[test]
    fn a_word_has_its_syllables() {
        for (word, count) in [
            ("plank", 1),
            ("squats", 1),
            ("raise", 1),
            ("reached", 1),
            ("toes", 1),
            ("circles", 2),
            ("crunches", 2),
            ("lunges", 2),
            ("halfway", 2),
            ("easier", 3),
            ("recovery", 4),
            ("extension", 3),
            ("warm-up", 2),
            ("45", 3),
            ("120", 6),
            ("the", 1),
            ("A", 1),
            ("radio", 3),
            ("people", 2),
            ("lifted", 2),
            ("hold", 1),
        ] {
            assert_eq!(of_word(word), count, "{word}");
        }
    }

    #[test]
    fn a_text_is_counted_as_it_is_spoken() {
        for (text, words, commas, stops) in [
            ("plank taps next", 3, 0, 0),
            ("forty-five seconds", 3, 0, 0),
            ("45 s", 3, 0, 0),
            ("10s left", 3, 0, 0),
            ("7.5 kg", 4, 0, 0),
            ("1:30", 2, 0, 0),
            ("20/10", 2, 0, 0),
            ("half-way", 2, 0, 0),
            ("120 steps", 5, 0, 0),
            ("50%", 2, 0, 0),
            ("don't lock, breathe", 3, 1, 0),
            ("wrists: forearms", 2, 0, 1),
            ("hold; then change.", 3, 0, 1),
            ("knees · down", 2, 1, 0),
            ("down, ", 1, 0, 0),
            (",", 0, 0, 0),
            ("", 0, 0, 0),
        ] {
            let sounds = Sounds::of(text);
            let found = (sounds.words, sounds.commas, sounds.stops);
            assert_eq!(found, (words, commas, stops), "{text}");
        }
    }
}
