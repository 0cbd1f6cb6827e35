//! The default sound device, by the audio library.
//!
//! The library opens the stream and finds a format that the device takes; each of the device's channels
//! gets what is for it. What it does not pass on, the time at which a callback's samples are
//! heard, is overheard by the device that it is handed (`tapped`).
//!
//! The library's mixer pulls our one endless source from the device's callback. Nothing here is
//! allowed to print: the screen is the instructor's.

use cpal::traits::{DeviceTrait, HostTrait};
use cpal::{BufferSize, Error, ErrorKind};

use super::backend::{Backend, Opened, Report, Studio, Trouble};
use super::eager::Eager;
use super::library::{self, ChannelCount, CpalError, cpal};
use super::library::{DeviceSinkBuilder, DeviceSinkError, MixerDeviceSink, Source};
use super::settings::{Format, Output, Route};
use super::stream::{Frame, Stream};
use super::tapped::Tapped;
use super::units::SampleRate;

/// Milliseconds from one callback to the next, at the least; the next power of two in frames is
/// asked for, 85 ms at 48 kHz, and a device holds two such stretches: 171 ms.
///
/// Chosen by a minute each through a sound server, beside twelve busy loops and some compilers on two
/// cores (`tests/hear.sh`), without and with real-time priority. Stretches of 21 ms: 128 and 92 times
/// dry, 6 and 1 tones of 17 lost. 43 ms: 60 and 2, 2 and 0 lost. 85 ms: 5 and 0, none lost. 171 ms
/// still ran dry once without the priority, and answers a key twice as late.
const PERIOD: u32 = 70;
/// Milliseconds taken for the buffer of a device that does not tell.
const USUAL_BUFFER: i64 = 85;
/// Frames a second of a device that does not tell.
const USUAL_RATE: u32 = 48_000;

/// A device by its name, or the system's default output.
pub(crate) struct SystemDevice {
    pub(crate) name: Option<String>,
}

impl SystemDevice {
    fn find(&self, host: &cpal::Host) -> Result<cpal::Device, Trouble> {
        let Some(wanted) = &self.name else {
            return host.default_output_device().ok_or(Trouble::NoDevice);
        };
        let missing = || Trouble::NoSuchDevice(wanted.clone());
        let mut all = host.output_devices().map_err(|error| trouble(&error))?;
        all.find(|device| is_called(device, wanted))
            .ok_or_else(missing)
    }
}

impl SystemDevice {
    /// Whether the system's default has become another device than the one that was opened. One that is
    /// wanted by its name stays. On Linux the default is a way, not a device, and the sound server itself
    /// moves what plays on it.
    fn moves(&self, opened: Option<cpal::DeviceId>) -> Box<dyn FnMut() -> bool> {
        if self.name.is_some() || cfg!(target_os = "linux") {
            return Box::new(|| false);
        }
        Box::new(move || {
            let default = cpal::default_host().default_output_device();
            let now = default.and_then(|device| device.id().ok());
            now.is_some() && opened.is_some() && now != opened
        })
    }
}

/// Whether the system calls a device so, in words or in its own way.
fn is_called(device: &cpal::Device, wanted: &str) -> bool {
    let is_name = device.description().is_ok_and(|d| d.name() == wanted);
    is_name || device.id().is_ok_and(|id| id.id() == wanted)
}

/// The names of the outputs, and which of them is the default.
pub(crate) fn outputs() -> Vec<Output> {
    let host = cpal::default_host();
    let default = host
        .default_output_device()
        .and_then(|device| device.id().ok());
    let all = host.output_devices().into_iter().flatten();
    let told = all.filter_map(|device| {
        let id = device.id().ok()?;
        let channels = device.default_output_config().ok()?.channels();
        Some(Output {
            name: device.description().ok()?.name().to_owned(),
            is_default: default.as_ref() == Some(&id),
            id: id.id().to_owned(),
            channels,
        })
    });
    told.collect()
}

impl Backend for SystemDevice {
    fn open(&self, studio: &Studio, report: Report) -> Result<Opened, Trouble> {
        let eager = Eager::opening(studio.clock());
        let host = cpal::default_host();
        let device = self.find(&host)?;
        let name = name(&host, &device);
        let opened = device.id().ok();
        let usual = device.default_output_config();
        let usual_rate = usual.map_or(USUAL_RATE, |config| config.sample_rate());
        let tapped = Tapped {
            device,
            calls: studio.calls(),
            eager,
        };
        let builder = DeviceSinkBuilder::from_device(tapped.into_device())
            .map_err(|error| trouble_of(&error))?
            .with_error_callback(move |error| tell(&report, &error));
        let mut sink = open(builder, usual_rate).map_err(|error| trouble_of(&error))?;
        sink.log_on_drop(false);
        let stream = studio.stream(rate(&sink), buffer(&sink));
        let format = Format {
            rate: rate(&sink),
            channels: sink.config().channel_count().get(),
        };
        sink.mixer().add(Played {
            stream,
            route: studio.route(),
            channels: sink.config().channel_count(),
            frame: Frame::default(),
            channel: 0,
        });
        Ok(Opened {
            name,
            format,
            device: Box::new(sink),
            has_moved: self.moves(opened),
        })
    }
}

/// Opens with the longer buffer, or else with whatever the device takes.
fn open<E>(builder: DeviceSinkBuilder<E>, rate: u32) -> Result<MixerDeviceSink, DeviceSinkError>
where
    E: FnMut(Error) + Clone + Send + 'static,
{
    builder
        .with_buffer_size(BufferSize::Fixed(period(rate)))
        .open_sink_or_fallback()
}

/// The frames between two callbacks.
const fn period(rate: u32) -> u32 {
    (rate / 1000 * PERIOD).next_power_of_two()
}

/// What the system calls the device. Linux calls its default device just that; the list of all
/// devices says what stands behind it.
fn name(host: &cpal::Host, device: &cpal::Device) -> String {
    let told = |device: &cpal::Device| device.description().ok().map(|d| d.name().to_owned());
    let listed = || {
        let id = device.id().ok()?;
        let mut all = host.devices().ok()?;
        all.find(|other| other.id().is_ok_and(|other| other == id))
    };
    let behind = cfg!(target_os = "linux").then(listed).flatten();
    let named = behind.as_ref().and_then(told).or_else(|| told(device));
    named.unwrap_or_else(|| "default".into())
}

fn rate(sink: &MixerDeviceSink) -> SampleRate {
    SampleRate::hertz(sink.config().sample_rate().get())
}

/// Milliseconds that a frame waits in the buffer of a device that does not tell: one callback's
/// worth, since a callback comes when so much has been played. A system may cut the buffer otherwise
/// than it was asked to; the rest of the way to the ear is what the user's offset is for.
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

/// A stream as the audio library takes it, each channel with what is for it.
struct Played {
    stream: Stream,
    route: Route,
    channels: ChannelCount,
    frame: Frame,
    channel: u16,
}

impl Iterator for Played {
    type Item = f32;

    fn next(&mut self) -> Option<f32> {
        if self.channel == 0 {
            self.frame = self.stream.next_frame();
        }
        let Frame { room, ear } = self.frame;
        let channels = self.channels.get();
        let sample = self.route.sample(self.channel, channels, room, ear);
        self.channel = (self.channel + 1) % channels;
        Some(sample)
    }
}

impl Source for Played {
    fn current_span_len(&self) -> Option<usize> {
        None
    }

    fn channels(&self) -> ChannelCount {
        self.channels
    }

    fn sample_rate(&self) -> library::SampleRate {
        library::SampleRate::new(self.stream.rate().get()).unwrap_or(library::SampleRate::MIN)
    }

    fn total_duration(&self) -> Option<std::time::Duration> {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_period_lasts_as_long_at_every_rate() {
        for (rate, frames) in [
            (8_000, 1_024),
            (22_050, 2_048),
            (44_100, 4_096),
            (48_000, 4_096),
            (96_000, 8_192),
            (192_000, 16_384),
        ] {
            assert_eq!(period(rate), frames, "{rate}");
        }
    }
}
