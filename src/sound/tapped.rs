//! A device that overhears its own callbacks.
//!
//! The audio library opens streams well, with every sample format and fallback, but keeps to itself
//! when the samples will be heard. So it is handed this device instead of the system's: it passes
//! everything on, and tells of each callback before serving it.

use std::fmt;
use std::hash::{Hash, Hasher};
use std::time::Duration;

use super::calls::Calls;
use super::library::cpal;
use cpal::traits::DeviceTrait;
use cpal::{Data, DeviceDescription, DeviceId, Error, InputCallbackInfo, OutputCallbackInfo};
use cpal::{SampleFormat, StreamConfig, SupportedStreamConfig};

/// A device and what is told of its callbacks.
#[derive(Clone)]
pub(super) struct Tapped {
    pub(super) device: cpal::Device,
    pub(super) calls: Calls,
    pub(super) eager: super::eager::Eager,
}

impl Tapped {
    /// The same as a device of the library.
    pub(super) fn into_device(self) -> cpal::Device {
        cpal::platform::CustomDevice::from_device(self).into()
    }
}

impl PartialEq for Tapped {
    fn eq(&self, other: &Self) -> bool {
        self.device == other.device
    }
}

impl Eq for Tapped {}

impl Hash for Tapped {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.device.hash(state);
    }
}

impl fmt::Display for Tapped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.device.fmt(f)
    }
}

impl fmt::Debug for Tapped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

/// Nanoseconds from a callback to the moment at which its first frame is heard. The library's
/// moments have an origin of their own, so only their distance says anything.
fn delay(info: &OutputCallbackInfo) -> Option<i64> {
    let told = info.timestamp();
    let delay = told.playback.checked_duration_since(told.callback)?;
    i64::try_from(delay.as_nanos()).ok()
}

impl DeviceTrait for Tapped {
    type SupportedInputConfigs = std::vec::IntoIter<cpal::SupportedStreamConfigRange>;
    type SupportedOutputConfigs = std::vec::IntoIter<cpal::SupportedStreamConfigRange>;
    type Stream = cpal::Stream;

    fn description(&self) -> Result<DeviceDescription, Error> {
        self.device.description()
    }

    fn id(&self) -> Result<DeviceId, Error> {
        self.device.id()
    }

    fn supports_input(&self) -> bool {
        self.device.supports_input()
    }

    fn supports_output(&self) -> bool {
        self.device.supports_output()
    }

    fn supported_input_configs(&self) -> Result<Self::SupportedInputConfigs, Error> {
        let configs: Vec<_> = self.device.supported_input_configs()?.collect();
        Ok(configs.into_iter())
    }

    fn supported_output_configs(&self) -> Result<Self::SupportedOutputConfigs, Error> {
        let configs: Vec<_> = self.device.supported_output_configs()?.collect();
        Ok(configs.into_iter())
    }

    fn default_input_config(&self) -> Result<SupportedStreamConfig, Error> {
        self.device.default_input_config()
    }

    fn default_output_config(&self) -> Result<SupportedStreamConfig, Error> {
        self.device.default_output_config()
    }

    fn build_input_stream_raw<D, E>(
        &self,
        config: StreamConfig,
        format: SampleFormat,
        data: D,
        error: E,
        timeout: Option<Duration>,
    ) -> Result<Self::Stream, Error>
    where
        D: FnMut(&Data, &InputCallbackInfo) + Send + 'static,
        E: FnMut(Error) + Send + 'static,
    {
        let device = &self.device;
        device.build_input_stream_raw(config, format, data, error, timeout)
    }

    fn build_output_stream_raw<D, E>(
        &self,
        config: StreamConfig,
        format: SampleFormat,
        mut data: D,
        error: E,
        timeout: Option<Duration>,
    ) -> Result<Self::Stream, Error>
    where
        D: FnMut(&mut Data, &OutputCallbackInfo) + Send + 'static,
        E: FnMut(Error) + Send + 'static,
    {
        let (calls, mut eager) = (self.calls.clone(), self.eager.clone());
        let (rate, channels) = (config.sample_rate, usize::from(config.channels.max(1)));
        let told = move |out: &mut Data, info: &OutputCallbackInfo| {
            eager.served(out.len() / channels, rate);
            calls.tell(delay(info));
            data(out, info);
        };
        self.device
            .build_output_stream_raw(config, format, told, error, timeout)
    }
}
