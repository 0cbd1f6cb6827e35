//! The tones measured: pitch by FFT, level by ITU-R BS.1770, ramps by value.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    reason = "figures of a test are small"
)]

use ebur128::{EbuR128, Mode};
use realfft::RealFftPlanner;

use super::*;
use crate::sound::tones::Pitch;

const RATE: SampleRate = SampleRate::hertz(48_000);

fn mono(mode: Mode, samples: &[f32]) -> EbuR128 {
    let mut meter = EbuR128::new(1, RATE.get(), mode).unwrap();
    meter.add_frames_f32(samples).unwrap();
    meter
}

fn sine(hertz: f64, amplitude: f64, frames: usize) -> Vec<f32> {
    (0..frames)
        .map(|i| (amplitude * (TAU * hertz * i as f64 / 48_000.0).sin()) as f32)
        .collect()
}

/// Worked from the formula for a ramp of N = 480.
#[test]
fn ramps_are_raised_cosines() {
    let ramp = raised_cosine(480);
    for (i, value) in [(0, 0.0), (120, 0.146_447), (240, 0.5), (360, 0.853_553)] {
        assert!((ramp[i] - value).abs() < 1e-6, "{i}");
    }
}

/// A tone that takes over rises exactly as the one under it falls.
#[test]
fn a_fade_and_a_rise_add_up_to_one() {
    let palette = Palette::at(RATE);
    for (fade, rise) in palette.fade().iter().zip(raised_cosine(RATE.count(RISE))) {
        assert!((fade + rise - 1.0).abs() < 1e-6);
    }
}

/// The note begins and ends in silence and has risen after 5 ms: compared with the same wave
/// without ramps.
#[test]
fn every_note_rises_in_5_and_falls_in_10_milliseconds() {
    for note in KINDS.iter().flat_map(|&kind| notes(kind)) {
        let (bare, ramped) = (steady(note, RATE), samples(note, RATE));
        let (n, rise, fall) = (bare.len(), 240, 480);
        assert!(ramped[0] == 0.0 && ramped[n - 1] == 0.0);
        assert_eq!(bare[rise..n - fall], ramped[rise..n - fall]);
        let ratio = |i: usize| ramped[i] / bare[i];
        assert!((ratio(rise / 2 + 1) - ramp(rise / 2 + 1, rise)).abs() < 1e-5);
        assert!((ratio(n - 1 - 119) - ramp(119, fall)).abs() < 1e-5);
    }
}

/// The meter itself first: ITU-R BS.1770 levels that were computed with the same crate.
#[test]
fn the_meter_reads_what_bs_1770_says() {
    let mut meter = EbuR128::new(2, RATE.get(), Mode::I | Mode::M).unwrap();
    let tone = sine(1000.0, 10_f64.powf(-23.0 / 20.0), 48_000 * 5);
    meter.add_frames_planar_f32(&[&tone, &tone]).unwrap();
    assert!((meter.loudness_global().unwrap() + 22.993).abs() < 0.01);
    let one = mono(Mode::I, &sine(997.0, 1.0, 48_000 * 5));
    assert!((one.loudness_global().unwrap() + 3.010).abs() < 0.01);
}

/// Short tones of equal length can be compared, though the window is 400 ms: 1 kHz at half scale
/// in both channels reads -12.03 LUFS for 100 ms and -6.01 for 400 ms.
#[test]
fn the_meter_reads_short_tones_as_their_energy() {
    for (millis, loudest) in [(100, -12.03), (400, -6.01)] {
        let mut meter = EbuR128::new(2, RATE.get(), Mode::M).unwrap();
        let tone = sine(1000.0, 0.5, 48 * millis);
        let silence = vec![0.0; 48_000];
        let mut best = f64::NEG_INFINITY;
        for part in silence
            .chunks(480)
            .chain(tone.chunks(480))
            .chain(silence.chunks(480))
        {
            meter.add_frames_planar_f32(&[part, part]).unwrap();
            best = best.max(meter.loudness_momentary().unwrap());
        }
        assert!((best - loudest).abs() < 0.05, "{millis} ms: {best}");
    }
}

fn pitches() -> Vec<Pitch> {
    let mut all: Vec<Pitch> = KINDS
        .iter()
        .flat_map(|&kind| notes(kind))
        .map(|note| note.pitch)
        .collect();
    all.sort_by(|a, b| a.hertz.total_cmp(&b.hertz));
    all.dedup();
    all
}

/// Notes of every pitch in use, made equally long.
#[test]
fn notes_of_equal_length_are_equally_loud_within_one_lu() {
    let loudness = pitches().into_iter().map(|pitch| {
        let note = Note {
            at: 0,
            length: 400,
            pitch,
        };
        let loud = mono(Mode::M, &samples(&note, RATE))
            .loudness_momentary()
            .unwrap();
        println!("{} Hz: {loud:.2} LUFS", pitch.hertz);
        loud
    });
    let (least, most) = loudness.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), l| {
        (low.min(l), high.max(l))
    });
    assert!(most - least <= 1.0, "{least} to {most}");
}

#[test]
fn go_and_stop_are_equally_loud_within_one_lu() {
    let palette = Palette::at(RATE);
    let loud = |kind| {
        mono(Mode::M, palette.tone(kind))
            .loudness_momentary()
            .unwrap()
    };
    assert!((loud(SignalKind::Go) - loud(SignalKind::Stop)).abs() <= 1.0);
}

/// True peak by BS.1770's oversampling, for the usual rates of sound cards.
#[test]
fn no_tone_peaks_above_minus_one_dbtp() {
    for rate in [44_100, 48_000, 96_000] {
        let palette = Palette::at(SampleRate::hertz(rate));
        for kind in KINDS {
            let mut meter = EbuR128::new(1, rate, Mode::TRUE_PEAK).unwrap();
            meter.add_frames_f32(palette.tone(kind)).unwrap();
            let peak = 20.0 * meter.true_peak(0).unwrap().log10();
            assert!((-6.0..=-1.0).contains(&peak), "{kind:?} at {rate}: {peak}");
        }
    }
}

/// The strongest line of the spectrum, refined with a parabola through its neighbours.
fn strongest(samples: &[f32], rate: f64) -> f64 {
    let size = 1 << 18;
    let mut padded = samples.to_vec();
    padded.resize(size, 0.0);
    let fft = RealFftPlanner::<f32>::new().plan_fft_forward(size);
    let mut spectrum = fft.make_output_vec();
    fft.process(&mut padded, &mut spectrum).unwrap();
    let power: Vec<f64> = spectrum.iter().map(|c| f64::from(c.norm()).ln()).collect();
    let top = (1..power.len() - 1)
        .max_by(|&a, &b| power[a].total_cmp(&power[b]))
        .unwrap();
    let (a, b, c) = (power[top - 1], power[top], power[top + 1]);
    (top as f64 + 0.5 * (a - c) / (a - 2.0 * b + c)) * rate / size as f64
}

/// ISO 24500 / JIS S 0013: fundamentals at most 2.5 kHz. The laptop's loudspeaker wants 800 Hz.
#[test]
fn the_strongest_line_of_every_note_is_its_fundamental() {
    for rate in [44_100, 48_000] {
        let palette = Palette::at(SampleRate::hertz(rate));
        for kind in KINDS {
            for note in notes(kind) {
                let from = palette.rate.count(note.at);
                let part = &palette.tone(kind)[from..from + palette.rate.count(note.length)];
                let hertz = strongest(part, f64::from(rate));
                assert!((hertz - note.pitch.hertz).abs() < 1.0, "{kind:?}: {hertz}");
                assert!((800.0..=2500.0).contains(&hertz));
            }
        }
    }
}

/// A count is a second apart from the next and half that from the nearest other signal.
#[test]
fn tones_end_before_the_next_can_begin() {
    let palette = Palette::at(RATE);
    let millis = |kind| palette.tone(kind).len() / 48;
    assert!(millis(SignalKind::Count) <= 150);
    for kind in KINDS.into_iter().filter(|&kind| kind != SignalKind::End) {
        assert!(millis(kind) <= 450, "{kind:?}");
    }
}

/// Three short and one long: the open pattern of an ending.
#[test]
fn the_ending_is_three_short_and_one_long() {
    let lengths: Vec<u32> = notes(SignalKind::End)
        .iter()
        .map(|note| note.length)
        .collect();
    assert_eq!(lengths.len(), 4);
    assert!(lengths[..3].iter().all(|&short| short * 3 <= lengths[3]));
}
