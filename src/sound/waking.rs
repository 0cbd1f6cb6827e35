//! A tone that nobody hears, for a loudspeaker that falls asleep in silence and swallows the first
//! tone after it.
//!
//! It is as deep and as low as a device still plays as a signal: 20 Hz at -54 dB. The threshold of
//! hearing at 20 Hz is 78.5 dB (ISO 226:2003, table 1); a loudspeaker that reaches 110 dB at full scale
//! would make 56 dB of it, and a small one plays next to nothing so deep. A loudspeaker that takes what
//! is so low for silence falls asleep all the same.

use super::units::SampleRate;

/// Hertz.
const PITCH: f64 = 20.0;
/// Of full scale: -54 dB.
const HEIGHT: f64 = 0.002;

/// The tone, from its beginning on.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Waking {
    /// Turns a frame.
    step: f64,
    /// Turns since the last whole one.
    turned: f64,
}

impl Waking {
    pub(crate) fn at(rate: SampleRate) -> Self {
        Self {
            step: PITCH / f64::from(rate.get()),
            turned: 0.0,
        }
    }

    /// Adds its next samples to what the room and the ear hear.
    pub(crate) fn add(&mut self, room: &mut [f32], ear: &mut [f32]) {
        for (room, ear) in room.iter_mut().zip(ear) {
            #[expect(clippy::cast_possible_truncation, reason = "a sample of a sine")]
            let sample = (HEIGHT * (self.turned * std::f64::consts::TAU).sin()) as f32;
            *room += sample;
            *ear += sample;
            self.turned = (self.turned + self.step).fract();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the loudest of all loudspeakers makes of it is below the threshold of hearing: 78.5 dB at
    /// 20 Hz (ISO 226:2003, table 1); 120 dB at full scale is more than a hall has (common practice, no
    /// source). It is all of one pitch, and goes on through any block.
    #[test]
    fn nobody_hears_it_and_no_device_takes_it_for_silence() {
        for rate in [8_000_u32, 22_050, 44_100, 48_000, 192_000] {
            let mut waking = Waking::at(SampleRate::hertz(rate));
            let frames = usize::try_from(rate).unwrap();
            let (mut room, mut ear) = (vec![0.0; frames], vec![0.0; frames]);
            for (room, ear) in room.chunks_mut(64).zip(ear.chunks_mut(64)) {
                waking.add(room, ear);
            }
            assert_eq!(room, ear);
            let (mut sine, mut cosine, mut power) = (0.0, 0.0, 0.0);
            for (n, sample) in (0_u32..).zip(&room) {
                let turn = f64::from(n) * PITCH / f64::from(rate) * std::f64::consts::TAU;
                let sample = f64::from(*sample);
                sine += sample * turn.sin();
                cosine += sample * turn.cos();
                power += sample * sample;
            }
            let height = 2.0 * sine.hypot(cosine) / f64::from(rate);
            let decibels = 20.0 * height.log10();
            assert!(120.0 + decibels < 78.5 - 12.0, "{rate}: {decibels}");
            // A sixteen-bit card still has some sixty steps for it.
            assert!(height * 32_768.0 > 60.0, "{rate}: {height}");
            let other = 1.0 - height * height / 2.0 * f64::from(rate) / power;
            assert!(
                other.abs() < 1e-6,
                "{rate}: {other} of it is not that pitch"
            );
        }
    }
}
