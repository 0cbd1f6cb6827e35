//! The pulse of a running class: where it was last seen, written in place twice a second.
//!
//! The record says what happened; between two facts it says nothing, and a killed program would
//! come back to the last of them. The pulse closes this gap. It has two places that are written in
//! turn, each with a number and a checksum, so that a write that was cut short leaves the one
//! before it. It is never needed to read a record.

use serde::{Deserialize, Serialize};

use super::entry::sealed_json;
use super::line;
use super::wall::{self, Wall};
use crate::time::{Moment, Offset};

/// Where a class was last seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pulse {
    /// Where the class was.
    pub offset: Offset,
    /// When, by the steady clock of the class.
    pub at: Moment,
    /// When, by the clock on the wall, to the millisecond.
    #[serde(with = "wall")]
    pub wall: Wall,
}

/// Bytes of one of the two places.
pub const PULSE_SLOT: usize = 256;

#[derive(Serialize, Deserialize)]
struct Written {
    beat: u64,
    #[serde(flatten)]
    pulse: Pulse,
}

impl Pulse {
    /// The bytes of this pulse as the `beat`th, and where in the file they belong.
    #[must_use]
    pub fn slot(self, beat: u64) -> (u64, Vec<u8>) {
        let mut bytes = sealed_json(&Written { beat, pulse: self });
        bytes.pop();
        bytes.resize(PULSE_SLOT - 1, b' ');
        bytes.push(b'\n');
        (beat % 2 * PULSE_SLOT as u64, bytes)
    }

    /// The last pulse of a file that is whole, with its beat; none where there is no whole one.
    #[must_use]
    pub fn last(bytes: &[u8]) -> Option<(u64, Self)> {
        bytes
            .chunks(PULSE_SLOT)
            .map(<[u8]>::trim_ascii_end)
            .filter(|slot| line::is_whole(slot))
            .filter_map(|slot| serde_json::from_slice::<Written>(slot).ok())
            .max_by_key(|written| written.beat)
            .map(|written| (written.beat, written.pulse))
    }
}

#[cfg(test)]
mod tests {
    use chrono::DateTime;

    use super::*;

    fn pulse(beat: u64) -> Pulse {
        Pulse {
            offset: Offset::from_millis(beat * 1000),
            at: Moment::from_millis(u64::MAX - beat),
            wall: DateTime::parse_from_rfc3339("2026-03-02T18:30:05.120+01:00").unwrap(),
        }
    }

    #[test]
    fn a_write_cut_short_anywhere_leaves_the_beat_before_it() {
        let mut file = vec![0; 2 * PULSE_SLOT];
        for beat in 0..6 {
            let (to, bytes) = pulse(beat).slot(beat);
            let to = usize::try_from(to).unwrap();
            for cut in 0..bytes.len() {
                let mut torn = file.clone();
                torn[to..to + cut].copy_from_slice(&bytes[..cut]);
                let seen = Pulse::last(&torn);
                let whole = Some((beat, pulse(beat)));
                let before = beat.checked_sub(1).map(|beat| (beat, pulse(beat)));
                assert!(seen == whole || seen == before, "beat {beat} cut at {cut}");
            }
            file[to..to + bytes.len()].copy_from_slice(&bytes);
            assert_eq!(Pulse::last(&file), Some((beat, pulse(beat))));
        }
        assert_eq!(Pulse::last(&[]), None);
    }
}
