//! WAV as a speaker program writes it, as samples of one channel; and back, to be kept.

use std::io::Cursor;

use hound::{SampleFormat, WavReader, WavSpec, WavWriter};

use super::clip::Clip;
use super::fault::SpeechFault;
use crate::sound::SampleRate;

/// What a program writes into the header that does not know its length yet: this or more, or 0.
const UNKNOWN: u32 = 0x7fff_0000;
/// Rates that a program may have.
const RATES: std::ops::RangeInclusive<u32> = 8_000..=192_000;
/// Channels that it may have.
const CHANNELS: u16 = 8;

/// Reads a WAV of whole numbers or floats; several channels become one.
pub(super) fn read(mut bytes: Vec<u8>) -> Result<Clip, SpeechFault> {
    length_told(&mut bytes)?;
    let mut reader = WavReader::new(Cursor::new(bytes)).map_err(|error| no_wav(&error))?;
    let spec = reader.spec();
    if !RATES.contains(&spec.sample_rate) || !(1..=CHANNELS).contains(&spec.channels) {
        let (channels, rate) = (spec.channels, spec.sample_rate);
        let what = format!("{channels} channels of {rate} Hz");
        return Err(SpeechFault::NoWav(what));
    }
    let samples: Result<Vec<f32>, hound::Error> = match spec.sample_format {
        SampleFormat::Float => reader.samples::<f32>().collect(),
        SampleFormat::Int => {
            let full = 2_f32.powi(i32::from(spec.bits_per_sample) - 1);
            let samples = reader.samples::<i32>();
            samples.map(|sample| Ok(whole(sample?) / full)).collect()
        }
    };
    let samples = samples.map_err(|error| no_wav(&error))?;
    if samples.iter().any(|sample| !sample.is_finite()) {
        return Err(SpeechFault::NoWav(
            "it has samples that are no numbers".into(),
        ));
    }
    let share = 1.0 / f32::from(spec.channels);
    let frames = samples.chunks_exact(usize::from(spec.channels));
    let one = frames.map(|frame| frame.iter().sum::<f32>() * share);
    Ok(Clip {
        rate: SampleRate::hertz(spec.sample_rate),
        samples: one.collect(),
    })
}

#[expect(
    clippy::cast_precision_loss,
    reason = "24 bits fit, and more are not heard"
)]
const fn whole(sample: i32) -> f32 {
    sample as f32
}

fn no_wav(error: &hound::Error) -> SpeechFault {
    SpeechFault::NoWav(error.to_string())
}

/// Puts the true length into a header that was written before it was known. A file that is shorter
/// than its header says was cut.
fn length_told(bytes: &mut [u8]) -> Result<(), SpeechFault> {
    let word = |bytes: &[u8], at: usize| -> Option<u32> {
        let four = bytes.get(at..at + 4)?;
        Some(u32::from_le_bytes(four.try_into().ok()?))
    };
    let mut at = 12;
    while let Some(length) = word(bytes, at + 4) {
        let (from, left) = (at + 8, bytes.len() - at - 8);
        let left = u32::try_from(left).unwrap_or(u32::MAX);
        if bytes[at..].starts_with(b"data") {
            let block = bytes
                .get(32..34)
                .map_or(1, |b| u32::from(b[0]) | u32::from(b[1]) << 8);
            let is_unknown = length >= UNKNOWN || length == 0;
            if !is_unknown && length > left {
                return Err(SpeechFault::Half);
            }
            if is_unknown {
                let whole = left - left % block.max(1);
                bytes[from - 4..from].copy_from_slice(&whole.to_le_bytes());
            }
            return Ok(());
        }
        // Chunks begin at even places.
        at = from + length as usize + (length % 2) as usize;
    }
    Err(SpeechFault::Half)
}

/// A clip as a WAV of 16 bits.
pub(super) fn written(clip: &Clip) -> Option<Vec<u8>> {
    let spec = WavSpec {
        channels: 1,
        sample_rate: clip.rate.get(),
        bits_per_sample: 16,
        sample_format: SampleFormat::Int,
    };
    let mut bytes = Cursor::new(Vec::new());
    let mut writer = WavWriter::new(&mut bytes, spec).ok()?;
    for sample in &clip.samples {
        writer.write_sample(sixteen(*sample)).ok()?;
    }
    writer.finalize().ok()?;
    Some(bytes.into_inner())
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a float turned into an integer saturates"
)]
fn sixteen(sample: f32) -> i16 {
    (sample * 32_768.0).round() as i16
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clip() -> Clip {
        let samples = (0..2_000_i16).map(|n| f32::from(n % 100 - 50) / 64.0);
        Clip {
            rate: SampleRate::hertz(22_050),
            samples: samples.collect(),
        }
    }

    #[test]
    fn what_is_written_is_read_again() {
        let read = read(written(&clip()).unwrap()).unwrap();
        assert_eq!(read.rate, clip().rate);
        assert_eq!(read.samples.len(), 2_000);
        let meant = clip().samples;
        let mut off = read.samples.iter().zip(&meant);
        assert!(off.all(|(a, b)| (a - b).abs() < 1e-4));
    }

    /// A header written before the length was known has a length that no file has; any other that is
    /// too long is a file that was cut.
    #[test]
    fn a_length_that_was_not_known_is_found_out_and_half_a_file_is_refused() {
        let whole = written(&clip()).unwrap();
        for unknown in [0, 0x7fff_f000, u32::MAX] {
            let mut bytes = whole.clone();
            bytes[40..44].copy_from_slice(&unknown.to_le_bytes());
            assert_eq!(read(bytes).unwrap().samples.len(), 2_000, "{unknown:x}");
        }
        for cut in [0, 11, 30, 43, 44, 1_000, whole.len() - 1] {
            let half = whole[..cut].to_vec();
            assert_eq!(read(half).unwrap_err(), SpeechFault::Half, "{cut}");
        }
    }

    /// Bytes at random, and a good file with bytes changed at random: read, or refused, never worse.
    #[test]
    fn noise_is_no_wav() {
        let mut random = fastrand::Rng::with_seed(3);
        let whole = written(&clip()).unwrap();
        for _ in 0..2_000 {
            let noise: Vec<u8> = (0..random.usize(0..400)).map(|_| random.u8(..)).collect();
            assert!(read(noise).is_err());
            let mut bytes = whole.clone();
            for _ in 0..random.usize(1..6) {
                bytes[random.usize(0..48)] = random.u8(..);
            }
            let _ = read(bytes);
        }
    }
}
