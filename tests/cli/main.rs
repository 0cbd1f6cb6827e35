//! The program from outside: what it prints, where, and with which exit status.
//!
//! Exit statuses are those of `sysexits.h` (4.3BSD): 64 usage, 65 data, 66 no input, 73 cannot
//! create.

#[path = "../support/sample.rs"]
#[allow(clippy::unwrap_used, reason = "tests")]
mod sample;

mod draft;
mod evening;
mod home;
mod kept;
mod places;
mod records;
mod shell;
mod track;

use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::Stdio;

use matside::session::{Library, Session};
use serde_json::Value;

use home::{Home, err, out, status};

/// Every session that comes along, at its whole path.
fn sessions() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("sessions");
    let entries = fs::read_dir(folder).expect("the folder");
    let paths: Vec<PathBuf> = entries.map(|e| e.expect("an entry").path()).collect();
    assert!(paths.len() >= 10, "{paths:?}");
    paths
}

#[test]
fn each_kind_of_failure_has_its_status_and_says_what_to_do_on_standard_error_alone() {
    let bad = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad/field-missing.ron");
    let bad = bad.to_str().expect("text");
    let no_home = Home::new();
    for (args, code, says) in [
        (&["outlin"][..], 64, "outline"),
        (&["outline", "--json", "--csv"], 64, "--csv"),
        (&["teach", "--sound-offset", "1001"], 64, "1001"),
        (&["rehearse", "--pace", "61"], 64, "61"),
        (&["man", "dance"], 64, "dance"),
        (&["completions", "abacus"], 64, "abacus"),
        (&["new", " "], 64, "the name"),
        (&["outline", bad], 65, "field-missing.ron:"),
        (&["outline", "none.ron"], 66, "none.ron"),
        (&["outline", "/"], 66, "folder"),
        (&["moves", "xyzzy"], 66, "xyzzy"),
        (&["moves", "--show", "xyzzy"], 66, "xyzzy"),
        (&["new", "A", "-o", "none/a.ron"], 73, "none/a.ron"),
    ] {
        let output = no_home.run(args);
        assert_eq!(status(&output), Some(code), "{args:?}: {}", err(&output));
        assert!(err(&output).contains(says), "{args:?}: {}", err(&output));
        assert_eq!(out(&output), "", "{args:?}");
    }
}

#[test]
fn without_a_terminal_no_class_is_taught() {
    let home = Home::new();
    for args in [&[][..], &["teach"], &["rehearse"], &["teach", "none.ron"]] {
        let output = home.run(args);
        assert_eq!(status(&output), Some(64), "{args:?}");
        assert!(err(&output).contains("terminal"), "{args:?}");
        assert_eq!(out(&output), "", "{args:?}");
    }
}

#[test]
fn the_outline_of_every_session_is_whole_in_json_and_csv() {
    let home = Home::new();
    for path in sessions() {
        let name = path.to_str().expect("text");
        let json: Value = serde_json::from_slice(&home.run(&["outline", "--json", name]).stdout)
            .unwrap_or_else(|error| panic!("{name}: {error}"));
        let intervals = json["intervals"].as_array().expect("a list");
        assert!(!intervals.is_empty(), "{name}");
        // Milliseconds, so that the sums are exact.
        let millis = |value: &Value| {
            let secs = value.as_f64().expect("a number");
            assert!((secs * 1000.0 - (secs * 1000.0).round()).abs() < 1e-6);
            format!("{:.0}", secs * 1000.0)
                .parse::<u64>()
                .expect("whole")
        };
        let mut end = 0;
        for (n, interval) in intervals.iter().enumerate() {
            assert_eq!(interval["n"], n, "{name}");
            assert_eq!(millis(&interval["start_s"]), end, "{name}, interval {n}");
            let length = millis(&interval["length_s"]);
            assert!(length > 0, "{name}, interval {n}");
            end += length;
        }
        assert_eq!(millis(&json["total_s"]), end, "{name}");

        let table = home.run(&["outline", "--csv", name]).stdout;
        let mut reader = csv::Reader::from_reader(table.as_slice());
        let header = reader.headers().expect("a header").clone();
        let column = |name: &str| header.iter().position(|h| h == name).expect("a column");
        let rows: Vec<csv::StringRecord> = reader.records().map(|r| r.expect(name)).collect();
        assert_eq!(rows.len(), intervals.len(), "{name}");
        for (row, interval) in rows.iter().zip(intervals) {
            for field in ["kind", "move", "next"] {
                let told = interval[field].as_str().unwrap_or("");
                assert_eq!(&row[column(field)], told, "{name}, {field}");
            }
            let start: f64 = row[column("start_s")].parse().expect("a number");
            assert_eq!(Some(start), interval["start_s"].as_f64(), "{name}");
        }
    }
}

#[test]
fn what_goes_into_a_pipe_is_plain_text() {
    let home = Home::new();
    for args in [
        &["outline"][..],
        &["outline", "--json"],
        &["review"],
        &["review", "--json"],
        &["effort"],
        &["fit"],
        &["arrange"],
        &["sheet", "--cover"],
        &["moves"],
        &["moves", "squat", "--full"],
        &["moves", "--show", "squat"],
        &["keys"],
        &["new", "Tide Line"],
        &["completions", "bash"],
        &["completions", "zsh"],
        &["completions", "fish"],
        &["man"],
        &["man", "teach"],
        &["--help"],
        &["--version"],
    ] {
        let output = home.run(args);
        assert_eq!(status(&output), Some(0), "{args:?}: {}", err(&output));
        assert_eq!(err(&output), "", "{args:?}");
        let text = out(&output);
        assert!(text.lines().count() >= 1, "{args:?}");
        let control = |c: &char| c.is_control() && !matches!(c, '\n' | '\t');
        assert_eq!(text.chars().find(control), None, "{args:?}");
    }
    for args in [&["outlin"][..], &["outline", "none.ron"]] {
        assert!(!err(&home.run(args)).contains('\u{1b}'), "{args:?}");
    }
}

/// Whoever reads may stop reading: the program ends quietly, with success.
#[cfg(unix)]
#[test]
fn a_reader_that_closes_the_pipe_is_no_failure() {
    let home = Home::new();
    let long = sessions();
    let long = long[0].to_str().expect("text");
    for args in [
        &["outline", "--json", long][..],
        &["moves", "--full"],
        &["completions", "bash"],
        &["--help"],
    ] {
        let mut command = home.command(args);
        let mut child = command
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program runs");
        drop(child.stdout.take());
        let mut told = String::new();
        let mut stderr = child.stderr.take().expect("a pipe");
        stderr.read_to_string(&mut told).expect("text");
        let ended = child.wait().expect("it ends");
        assert_eq!((ended.code(), told.as_str()), (Some(0), ""), "{args:?}");
    }
    let mut command = home.command(&["outline", "none.ron"]);
    let mut child = command.stderr(Stdio::piped()).spawn().expect("it runs");
    drop(child.stderr.take());
    assert_eq!(child.wait().expect("it ends").code(), Some(66));
}

#[test]
fn the_settings_change_the_table_of_keys_and_their_faults_are_told() {
    let usual = Home::new();
    let line = |text: &str, word: &str| -> String {
        let found = text.lines().find(|line| {
            let mut words = line.split("  ").map(str::trim);
            words.any(|there| there == word)
        });
        found.unwrap_or_default().to_owned()
    };
    let text = out(&usual.run(&["keys"]));
    assert!(line(&text, "skip").starts_with("s "), "{text}");
    assert!(text.contains("Preset Arrows"), "{text}");

    let settings = r#"Config(keys: Keys(preset: Remote, own: {"x": "skip"}))"#;
    let text = out(&Home::new().with("config.ron", settings).run(&["keys"]));
    assert!(line(&text, "skip").starts_with("x  s "), "{text}");
    assert!(line(&text, "go-on").contains("pagedown"), "{text}");
    assert!(text.contains("Preset Remote"), "{text}");

    let faulty = r#"Config(keys: Keys(own: {"x": "skipp"}), volum: 3)"#;
    let output = Home::new().with("config.ron", faulty).run(&["keys"]);
    assert_eq!(status(&output), Some(65));
    let told = err(&output);
    assert!(told.contains("config.ron:1:") && told.contains("did you mean `volume`?"));
    assert!(told.contains("did you mean `skip`?"), "{told}");
    assert!(told.contains("`--no-config`"), "{told}");
}

#[test]
fn the_users_own_moves_are_found_and_their_faults_told() {
    let own = r#"[Move(id: "harbour-reach", name: "Harbour reach", position: Seated,
        regions: [Core], loads: [LowBack], setup: "Heels down.", form: ["Turn"])]"#;
    let home = Home::new().with("moves.ron", own);
    let text = out(&home.run(&["moves", "harbour"]));
    assert!(text.starts_with("harbour-reach: Harbour reach\n"), "{text}");
    assert!(text.contains("low back"), "{text}");
    let faulty = Home::new().with("moves.ron", "[Move(id: \"a\")]");
    assert_eq!(status(&faulty.run(&["moves"])), Some(65));
}

#[test]
fn a_new_session_is_read_without_faults_and_never_replaces_a_file() {
    let home = Home::new();
    let printed = out(&home.run(&["new", "Tide \"Line\""]));
    let read = Session::read("new", &printed, &Library::builtin()).expect("whole");
    assert_eq!(read.title, "Tide \"Line\"");
    let made = home.run(&["new", "Tide Line", "-o", "tide.ron"]);
    assert_eq!((status(&made), out(&made).as_str()), (Some(0), ""));
    let file = home.path().join("tide.ron");
    let before = fs::read_to_string(&file).expect("made");
    assert_eq!(status(&home.run(&["outline", "tide.ron"])), Some(0));
    let again = home.run(&["new", "Other", "-o", "tide.ron"]);
    assert_eq!(status(&again), Some(73), "{}", err(&again));
    assert_eq!(fs::read_to_string(&file).expect("there"), before);
    let dash = home.run(&["new", "Tide Line", "-o", "-"]);
    assert_eq!(out(&dash), before);
}

/// What the program advises where there is no session must work there.
#[test]
fn the_first_session_makes_the_folder_in_which_it_is_looked_for_and_no_other() {
    let home = Home::new();
    let none = home.run(&["sessions"]);
    assert!(
        err(&none).contains("-o sessions/name.ron"),
        "{}",
        err(&none)
    );
    let made = home.run(&["new", "Tide Line", "-o", "sessions/name.ron"]);
    assert_eq!(status(&made), Some(0), "{}", err(&made));
    assert!(out(&home.run(&["sessions"])).contains("Tide Line"));
    let lost = home.run(&["new", "Tide Line", "-o", "elsewhere/name.ron"]);
    assert_eq!(status(&lost), Some(73));
    assert!(err(&lost).contains("no such folder"), "{}", err(&lost));
    assert!(!home.path().join("elsewhere").exists());
}
