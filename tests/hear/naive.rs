//! The other player, for comparison: waits for the time of each beep and then makes a play call of
//! the same audio library. It has the right channel for itself.

use std::num::NonZero;
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread::{self, JoinHandle};
use std::time::Duration;

use matside::plan::Score;
use matside::sound::Clock;
use rodio::buffer::SamplesBuffer;

use super::Moment;

const RATE: u32 = 48_000;
/// Samples of a beep: 100 ms.
const LENGTH: usize = 4_800;
/// Samples of its ramps.
const RAMP: usize = 240;

/// The beep, one channel.
pub(crate) fn beep() -> Vec<f32> {
    let sample = |n: usize| {
        let ramp = n.min(LENGTH - n).min(RAMP);
        let place = f64::from(u32::try_from(n).unwrap()) / f64::from(RATE);
        let factor = f64::from(u32::try_from(ramp).unwrap()) / 240.0;
        #[expect(clippy::cast_possible_truncation, reason = "samples are f32")]
        let sample = (0.3 * factor * (std::f64::consts::TAU * 1_000.0 * place).sin()) as f32;
        sample
    };
    (0..LENGTH).map(sample).collect()
}

/// A player on a thread of its own, which lives until this is dropped.
pub(crate) struct Naive {
    orders: Option<Sender<(Moment, Score)>>,
    thread: Option<JoinHandle<()>>,
}

impl Naive {
    pub(crate) fn open(clock: Clock) -> Self {
        let (orders, inbox) = channel::<(Moment, Score)>();
        let thread = thread::spawn(move || {
            let mut sink = rodio::DeviceSinkBuilder::from_default_device()
                .unwrap()
                .with_error_callback(|_| {})
                .open_stream()
                .unwrap();
            sink.log_on_drop(false);
            let right = beep().into_iter().flat_map(|sample| [0.0, sample]);
            let right: Vec<f32> = right.collect();
            let rate = NonZero::new(RATE).unwrap();
            let mut score = Score::silence();
            let mut place = 0;
            loop {
                let now = Moment::from_millis(clock().0 / 1000);
                let next = score.strikes().get(place);
                let wait = next.map_or(1_000, |strike| strike.at.since(now).millis());
                match inbox.recv_timeout(Duration::from_millis(wait)) {
                    Ok((from, next)) => {
                        let now = Moment::from_millis(clock().0 / 1000);
                        score = score.then(from, &next);
                        place = score.strikes().partition_point(|s| s.at <= now);
                    }
                    Err(RecvTimeoutError::Disconnected) => return,
                    Err(RecvTimeoutError::Timeout) if next.is_some() => {
                        let stereo = NonZero::new(2).unwrap();
                        let beep = SamplesBuffer::new(stereo, rate, right.clone());
                        sink.mixer().add(beep);
                        place += 1;
                    }
                    Err(RecvTimeoutError::Timeout) => {}
                }
            }
        });
        Self {
            orders: Some(orders),
            thread: Some(thread),
        }
    }

    pub(crate) fn order(&self, from: Moment, score: Score) {
        // Gone: there is no device to beep on.
        let _ = self.orders.as_ref().unwrap().send((from, score));
    }
}

impl Drop for Naive {
    fn drop(&mut self) {
        self.orders = None;
        let _ = self.thread.take().map(JoinHandle::join);
    }
}
