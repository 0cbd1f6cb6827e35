//! The usual cautions, shown once before a class.
//!
//! Sources: test-termination signs and pre-participation screening of the American College of
//! Sports Medicine, as listed in its guidelines (seen in secondary texts); the warning signs in
//! pregnancy of ACOG Committee Opinion 804 (2020), from memory. What to check in the room is common
//! practice, no source. They do not replace the venue's rules, nor licensed practice.

/// Where a caution stands on the emergency card, which has room for what is wanted in an emergency.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum OnCard {
    /// Before all else: what to do at once.
    AtOnce,
    /// Right under it: the signs.
    Signs,
    /// Under those: what else is to be known.
    Also,
    /// Nowhere: it is for before the class.
    No,
}

/// A sentence to keep in mind.
#[derive(Clone, Copy, Debug)]
pub(super) struct Caution {
    pub(super) says: &'static str,
    pub(super) on_card: OnCard,
}

const fn caution(says: &'static str, on_card: OnCard) -> Caution {
    Caution { says, on_card }
}

/// What to keep in mind, a line of sentences each, the weightiest first.
const LINES: [&[Caution]; 5] = [
    &[
        caution(
            "The venue's rules, local law and licensed practice come first.",
            OnCard::No,
        ),
        caution(
            "Anyone may stop or take another version at any time.",
            OnCard::No,
        ),
    ],
    &[
        caution(
            "Stop someone with chest pain, wheeze or severe breathlessness, dizziness, fainting, confusion, cold clammy skin, a changed heartbeat, new weakness, a knock to the head or signs of heat.",
            OnCard::Signs,
        ),
        caution(
            "Call the emergency number, send for the defibrillator, stay.",
            OnCard::AtOnce,
        ),
    ],
    &[caution(
        "Before class: the venue's address and exits in hand; floor, footwear, bands and chairs checked.",
        OnCard::Also,
    )],
    &[
        caution(
            "Ask in private about illness, injury, pregnancy and medicines; who is unsure asks their doctor or midwife first.",
            OnCard::No,
        ),
        caution("Everyone rises slowly.", OnCard::No),
    ],
    &[
        caution(
            "In pregnancy also stop for bleeding, fluid, contractions, belly or chest pain, headache, dizziness, weakness, calf pain or swelling, breathlessness before effort.",
            OnCard::Also,
        ),
        caution("Offer side-lying, seated or incline.", OnCard::No),
    ],
];

/// The lines before a class.
pub(super) fn lines() -> Vec<String> {
    let line = |line: &&[Caution]| {
        let says: Vec<&str> = line.iter().map(|caution| caution.says).collect();
        says.join(" ")
    };
    LINES.iter().map(line).collect()
}

/// What stands at these places of the emergency card, the more urgent first.
pub(super) fn on_card(places: &[OnCard]) -> Vec<String> {
    let all = LINES.iter().copied().flatten();
    let mut these: Vec<&Caution> = all.filter(|one| places.contains(&one.on_card)).collect();
    these.sort_by_key(|caution| caution.on_card);
    these
        .iter()
        .map(|caution| caution.says.to_owned())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The signs, as the sources name them.
    #[test]
    fn no_sign_is_left_out() {
        let all = lines().join(" ").to_lowercase();
        for sign in [
            "venue's rules",
            "licensed practice",
            "chest pain",
            "wheeze",
            "breathlessness",
            "dizziness",
            "fainting",
            "confusion",
            "clammy",
            "heartbeat",
            "new weakness",
            "knock to the head",
            "heat",
            "emergency number",
            "defibrillator",
            "stay",
            "address",
            "exits",
            "floor",
            "footwear",
            "bands",
            "chairs",
            "private",
            "illness",
            "injury",
            "medicines",
            "doctor or midwife",
            "rises slowly",
            "bleeding",
            "fluid",
            "contractions",
            "belly or chest pain",
            "headache",
            "weakness",
            "calf pain or swelling",
            "breathlessness before effort",
        ] {
            assert!(all.contains(sign), "{sign}");
        }
    }
}
