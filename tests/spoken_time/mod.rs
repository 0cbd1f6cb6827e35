//! How long words take to say, told without the program: by syllables and pauses.
//!
//! Measured with a general speech synthesizer at 140 words a minute on 418 prompts of this kind:
//! 0.21 s a syllable, 0.49 s a pause and 0.4 s, with a standard deviation of 0.25 s. English read
//! aloud has about 6.2 syllables a second (Pellegrino, Coupe & Marsico 2011, Language 87(3), from
//! memory), and a synthesizer at that rate about 4.8.

use matside::time::Span;

/// The shortest and the longest time that may be planned for words, breath not counted: three
/// standard deviations and a tenth below the measured time, four and a fifth above it, as syllables
/// of many consonants take longer, and never faster than reading aloud.
pub(crate) fn bounds(say: &str, words_per_minute: u32) -> (Span, Span) {
    let syllables: u64 = say
        .split(|c: char| !c.is_alphabetic() && c != '\'')
        .filter(|word| !word.is_empty())
        .map(syllables)
        .sum::<u64>()
        + numerals(say);
    let pauses = say.chars().filter(|c| matches!(c, ',' | ':' | ';')).count() as u64;
    let measured = 210 * syllables + 490 * pauses + 400;
    let least = (measured * 9 / 10)
        .saturating_sub(750)
        .max(syllables * 1000 / 8);
    let most = measured * 12 / 10 + 1000;
    let rated = |millis: u64| Span::from_millis(millis * 140 / u64::from(words_per_minute));
    (rated(least), rated(most))
}

/// Of a digit two syllables, as in `zero` and `seven`.
fn numerals(say: &str) -> u64 {
    2 * say.chars().filter(char::is_ascii_digit).count() as u64
}

/// Vowels next to each other are one syllable, and an `e` at the end is mute after a consonant.
fn syllables(word: &str) -> u64 {
    let letters: Vec<char> = word.to_lowercase().chars().collect();
    let vowel = |c: char| "aeiouy".contains(c);
    let starts = letters.iter().enumerate().filter(|&(at, &c)| {
        let follows = at > 0 && vowel(letters[at - 1]);
        vowel(c) && !follows
    });
    let count = starts.count() as u64;
    let ends: Vec<char> = letters.iter().rev().take(3).copied().collect();
    let mute = match ends[..] {
        ['e', before, ..] => !vowel(before) && before != 'l',
        ['s' | 'd', 'e', before] => !vowel(before) && !"szxcghtdl".contains(before),
        _ => false,
    };
    (count - u64::from(mute && count > 1)).max(1)
}
