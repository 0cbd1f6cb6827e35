//! Any text in the letters that the faces have: capitals without accents, signs by their likes.
//!
//! Compatibility forms come apart first (NFKD of the Unicode standard), so a half becomes 1/2 and a
//! numero sign No. What is left and has no drawing is left out: one odd sign must not make a name
//! small.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

use super::glyphs;

/// Whether it is a space, at which a line may break or not.
pub(super) const fn is_space(letter: char) -> bool {
    matches!(letter, ' ' | '\u{a0}')
}

/// The text in the letters of the faces; what they lack is left out.
pub(super) fn fold(text: &str) -> String {
    let mut out = String::new();
    for letter in letters(text).filter(|letter| is_drawn(*letter)) {
        let doubled = is_space(letter) && out.chars().last().is_none_or(is_space);
        if !doubled {
            out.push(letter);
        }
    }
    out.truncate(out.trim_end_matches(is_space).len());
    out
}

/// The letters of a text that are left out where it is written large, each once.
///
/// Whoever plans a class wants to know them before they stand on the mat.
#[must_use]
pub fn undrawn(text: &str) -> Vec<char> {
    let mut out: Vec<char> = Vec::new();
    for c in text.nfc() {
        let lost = letters(&c.to_string()).any(|letter| !is_drawn(letter));
        if lost && !out.contains(&c) {
            out.push(c);
        }
    }
    out
}

fn is_drawn(letter: char) -> bool {
    glyphs::of(letter).is_some()
}

fn letters(text: &str) -> impl Iterator<Item = char> {
    text.nfc()
        .flat_map(apart)
        .flat_map(char::to_uppercase)
        .flat_map(alike)
}

/// A letter without its accents; a short i is a letter of its own, and a space that does not break
/// stays one.
fn apart(letter: char) -> Vec<char> {
    match letter {
        'й' | 'Й' | '\u{a0}' => vec![letter],
        c if c.is_whitespace() => vec![' '],
        c if c.is_control() => Vec::new(),
        c => {
            let parts = std::iter::once(c).nfkd();
            parts.filter(|c| !is_unseen(*c)).collect()
        }
    }
}

/// Marks on other letters, joiners and selectors: they have no width of their own.
fn is_unseen(c: char) -> bool {
    is_combining_mark(c)
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{fe00}'..='\u{fe0f}' | '\u{ad}')
}

/// Letters that look like Latin ones, and signs, in the nearest that the faces have.
fn alike(c: char) -> Vec<char> {
    let text = match c {
        'Æ' => "AE",
        'Œ' => "OE",
        'Ł' => "L",
        'Đ' | 'Ð' => "D",
        'Þ' => "TH",
        'Ŋ' => "NG",
        'ẞ' => "SS",
        'А' | 'Α' => "A",
        'В' | 'Β' => "B",
        'Е' | 'Ε' => "E",
        'Ζ' => "Z",
        'Н' | 'Η' => "H",
        'І' | 'Ι' | 'Ӏ' | '|' => "I",
        'Ј' => "J",
        'К' | 'Κ' => "K",
        'М' | 'Μ' => "M",
        'Ν' => "N",
        'Ø' | 'О' | 'Ο' => "O",
        'Р' | 'Ρ' => "P",
        'С' | 'Ϲ' => "C",
        'Ѕ' => "S",
        'Т' | 'Τ' => "T",
        'Υ' => "Y",
        'Х' | 'Χ' | '×' => "X",
        'З' => "3",
        'Γ' => "Г",
        'Π' | '∏' => "П",
        'Φ' => "Ф",
        '∆' => "Δ",
        '∑' => "Σ",
        '’' | '‘' | 'ʼ' | '`' | '´' | '′' => "'",
        '“' | '”' | '„' | '«' | '»' | '″' => "\"",
        '‚' => ",",
        '–' | '—' | '‐' | '‑' | '−' | '―' => "-",
        '⁄' | '÷' => "/",
        '•' | '∙' | '⋅' => "·",
        '➔' | '➜' => "→",
        _ => return vec![c],
    };
    text.chars().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The decompositions are those of the Unicode Character Database, taken from the standard's
    /// charts by hand; the capitals too.
    #[test]
    fn names_of_many_hands_are_drawn_whole() {
        for (text, drawn) in [
            ("Élan d’été", "ELAN D'ETE"),
            ("straße Øre æ", "STRASSE ORE AE"),
            ("Łódź № 2 – ½ heure", "LODZ NO 2 - 1/2 HEURE"),
            ("Squat #2", "SQUAT #2"),
            ("Wall sit 90°", "WALL SIT 90°"),
            ("Приседания", "ПPИCEДAHИЯ"),
            ("Йога, ёлка", "ЙOГA, EЛKA"),
            ("Press [slow] & hold", "PRESS [SLOW] & HOLD"),
            ("Σανίδα πλάγια", "ΣANIΔA ПΛAГIA"),
            ("10 × 3 @ 50 %", "10 X 3 @ 50 %"),
            ("a*b+c", "A*B+C"),
            ("x² ﬁt", "X2 FIT"),
            ("İstanbul ığdır", "ISTANBUL IGDIR"),
        ] {
            assert_eq!(fold(text), drawn, "{text}");
            assert!(undrawn(text).is_empty(), "{text}");
        }
    }

    #[test]
    fn one_odd_sign_is_left_out_and_named() {
        assert_eq!(fold("Éléphant 🐘 walk"), "ELEPHANT WALK");
        assert_eq!(undrawn("Éléphant 🐘 walk 🐘"), ['🐘']);
        assert_eq!(undrawn("漢字"), ['漢', '字']);
        assert_eq!(fold("漢字"), "");
        assert_eq!(fold("a\n b\u{7}\u{301}"), "A B");
    }

    #[test]
    fn a_space_that_does_not_break_stays_one() {
        assert_eq!(fold("10\u{a0}squats  now "), "10\u{a0}SQUATS NOW");
    }
}
