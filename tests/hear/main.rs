//! Hears the program: a class with its keys on the real device, recorded and compared with what
//! was ordered, beside a player that starts each beep by itself. `tests/hear.sh` runs it all, on a
//! sound server of its own.
//!
//! Each half is a test run by hand: `play` plays and writes down what should be heard, `tell` reads
//! that and the recording.

#![expect(clippy::unwrap_used, reason = "a fault should stop it")]

mod back;
mod ear;
mod log;
mod meant;
mod naive;
mod player;
mod table;
mod words;

use std::path::PathBuf;

use matside::live::SoundOrder;
use matside::plan::{SignalKind, Strike};
use matside::time::{Moment, Span};

fn setting<T: std::str::FromStr>(name: &str, usual: T) -> T {
    let text = std::env::var(name).ok();
    text.and_then(|text| text.parse().ok()).unwrap_or(usual)
}

/// Where the two halves meet: a folder with `meant.txt` and `heard.raw`.
fn folder() -> PathBuf {
    std::env::var("MATSIDE_HEAR")
        .expect("MATSIDE_HEAR names a folder")
        .into()
}

#[test]
#[ignore = "plays through the loudspeaker; see tests/hear.sh"]
fn play() {
    let seconds = setting("MATSIDE_HEAR_SECONDS", 60);
    let offset = setting("MATSIDE_HEAR_OFFSET", 0);
    let seed = setting("MATSIDE_HEAR_SEED", 1);
    let is_spoken = std::env::var_os("MATSIDE_HEAR_WORDS").is_some();
    let played = player::play(seconds, offset, seed, is_spoken);
    println!(
        "{} s, offset {offset} ms, {} keys, reach {} ms, {} xruns, on: {}",
        seconds,
        played.keys,
        played.log.reach.millis(),
        played.xruns,
        played.device
    );
    for (at, why) in &played.lost {
        println!("lost at {} ms: {why}", at.millis());
    }
    played.log.write(&folder().join("meant.txt"));
}

#[test]
#[ignore = "reads a recording; see tests/hear.sh"]
fn tell() {
    let log = log::Log::read(&folder().join("meant.txt"));
    let (left, right) = ear::sides(&folder().join("heard.raw"));
    if std::env::var_os("MATSIDE_HEAR_WORDS").is_some() {
        let (told, is_good) = words::tell(&log, &left, &right);
        print!("{told}");
        assert!(
            is_good,
            "words or tones were lost, off, or where they do not belong"
        );
        return;
    }
    let (ours, naive) = ear::apart(left, &right);
    let ours = table::Table::of(&ear::Tones::ours(), &log, &ours);
    let naive = table::Table::of(&ear::Tones::naive(), &log.for_naive(), &naive);
    println!("{}", table::side_by_side(&ours, &naive));
    print!("{}", table::faults(&ours));
    assert!(ours.expected > 0, "something was to be heard");
    // Where others share the machine, what they take from the sound server they take from both.
    let shared = std::env::var_os("MATSIDE_HEAR_SHARED").is_some();
    assert!(
        ours.is_good(if shared { naive.gap.max(1.0) } else { 1.0 }),
        "a signal was lost, doubled or displaced inside a count"
    );
}

#[test]
#[ignore = "restarts a sound server of its own; see tests/hear.sh"]
fn back() {
    let restarts = back::restarts(&folder().join("serve"), setting("MATSIDE_HEAR_SEED", 1));
    for (away, back) in &restarts {
        println!(
            "server away {} ms, sound back {} ms after its start",
            away.millis(),
            back.millis()
        );
    }
    let worst = restarts.iter().map(|(_, back)| *back).max().unwrap();
    assert!(worst <= Span::from_secs(2), "sound was away too long");
}
