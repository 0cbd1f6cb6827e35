//! The default sound device. This file alone names the audio library.
//!
//! The library's mixer pulls our one endless source from the device's callback. Nothing here is
//! allowed to print: the screen is the instructor's.

use rodio::cpal::{BufferSize, Error, ErrorKind};
use rodio::{ChannelCount, CpalError, DeviceSinkBuilder, DeviceSinkError, DeviceTrait};
use rodio::{MixerDeviceSink, Source};

use super::backend::{Backend, Opened, Report, Studio, Trouble};
use super::stream::Stream;
use super::units::SampleRate;

/// Milliseconds taken for the buffer of a device that does not tell: what the library asks for.
const USUAL_BUFFER: i64 = 43;

/// The system's default output.
pub(crate) struct DefaultDevice;

impl Backend for DefaultDevice {
    fn open(&self, studio: &Studio, report: Report) -> Result<Opened, Trouble> {
        let default = rodio::cpal::default_host();
        let device = rodio::cpal::traits::HostTrait::default_output_device(&default)
            .ok_or(Trouble::NoDevice)?;
        let name = device
            .description()
            .map_or_else(|_| "default".into(), |d| d.name().to_owned());
        let mut sink = DeviceSinkBuilder::from_device(device)
            .map_err(|error| trouble_of(&error))?
            .with_error_callback(move |error| tell(&report, &error))
            .open_sink_or_fallback()
            .map_err(|error| trouble_of(&error))?;
        sink.log_on_drop(false);
        let stream = studio.stream(rate(&sink), buffer(&sink));
        sink.mixer().add(Played(stream));
        Ok(Opened {
            name,
            device: Box::new(sink),
        })
    }
}

fn rate(sink: &MixerDeviceSink) -> SampleRate {
    SampleRate::hertz(sink.config().sample_rate().get())
}

/// Milliseconds that a frame waits in the buffer: one callback's worth, since a callback comes
/// when so much has been played. A system may cut the buffer otherwise than it was asked to
/// (through a sound server 57 ms were measured where 43 are taken here); the rest of the way to
/// the ear is unknown anyway, and is what the user's offset is for.
fn buffer(sink: &MixerDeviceSink) -> i64 {
    match sink.config().buffer_size() {
        BufferSize::Fixed(frames) => {
            let rate = i64::from(sink.config().sample_rate().get());
            i64::from(*frames) * 1000 / rate
        }
        BufferSize::Default => USUAL_BUFFER,
    }
}

fn tell(report: &Report, error: &Error) {
    match error.kind() {
        ErrorKind::Xrun => report.xrun(),
        // The stream goes on: on another route, or without a privilege.
        ErrorKind::DeviceChanged | ErrorKind::RealtimeDenied => {}
        ErrorKind::DeviceNotAvailable | ErrorKind::StreamInvalidated => {
            report.broken(trouble(error));
        }
        // The library goes on after these. A server under load has been seen to refuse a question
        // and to play on; a dead one refuses for good.
        _ => report.fault(trouble(error)),
    }
}

/// Why a device could not be opened.
fn trouble_of(error: &DeviceSinkError) -> Trouble {
    match error {
        DeviceSinkError::NoDevice => Trouble::NoDevice,
        DeviceSinkError::PlayError(cause)
        | DeviceSinkError::DefaultSinkConfigError(cause)
        | DeviceSinkError::BuildError(cause)
        | DeviceSinkError::SupportedConfigsError(cause) => match trouble(cause) {
            // What cannot even be opened was never there.
            Trouble::Gone => Trouble::NoDevice,
            other => other,
        },
        DeviceSinkError::UnsupportedSampleFormat => Trouble::Other(error.to_string()),
    }
}

/// Why an open device has failed.
fn trouble(error: &CpalError) -> Trouble {
    match error.kind() {
        ErrorKind::DeviceBusy => Trouble::Busy,
        ErrorKind::DeviceNotAvailable | ErrorKind::StreamInvalidated => Trouble::Gone,
        ErrorKind::HostUnavailable => Trouble::NoDevice,
        ErrorKind::PermissionDenied => Trouble::Refused,
        _ => Trouble::Other(error.to_string()),
    }
}

/// A stream as the audio library takes it.
struct Played(Stream);

impl Iterator for Played {
    type Item = f32;

    fn next(&mut self) -> Option<f32> {
        self.0.next()
    }
}

impl Source for Played {
    fn current_span_len(&self) -> Option<usize> {
        None
    }

    fn channels(&self) -> ChannelCount {
        ChannelCount::MIN
    }

    fn sample_rate(&self) -> rodio::SampleRate {
        rodio::SampleRate::new(self.0.rate().get()).unwrap_or(rodio::SampleRate::MIN)
    }

    fn total_duration(&self) -> Option<std::time::Duration> {
        None
    }
}
