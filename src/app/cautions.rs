//! The usual cautions, shown once before a class.
//!
//! Source: test-termination signs and pre-participation screening of the American College of
//! Sports Medicine, as listed in its guidelines (seen in secondary texts). They do not replace
//! the venue's rules, nor licensed practice.

/// What to keep in mind, a line each.
pub(super) const CAUTIONS: [&str; 4] = [
    "The venue's rules and licensed practice come first. Anyone may stop or choose another option at any time.",
    "Stop someone with chest pain, severe breathlessness, dizziness, confusion, cold clammy skin or a changed heartbeat, and get help.",
    "Ask before class about illness, injury, pregnancy and medicines; who is unsure asks their doctor or midwife first.",
    "In pregnancy also stop for bleeding, headache, calf pain, contractions or fluid; offer side-lying, seated or incline.",
];
