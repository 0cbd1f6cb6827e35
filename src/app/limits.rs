//! The letter of each limit, the same in every class, so that a hand can learn it.

use super::footer;
use super::keys::Key;
use crate::live::Live;
use crate::screen::Hint;
use crate::screen::pages::LimitsPage;
use crate::session::Load;

/// What must be spared, and its letter; `t`, `q` and `y` have a meaning of their own on the page.
const LETTERS: [(Load, char); 19] = [
    (Load::Wrist, 'w'),
    (Load::Elbow, 'e'),
    (Load::Shoulder, 's'),
    (Load::Neck, 'n'),
    (Load::LowBack, 'l'),
    (Load::Hip, 'h'),
    (Load::Knee, 'k'),
    (Load::Ankle, 'a'),
    (Load::PelvicFloor, 'p'),
    (Load::Supine, 'b'),
    (Load::Isometric, 'i'),
    (Load::HeadDown, 'd'),
    (Load::Prone, 'f'),
    (Load::Kneeling, 'g'),
    (Load::Jump, 'j'),
    (Load::Balance, 'c'),
    (Load::Overhead, 'o'),
    (Load::Twist, 'x'),
    (Load::Bend, 'r'),
];

/// The letter of a limit.
pub(super) fn letter(limit: Load) -> Option<char> {
    let found = LETTERS.iter().find(|(load, _)| *load == limit);
    found.map(|(_, letter)| *letter)
}

/// The limit of a letter.
pub(super) fn limit(letter: char) -> Option<Load> {
    let found = LETTERS.iter().find(|(_, known)| *known == letter);
    found.map(|(load, _)| *load)
}

/// These limits with the one of a letter set, or taken back where it stands; nothing where no limit
/// has this letter.
pub(super) fn toggled(on: &[Load], key: Key) -> Option<Vec<Load>> {
    let limit = key.letter().and_then(limit)?;
    let mut on = on.to_vec();
    match on.iter().position(|other| *other == limit) {
        Some(place) => drop(on.remove(place)),
        None => on.push(limit),
    }
    Some(on)
}

/// The page of limits over a class that runs: those that stand, and those that can be set.
pub(super) fn page(live: &Live, page: usize) -> LimitsPage {
    let these = |stand: bool| {
        let these = LETTERS.iter();
        let these = these.filter(|(load, _)| live.limits().contains(load) == stand);
        let hint = |(load, letter): &(Load, char)| Hint::new(letter.to_string(), load.label());
        these.map(hint).collect()
    };
    LimitsPage {
        on: these(true),
        off: these(false),
        page,
        hints: footer::of_page(&[
            ("esc", "close"),
            ("its letter", "set, or take back"),
            ("tab", "more"),
        ]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_limit_has_a_letter_of_its_own_that_the_page_does_not_use() {
        for &load in Load::ALL {
            let own = letter(load).expect("a letter");
            assert_eq!(limit(own), Some(load), "{own}");
            assert!(own.is_ascii_lowercase() && !['t', 'q', 'y'].contains(&own));
        }
        assert_eq!(LETTERS.len(), Load::ALL.len());
        assert_eq!((limit('t'), limit('q'), limit('z')), (None, None, None));
    }
}
