//! The talker by itself: onsets, fades, who hears what, and the tones beside it.

use super::*;
use crate::sound::talk::Utterance;

const RATE: u32 = 8_000;

fn at(millis: u64) -> Moment {
    Moment::from_millis(millis)
}

/// Words of one value, whose samples tell which they are.
fn talk(millis: u64, to: To, value: f32, frames: usize) -> Talk {
    Talk {
        at: at(millis),
        what: Utterance {
            rate: SampleRate::hertz(RATE),
            samples: vec![value; frames].into(),
        },
        to,
    }
}

fn talker() -> (Talker, Arc<AtomicU32>) {
    let left_out = Arc::<AtomicU32>::default();
    (
        Talker::new(SampleRate::hertz(RATE), left_out.clone()),
        left_out,
    )
}

/// So many frames from a position on, in blocks of odd lengths: what the room and the ear hear.
fn heard(talker: &mut Talker, from: i64, frames: usize, tones: bool) -> (Vec<f32>, Vec<f32>) {
    let (mut room, mut ear) = (vec![0.0; frames], vec![0.0; frames]);
    let mut position = from;
    for (room, ear) in room.chunks_mut(37).zip(ear.chunks_mut(37)) {
        talker.fill(position, tones, room, ear);
        position += i64::try_from(room.len()).unwrap();
    }
    (room, ear)
}

fn is(sample: f32, value: f32) -> bool {
    (sample - value).abs() < 1e-6
}

fn onset(samples: &[f32]) -> Option<usize> {
    samples.iter().position(|sample| *sample != 0.0)
}

#[test]
fn words_begin_in_their_frame_for_whom_they_are() {
    let (mut talker, left_out) = talker();
    let list = [talk(100, To::Ear, 0.5, 800), talk(301, To::Room, 0.25, 80)];
    talker.take(list.into());
    let (room, ear) = heard(&mut talker, 0, 4_000, false);
    assert_eq!((onset(&ear), onset(&room)), (Some(800), Some(2_408)));
    assert!(ear[800..1_600].iter().all(|s| is(*s, 0.5)));
    assert!(ear[1_600..].iter().all(|s| *s == 0.0));
    assert!(room[2_408..2_488].iter().all(|s| is(*s, 0.25)));
    assert_eq!(left_out.load(Ordering::Relaxed), 0);
}

/// Given again nothing begins again; what is no longer meant fades; what could only be late is left
/// out and counted.
#[test]
fn a_list_may_come_again_and_what_is_late_is_left_out() {
    let (mut talker, left_out) = talker();
    let first = talk(100, To::Ear, 0.5, 4_000);
    talker.take([first.clone()].into());
    heard(&mut talker, 0, 1_000, false);
    talker.take([first].into());
    let (_, ear) = heard(&mut talker, 1_000, 100, false);
    assert!(ear.iter().all(|s| is(*s, 0.5)), "it goes on");
    talker.take([talk(50, To::Ear, 0.3, 100), talk(400, To::Ear, 0.1, 100)].into());
    let (_, ear) = heard(&mut talker, 1_100, 3_000, false);
    assert!(
        ear.windows(2)
            .take(240)
            .all(|w| w[1] <= w[0] && w[0] - w[1] < 0.01)
    );
    let again = ear[250..].iter().position(|s| *s != 0.0);
    assert_eq!(
        again,
        Some(3_200 - 1_100 - 250),
        "the late one was left out"
    );
    assert_eq!(left_out.load(Ordering::Relaxed), 1);
}

/// Words made for a device of another rate would have another pitch.
#[test]
fn words_of_another_rate_are_left_out() {
    let (mut talker, left_out) = talker();
    let mut other = talk(10, To::Room, 0.5, 100);
    other.what.rate = SampleRate::hertz(44_100);
    talker.take([other].into());
    let (room, _) = heard(&mut talker, 0, 1_000, false);
    assert_eq!((onset(&room), left_out.load(Ordering::Relaxed)), (None, 1));
}

/// Beside a tone words for the room step back, so far that both stay below full scale; the ear's don't.
#[test]
fn words_step_back_beside_a_tone() {
    let highest = 10_f32.powf(-1.5 / 20.0);
    for (to, level) in [(To::Room, BESIDE), (To::Ear, 1.0)] {
        let (mut talker, _) = talker();
        talker.take([talk(0, to, 0.89, 4_000)].into());
        heard(&mut talker, 0, 400, false);
        let (room, ear) = heard(&mut talker, 400, 400, true);
        let said = if to == To::Room { room } else { ear };
        assert!((said[399] - 0.89 * level).abs() < 1e-4);
        assert!(to == To::Ear || said[399] + highest < 1.0);
        let (room, ear) = heard(&mut talker, 800, 400, false);
        assert!(((room[399] + ear[399]) - 0.89).abs() < 1e-4);
    }
}

/// Muted words go on unheard.
#[test]
fn a_mute_is_heard_at_once_and_changes_no_time() {
    let (mut talker, _) = talker();
    talker.take([talk(0, To::Ear, 0.5, 2_000)].into());
    heard(&mut talker, 0, 400, false);
    talker.mute(true);
    let (_, ear) = heard(&mut talker, 400, 800, false);
    assert!(ear[100..].iter().all(|s| *s == 0.0));
    talker.mute(false);
    let (_, ear) = heard(&mut talker, 1_200, 1_600, false);
    assert!(is(ear[400], 0.5));
    assert!(
        ear[800..].iter().all(|s| *s == 0.0),
        "over when it would have been"
    );
}
