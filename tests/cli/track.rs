//! `track`: every onset of the outline in its frame, at both rates and both depths, read by a reader that
//! is not ours (`hound`).

use std::fs;

use hound::{SampleFormat, WavReader};
use serde_json::Value;

use super::home::{Home, err, status};

/// Frames of silence that part one tone from the next; the notes of one signal are closer.
const APART: usize = 9_000;

/// The frames of the outline's signals at a rate, up to an end in milliseconds, and no two that are one
/// tone for an ear.
fn meant(home: &Home, rate: u64, end: u64) -> Vec<usize> {
    let output = home.run(&["outline", "--json"]);
    let outline: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let signals = outline["signals"].as_array().expect("signals");
    let at = signals.iter().map(|signal| millis(&signal["at_s"]));
    let at = at.filter(|at| *at < end);
    // `round(ms * rate / 1000)`, worked in whole numbers.
    let frames = at.map(|at| usize::try_from((at * rate * 2 + 1000) / 2000).expect("small"));
    frames.collect()
}

#[test]
fn every_signal_of_the_outline_is_in_its_frame() {
    let home = Home::new();
    for (rate, bits, channels) in [(48_000_u32, 16_u16, 2_u16), (44_100, 24, 1)] {
        let file = home.path().join(format!("class-{rate}.wav"));
        let (rate_text, bits_text) = (rate.to_string(), bits.to_string());
        let path = file.to_str().expect("text");
        let mut args = vec!["track", "-o", path, "--for", "5", "--rate", &rate_text];
        args.extend(["--bits", &bits_text]);
        args.extend((channels == 1).then_some("--mono"));
        let output = home.run(&args);
        assert_eq!(status(&output), Some(0), "{}", err(&output));
        let mut reader = WavReader::open(&file).expect("a WAV");
        let spec = reader.spec();
        assert_eq!((spec.sample_rate, spec.bits_per_sample), (rate, bits));
        assert_eq!(
            (spec.channels, spec.sample_format),
            (channels, SampleFormat::Int)
        );
        let samples: Vec<i32> = reader.samples().map(|s| s.expect("a sample")).collect();
        let frames: Vec<&[i32]> = samples.chunks_exact(usize::from(channels)).collect();
        assert_eq!(frames.len(), 300 * rate as usize);
        assert!(
            frames
                .iter()
                .all(|frame| frame.iter().all(|s| *s == frame[0]))
        );
        let meant = meant(&home, u64::from(rate), 300_000);
        assert!(meant.len() > 10, "{meant:?}");
        for at in &meant {
            // The first sample of a tone is nothing yet; its second is heard.
            let before = &frames[at.saturating_sub(200)..*at];
            let after = &frames[*at..(at + 20).min(frames.len())];
            assert!(
                before.iter().all(|frame| frame[0] == 0),
                "silent before {at}"
            );
            assert!(after.iter().any(|frame| frame[0] != 0), "heard at {at}");
        }
        let onsets = onsets(&frames);
        let near = |onset: usize| meant.iter().any(|at| (*at..at + 4).contains(&onset));
        assert!(
            onsets.iter().all(|onset| near(*onset)),
            "nothing else begins"
        );
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "an hour"
)]
fn millis(secs: &Value) -> u64 {
    (secs.as_f64().expect("seconds") * 1000.0).round() as u64
}

/// Where sound begins after silence.
fn onsets(frames: &[&[i32]]) -> Vec<usize> {
    let (mut onsets, mut quiet) = (Vec::new(), APART);
    for (n, frame) in frames.iter().enumerate() {
        if frame[0] == 0 {
            quiet += 1;
        } else {
            if quiet >= APART {
                onsets.push(n);
            }
            quiet = 0;
        }
    }
    onsets
}

/// What is there stays unless it is to be replaced; what cannot be made leaves nothing; a part begins
/// where it is asked to, and its chapters with it.
#[test]
fn a_part_of_a_class_and_what_is_refused() {
    let home = Home::new();
    let file = home.path().join("part.wav");
    let path = file.to_str().expect("text");
    let args = [
        "track",
        "-o",
        path,
        "--from",
        "1",
        "--for",
        "0:30",
        "--mono",
        "--chapters",
    ];
    let output = home.run(&args);
    assert_eq!(status(&output), Some(0), "{}", err(&output));
    let length = |file: &std::path::Path| WavReader::open(file).expect("a WAV").duration();
    assert_eq!(length(&file), 30 * 48_000);
    let chapters = fs::read_to_string(file.with_extension("vtt")).expect("chapters");
    assert!(
        chapters.starts_with("WEBVTT\n\n1\n00:00:00.000 --> "),
        "{chapters}"
    );
    let again = home.run(&args);
    assert_eq!((status(&again), length(&file)), (Some(73), 30 * 48_000));
    for (args, code) in [
        (&["track"][..], 64),
        (&["track", "-o", path, "--force", "--from", "500"], 64),
        (&["track", "-o", path, "--force", "--rate", "22050"], 64),
        (&["track", "-o", "/nowhere/a.wav"], 73),
    ] {
        let output = home.run(args);
        assert_eq!(status(&output), Some(code), "{args:?}: {}", err(&output));
    }
    let names = fs::read_dir(home.path())
        .expect("the folder")
        .map(|e| e.expect("one").file_name());
    let left = names
        .filter(|name| name.to_string_lossy().starts_with('.'))
        .count();
    assert_eq!(left, 0, "no part of a file stays");
}
