//! The audio library: this file alone names it.

pub(super) use rodio::cpal;
pub(super) use rodio::{
    ChannelCount, CpalError, DeviceSinkBuilder, DeviceSinkError, MixerDeviceSink, SampleRate,
    Source,
};
