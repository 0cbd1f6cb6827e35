//! What takes minutes, and is left out of the ordinary run. All of it, with its figures:
//! `tests/long.sh`, and a part of it: `tests/long.sh short`.
#![expect(clippy::print_stdout, reason = "these tell figures")]

use std::path::Path;
use std::process::Command;
use std::thread;
use std::time::Duration;

use fastrand::Rng;

use crate::comeback::{Back, killed};
use crate::folders::Folders;
use crate::landing::{held_skipped_landed, off_the_slot};
use crate::records;
use crate::run::{Cells, Start, now};
use crate::sizes::SIZES;

/// One of how many kills and sessions is done.
fn part() -> u64 {
    let asked = std::env::var("MATSIDE_ONE_IN").ok();
    asked.map_or(1, |text| text.parse().expect("a whole number from 1 on"))
}

/// Two hundred kills at random moments, four at a time: about five minutes.
/// `cargo test --test terminal long::two_hundred -- --ignored --nocapture`
#[test]
#[ignore = "about five minutes"]
fn two_hundred_killed_classes_come_back() {
    let lane = |lane: u64| -> Vec<Back> {
        let seeds = (0..50_u64.div_ceil(part())).map(|n| 1_000 * (lane + 1) + n);
        seeds
            .map(|seed| killed(&mut Rng::with_seed(seed)))
            .collect()
    };
    let mut backs: Vec<Back> = thread::scope(|scope| {
        let lanes: Vec<_> = (0..4).map(|n| scope.spawn(move || lane(n))).collect();
        let done = lanes.into_iter().map(|lane| lane.join().expect("a lane"));
        done.flatten().collect()
    });
    backs.sort_by_key(|back| back.lost);
    let good = backs.iter().filter(|back| back.is_good()).count();
    let (middle, most) = (backs[backs.len() / 2].lost, backs[backs.len() - 1].lost);
    println!(
        "{good} of {} came back; lost ms: median {middle}, most {most}",
        backs.len()
    );
    let bad: Vec<&Back> = backs.iter().filter(|back| !back.is_good()).collect();
    assert!(bad.is_empty(), "{bad:#?}");
}

/// Five minutes of class in real time: late, held, a move skipped, brought home.
/// `cargo test --test terminal long::five -- --ignored --nocapture`
#[test]
#[ignore = "five minutes"]
fn five_minutes_of_class_end_on_the_slots_time() {
    let folders = Folders::new();
    let path = folders.session(
        "Five",
        r#"Talk(time: 20, say: "Welcome."), WarmUp([("march", 30)]), Ready(time: 15),
        Block(moves: ["squat", "lunge", "push-up"],
            pattern: Same(rounds: 2, work: 30, rest: 12), recovery: 30),
        CoolDown([("child-pose", 40)])"#,
    );
    let args = ["teach", "--mute", "--slot", "5:00"];
    let mut run = Start::new(&folders, &args).file(&path).run();
    run.sees("room until");
    // She begins late.
    run.watch(Duration::from_secs(12));
    run.press("enter");
    run.sees("left");
    held_skipped_landed(&mut run, Duration::from_secs(25));
    run.watch(Duration::from_secs(245));
    run.sees("class time");
    run.press("esc");
    run.ends_well();
    let off = off_the_slot(&records::only(&folders));
    println!("ended {off} ms after the slot");
    assert!(off.abs() <= 1_000, "{off} ms");
}

/// Four minutes late in a slot of 45, held for 90 s, a move skipped, sixty times as fast.
/// `cargo test --test terminal long::forty_five -- --ignored --nocapture`
#[test]
#[ignore = "a minute"]
fn forty_five_minutes_begun_four_late_end_on_the_slots_time() {
    let folders = Folders::new();
    let path = folders.session(
        "Long",
        r#"Talk(time: "2:00", say: "Welcome."), WarmUp([("march", "3:00"), ("arm-circle", "2:00")]),
        Ready(time: 20), Block(moves: ["squat", "lunge", "push-up", "dead-bug"],
            pattern: Same(rounds: 7, work: 45, rest: 20), recovery: 60),
        Recover(time: 60), CoolDown([("child-pose", "3:00")])"#,
    );
    let args = ["rehearse", "--pace", "60", "--slot", "41:00"];
    let mut run = Start::new(&folders, &args).file(&path).run();
    run.sees("over");
    held_skipped_landed(&mut run, Duration::from_millis(1_500));
    run.watch(Duration::from_secs(25));
    let on_time = ["on time", "0:01 over", "0:01 in hand"];
    run.until("the end", |screen| {
        let text = screen.contents();
        text.contains("0:00 left") && on_time.iter().any(|words| text.contains(words))
    });
    run.ends_well();
}

/// A thousand keys, each answered by what is drawn next; a drawing may be on its way when it is
/// pressed. How long it took is told.
/// `cargo test --test terminal long::a_thousand -- --ignored --nocapture`
#[test]
#[ignore = "a minute"]
fn a_thousand_keys_are_answered_at_once() {
    let folders = Folders::new();
    let path = folders.session("Keys", r#"Talk(time: "1:00:00", say: "Welcome.")"#);
    let mut run = Start::new(&folders, &["teach", "--mute"]).file(&path).run();
    run.sees("room until");
    run.press("enter");
    run.sees("recorded");
    let mut answered: Vec<(Duration, usize)> = (0..500)
        .flat_map(|_| [("+", "10 s more"), ("-", "10 s less")])
        .map(|(key, words)| {
            run.press(key);
            let (pressed, pieces) = (now(), run.pieces());
            run.is_told(words);
            (pressed.elapsed(), run.pieces() - pieces)
        })
        .collect();
    answered.sort();
    let took = |part: usize| answered[(answered.len() - 1) * part / 100].0;
    let (median, late, worst) = (took(50), took(99), took(100));
    println!("key to screen: median {median:?}, 99 of 100 within {late:?}, worst {worst:?}");
    let waited = answered.iter().filter(|(_, pieces)| *pieces > 2).count();
    println!("{waited} answered later than by the second piece that was drawn");
    assert!(waited <= answered.len() / 100, "{waited}");
}

/// Every session that comes along, at every size, against the total of its outline.
/// `cargo test --test terminal long::every_session -- --ignored --nocapture`
#[test]
#[ignore = "about seven minutes"]
fn every_session_runs_to_its_end_at_every_size() {
    let sessions = Path::new(env!("CARGO_MANIFEST_DIR")).join("sessions");
    let files = records::files(&sessions, "ron");
    assert!(files.len() >= 8, "{files:?}");
    let every = usize::try_from(part()).expect("a small number");
    let files: Vec<_> = files.into_iter().step_by(every).collect();
    thread::scope(|scope| {
        for cells in SIZES {
            let files = &files;
            scope.spawn(move || files.iter().for_each(|file| rehearsed(file, cells)));
        }
    });
}

fn rehearsed(file: &Path, cells: Cells) {
    let folders = Folders::new();
    let total = total(file);
    let start = Start::new(&folders, &["rehearse", "--pace", "60"]).file(file);
    let mut run = start.cells(cells).run();
    let status = run.ends_within(Duration::from_secs(180));
    assert!(
        status.success(),
        "{} at {cells:?}: {status}",
        file.display()
    );
    run.gave_the_terminal_back();
    let told = format!("rehearsed {total} of {total} planned");
    let text = run.text().replace('\n', "");
    assert!(
        text.contains(&told),
        "{} at {cells:?}: {told}: {text}",
        file.display()
    );
    let name = file.file_stem().unwrap_or_default().to_string_lossy();
    println!("{cells:?} {name}: {told}");
}

/// The total of the outline, as a person reads it; its intervals stand end to end.
fn total(file: &Path) -> String {
    let mut outline = Command::new(env!("CARGO_BIN_EXE_matside"));
    let done = outline.args(["outline", "--json"]).arg(file).output();
    let text = done.expect("the program starts").stdout;
    let outline: serde_json::Value = serde_json::from_slice(&text).expect("JSON");
    let secs = |value: &serde_json::Value| value.as_f64().expect("seconds");
    let mut at = 0.0;
    for interval in outline["intervals"].as_array().expect("intervals") {
        assert!((secs(&interval["start_s"]) - at).abs() < 1e-6, "{interval}");
        at += secs(&interval["length_s"]);
    }
    assert!((secs(&outline["total_s"]) - at).abs() < 1e-6, "{at}");
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "seconds of a class"
    )]
    let whole = at as u64;
    let (hours, minutes, secs) = (whole / 3600, whole / 60 % 60, whole % 60);
    match hours {
        0 => format!("{minutes}:{secs:02}"),
        _ => format!("{hours}:{minutes:02}:{secs:02}"),
    }
}
