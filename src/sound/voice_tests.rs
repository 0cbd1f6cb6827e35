//! The voice, mostly at one or ten frames a second, where every assertion is exact.

#![expect(clippy::float_cmp, reason = "the samples are copied, not computed")]

use super::*;
use crate::sound::SampleRate;

/// Tones of known samples at a rate of 1000: ten frames fade.
fn at_1000() -> Voice {
    let long = vec![1.0; 100];
    Voice::new(Palette::of(
        SampleRate::hertz(1000),
        [(); 7].map(|()| long.clone()),
    ))
}

/// Tones of one frame, whose sample tells the kind, at one frame a second.
fn at_1_hertz() -> Voice {
    let tones = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0].map(|value| vec![value]);
    Voice::new(Palette::of(SampleRate::hertz(1), tones))
}

fn score(signals: &[(u64, SignalKind)]) -> Arc<[Signal]> {
    signals
        .iter()
        .map(|&(secs, kind)| Signal {
            at: Offset::ZERO + Span::from_secs(secs),
            kind,
        })
        .collect()
}

fn run(score: &Arc<[Signal]>, from: u64, at: u64) -> Order {
    Order::Run {
        score: Arc::clone(score),
        from: Offset::ZERO + Span::from_secs(from),
        at: Moment::ZERO + Span::from_secs(at),
    }
}

fn play(voice: &mut Voice, frames: usize) -> Vec<f32> {
    let mut out = vec![9.0; frames];
    voice.fill(&mut out);
    out
}

use SignalKind::{Count, End, Go, Stop, Switch};

#[test]
fn a_run_plays_its_signals_from_its_offset_at_its_moment() {
    let mut voice = at_1_hertz();
    let score = score(&[(2, Count), (3, Count), (4, Go), (6, Stop)]);
    voice.take(run(&score, 3, 1));
    assert_eq!(play(&mut voice, 7), [0.0, 1.0, 2.0, 0.0, 3.0, 0.0, 0.0]);
}

#[test]
fn a_run_replaces_the_run_before_and_gives_its_score_back() {
    let mut voice = at_1_hertz();
    let old = score(&[(1, Go), (3, Go), (4, Go)]);
    assert!(voice.take(run(&old, 0, 0)).is_none());
    assert_eq!(play(&mut voice, 2), [0.0, 2.0]);
    let back = voice.take(run(&score(&[(12, Stop)]), 10, 2)).unwrap();
    assert!(Arc::ptr_eq(&back, &old));
    assert_eq!(play(&mut voice, 4), [0.0, 0.0, 3.0, 0.0]);
}

#[test]
fn a_strike_sounds_within_a_run_and_outlives_its_replacement() {
    let mut voice = at_1_hertz();
    voice.take(run(&score(&[(1, Count), (3, Count)]), 0, 0));
    voice.take(Order::Strike {
        kind: Switch,
        at: Moment::from_millis(2000),
    });
    voice.take(run(&score(&[(1, Go), (3, Go)]), 0, 0));
    assert_eq!(play(&mut voice, 5), [0.0, 2.0, 5.0, 2.0, 0.0]);
}

#[test]
fn hold_forgets_the_run_and_the_strikes() {
    let mut voice = at_1_hertz();
    let score = score(&[(1, Go), (2, Go)]);
    voice.take(run(&score, 0, 0));
    voice.take(Order::Strike {
        kind: End,
        at: Moment::from_millis(3000),
    });
    assert!(voice.take(Order::Hold).is_some());
    assert_eq!(play(&mut voice, 5), [0.0; 5]);
}

#[test]
fn of_two_signals_in_one_frame_the_one_to_act_on_is_heard() {
    for pair in [[(1, Switch), (1, Count)], [(1, Count), (1, Switch)]] {
        let mut voice = at_1_hertz();
        voice.take(run(&score(&pair), 0, 0));
        assert_eq!(play(&mut voice, 3)[1], 5.0);
    }
}

#[test]
fn how_a_buffer_is_cut_changes_nothing() {
    let mut random = fastrand::Rng::with_seed(3);
    let score = score(&[(1, Count), (2, Go), (3, Stop), (5, End)]);
    let mut whole = at_1000();
    whole.take(run(&score, 0, 0));
    let expected = play(&mut whole, 6000);
    let mut voice = at_1000();
    voice.take(run(&score, 0, 0));
    let mut out = Vec::new();
    while out.len() < 6000 {
        let n = random.usize(1..97).min(6000 - out.len());
        out.extend(play(&mut voice, n));
    }
    assert_eq!(out, expected);
}

/// The step from sample to sample is bounded by the ramp's steepest place, pi/2N, for tones that
/// stand at 1 all along.
#[test]
fn hold_in_a_tone_fades_without_a_click() {
    let mut voice = at_1000();
    voice.take(run(&score(&[(0, Go)]), 0, 0));
    let before = play(&mut voice, 50);
    assert_eq!(before[49], 1.0);
    voice.take(Order::Hold);
    let after = play(&mut voice, 20);
    let steepest = std::f32::consts::FRAC_PI_2 / 5.0 + 1e-6;
    let mut last = 1.0;
    for &sample in &after {
        assert!((sample - last).abs() <= steepest);
        last = sample;
    }
    assert!(after[5..].iter().all(|&sample| sample == 0.0));
    assert!(voice.is_silent());
}

/// The real tones: a hold at any place makes no step larger than the tone itself does.
#[test]
fn hold_makes_no_larger_step_than_the_tone_itself() {
    let rate = SampleRate::hertz(48_000);
    let palette = Palette::at(rate);
    let steepest = |samples: &[f32]| {
        let pairs = samples.windows(2);
        pairs.map(|p| (p[1] - p[0]).abs()).fold(0.0, f32::max)
    };
    let bound = steepest(palette.tone(Go)) * 1.02;
    for at in (300..19_000).step_by(617) {
        let mut voice = Voice::new(palette.clone());
        voice.take(run(&score(&[(0, Go)]), 0, 0));
        let mut out = play(&mut voice, at);
        voice.take(Order::Hold);
        out.extend(play(&mut voice, 1000));
        assert!(steepest(&out) <= bound, "hold at frame {at}");
        assert!(out[at + 480..].iter().all(|&s| s == 0.0));
    }
}

/// A tone that takes over from another never drives the sum past either.
#[test]
fn a_tone_that_takes_over_does_not_add_to_the_peak() {
    let palette = Palette::at(SampleRate::hertz(48_000));
    let loudest = |samples: &[f32]| samples.iter().fold(0.0_f32, |m, s| m.max(s.abs()));
    let bound = loudest(palette.tone(Stop)).max(loudest(palette.tone(Go))) + 1e-4;
    for at in (5..400).step_by(7) {
        let mut voice = Voice::new(palette.clone());
        for (kind, at) in [(Stop, 0), (Go, at)] {
            let at = Moment::from_millis(at);
            voice.take(Order::Strike { kind, at });
        }
        assert!(loudest(&play(&mut voice, 48_000)) <= bound);
    }
}

#[test]
fn what_is_late_within_the_grace_plays_at_once_and_what_is_older_never() {
    for (late, heard) in [(0, true), (29, true), (30, true), (31, false), (500, false)] {
        let mut voice = at_1000();
        voice.step_to(1000);
        let at = Moment::from_millis(1000 - late);
        voice.take(Order::Strike { kind: Go, at });
        assert_eq!(play(&mut voice, 1)[0] == 1.0, heard, "{late} ms late");
    }
}

/// An order for now cannot sound before the device's delay is over: that is not counted as late.
#[test]
fn the_reach_of_the_device_is_added_to_the_grace() {
    for (late, heard) in [(130, true), (131, false)] {
        let mut voice = at_1000();
        voice.reach(100);
        voice.step_to(1000);
        let at = Moment::from_millis(1000 - late);
        voice.take(Order::Strike { kind: Go, at });
        assert_eq!(play(&mut voice, 1)[0] == 1.0, heard);
    }
}

#[test]
fn a_step_back_plays_nothing_twice_and_a_step_forward_loses_nothing_within_the_grace() {
    let mut voice = at_1000();
    voice.take(run(&score(&[(1, Go), (2, Stop)]), 0, 0));
    let first = play(&mut voice, 1101);
    assert_eq!(first[1000..1100], [1.0; 100]);
    voice.step_to(900);
    assert_eq!(play(&mut voice, 1080), [0.0; 1080]);
    voice.step_to(2020);
    assert_eq!(play(&mut voice, 100), [1.0; 100]);
}

/// Volume in steps of 3 dB, carried out in 10 ms at most.
#[test]
fn volume_and_mute_glide() {
    let mut voice = at_1000();
    voice.take(run(&score(&[(0, Go), (1, Go), (2, Go)]), 0, 0));
    play(&mut voice, 50);
    voice.take(Order::Mute(true));
    let gliding = play(&mut voice, 50);
    assert!(
        gliding
            .windows(2)
            .all(|p| (p[0] - p[1]).abs() <= 0.1 + 1e-6)
    );
    assert!(gliding[11..].iter().all(|&sample| sample == 0.0));
    voice.take(Order::Mute(false));
    voice.take(Order::Volume(8));
    let next = play(&mut voice, 1000);
    assert!((next[901] - 10_f32.powf(-6.0 / 20.0)).abs() < 1e-6);
    voice.take(Order::Volume(0));
    play(&mut voice, 100);
    assert!(play(&mut voice, 1000).iter().all(|&sample| sample == 0.0));
}

/// More strikes than can wait: the first ones are kept, nothing breaks.
#[test]
fn strikes_beyond_what_can_wait_are_left_out() {
    let mut voice = at_1_hertz();
    for n in 0..20 {
        let at = Moment::from_millis(n * 1000);
        voice.take(Order::Strike { kind: Count, at });
    }
    let out = play(&mut voice, 20);
    assert_eq!(out.iter().filter(|&&sample| sample == 1.0).count(), STRIKES);
}
