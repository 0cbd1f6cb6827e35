//! The usual cautions, shown once before a class and printed on its sheet.
//!
//! Sources: test-termination signs and pre-participation screening of the American College of
//! Sports Medicine, as listed in its guidelines (seen in secondary texts); the warning signs in
//! pregnancy of ACOG Committee Opinion 804 (2020), from memory. What to check in the room is common
//! practice, no source. They do not replace the venue's rules, nor licensed practice.

/// What to keep in mind, a line each, the weightiest first.
pub const CAUTIONS: [&str; 5] = [
    "The venue's rules, local law and licensed practice come first. Anyone may stop or take another version at any time.",
    "Stop someone with chest pain, wheeze or severe breathlessness, dizziness, fainting, confusion, cold clammy skin, a changed heartbeat, new weakness, a knock to the head or signs of heat. Call the emergency number, send for the defibrillator, stay.",
    "Before class: the venue's address and exits in hand; floor, footwear, bands and chairs checked.",
    "Ask in private about illness, injury, pregnancy and medicines; who is unsure asks their doctor or midwife first. Everyone rises slowly.",
    "In pregnancy also stop for bleeding, fluid, contractions, belly or chest pain, headache, dizziness, weakness, calf pain or swelling, breathlessness before effort. Offer side-lying, seated or incline.",
];

#[cfg(test)]
mod tests {
    use super::*;

    /// The signs, as the sources name them.
    #[test]
    fn no_sign_is_left_out() {
        let all = CAUTIONS.join(" ").to_lowercase();
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
