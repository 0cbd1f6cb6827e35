//! The emergency card of a running class, from the cautions that are shown before it.

use super::cautions::{OnCard, on_card};
use super::keys::{Action, Keys};
use crate::screen::Hint;
use crate::screen::pages::CardPage;

/// The card, with the keys that hold the class and keep the others moving.
pub(super) fn page(keys: &Keys) -> CardPage {
    let mut hints = vec![Hint::new("esc", "close")];
    let ways = keys.hints(&[Action::Hold, Action::KeepMoving]);
    hints.extend(ways.into_iter().map(|(key, label)| Hint::new(key, label)));
    CardPage {
        // What to do comes before the signs: whoever opens this has seen one.
        first: on_card(&[OnCard::AtOnce, OnCard::Signs]),
        lines: on_card(&[OnCard::Also]),
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
