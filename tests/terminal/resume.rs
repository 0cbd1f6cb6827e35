//! What was asked for unasked questions: the class that broke off is the one that was named, and
//! none is passed over without a word. And what a terminal must be able to show.

use std::path::PathBuf;
use std::time::Duration;

use rustix::process::Signal;

use crate::folders::{Folders, write};
use crate::records;
use crate::run::{PATIENCE, Run, Start, now};

const LONG: &str = r#"Talk(time: 600, say: "Welcome.")"#;

/// A class of this title that broke off.
fn broken_off(folders: &Folders, title: &str) -> PathBuf {
    let path = folders.session(title, LONG);
    let args = ["teach", "--mute", "--fresh"];
    let mut run = Start::new(folders, &args).file(&path).run();
    run.sees("room until");
    run.press("enter");
    run.sees("recorded");
    run.press("m");
    run.is_told("marked");
    // The screen is not held up by the disk: what it tells may be written a moment later.
    let written = |file: &PathBuf| {
        let text = std::fs::read_to_string(file).unwrap_or_default();
        text.contains(title) && text.to_lowercase().contains("\"mark\"")
    };
    let from = now();
    while !records::files(&folders.records(), "jsonl")
        .iter()
        .any(written)
    {
        assert!(from.elapsed() < PATIENCE, "the mark is never written");
        run.watch(Duration::from_millis(20));
    }
    run.kill();
    path
}

/// The program refuses with this status and says this.
fn refuses(mut run: Run, code: i32, told: &[&str]) {
    let status = run.ends();
    let text = run.text().replace('\n', "");
    assert_eq!(status.code(), Some(code), "{text}");
    for words in told {
        assert!(text.contains(words), "{words}: {text}");
    }
}

#[test]
fn a_class_is_resumed_only_where_it_is_the_one_that_was_named() {
    let folders = Folders::new();
    let other = folders.session("Ebb", LONG);
    for way in ["--resume", "--catch-up"] {
        let run = Start::new(&folders, &["teach", way]).file(&other).run();
        refuses(run, 66, &["no class broke off"]);
    }
    let path = broken_off(&folders, "Flood");
    for way in ["--resume", "--catch-up", "--close"] {
        let run = Start::new(&folders, &["teach", way]).file(&other).run();
        refuses(run, 64, &["`Flood`, not `Ebb`", "--fresh"]);
    }
    assert!(!records::only(&folders).is_ended(), "it was left alone");
    let mut run = Start::new(&folders, &["teach", "--mute", "--resume"])
        .file(&path)
        .run();
    run.is_held();
    run.signal(Signal::TERM);
    run.ends_well();
}

/// What was set last time is offered, and set only where that is wanted.
#[test]
fn the_slot_of_the_class_before_is_offered_and_not_assumed() {
    let folders = Folders::new();
    let path = folders.session("Ebb", LONG);
    let teach = |args: &[&str]| Start::new(&folders, args).file(&path).run();
    let mut run = teach(&["teach", "--mute", "--slot", "25"]);
    run.sees("room until");
    run.press("enter");
    run.sees("recorded");
    run.signal(Signal::TERM);
    run.ends_well();
    let mut run = teach(&["teach", "--mute", "--fresh"]);
    run.sees("last time 25:00: y sets it so");
    run.sees("open");
    run.press("y");
    run.sees("25:00 from the start");
    run.until("no offer any more", |screen| {
        !screen.contents().contains("last time")
    });
    run.signal(Signal::TERM);
    run.ends();
}

/// A program may be killed before its record tells that the class began.
#[test]
fn a_record_cut_short_in_its_first_lines_is_a_class_that_can_be_resumed() {
    let folders = Folders::new();
    let path = broken_off(&folders, "Flood");
    let file = records::files(&folders.records(), "jsonl").remove(0);
    let whole = std::fs::read_to_string(&file).expect("the record is there");
    for lines in [1, 2] {
        for pulse in records::files(&folders.records(), "pulse") {
            write(&pulse, "");
        }
        let kept: Vec<&str> = whole.split_inclusive('\n').take(lines).collect();
        write(&file, &kept.concat());
        let mut run = Start::new(&folders, &["teach", "--mute", "--resume"])
            .file(&path)
            .run();
        run.is_held();
        run.press("space");
        run.runs();
        run.signal(Signal::TERM);
        run.ends_well();
        let record = records::of(&file);
        assert!(records::replayed(&record).has_begun(), "{lines} lines");
    }
}

/// The newest of two classes that broke off is damaged: the earlier one is not taken for it.
#[test]
fn a_damaged_record_of_today_is_told_before_an_earlier_class_is_offered() {
    let folders = Folders::new();
    broken_off(&folders, "Flood");
    let first = records::files(&folders.records(), "jsonl");
    broken_off(&folders, "Ebb");
    let mut all = records::files(&folders.records(), "jsonl");
    all.retain(|file| !first.contains(file));
    let text = std::fs::read_to_string(&all[0]).expect("the record is there");
    let (header, facts) = text.split_once('\n').expect("lines");
    assert!(facts.lines().count() >= 2, "more than a torn end: {facts}");
    let harmed = format!("{header}\n{}", facts.replacen(':', ";", 1));
    write(&all[0], &harmed);
    let name = all[0].file_stem().expect("a name").to_string_lossy();
    for way in ["--resume", "--catch-up", "--close"] {
        let run = Start::new(&folders, &["teach", way]).run();
        refuses(run, 65, &[&name, "--fresh"]);
    }
    // Where it is asked, the page says so.
    let mut run = Start::new(&folders, &["teach", "--mute"]).run();
    run.sees("This class was broken off.");
    run.until("the damaged one", |screen| {
        screen
            .contents()
            .replace('\n', " ")
            .contains("cannot be read")
    });
    run.signal(Signal::TERM);
    run.ends();
}

/// Nothing stops a class: where the place for records cannot be read, it is only what was asked of
/// them that cannot be done.
#[test]
fn a_place_for_records_that_cannot_be_read_stops_no_class() {
    let folders = Folders::new();
    let path = folders.session("Ebb", LONG);
    write(&folders.data(), "not a folder");
    for way in ["--resume", "--catch-up", "--close"] {
        refuses(
            Start::new(&folders, &["teach", way]).run(),
            74,
            &["cannot be read"],
        );
    }
    for args in [&["teach", "--mute"][..], &["teach", "--mute", "--fresh"]] {
        let mut run = Start::new(&folders, args).file(&path).run();
        run.sees("would not be recorded");
        run.press("enter");
        run.runs();
        run.signal(Signal::TERM);
        run.ends();
    }
}

#[test]
fn a_rehearsal_begins_with_the_page_of_the_class_unless_it_is_to_go() {
    let folders = Folders::new();
    let path = folders.session("Ebb", LONG);
    let mut run = Start::paged(&folders, &["rehearse", "--mute"])
        .file(&path)
        .run();
    run.sees("room until");
    run.press("enter");
    run.runs();
    run.signal(Signal::TERM);
    run.ends_well();
    let mut run = Start::new(&folders, &["rehearse", "--mute"])
        .file(&path)
        .run();
    run.runs();
    assert!(!String::from_utf8_lossy(&run.sent).contains("room until"));
    run.signal(Signal::TERM);
    run.ends_well();
}

/// What a terminal says of itself; `cli::terminal` has the whole table.
#[test]
fn a_terminal_that_cannot_show_a_class_is_refused_with_a_reason_before_anything_is_drawn() {
    let folders = Folders::new();
    let path = folders.session("Ebb", LONG);
    for (set, told) in [
        (("TERM", "dumb"), "TERM=dumb"),
        (("LC_ALL", "de_DE.ISO-8859-1"), "LC_ALL=C.UTF-8"),
    ] {
        for args in [&["teach"][..], &["rehearse"]] {
            let run = Start::new(&folders, args).env(&[set]).file(&path).run();
            refuses(run, 64, &[told]);
        }
    }
    assert!(!folders.data().exists(), "nothing was begun");
}
