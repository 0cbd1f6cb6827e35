//! Records from the command line: nothing is replaced, nothing is passed over.

use std::fs;
use std::path::PathBuf;
use std::time::Duration;

use chrono::Days;
use matside::record::{Note, Rating};
use matside::store::Shelf;

use crate::home::{Home, err, out, status};
use crate::sample::{eventful, header, short_class, start};

fn shelf(home: &Home) -> Shelf {
    Shelf::at(home.path().join("data/records"))
}

/// A class taught so many days after the first, with this behind its title; gives its name.
pub(crate) fn record(home: &Home, days: u64, title: &str) -> String {
    let shift = Days::new(days);
    let mut session = short_class();
    session.title = format!("Tide & Shore{title}");
    let begun = shelf(home)
        .begin(&header(session, start() + shift))
        .expect("begun");
    for (wall, fact) in eventful(start()) {
        begun.recorder.entry(wall + shift, fact);
    }
    begun
        .recorder
        .finish(Duration::from_secs(60))
        .expect("written");
    begun.name
}

#[expect(
    clippy::disallowed_methods,
    reason = "a test prepares the files it reads"
)]
fn damage(home: &Home, name: &str, line: usize) -> (PathBuf, Vec<u8>) {
    let path = shelf(home).path(name);
    let mut bytes = fs::read(&path).expect("there");
    let starts = |bytes: &[u8]| -> Vec<usize> {
        let ends = bytes.iter().enumerate().filter(|(_, b)| **b == b'\n');
        std::iter::once(0).chain(ends.map(|(n, _)| n + 1)).collect()
    };
    let at = starts(&bytes)[line - 1] + 12;
    bytes[at] ^= 1;
    fs::write(&path, &bytes).expect("written");
    (path, bytes)
}

/// The ways to name a file that an export must not harm; `hand_over` has the rest of the table.
#[test]
#[expect(
    clippy::disallowed_methods,
    reason = "a test prepares the files it reads"
)]
fn an_export_replaces_nothing_unasked() {
    let home = Home::new();
    record(&home, 0, "");
    let csv = out(&home.run(&["records", "export"]));
    assert!(csv.starts_with("record,title,"));
    let file = home.path().join("out.csv");
    let read = || fs::read_to_string(&file).expect("there");
    for kind in [
        &["--csv"][..],
        &["--moves"],
        &["--json"],
        &["--vtt"],
        &["--captions"],
    ] {
        fs::write(&file, "mine").expect("written");
        let args = [&["records", "export", "-o", "out.csv"], kind].concat();
        let refused = home.run(&args);
        assert_eq!(status(&refused), Some(73), "{kind:?}");
        assert!(err(&refused).contains("--force"), "{}", err(&refused));
        assert_eq!(read(), "mine", "{kind:?}");
        let forced = home.run(&[&args[..], &["--force"]].concat());
        assert_eq!(status(&forced), Some(0), "{}", err(&forced));
        assert_ne!(read(), "mine", "{kind:?}");
        let printed = home.run(&[&["records", "export", "-o", "-"], kind].concat());
        assert_eq!(out(&printed), read(), "{kind:?}");
    }
    for (to, code) in [
        ("/dev/null", 0),
        ("/dev/full", 73),
        ("none/a.csv", 73),
        (".", 73),
    ] {
        let output = home.run(&["records", "export", "-o", to]);
        assert_eq!(status(&output), Some(code), "{to}: {}", err(&output));
    }
    let alone = home.run(&["records", "export", "--force"]);
    assert_eq!(status(&alone), Some(64), "--force without a file");
}

#[test]
fn a_record_is_deleted_by_its_whole_name_alone_where_nothing_is_asked() {
    let home = Home::new();
    let name = record(&home, 0, "");
    for (part, code) in [
        ("", 66),
        (" ", 66),
        ("2026", 64),
        ("tide", 64),
        (&name[..20], 64),
    ] {
        let output = home.run(&["records", "delete", part, "--yes"]);
        assert_eq!(status(&output), Some(code), "`{part}`: {}", err(&output));
        assert!(shelf(&home).path(&name).exists(), "`{part}`");
    }
    assert_eq!(
        status(&home.run(&["records", "delete", &name])),
        Some(64),
        "no terminal"
    );
    assert_eq!(
        status(&home.run(&["records", "delete", &name, "--yes"])),
        Some(0)
    );
    assert!(!shelf(&home).path(&name).exists());
}

/// Each line of the record in turn is damaged.
#[test]
fn a_damaged_record_is_told_and_read_up_to_there_on_request_and_never_passed_over() {
    let whole = {
        let home = Home::new();
        let name = record(&home, 1, " whole");
        fs::read(shelf(&home).path(&name)).expect("there")
    };
    let lines = whole.split(|byte| *byte == b'\n').count() - 1;
    for line in 1..lines {
        let home = Home::new();
        let first = record(&home, 0, "");
        let lost = record(&home, 1, " lost");
        let (path, bytes) = damage(&home, &lost, line);
        let told = |args: &[&str], code: i32, says: &[&str]| {
            let output = home.run(args);
            assert_eq!(
                status(&output),
                Some(code),
                "line {line}, {args:?}: {}",
                err(&output)
            );
            for word in says {
                assert!(
                    err(&output).contains(word),
                    "line {line}, {args:?}: {}",
                    err(&output)
                );
            }
            out(&output)
        };
        for args in [
            &["records", "show"][..],
            &["records", "note"],
            &["records", "export", "--vtt"],
        ] {
            assert_eq!(
                told(args, 65, &[&lost, &first, "the last that can be read"]),
                ""
            );
        }
        for args in [
            &["records", "list"][..],
            &["records", "history"],
            &["records", "export"],
        ] {
            assert!(
                !told(args, 65, &[&lost]).is_empty(),
                "the others are handed over"
            );
        }
        assert!(!told(&["records", "show", &first], 0, &[]).is_empty());
        assert!(!told(&["records", "export", &first], 0, &[]).is_empty());
        let part = &["records", "show", &lost, "--as-far-as-possible"];
        if line == 1 {
            told(part, 65, &[&lost]);
        } else {
            let text = told(part, 0, &[]);
            assert!(text.starts_with("A part of the class only"), "{text}");
            assert!(text.contains(&format!("line {line}")), "{text}");
            assert!(text.contains("Tide & Shore lost"), "{text}");
        }
        assert_eq!(
            fs::read(&path).expect("there"),
            bytes,
            "line {line}: untouched"
        );
    }
}

#[test]
fn where_nothing_is_asked_for_the_reason_is_told_and_list_and_history_agree() {
    let home = Home::new();
    let nothing = |args: &[&str], code: i32, told: &str| {
        let output = home.run(args);
        assert_eq!(status(&output), Some(code), "{args:?}: {}", err(&output));
        assert!(err(&output).contains(told), "{args:?}: {}", err(&output));
        assert_eq!(out(&output), "", "{args:?}");
    };
    for command in ["list", "history"] {
        nothing(&["records", command], 0, "no class was recorded yet");
    }
    nothing(&["records", "show"], 66, "no class was recorded yet");
    nothing(
        &["records", "export", "--vtt"],
        66,
        "no class was recorded yet",
    );
    record(&home, 0, "");
    record(&home, 1, " two");
    for filter in [
        &["--since", "2027-01-01"][..],
        &["--until", "2025-12-31"],
        &["--title", "xyzzy"],
        &["--since", "2026-03-03", "--until", "2026-03-02"],
    ] {
        for command in ["list", "history"] {
            let args = [&["records", command], filter].concat();
            nothing(&args, 0, "none of the 2 classes");
        }
        for track in ["--vtt", "--captions"] {
            let args = [&["records", "export", track], filter].concat();
            nothing(&args, 66, "is asked for");
        }
    }
}

#[test]
fn chapters_and_captions_are_those_of_the_last_class_that_is_asked_for() {
    let home = Home::new();
    let first = record(&home, 0, "");
    let second = record(&home, 1, " two");
    for track in ["--vtt", "--captions"] {
        let of = |args: &[&str]| {
            let output =
                home.run(&[&["records", "export", track, "--from", "18:00"], args].concat());
            assert_eq!(status(&output), Some(0), "{}", err(&output));
            out(&output)
        };
        assert_eq!(of(&["--until", "2026-03-02"]), of(&[&first]));
        assert_eq!(of(&["--title", "TWO"]), of(&[&second]));
        assert_eq!(of(&[]), of(&[&second]));
    }
    for args in [
        &["--by", "move"][..],
        &["--by", "move", "--csv"],
        &["--by", "round", "--captions"],
        &["--from", "18:00"],
        &["--from", "18:00", "--json"],
    ] {
        let output = home.run(&[&["records", "export"], args].concat());
        assert_eq!(status(&output), Some(64), "{args:?} would be passed over");
    }
}

/// Names from memory, as shared folders leave them; a name with a byte that is no text, and one that
/// would move the cursor.
#[cfg(unix)]
#[test]
#[expect(
    clippy::disallowed_methods,
    reason = "a test prepares the files it reads"
)]
fn copies_are_told_and_odd_names_listed_without_harm() {
    use std::os::unix::ffi::OsStrExt;
    let home = Home::new();
    let name = record(&home, 0, "");
    let path = shelf(&home).path(&name);
    let beside = |file: &[u8]| path.with_file_name(std::ffi::OsStr::from_bytes(file));
    let copies = [
        format!("{name} (conflicted copy 2026-03-03).jsonl"),
        format!("{name}.sync-conflict-20260303-101112-ABCDEFG.jsonl"),
        format!("Copy of {name}.jsonl"),
    ];
    for copy in &copies {
        fs::copy(&path, beside(copy.as_bytes())).expect("copied");
    }
    let list = home.run(&["records", "list"]);
    assert_eq!(status(&list), Some(0), "{}", err(&list));
    assert_eq!(
        out(&list).lines().count(),
        1,
        "counted once: {}",
        out(&list)
    );
    for copy in &copies {
        let stem = copy.trim_end_matches(".jsonl");
        assert!(
            err(&list).contains(&format!("`{stem}` is a copy of `{name}`")),
            "{}",
            err(&list)
        );
        fs::remove_file(beside(copy.as_bytes())).expect("removed");
    }

    let other = record(&home, 1, " odd");
    let bytes = fs::read(shelf(&home).path(&other)).expect("there");
    fs::remove_file(shelf(&home).path(&other)).expect("removed");
    for (file, shown) in [
        (&b"o\xffd.jsonl"[..], "o\\xffd"),
        (b"o\x1b[31md.jsonl", "o\\u{1b}[31md"),
    ] {
        fs::write(beside(file), &bytes).expect("written");
        let old = std::time::UNIX_EPOCH - Duration::from_secs(86_400 * 365);
        let opened = fs::OpenOptions::new()
            .write(true)
            .open(beside(file))
            .expect("there");
        opened.set_modified(old).expect("set");
        let list = home.run(&["records", "list"]);
        assert!(out(&list).contains(shown), "{}", out(&list));
        assert!(!out(&list).contains('\u{1b}'));
        let page = home.run(&["records", "show", shown]);
        assert!(out(&page).starts_with("Tide & Shore odd"), "{}", err(&page));
        fs::remove_file(beside(file)).expect("removed");
    }
    for (file, make) in [("folder.jsonl", true), ("link.jsonl", false)] {
        if make {
            fs::create_dir(beside(file.as_bytes())).expect("made");
        } else {
            std::os::unix::fs::symlink("nowhere", beside(file.as_bytes())).expect("linked");
        }
        let list = home.run(&["records", "list"]);
        assert_eq!(status(&list), if make { Some(65) } else { Some(74) });
        assert!(
            err(&list).contains(file.trim_end_matches(".jsonl")),
            "{}",
            err(&list)
        );
        assert_eq!(out(&list).lines().count(), 1);
    }
}

/// What a record says of itself is printed without anything that could move the cursor.
#[test]
fn a_title_with_control_bytes_is_printed_without_harm() {
    let home = Home::new();
    let name = record(&home, 0, "\u{1b}[2J\u{7}\r");
    let note = Note {
        words: "\u{1b}]0;x\u{7}".into(),
        ..Note::default()
    };
    let note = note.rated(Rating::try_from(7).ok());
    shelf(&home).note(&name, start(), note).expect("noted");
    for args in [
        &["records", "list"][..],
        &["records", "show"],
        &["records", "history"],
    ] {
        let text = out(&home.run(args));
        let control = |c: char| c.is_control() && c != '\n';
        assert!(!text.contains(control), "{args:?}: {text:?}");
    }
}
