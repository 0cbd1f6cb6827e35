//! Asks the system to serve the sound before other work, where it grants that unasked.
//!
//! The thread that opens a device asks, so that all that opening starts inherits it: the thread of
//! the callbacks, and that on which a sound server is spoken to. A device that takes frames as fast
//! as it gets them would take the processor from everybody: its callbacks give the priority back.

use super::units::{Clock, Micros};

/// Callbacks after which a device is judged.
const JUDGED: u32 = 20;
/// How urgent among what is urgent, 0 to 100: below the system's own.
#[cfg(target_os = "linux")]
const URGENCY: u8 = 10;

/// Waits until the device has shown whether it paces itself, and gives back what one that does not
/// must not have.
#[derive(Clone)]
pub(super) struct Eager {
    clock: Clock,
    since: Micros,
    frames: u64,
    calls: u32,
}

impl Eager {
    /// Asks for the thread that opens a device. Refused is as well: the buffer is long.
    pub(super) fn opening(clock: Clock) -> Self {
        set(true);
        Self::new(clock)
    }

    fn new(clock: Clock) -> Self {
        Self {
            clock,
            since: Micros(0),
            frames: 0,
            calls: 0,
        }
    }

    /// A callback of so many frames, on the thread that serves it.
    pub(super) fn served(&mut self, frames: usize, rate: u32) {
        if self.is_found_devouring(frames, rate) {
            set(false);
        }
    }

    /// Whether the device is seen by now to take frames faster than it could play them.
    fn is_found_devouring(&mut self, frames: usize, rate: u32) -> bool {
        if self.calls >= JUDGED {
            return false;
        }
        self.calls += 1;
        let now = (self.clock)();
        if self.calls == 1 {
            self.since = now;
        }
        let played = self.frames * 1_000_000 / u64::from(rate.max(1));
        self.frames += frames as u64;
        self.calls == JUDGED && now.0.saturating_sub(self.since.0) * 2 <= played
    }
}

/// Makes this thread urgent, or ordinary.
#[cfg(target_os = "linux")]
fn set(urgent: bool) {
    use thread_priority::{
        NormalThreadSchedulePolicy, RealtimeThreadSchedulePolicy, ThreadPriority,
        ThreadSchedulePolicy, set_thread_priority_and_policy, thread_native_id,
    };
    let realtime = ThreadSchedulePolicy::Realtime(RealtimeThreadSchedulePolicy::RoundRobin);
    let ordinary = ThreadSchedulePolicy::Normal(NormalThreadSchedulePolicy::Other);
    let _ = match (urgent, URGENCY.try_into()) {
        (true, Ok(urgency)) => set_thread_priority_and_policy(
            thread_native_id(),
            ThreadPriority::Crossplatform(urgency),
            realtime,
        ),
        _ => set_thread_priority_and_policy(thread_native_id(), ThreadPriority::Min, ordinary),
    };
}

/// Elsewhere the system's audio thread is urgent by itself.
#[cfg(not(target_os = "linux"))]
const fn set(_urgent: bool) {}

#[cfg(test)]
mod tests {
    use std::sync::Arc;
    use std::sync::atomic::{AtomicU64, Ordering};

    use super::*;

    /// Against a device that plays 1000 frames in their time, in three quarters of it, and at once.
    #[test]
    fn a_device_that_devours_frames_is_found_out_once_and_one_that_paces_itself_never() {
        for (callback_takes, found) in [(20_833, 0), (15_600, 0), (900, 1), (0, 1)] {
            let now = Arc::new(AtomicU64::new(0));
            let clock = Arc::clone(&now);
            let mut eager = Eager::new(Arc::new(move || Micros(clock.load(Ordering::Relaxed))));
            let mut times = 0;
            for _ in 0..200 {
                times += u32::from(eager.is_found_devouring(1000, 48_000));
                now.fetch_add(callback_takes, Ordering::Relaxed);
            }
            assert_eq!(times, found, "{callback_takes} us a callback");
        }
    }

    /// What opening starts inherits the priority, and the priority can be given back; where the
    /// system grants none, both do nothing.
    #[cfg(target_os = "linux")]
    #[test]
    fn threads_that_opening_starts_inherit_the_priority() {
        use thread_priority::{
            ThreadSchedulePolicy, thread_native_id, thread_schedule_policy_param,
        };
        let policy = || thread_schedule_policy_param(thread_native_id()).map(|(policy, _)| policy);
        let opener = std::thread::spawn(move || {
            let _eager = Eager::opening(Arc::new(|| Micros(0)));
            let opening = policy().unwrap();
            let started = std::thread::spawn(move || {
                let inherited = policy().unwrap();
                set(false);
                (inherited, policy().unwrap())
            });
            (opening, started.join().unwrap())
        });
        let (opening, (inherited, given_back)) = opener.join().unwrap();
        assert_eq!(inherited, opening);
        assert!(matches!(given_back, ThreadSchedulePolicy::Normal(_)));
    }
}
