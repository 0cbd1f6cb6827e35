//! The keeper with a device that a test plays.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::TryRecvError;

use super::*;
use crate::plan::{Score, SignalKind, Strike};
use crate::sound::backend::Opened;
use crate::sound::settings::Format;
use crate::sound::stream::Stream;
use crate::sound::{Micros, Order, SampleRate};
use crate::time::Moment;

/// What a test does with one attempt to open the device.
struct Attempt {
    stream: Stream,
    report: Report,
    answer: Sender<Result<(), Trouble>>,
    /// Disconnected as soon as the keeper lets go of the device.
    open: Receiver<()>,
    elsewhere: Arc<AtomicBool>,
}

/// A backend whose every attempt goes to the test.
struct Staged(SyncSender<Attempt>);

impl Backend for Staged {
    fn open(&self, studio: &Studio, report: Report) -> Result<Opened, Trouble> {
        let (answer, told) = channel();
        let (held, open) = channel::<()>();
        let stream = studio.stream(SampleRate::hertz(8000), 0);
        studio.calls().tell(None);
        let elsewhere = Arc::new(AtomicBool::new(false));
        let attempt = Attempt {
            stream,
            report,
            answer,
            open,
            elsewhere: Arc::clone(&elsewhere),
        };
        self.0.send(attempt).map_err(|_| Trouble::NoDevice)?;
        told.recv().map_err(|_| Trouble::NoDevice)??;
        Ok(Opened {
            name: "test card".into(),
            format: Format {
                rate: SampleRate::hertz(8000),
                channels: 1,
            },
            device: Box::new(held),
            has_moved: Box::new(move || elsewhere.load(Ordering::Relaxed)),
        })
    }
}

/// Looks as often as a test can bear, so that a device is soon found idle.
const OFTEN: Duration = Duration::from_millis(2);
/// Longer than any test lasts: what waits so long is not waited for.
const LONG: Duration = Duration::from_secs(60);

fn stage(watch: Duration) -> (Keeping, Receiver<Attempt>, Arc<AtomicU64>) {
    resting(Duration::from_millis(1), watch)
}

fn resting(pause: Duration, watch: Duration) -> (Keeping, Receiver<Attempt>, Arc<AtomicU64>) {
    let (stage, attempts) = sync_channel(0);
    let now = Arc::new(AtomicU64::new(0));
    let clock = Arc::clone(&now);
    let keeping = Keeping::begin(
        Staged(stage),
        Arc::new(move || Micros(clock.load(Ordering::Relaxed))),
        Settings::default(),
        Patience {
            first: pause,
            most: pause * 4,
            watch,
            follow: OFTEN,
        },
    );
    (keeping, attempts, now)
}

fn next(attempts: &Receiver<Attempt>) -> Attempt {
    attempts.recv_timeout(LONG).expect("an attempt")
}

/// Only for states that stay until the test does something: others may be over before they are seen.
fn state_when(keeping: &Keeping, wanted: impl Fn(&SoundState) -> bool) -> SoundState {
    let (_never, wait) = channel::<()>();
    for _ in 0..LONG.as_millis() {
        let state = keeping.shared.state.lock().unwrap().clone();
        if wanted(&state) {
            return state;
        }
        let _ = wait.recv_timeout(Duration::from_millis(1));
    }
    panic!("{:?}", keeping.shared.state.lock());
}

fn is_on(state: &SoundState) -> bool {
    matches!(state, SoundState::On { .. })
}

/// A device is lost in the middle of a run; the next one plays the rest of it at its place.
#[test]
fn after_a_loss_the_run_goes_on_at_the_right_place() {
    let (keeping, attempts, now) = stage(LONG);
    let first = next(&attempts);
    first.answer.send(Ok(())).unwrap();
    state_when(&keeping, is_on);
    let score = Score::of([1_000, 5_000, 9_000].map(|at| Strike {
        at: Moment::from_millis(at),
        kind: SignalKind::Go,
    }));
    let from = Moment::ZERO;
    keeping.shared.desk.order(Order::Play { from, score });
    for _ in 0..5 {
        first.report.broken(Trouble::Gone);
    }
    now.store(4_000_000, Ordering::Relaxed);
    let second = next(&attempts);
    let lost = keeping.shared.state.lock().unwrap().clone();
    let why = "the sound device is gone".to_string();
    assert_eq!(lost, SoundState::Lost { why });
    assert_eq!(
        first.open.recv_timeout(LONG),
        Err(RecvTimeoutError::Disconnected)
    );
    second.answer.send(Ok(())).unwrap();
    state_when(&keeping, is_on);
    let mut stream = second.stream;
    let mut samples = (0..48_000).map(|_| stream.next_frame().room).enumerate();
    let onset = samples.find(|(_, sample)| *sample != 0.0).unwrap().0;
    assert_eq!(onset, 8_001, "second 5, a second after the clock's 4");
    let silence = |(n, sample): (usize, f32)| n > 16_000 && sample != 0.0;
    assert_eq!(
        samples.position(silence).map(|n| n + onset + 1),
        Some(40_001)
    );
}

#[test]
fn a_device_that_never_opens_is_absent_and_tried_again_while_orders_are_taken() {
    let (keeping, attempts, _) = stage(LONG);
    for trouble in [Trouble::NoDevice, Trouble::Busy, Trouble::Other("x".into())] {
        let attempt = next(&attempts);
        attempt.answer.send(Err(trouble.clone())).unwrap();
        let why = trouble.to_string();
        let absent = SoundState::Absent { why };
        keeping.shared.desk.order(Order::Mute(false));
        assert_eq!(state_when(&keeping, |state| *state == absent), absent);
    }
    next(&attempts).answer.send(Ok(())).unwrap();
    state_when(&keeping, is_on);
}

/// The keeper rests after the loss for as long as the test lasts, so that the reason stays told.
#[test]
fn a_device_that_takes_no_frames_is_lost_and_let_go() {
    let (keeping, attempts, _) = resting(LONG, OFTEN);
    let first = next(&attempts);
    first.answer.send(Ok(())).unwrap();
    let why = Trouble::Stalled.to_string();
    let lost = SoundState::Lost { why };
    state_when(&keeping, |state| *state == lost);
    assert_eq!(
        first.open.recv_timeout(LONG),
        Err(RecvTimeoutError::Disconnected)
    );
}

#[test]
fn a_device_that_takes_no_frames_is_opened_again() {
    let (_keeping, attempts, _) = stage(OFTEN);
    for _ in 0..3 {
        next(&attempts).answer.send(Ok(())).unwrap();
    }
}

/// What is lost has been on: the device takes no frames, and may have been given up again by the
/// time the test looks.
#[test]
fn a_device_that_does_not_answer_is_told_and_still_welcome() {
    let (keeping, attempts, _) = stage(OFTEN);
    let attempt = next(&attempts);
    let why = Trouble::Hanging.to_string();
    let absent = SoundState::Absent { why };
    state_when(&keeping, |state| *state == absent);
    attempt.answer.send(Ok(())).unwrap();
    state_when(&keeping, |state| {
        is_on(state) || matches!(state, SoundState::Lost { .. })
    });
}

/// The first devices never answer: each is let go and another one opened, but only so many; the last
/// is waited for, and where one of the others comes to its end, the next is tried.
#[test]
fn a_device_that_hangs_in_opening_is_let_go_and_another_one_tried() {
    let (keeping, attempts, _) = stage(OFTEN);
    let mut hanging: Vec<Attempt> = (0..MOST_HANGING).map(|_| next(&attempts)).collect();
    let why = Trouble::Hanging.to_string();
    let absent = SoundState::Absent { why };
    state_when(&keeping, |state| *state == absent);
    let none = attempts.recv_timeout(OFTEN * u32::from(GIVEN_UP) * 3);
    assert!(none.is_err(), "no more than so many threads hang");
    let late = hanging.remove(0);
    late.answer.send(Ok(())).unwrap();
    // What opens after it was let go is closed at once, and is no device that plays.
    assert_eq!(
        late.open.recv_timeout(LONG),
        Err(RecvTimeoutError::Disconnected)
    );
    let after = next(&attempts);
    after.answer.send(Ok(())).unwrap();
    state_when(&keeping, |state| {
        is_on(state) || matches!(state, SoundState::Lost { .. })
    });
}

/// Whenever a device that was lost is back, it is opened within two seconds.
#[test]
fn a_device_that_is_back_is_tried_within_two_seconds() {
    let patience = Patience::USUAL;
    let (mut pause, mut at, mut longest) = (patience.first, Duration::ZERO, Duration::ZERO);
    while at < Duration::from_secs(3_600) {
        (at, longest) = (at + pause, longest.max(pause));
        pause = patience.longer(pause);
    }
    assert!(
        longest + patience.watch <= Duration::from_secs(2),
        "{longest:?}"
    );
}

/// The system plays on another device from now on: the one that plays is left for it, once, and what is
/// to be heard is heard there.
#[test]
fn where_the_system_plays_elsewhere_the_sound_follows() {
    let (keeping, attempts, _) = stage(LONG);
    let first = next(&attempts);
    first.answer.send(Ok(())).unwrap();
    state_when(&keeping, is_on);
    first.elsewhere.store(true, Ordering::Relaxed);
    let second = next(&attempts);
    let why = "the system plays on another sound device now".to_string();
    assert_eq!(
        *keeping.shared.state.lock().unwrap(),
        SoundState::Lost { why }
    );
    second.answer.send(Ok(())).unwrap();
    state_when(&keeping, is_on);
    let (_never, wait) = channel::<()>();
    let _ = wait.recv_timeout(OFTEN * 10);
    assert!(attempts.try_recv().is_err(), "opened once more");
}

/// Faults between which frames are taken pass; half a second of nothing else is a loss.
#[test]
fn faults_pass_while_frames_are_taken_and_are_a_loss_where_they_are_not() {
    let (keeping, attempts, now) = stage(LONG);
    let mut first = next(&attempts);
    first.answer.send(Ok(())).unwrap();
    state_when(&keeping, is_on);
    for n in 1..=20 {
        now.store(n * 100_000, Ordering::Relaxed);
        first.report.fault(Trouble::Other("x".into()));
        for _ in 0..64 {
            first.stream.next_frame();
        }
    }
    for n in 20..25 {
        now.store(n * 100_000, Ordering::Relaxed);
        first.report.fault(Trouble::Other("x".into()));
        assert!(!first.report.said.load(Ordering::Relaxed), "{n}");
    }
    now.store(2_500_000, Ordering::Relaxed);
    first.report.fault(Trouble::Other("x".into()));
    next(&attempts);
    assert!(!is_on(&keeping.shared.state.lock().unwrap()));
}

#[test]
fn what_a_lost_device_still_says_is_not_believed() {
    let (keeping, attempts, _) = stage(LONG);
    let first = next(&attempts);
    first.answer.send(Err(Trouble::Busy)).unwrap();
    let second = next(&attempts);
    second.answer.send(Ok(())).unwrap();
    state_when(&keeping, is_on);
    first.report.broken(Trouble::Gone);
    second.report.xrun();
    let event = Trouble::Refused;
    assert!(is_on(&keeping.shared.state.lock().unwrap()));
    assert_eq!(keeping.shared.xruns.load(Ordering::Relaxed), 1);
    second.report.broken(event);
    next(&attempts);
}

#[test]
fn dropping_the_sound_closes_the_device_and_tries_no_more() {
    let (keeping, attempts, _) = stage(LONG);
    let attempt = next(&attempts);
    attempt.answer.send(Ok(())).unwrap();
    state_when(&keeping, is_on);
    drop(keeping);
    assert_eq!(
        attempt.open.recv_timeout(LONG),
        Err(RecvTimeoutError::Disconnected)
    );
    assert!(matches!(
        attempts.try_recv(),
        Err(TryRecvError::Empty | TryRecvError::Disconnected)
    ));
}
