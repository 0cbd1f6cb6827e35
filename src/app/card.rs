//! The emergency card of a running class, from the cautions that are shown before it.

use super::keys::{Action, Keys};
use crate::export::CAUTIONS;
use crate::screen::Hint;
use crate::screen::pages::CardPage;

/// What the weightiest lines speak of: what to do at once.
const AT_ONCE: &str = "emergency number";
/// What the other lines of the card speak of.
const ON_THE_CARD: [&str; 2] = ["stop for", "address"];

/// The card, with the keys that hold the class and keep the others moving.
pub(super) fn page(keys: &Keys) -> CardPage {
    let lines = |speak: &[&str]| -> Vec<String> {
        let of = |line: &&&str| speak.iter().any(|words| line.contains(words));
        let lines = CAUTIONS.iter().filter(of);
        lines.map(|line| (*line).to_owned()).collect()
    };
    let mut first: Vec<String> = lines(&[AT_ONCE])
        .iter()
        .flat_map(|line| line.split_inclusive(". "))
        .map(|sentence| sentence.trim().to_owned())
        .collect();
    // What to do comes before the signs: whoever opens this has seen one.
    first.sort_by_key(|sentence| !sentence.contains(AT_ONCE));
    let mut hints = vec![Hint::new("esc", "close")];
    let ways = keys.hints(&[Action::Hold, Action::KeepMoving]);
    hints.extend(ways.into_iter().map(|(key, label)| Hint::new(key, label)));
    CardPage {
        first,
        lines: lines(&ON_THE_CARD),
        hints,
    }
}

#[cfg(test)]
mod tests {
    use super::super::keys::Preset;
    use super::*;

    /// The signs and what to do, as the sources of the cautions name them; whatever the cautions
    /// come to be worded like, the card must not be without them.
    #[test]
    fn the_card_says_what_to_do_first_and_leaves_no_sign_out() {
        let page = page(&Keys::of(Preset::Arrows, &[]));
        assert!(page.first[0].contains("emergency number"));
        assert!(page.first[0].contains("defibrillator"));
        let all = [page.first, page.lines].concat().join(" ");
        for sign in [
            "chest pain",
            "breathlessness",
            "dizziness",
            "fainting",
            "confusion",
            "clammy",
            "heartbeat",
            "weakness",
            "knock to the head",
            "heat",
            "bleeding",
            "address",
        ] {
            assert!(all.contains(sign), "{sign}: {all}");
        }
        let keys: Vec<&str> = page.hints.iter().map(|hint| hint.key.as_str()).collect();
        assert_eq!(keys, ["esc", "space", "k"]);
    }
}
