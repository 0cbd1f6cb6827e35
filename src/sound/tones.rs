//! What each signal sounds like, as figures: pitches, lengths, levels.
//!
//! An ear at work tells few signals apart (at most four, MIL-STD-1472), so there are four
//! families: the count with its go and stop, one figure by pitch; short pips, two for half and
//! three for the warning; the rising pair of a switch; and the ending, three short and one long.
//! Fundamentals stay between 800 and 2000 Hz (at most 2.5 kHz: ISO 24500 / JIS S 0013), the
//! overtones, which carry over music, below 5 kHz.
//!
//! This file refuses to know sample rates and time: `palette` makes samples of it.

use super::units::Decibels;
use crate::plan::SignalKind;

/// All kinds, in the order in which a palette keeps them.
pub(crate) const KINDS: [SignalKind; 7] = [
    SignalKind::Count,
    SignalKind::Go,
    SignalKind::Stop,
    SignalKind::Half,
    SignalKind::Switch,
    SignalKind::Warn,
    SignalKind::End,
];

/// One sounding piece of a tone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Note {
    /// Milliseconds from the tone's onset to the note's.
    pub(crate) at: u32,
    /// Its length in milliseconds, ramps included.
    pub(crate) length: u32,
    /// Its pitch.
    pub(crate) pitch: Pitch,
}

/// A fundamental and the level that makes it as loud as the others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pitch {
    /// The fundamental in hertz.
    pub(crate) hertz: f64,
    /// The peak of the note against full scale.
    pub(crate) level: Decibels,
}

/// The count. The others stand to it in simple ratios, so that nothing jars over an hour.
const MIDDLE: Pitch = pitch(1100.0, -1.9);
/// A fifth above: work begins.
const HIGH: Pitch = pitch(1650.0, -2.6);
/// A fourth below: work ends.
const LOW: Pitch = pitch(825.0, -1.5);
/// A minor third above the count: the pips inside an interval.
const PIP: Pitch = pitch(1320.0, -2.2);

const fn pitch(hertz: f64, level: f64) -> Pitch {
    Pitch {
        hertz,
        level: Decibels(level),
    }
}

const fn note(at: u32, length: u32, pitch: Pitch) -> Note {
    Note { at, length, pitch }
}

/// The notes of a signal's tone, in order, none overlapping.
pub(crate) const fn notes(kind: SignalKind) -> &'static [Note] {
    match kind {
        SignalKind::Count => const { &[note(0, 120, MIDDLE)] },
        SignalKind::Go => const { &[note(0, 420, HIGH)] },
        SignalKind::Stop => const { &[note(0, 420, LOW)] },
        SignalKind::Half => const { &[note(0, 70, PIP), note(130, 70, PIP)] },
        SignalKind::Switch => const { &[note(0, 150, LOW), note(180, 150, PIP)] },
        SignalKind::Warn => const { &[note(0, 70, PIP), note(130, 70, PIP), note(260, 70, PIP)] },
        SignalKind::End => {
            const {
                &[
                    note(0, 120, MIDDLE),
                    note(220, 120, MIDDLE),
                    note(440, 120, MIDDLE),
                    note(660, 600, LOW),
                ]
            }
        }
    }
}

/// The place of a kind in a palette.
pub(crate) const fn place(kind: SignalKind) -> usize {
    match kind {
        SignalKind::Count => 0,
        SignalKind::Go => 1,
        SignalKind::Stop => 2,
        SignalKind::Half => 3,
        SignalKind::Switch => 4,
        SignalKind::Warn => 5,
        SignalKind::End => 6,
    }
}

/// Which of two signals is kept where they meet: the one that somebody has to act on.
pub(crate) const fn rank(kind: SignalKind) -> u8 {
    match kind {
        SignalKind::Count => 0,
        SignalKind::Half | SignalKind::Warn => 1,
        SignalKind::Switch => 2,
        SignalKind::Stop => 3,
        SignalKind::Go => 4,
        SignalKind::End => 5,
    }
}
