//! A WAV file written as it is made, in one or two channels that are the same.

use std::io::{Seek, Write};

use hound::{SampleFormat, WavSpec, WavWriter};

use crate::sound::SampleRate;

/// How a track is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TrackFormat {
    /// Frames a second.
    pub rate: SampleRate,
    /// 16 or 24.
    pub bits: u16,
    /// 1 or 2.
    pub channels: u16,
}

impl TrackFormat {
    /// The most frames that a WAV can hold: its lengths are of 32 bits.
    #[must_use]
    pub fn most(self) -> u64 {
        let frame = u64::from(self.channels) * u64::from(self.bits / 8);
        (u64::from(u32::MAX) - 4096) / frame.max(1)
    }
}

/// A track that is being written.
pub struct Track<W: Write + Seek> {
    writer: WavWriter<W>,
    format: TrackFormat,
    full: f32,
}

impl<W: Write + Seek> std::fmt::Debug for Track<W> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Track").field(&self.format).finish()
    }
}

impl<W: Write + Seek> Track<W> {
    /// Begins one.
    ///
    /// # Errors
    /// What the system says.
    pub fn begin(to: W, format: TrackFormat) -> std::io::Result<Self> {
        let spec = WavSpec {
            channels: format.channels,
            sample_rate: format.rate.get(),
            bits_per_sample: format.bits,
            sample_format: SampleFormat::Int,
        };
        Ok(Self {
            writer: WavWriter::new(to, spec).map_err(said)?,
            format,
            full: 2_f32.powi(i32::from(format.bits) - 1),
        })
    }

    /// Writes frames; what is beyond full scale is at full scale.
    ///
    /// # Errors
    /// What the system says.
    pub fn write(&mut self, frames: &[f32]) -> std::io::Result<()> {
        for frame in frames {
            let whole = (frame * self.full)
                .round()
                .clamp(-self.full, self.full - 1.0);
            #[expect(clippy::cast_possible_truncation, reason = "clamped to 24 bits")]
            let whole = whole as i32;
            for _ in 0..self.format.channels {
                self.writer.write_sample(whole).map_err(said)?;
            }
        }
        Ok(())
    }

    /// Writes what is left, and the lengths into the header.
    ///
    /// # Errors
    /// What the system says.
    pub fn finish(self) -> std::io::Result<()> {
        self.writer.finalize().map_err(said)
    }
}

fn said(error: hound::Error) -> std::io::Error {
    match error {
        hound::Error::IoError(error) => error,
        other => std::io::Error::other(other),
    }
}
