//! Sessions made from others: a class as it was taught, and a session under another title.

use std::fs;

use crate::home::{Home, err, out, status};
use crate::records::record;

/// The class of the record ran for 255 s, with a work left out (`eventful` tells it by hand).
const TAUGHT: &str = "4:15";

#[test]
fn a_class_as_it_was_taught_is_a_session_that_can_be_taught() {
    let home = Home::new();
    let name = record(&home, 0, "");
    let plain = home.run(&["records", "keep"]);
    assert_eq!(status(&plain), Some(0), "{}", err(&plain));
    assert!(out(&plain).starts_with("// As it was taught on Monday 2 March 2026, 18:30.\n"));
    let args = [
        "records",
        "keep",
        &name,
        "--title",
        "Kept \"so\"",
        "-o",
        "kept.ron",
    ];
    assert_eq!(status(&home.run(&args)), Some(0));
    let again = home.run(&args);
    assert_eq!(status(&again), Some(73), "{}", err(&again));
    let checked = home.run(&["check", "kept.ron"]);
    assert_eq!(status(&checked), Some(0), "{}", err(&checked));
    assert!(out(&checked).contains(TAUGHT), "{}", out(&checked));
    let file = fs::read_to_string(home.path().join("kept.ron")).expect("there");
    let titled = out(&plain).replace("title: \"Tide & Shore\"", "title: \"Kept \\\"so\\\"\"");
    assert_eq!(file, titled);
    for title in ["", "a\nb"] {
        let refused = home.run(&["records", "keep", "--title", title]);
        assert_eq!(status(&refused), Some(64), "{}", err(&refused));
    }
    assert_eq!(status(&Home::new().run(&["records", "keep"])), Some(66));
}

#[test]
fn a_new_session_begins_from_another_one_or_from_a_record() {
    let home = Home::new();
    let name = record(&home, 0, "");
    let old = "// Mine.\nSession(title: \"Old\", // the title\n    parts: [Talk(time: 20)])\n";
    home.put("sessions/old.ron", old);
    home.put("sessions/faulty.ron", "Session(title: \"F\")");
    for from in ["old", "Old", "sessions/old.ron"] {
        let new = home.run(&["new", "New one", "--from", from]);
        assert_eq!(status(&new), Some(0), "{}", err(&new));
        assert_eq!(out(&new), old.replace("\"Old\"", "\"New one\""));
    }
    let kept = home.run(&["records", "keep", "--title", "New one"]);
    for from in [&name[..], &name[..10]] {
        let new = home.run(&["new", "New one", "--from", from]);
        assert_eq!(
            (status(&new), out(&new)),
            (Some(0), out(&kept)),
            "{}",
            err(&new)
        );
    }
    for (from, left, words) in [
        ("faulty", 65, &["faulty.ron", "parts"][..]),
        ("odl", 66, &["no session `odl`", "no record", "old.ron"]),
        ("nowhere.ron", 66, &["no session", "no record"]),
    ] {
        let told = home.run(&["new", "New one", "--from", from]);
        assert_eq!(status(&told), Some(left), "{}", err(&told));
        let said = words.iter().all(|word| err(&told).contains(word));
        assert!(said, "{}", err(&told));
    }
    assert_eq!(status(&home.run(&["new", " ", "--from", "old"])), Some(64));
}
