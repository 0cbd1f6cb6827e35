//! Drafts from the command line: three to choose from, nothing replaced unasked, records looked back on.

use std::time::Duration;

use chrono::Days;
use matside::store::Shelf;
use serde_json::Value;

use crate::home::{Home, err, out, status};
use crate::records::record;
use crate::sample::{header, short_class, start};

fn json(output: &std::process::Output) -> Value {
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|error| panic!("{error}: {}", err(output)))
}

#[test]
fn three_are_printed_with_their_reviews_and_the_chosen_is_written_once() {
    let home = Home::new();
    let printed = home.run(&["draft", "--slot", "40", "--kit", "band"]);
    assert_eq!(status(&printed), Some(0), "{}", err(&printed));
    let page = out(&printed);
    for says in [
        "You decide",
        "Draft 1: ",
        "Draft 2: ",
        "Draft 3: ",
        "review: 0 to mend",
        "suit the wishes better",
    ] {
        assert!(page.contains(says), "{says}\n{page}");
    }
    assert_eq!(err(&printed), "");
    let write = [
        "draft",
        "--slot",
        "40",
        "--kit",
        "band",
        "--choose",
        "2",
        "-o",
        "tonight.ron",
    ];
    let written = home.run(&write);
    assert_eq!(
        (status(&written), out(&written).as_str()),
        (Some(0), ""),
        "{}",
        err(&written)
    );
    let text = std::fs::read_to_string(home.path().join("tonight.ron")).expect("written");
    assert!(text.contains("Draft 2: ") && text.contains("You decide"));
    let again = home.run(&write);
    assert_eq!(status(&again), Some(73), "{}", err(&again));
    assert!(err(&again).contains("--force"));
    assert_eq!(status(&home.run(&["check", "tonight.ron"])), Some(0));
    let reviewed = json(&home.run(&["review", "tonight.ron", "--json"]));
    let remarks = reviewed["remarks"].as_array().expect("remarks");
    assert!(
        remarks.iter().all(|remark| remark["weight"] != "must_mend"),
        "{remarks:?}"
    );
    let all = json(&home.run(&["draft", "--slot", "40", "--kit", "band", "--json"]));
    assert_eq!(
        all["drafts"][1]["text"], text,
        "the same wishes are the same class"
    );
}

/// Each with what is to be done about it, and nothing on standard output.
#[test]
fn wishes_that_cannot_be_met_are_told() {
    let home = Home::new();
    for (args, code, says) in [
        (&["--slot", "5"][..], 64, "5:00"),
        (&["--block", "4 moves"], 64, "4 moves 3x40/20"),
        (&["--limits", "Wrsit"], 64, "Wrist"),
        (&["--kit", "bend"], 66, "band"),
        (&["--kit", "band:6"], 64, "--people"),
        (&["--kit", "band,band"], 64, "twice"),
        (&["--have", "sqat"], 66, "squat"),
        (&["--have", "squat", "--without", "squat"], 64, "squat"),
        (&["--focus", "toes"], 64, "legs"),
        (&["--choose", "4"], 64, "1, 2 or 3"),
        (&["--title", ""], 64, "name"),
    ] {
        let told = home.run(&[&["draft"], args].concat());
        assert_eq!(status(&told), Some(code), "{args:?}: {}", err(&told));
        assert!(err(&told).contains(says), "{args:?}: {}", err(&told));
        assert_eq!(out(&told), "", "{args:?}");
    }
}

/// What was taught last is looked for in the records, and left out; not where nobody looks back.
#[test]
fn the_last_class_of_the_records_does_not_come_again() {
    let home = Home::new();
    let with = |home: &Home, args: &[&str]| -> bool {
        let drafts = json(&home.run(&[&["draft", "--json"], args].concat()));
        let drafts = drafts["drafts"].as_array().expect("drafts").clone();
        assert_eq!(drafts.len(), 3);
        let has = |draft: &Value| {
            let reasons = draft["reasons"].as_array().expect("reasons");
            reasons.iter().any(|one| one["move"] == "squat")
        };
        drafts.iter().any(has)
    };
    assert!(with(&home, &[]), "a class has a squat");
    // The recorded class has one.
    record(&home, 1, "");
    assert!(!with(&home, &[]), "a squat was in the last class");
    assert!(
        with(&home, &["--have", "squat"]),
        "and comes where it is wished"
    );
    assert!(
        with(&home, &["--weeks", "0"]),
        "and where nobody looks back"
    );
}

/// A record of a class that was begun so many days after the first, and of which nothing was taught.
fn broken_off(home: &Home, days: u64) {
    let shelf = Shelf::at(home.path().join("data/records"));
    let header = header(short_class(), start() + Days::new(days));
    let begun = shelf.begin(&header).expect("begun");
    let written = begun.recorder.finish(Duration::from_secs(60));
    written.expect("written");
}

/// A clock that ran ahead, and a class that was broken off before its first work, are no last class.
#[test]
fn the_last_class_is_one_that_was_taught() {
    let has_squat = |home: &Home| {
        let page = json(&home.run(&["draft", "--json"]));
        let drafts = page["drafts"].as_array().expect("drafts").clone();
        let mut reasons = drafts.iter().map(|draft| draft["reasons"].to_string());
        reasons.any(|reasons| reasons.contains("\"squat\""))
    };
    let ahead = Home::new();
    record(&ahead, 40_000, " ahead");
    assert!(has_squat(&ahead), "nobody has taught it yet");
    record(&ahead, 1, "");
    assert!(!has_squat(&ahead), "this is the last class");
    let begun = Home::new();
    record(&begun, 1, "");
    for days in 2..5 {
        broken_off(&begun, days);
        assert!(!has_squat(&begun), "a class of no work is none");
    }
}
