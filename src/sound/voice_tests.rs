//! The voice, mostly at one or ten frames a second, where every assertion is exact.

#![expect(clippy::float_cmp, reason = "the samples are copied, not computed")]

use super::*;
use crate::plan::SignalKind;
use crate::sound::SampleRate;
use crate::time::Span;

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

fn score(strikes: &[(u64, SignalKind)]) -> Score {
    Score::of(strikes.iter().map(|&(secs, kind)| Strike {
        at: Moment::from_millis(secs * 1000),
        kind,
    }))
}

/// A strike at a place in milliseconds, alone.
fn one(at: u64, kind: SignalKind) -> Score {
    let at = Moment::from_millis(at);
    Score::of([Strike { at, kind }])
}

fn play(voice: &mut Voice, frames: usize) -> Vec<f32> {
    let mut out = vec![9.0; frames];
    voice.fill(&mut out);
    out
}

use SignalKind::{Count, End, Go, Stop, Switch};

#[test]
fn a_score_is_played_in_its_frames() {
    let mut voice = at_1_hertz();
    voice.take(score(&[(1, Count), (2, Go), (4, Stop)]));
    assert_eq!(play(&mut voice, 6), [0.0, 1.0, 2.0, 0.0, 3.0, 0.0]);
}

/// Sent again at every frame, as often as one likes: nothing is doubled and nothing is lost.
#[test]
fn a_score_that_is_sent_again_changes_nothing() {
    let strikes = score(&[(0, Count), (1, Count), (2, Go), (4, Stop), (5, End)]);
    let mut whole = at_1000();
    whole.take(strikes.clone());
    let expected = play(&mut whole, 6_000);
    let mut random = fastrand::Rng::with_seed(11);
    let mut voice = at_1000();
    voice.reach(400);
    let mut out = Vec::new();
    while out.len() < 6_000 {
        for _ in 0..random.u8(1..4) {
            voice.take(strikes.clone());
        }
        let n = random.usize(1..60).min(6_000 - out.len());
        out.extend(play(&mut voice, n));
    }
    assert!(out == expected);
}

#[test]
fn a_score_replaces_the_one_before_and_gives_it_back() {
    let mut voice = at_1_hertz();
    let old = score(&[(1, Go), (3, Go), (4, Go)]);
    voice.take(old.clone());
    assert_eq!(play(&mut voice, 2), [0.0, 2.0]);
    assert_eq!(voice.take(score(&[(1, Go), (4, Stop)])), old);
    assert_eq!(play(&mut voice, 4), [0.0, 0.0, 3.0, 0.0]);
}

/// The voice is ahead of the clock: a score of now comes when some of it is already past.
#[test]
fn what_is_still_owed_is_played_and_what_has_begun_is_not() {
    let mut voice = at_1000();
    voice.reach(200);
    voice.take(one(1_000, Go));
    play(&mut voice, 1_150);
    let both = [(1_000, Go), (1_120, Stop)].map(|(at, kind)| Strike {
        at: Moment::from_millis(at),
        kind,
    });
    voice.take(Score::of(both));
    let out = play(&mut voice, 400);
    assert_eq!(
        out[..100],
        [1.0; 100],
        "the stop, late by no fault of its own"
    );
    assert!(out[110..].iter().all(|s| *s == 0.0), "and no second go");
}

#[test]
fn a_tone_that_is_no_longer_meant_fades_and_one_that_is_sounds_on() {
    for (next, meant) in [
        (one(0, Go), true),
        (Score::silence(), false),
        (one(1, Go), false),
    ] {
        let mut voice = at_1000();
        voice.take(one(0, Go));
        play(&mut voice, 50);
        voice.take(next.clone());
        let out = play(&mut voice, 50);
        let sounds_on = out[10..].iter().all(|s| *s == 1.0);
        assert_eq!(sounds_on, meant || next == one(1, Go), "{next:?}");
    }
}

#[test]
fn what_recurs_goes_on_for_hours() {
    let mut voice = at_1_hertz();
    let first = Strike {
        at: Moment::from_millis(60_000),
        kind: SignalKind::Half,
    };
    let score = Score::recurring(first, Span::from_secs(60));
    voice.take(score.clone());
    let mut out = play(&mut voice, 90);
    voice.take(score);
    out.extend(play(&mut voice, 36_000));
    for (n, sample) in out.iter().enumerate() {
        let due = n > 0 && n % 60 == 0;
        assert_eq!(*sample != 0.0, due, "second {n}");
    }
}

#[test]
fn a_count_is_known_between_its_beats_and_nowhere_else() {
    let mut voice = at_1000();
    voice.take(score(&[(10, Count), (11, Count), (12, Go), (20, Stop)]));
    for (until, counting) in [
        (9_999, false),
        (10_001, true),
        (11_500, true),
        (11_999, true),
        (12_001, false),
        (19_999, false),
    ] {
        let frames = usize::try_from(until - voice.position()).unwrap();
        play(&mut voice, frames);
        assert_eq!(voice.is_counting(), counting, "at {until}");
    }
}

#[test]
fn of_two_signals_in_one_frame_the_one_to_act_on_is_heard() {
    for pair in [[(1, Switch), (1, Count)], [(1, Count), (1, Switch)]] {
        let mut voice = at_1_hertz();
        voice.take(score(&pair));
        assert_eq!(play(&mut voice, 3)[1], 5.0);
    }
}

/// A key's answer comes late and may reach into a count: the count is heard all the same.
#[test]
fn a_tone_that_matters_more_gives_way_once_it_has_been_heard() {
    for (apart, heard) in [(0, false), (99, false), (100, true), (300, true)] {
        let palette = Palette::at(SampleRate::hertz(48_000));
        let count = palette.tone(Count).to_vec();
        let mut voice = Voice::new(palette);
        let both = [(0, Stop), (apart, Count)].map(|(at, kind)| Strike {
            at: Moment::from_millis(at),
            kind,
        });
        voice.take(Score::of(both));
        let out = play(&mut voice, 48_000);
        let place = usize::try_from(apart).unwrap() * 48;
        let is_count = out[place + 480..place + 4_800] == count[480..4_800];
        assert_eq!(is_count, heard, "{apart} ms apart");
    }
}

#[test]
fn how_a_buffer_is_cut_changes_nothing() {
    let mut random = fastrand::Rng::with_seed(3);
    let score = score(&[(1, Count), (2, Go), (3, Stop), (5, End)]);
    let mut whole = at_1000();
    whole.take(score.clone());
    let expected = play(&mut whole, 6000);
    let mut voice = at_1000();
    voice.take(score);
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
    voice.take(score(&[(0, Go)]));
    let before = play(&mut voice, 50);
    assert_eq!(before[49], 1.0);
    voice.take(Score::silence());
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
        voice.take(score(&[(0, Go)]));
        let mut out = play(&mut voice, at);
        voice.take(Score::silence());
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
        let both = [(Stop, 0), (Go, at)].map(|(kind, at)| Strike {
            at: Moment::from_millis(at),
            kind,
        });
        voice.take(Score::of(both));
        assert!(loudest(&play(&mut voice, 48_000)) <= bound);
    }
}

/// The position is moved over a strike: what was passed over is late.
#[test]
fn what_is_late_within_the_grace_plays_at_once_and_what_is_older_never() {
    for (late, heard) in [(0, true), (29, true), (30, true), (31, false), (500, false)] {
        let mut voice = at_1000();
        voice.take(one(1_000 - late, Go));
        voice.step_to(1_000);
        assert_eq!(play(&mut voice, 1)[0] == 1.0, heard, "{late} ms late");
    }
}

/// An order for now cannot sound before the device's delay is over: that is not counted as late.
#[test]
fn what_a_key_brings_about_is_owed_for_as_long_as_an_order_may_take() {
    for (late, heard) in [(100, true), (250, true), (251, false)] {
        let mut voice = at_1000();
        voice.reach(100);
        voice.step_to(1_000);
        voice.take(one(1_000 - late, Go));
        assert_eq!(play(&mut voice, 1)[0] == 1.0, heard, "{late} ms late");
    }
}

#[test]
fn a_step_back_plays_nothing_twice_and_a_step_forward_loses_nothing_within_the_grace() {
    let mut voice = at_1000();
    voice.take(score(&[(1, Go), (2, Stop)]));
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
    voice.take(score(&[(0, Go), (1, Go), (2, Go)]));
    play(&mut voice, 50);
    voice.mute(true);
    let gliding = play(&mut voice, 50);
    assert!(
        gliding
            .windows(2)
            .all(|p| (p[0] - p[1]).abs() <= 0.1 + 1e-6)
    );
    assert!(gliding[11..].iter().all(|&sample| sample == 0.0));
    voice.mute(false);
    voice.volume(Volume::new(8));
    let next = play(&mut voice, 1000);
    assert!((next[901] - 10_f32.powf(-6.0 / 20.0)).abs() < 1e-6);
    voice.volume(Volume::new(0));
    play(&mut voice, 100);
    assert!(play(&mut voice, 1000).iter().all(|&sample| sample == 0.0));
}

/// A device that opens in the middle of a count plays what is still to come at its moment, and
/// nothing of what was due before it, however little.
#[test]
fn a_voice_that_sets_up_owes_nothing() {
    for late in [1, 10, 30, 31, 100, 149, 150, 200] {
        for reach in [0, 80] {
            let mut voice = at_1000();
            voice.reach(reach);
            voice.begin_at(2_000 + late);
            voice.take(score(&[(1, Count), (2, Count), (3, Count), (4, Go)]));
            let out = play(&mut voice, 1_200);
            let first = out.iter().position(|sample| *sample != 0.0);
            let place = usize::try_from(1_000 - late).unwrap();
            assert_eq!(first, Some(place), "{late} ms late, reach {reach}");
            // What comes later is owed as ever: a key on a busy machine.
            let now = u64::try_from(voice.position()).unwrap();
            voice.take(one(now - 100, Stop));
            assert_eq!(play(&mut voice, 1), [1.0], "{late}");
        }
    }
}

/// A place that proves to be too far on is gone back from: what lies there is still to come.
#[test]
fn a_voice_that_goes_back_to_before_it_set_up_plays_what_is_there() {
    let mut voice = at_1000();
    voice.begin_at(2_010);
    voice.take(one(2_000, Go));
    voice.step_to(1_990);
    voice.take(one(2_000, Go));
    assert_eq!(play(&mut voice, 11)[9..], [0.0, 1.0]);
}
