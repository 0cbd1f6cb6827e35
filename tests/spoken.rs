//! How long words take, against a general speech synthesizer: `espeak-ng`, at the words a minute of
//! each session, silence trimmed. Where it is not installed there is nothing to compare with, and the test says
//! so; continuous integration installs it.

use std::collections::BTreeMap;
use std::fs;
use std::io::Write as _;
use std::process::Command;

use matside::plan::{CuePlan, Timeline};
use matside::session::{Library, Session};

/// Of the prompts so many in a hundred may take longer than is planned for them.
const LONGER: usize = 1;
/// And none by more than this, in seconds.
const AT_MOST: f64 = 0.2;
/// The loudness, of 32768, under which it is silence.
const SILENCE: u16 = 200;

/// Every distinct prompt of the sample sessions, at its words a minute, with the time planned for
/// it, in seconds.
fn planned() -> BTreeMap<(String, u32), f64> {
    let library = Library::builtin();
    let mut planned = BTreeMap::new();
    let mut sessions = 0;
    for entry in fs::read_dir("sessions").expect("the samples") {
        let path = entry.expect("a sample").path();
        let text = fs::read_to_string(&path).expect("a readable sample");
        let session = Session::read("sample", &text, &library).expect("a good sample");
        let rate = session.cueing.words_per_minute;
        let timeline = Timeline::of(&session);
        for prompt in CuePlan::of(&timeline, &session.cueing, &session.limits).prompts {
            let long = (prompt.until - prompt.at).secs();
            planned.insert((prompt.say, rate), long);
        }
        sessions += 1;
    }
    assert!(sessions >= 10 && planned.len() > 400, "{sessions}");
    planned
}

/// How long the synthesizer takes, in seconds, from the first sound to the last.
fn spoken(say: &str, rate: u32, folder: &std::path::Path) -> f64 {
    let wave = folder.join("said.wav");
    let run = Command::new("espeak-ng")
        .args(["-s", &rate.to_string(), "-w"])
        .arg(&wave)
        .args(["--", say])
        .output()
        .expect("it runs");
    assert!(run.status.success(), "{run:?}");
    let bytes = fs::read(&wave).expect("it was written");
    let rate = u32::from_le_bytes(bytes[24..28].try_into().expect("four bytes"));
    let samples: Vec<i16> = bytes[44..]
        .chunks_exact(2)
        .map(|two| i16::from_le_bytes([two[0], two[1]]))
        .collect();
    let sounds = |sample: &i16| sample.unsigned_abs() > SILENCE;
    let first = samples.iter().position(sounds).expect("a sound");
    let last = samples.iter().rposition(sounds).expect("a sound");
    let samples = u32::try_from(last - first).expect("a short prompt");
    f64::from(samples) / f64::from(rate)
}

#[test]
fn no_prompt_is_planned_shorter_than_it_is_spoken() {
    if Command::new("espeak-ng").arg("--version").output().is_err() {
        // Not by a macro: what a test that passes prints so is never seen.
        let told = "left out: espeak-ng is not installed, so there is nothing to compare with\n";
        let _ = std::io::stderr().write_all(told.as_bytes());
        return;
    }
    let folder = tempfile::tempdir().expect("a folder");
    let mut found: Vec<(f64, f64, String)> = planned()
        .into_iter()
        .map(|((say, rate), planned)| {
            let spoken = spoken(&say, rate, folder.path());
            (spoken / planned, spoken - planned, say)
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (all, longer) = (found.len(), found.iter().filter(|one| one.1 > 0.0).count());
    let at = |share: usize| found[(all - 1) * share / 100].0;
    let late = found.iter().map(|one| one.1).fold(0.0, f64::max);
    println!(
        "spoken to planned, {all} prompts: median {:.3}, 99th {:.3}, worst {:.3}; {longer} longer, by {late:.3} s at most: {}",
        at(50),
        at(99),
        at(100),
        found[all - 1].2
    );
    assert!(longer * 100 <= all * LONGER, "{longer} of {all}");
    assert!(late <= AT_MOST, "{late} s");
    // Nor is so much time left over that words find no place.
    assert!(at(50) > 0.7, "{}", at(50));
}
