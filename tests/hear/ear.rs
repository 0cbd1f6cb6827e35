//! Finds tones in a recording: two channels of 16 bits at 48 kHz, the first ours alone, the second
//! ours and the other player's.

use std::path::Path;

use matside::sound::{Palette, SampleRate};

use super::player::VOLUME;
use super::{SignalKind, naive};

/// Samples of a recording, one channel.
pub(crate) type Samples = Vec<f32>;

/// Below this a sample is silence: one step of 16 bits and a half.
pub(crate) const SILENCE: f32 = 1.5 / 32_768.0;
/// Samples of a tone that are compared: 60 ms.
const COMPARED: usize = 2_880;
/// Samples in which a tone that is taken over fades: 6 ms.
const FADE: usize = 288;
/// Samples around its place in which a tone is looked for again.
const AROUND: usize = 200;
/// How alike they must be, 1 being the same.
const ALIKE: f64 = 0.85;

/// Both channels of a recording.
pub(crate) fn sides(path: &Path) -> (Samples, Samples) {
    let bytes = std::fs::read(path).unwrap();
    let sample = |pair: &[u8]| f32::from(i16::from_le_bytes([pair[0], pair[1]])) / 32_768.0;
    let frames = bytes.chunks_exact(4);
    let frames = frames.map(|frame| (sample(&frame[..2]), sample(&frame[2..])));
    frames.unzip()
}

/// Ours, and what the other player adds to it.
pub(crate) fn apart(left: Samples, right: &[f32]) -> (Samples, Samples) {
    let both = left.iter().zip(right);
    let added = both.map(|(left, right)| {
        let added = right - left;
        if added.abs() <= 2.0 * SILENCE {
            0.0
        } else {
            added
        }
    });
    let added = added.collect();
    (left, added)
}

/// The tones that a player has.
pub(crate) struct Tones(Vec<(SignalKind, Samples)>);

impl Tones {
    pub(crate) fn ours() -> Self {
        use SignalKind::{Count, End, Go, Half, Stop, Switch, Warn};
        let palette = Palette::at(SampleRate::hertz(48_000));
        #[expect(clippy::cast_possible_truncation, reason = "samples are f32")]
        let factor = VOLUME.decibels().unwrap().amplitude() as f32;
        let kinds = [Count, Go, Stop, Half, Switch, Warn, End];
        let tone = |kind| palette.tone(kind).iter().map(|s| s * factor).collect();
        Self(kinds.map(|kind| (kind, tone(kind))).to_vec())
    }

    /// One beep for everything.
    pub(crate) fn naive() -> Self {
        use SignalKind::{Count, End, Go, Half, Stop, Switch, Warn};
        let kinds = [Count, Go, Stop, Half, Switch, Warn, End];
        Self(kinds.map(|kind| (kind, naive::beep())).to_vec())
    }

    pub(crate) fn tone(&self, kind: SignalKind) -> &[f32] {
        let named = self.0.iter().find(|(other, _)| *other == kind);
        &named.unwrap().1
    }

    /// Where in a stretch of a recording a tone begins, if it is there: the best place, and only if
    /// it is alike in shape and loudness.
    pub(crate) fn find(
        &self,
        kind: SignalKind,
        samples: &[f32],
        stretch: std::ops::Range<usize>,
    ) -> Option<usize> {
        let tone = self.tone(kind);
        let tone = &tone[..tone.len().min(COMPARED)];
        let alike = |place: usize| {
            let heard = samples.get(place..place + tone.len())?;
            Some((likeness(tone, heard), place))
        };
        let (alike, place) = stretch
            .filter_map(alike)
            .max_by(|a, b| a.0.total_cmp(&b.0))?;
        (alike > ALIKE).then(|| self.refined(kind, samples, place))
    }
}

impl Tones {
    /// The place of a tone that began while another faded under it: its end tells it better than
    /// its beginning, if it was played to its end.
    fn refined(&self, kind: SignalKind, samples: &[f32], near: usize) -> usize {
        let tone = self.tone(kind);
        let alike = |place: usize| {
            let heard = samples.get(place + FADE..place + tone.len())?;
            Some((likeness(&tone[FADE..], heard), place))
        };
        let places = near.saturating_sub(AROUND)..=near + AROUND;
        let best = places.filter_map(alike).max_by(|a, b| a.0.total_cmp(&b.0));
        best.filter(|(alike, _)| *alike > 0.95)
            .map_or(near, |(_, place)| place)
    }
}

/// 1 where both are the same, less where shape or loudness differ.
fn likeness(tone: &[f32], heard: &[f32]) -> f64 {
    if heard.iter().step_by(97).all(|sample| *sample == 0.0) {
        return 0.0;
    }
    let (mut both, mut one, mut other) = (0.0_f32, 0.0_f32, 0.0_f32);
    for (a, b) in tone.iter().zip(heard) {
        both += a * b;
        one += a * a;
        other += b * b;
    }
    f64::from(both / one.max(other).max(f32::MIN_POSITIVE))
}
