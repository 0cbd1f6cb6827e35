//! `track`: every onset of the outline in its frame, at both rates and both depths, read by a reader that
//! is not ours (`hound`).

use std::fs;
use std::path::Path;

use hound::{SampleFormat, WavReader};
use serde_json::Value;

use super::home::{Home, err, status};

/// Frames of silence that part one tone from the next; the notes of one signal are closer.
const APART: usize = 9_000;
/// Frames of silence that part a note from what came before.
const BEFORE: usize = 200;
/// The first sample of a tone is nothing yet; one of its next is heard.
const HEARD: usize = 20;

/// The frames of the outline's signals at a rate, up to an end in milliseconds.
fn meant(outline: &Value, rate: u64, end: u64) -> Vec<usize> {
    let signals = outline["signals"].as_array().expect("signals");
    let at = signals.iter().map(|signal| millis(&signal["at_s"]));
    let at = at.filter(|at| *at < end);
    // `round(ms * rate / 1000)`, worked in whole numbers.
    let frames = at.map(|at| usize::try_from((at * rate * 2 + 1000) / 2000).expect("small"));
    frames.collect()
}

fn outline(home: &Home, file: &[&str]) -> Value {
    let output = home.run(&[&["outline", "--json"], file].concat());
    serde_json::from_slice(&output.stdout).expect("JSON")
}

/// Where sound begins in a file: after any silence, and after one that parts tones; and how many
/// frames it has. Every channel must hold the same.
struct Begins {
    notes: Vec<usize>,
    tones: Vec<usize>,
    frames: usize,
}

impl Begins {
    fn of(file: &Path, spec: (u32, u16, u16)) -> Self {
        let mut reader = WavReader::open(file).expect("a WAV");
        let is = reader.spec();
        assert_eq!((is.sample_rate, is.bits_per_sample, is.channels), spec);
        assert_eq!(is.sample_format, SampleFormat::Int);
        let (mut notes, mut tones, mut quiet, mut frames) = (Vec::new(), Vec::new(), APART, 0);
        let mut samples = reader.samples::<i32>().map(|s| s.expect("a sample"));
        while let Some(first) = samples.next() {
            for _ in 1..spec.2 {
                assert_eq!(samples.next(), Some(first), "in frame {frames}");
            }
            if first == 0 {
                quiet += 1;
            } else {
                if quiet >= BEFORE {
                    notes.push(frames);
                }
                if quiet >= APART {
                    tones.push(frames);
                }
                quiet = 0;
            }
            frames += 1;
        }
        Self {
            notes,
            tones,
            frames,
        }
    }

    /// Every signal begins in its frame, out of silence, and no tone begins elsewhere.
    fn are(&self, meant: &[usize]) {
        for at in meant {
            let first = self.notes.partition_point(|note| note < at);
            let heard = self.notes.get(first).is_some_and(|note| *note < at + HEARD);
            assert!(heard, "heard at {at}");
        }
        for tone in &self.tones {
            let last = meant.partition_point(|at| at <= tone);
            let is_meant = last > 0 && tone - meant[last - 1] < 4;
            assert!(is_meant, "nothing else begins: {tone}");
        }
    }
}

/// Makes a track and compares it with its outline.
fn compare(home: &Home, file: &[&str], (rate, bits, channels): (u32, u16, u16), millis: u64) {
    let track = home.path().join(format!("class-{rate}.wav"));
    let (rate_text, bits_text) = (rate.to_string(), bits.to_string());
    let path = track.to_str().expect("text");
    let mut args = vec!["track", "-o", path, "--rate", &rate_text];
    args.extend(["--bits", &bits_text, "--for"]);
    let long = format!("{}:{:02}", millis / 60_000, millis / 1000 % 60);
    args.push(&long);
    args.extend((channels == 1).then_some("--mono"));
    args.extend(file);
    let output = home.run(&args);
    assert_eq!(status(&output), Some(0), "{}", err(&output));
    let meant = meant(&outline(home, file), u64::from(rate), millis);
    let begins = Begins::of(&track, (rate, bits, channels));
    assert_eq!(begins.frames as u64, millis * u64::from(rate) / 1000);
    assert!(meant.len() as u64 > millis / 30_000, "{meant:?}");
    begins.are(&meant);
}

#[test]
fn every_signal_of_the_outline_is_in_its_frame() {
    let home = Home::new();
    for spec in [(48_000, 16, 2), (44_100, 24, 1)] {
        compare(&home, &[], spec, 300_000);
    }
}

/// What a rate that is no whole number of frames a millisecond would add up to is seen after hours.
#[test]
#[ignore = "three hours of sound at two rates: minutes; run with --release"]
fn three_hours_keep_every_signal_in_its_frame() {
    let home = Home::new();
    let block = "Block(moves: [\"squat\", \"march\"], pattern: Rounds(work: [37, 41, 29], rest: [17, 13, 11]), recovery: 23),";
    home.put(
        "day.ron",
        &format!(
            "Session(title: \"Long Day\", parts: [{}])",
            block.repeat(36)
        ),
    );
    let total = outline(&home, &["day.ron"])["total_s"].as_f64();
    assert!(total.is_some_and(|total| total >= 10_800.0), "{total:?}");
    for spec in [(48_000, 16, 2), (44_100, 24, 1)] {
        compare(&home, &["day.ron"], spec, 10_800_000);
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
