//! The evening before, from the command line: review, effort, fit, arrange, sheet.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use serde_json::{Value, json};

use crate::home::{Home, err, out, status};

const COMMANDS: [&str; 5] = ["review", "effort", "fit", "arrange", "sheet"];

/// A class of 14:30 with comments wherever a file may have some.
const OWN: &str = r#"// Ebb, for Tuesdays /* not the end
Session(
    title: "Ebb", // the title
    slot: "16:00",
    equipment: ["mat"],
    parts: [
        Talk(time: 20, say: "Stop whenever you like."), /* 20 */
        WarmUp([("march", "2:00"), /* then */ ("arm-circle", 60)]),
        Ready(time: 20),
        // the main part
        Block(title: "Sand", moves: [
            "squat", // low
            "plank",
            "lunge", // long
            "bridge",
        ], pattern: Same(rounds: 2, work: 40, rest: 15), recovery: 60), // 40/15
        CoolDown([("chest-opener", "3:00")]),
    ],
)
"#;

fn poor() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/advice/poor.ron");
    path.to_str().expect("text").to_owned()
}

fn parsed(output: &std::process::Output) -> Value {
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|error| panic!("{error}: {}", err(output)))
}

fn with_own() -> Home {
    let home = Home::new();
    home.put("ebb.ron", OWN);
    home
}

/// What cannot be read is told on standard error alone, and nothing is written.
#[test]
fn bad_input_is_told_by_every_command() {
    let home = with_own();
    home.put("faulty.ron", "Session(title: \"F\")");
    home.put("short.ron", &OWN.replace("    slot: \"16:00\",\n", ""));
    for command in COMMANDS {
        for (session, code, says) in [("none.ron", 66, "none.ron"), ("faulty.ron", 65, "parts")] {
            let told = home.run(&[command, session]);
            assert_eq!(status(&told), Some(code), "{command}: {}", err(&told));
            assert!(err(&told).contains(says), "{command}: {}", err(&told));
            assert_eq!(out(&told), "", "{command}");
        }
    }
    for (args, says) in [
        (&["fit", "short.ron"][..], "--slot"),
        (&["fit", "ebb.ron", "--leave", "16"], "nothing is left"),
        (&["fit", "ebb.ron", "--slot", "soon"], "soon"),
        (&["arrange", "ebb.ron", "--block", "2"], "block 2"),
        (&["arrange", "ebb.ron", "--first", "dead-bug"], "dead-bug"),
        (&["arrange", "ebb.ron", "--last", "xyzzy"], "xyzzy"),
        (
            &["arrange", "ebb.ron", "--first", "squat", "--last", "squat"],
            "both",
        ),
        (&["effort", "ebb.ron", "--weight", "20"], "20"),
        (&["sheet", "ebb.ron", "--cover", "--stations"], "--stations"),
        (&["sheet", "ebb.ron", "--paper", "a3"], "a3"),
    ] {
        let told = home.run(args);
        assert_eq!(status(&told), Some(64), "{args:?}: {}", err(&told));
        assert!(err(&told).contains(says), "{args:?}: {}", err(&told));
        assert_eq!(out(&told), "", "{args:?}");
    }
}

/// Page and JSON tell the same, and `--strict` fails where something weighs more than a note.
#[test]
fn a_review_is_told_for_people_and_for_programs() {
    let (home, poor) = (Home::new(), poor());
    let told = home.run(&["review", "--json", &poor]);
    assert_eq!(status(&told), Some(0));
    let all = parsed(&told);
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    let page = out(&home.run(&["review", &poor]));
    let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
    for remark in all["remarks"].as_array().expect("a list") {
        let word = |name: &str| remark[name].as_str().expect("text");
        for name in ["kind", "why", "source", "do", "what"] {
            assert!(!word(name).is_empty(), "{name}: {remark}");
        }
        *counts.entry(word("weight")).or_default() += 1;
        for name in ["what", "why", "source", "do"] {
            assert!(flat.contains(word(name)), "{name}: {remark}");
        }
        assert!(remark["where"].is_object());
    }
    let [must, think, notes] = ["must_mend", "think_again", "note"].map(|weight| counts[weight]);
    let summary = format!("{must} to mend, {think} to think again, {notes} notes; looked at");
    assert!(page.contains(&summary), "{page}");
    assert!(all["looked_at"]["intervals"].as_u64().expect("a number") > 80);
    let checked = out(&home.run(&["check", &poor]));
    assert!(checked.contains(&format!("{must} to mend")), "{checked}");

    let strict = home.run(&["review", "--strict", &poor]);
    assert_eq!((status(&strict), out(&strict)), (Some(65), page));
    assert!(err(&strict).contains("to mend or to think again"));
    let fine = Path::new(env!("CARGO_MANIFEST_DIR")).join("sessions/squall-line.ron");
    let fine = fine.to_str().expect("text");
    assert_eq!(status(&home.run(&["review", "--strict", fine])), Some(0));
}

/// Energy goes with the body (kcal/min = MET x 3.5 x kg / 200, ACSM convention), MET-minutes do not.
#[test]
fn effort_is_an_estimate_for_a_body() {
    let home = with_own();
    let of = |kg: &str| parsed(&home.run(&["effort", "--json", "--weight", kg, "ebb.ron"]));
    let (light, heavy) = (of("50"), of("100"));
    let number = |value: &Value| value.as_f64().expect("a number");
    let minutes = number(&light["met_minutes"]);
    assert_eq!(light["estimate"], true);
    assert!((minutes - number(&heavy["met_minutes"])).abs() < 1e-9);
    assert!((number(&heavy["kcal"][1]) - minutes * 3.5 * 100.0 / 200.0).abs() < 1e-6);
    assert!((number(&light["kcal"][0]) * 2.0 - number(&heavy["kcal"][0])).abs() < 1e-6);
    for of in light["moves"].as_array().expect("a list") {
        let code = of["code"].as_str().expect("a code");
        let edition = of["edition"].as_u64().expect("a year");
        assert!(
            code.len() == 5 && (edition == 2024 || edition == 2011),
            "{of}"
        );
    }
    let shares: f64 = light["time_s"]
        .as_object()
        .expect("a group")
        .values()
        .map(number)
        .sum();
    assert!((shares - 870.0).abs() < 1e-9, "{shares}");
    let page = out(&home.run(&["effort", "ebb.ron"]));
    assert!(page.starts_with("Ebb: an estimate"), "{page}");
}

/// A text without what a time is written with.
fn without_times(text: &str) -> String {
    let of_a_time = |c: char| c.is_ascii_digit() || matches!(c, ':' | '"');
    text.chars().filter(|c| !of_a_time(*c)).collect()
}

#[test]
fn a_fitted_class_is_a_file_of_its_own_with_every_comment() {
    let home = with_own();
    let read = |name: &str| fs::read_to_string(home.path().join(name)).expect("there");
    let args = ["fit", "ebb.ron", "--leave", "1", "-o", "new.ron"];
    let made = home.run(&args);
    assert_eq!(
        (status(&made), out(&made).as_str()),
        (Some(0), ""),
        "{}",
        err(&made)
    );
    assert!(
        err(&made).contains("14:30 before, 15:00 after, to fill 15:00"),
        "{}",
        err(&made)
    );
    assert_eq!(without_times(&read("new.ron")), without_times(OWN));
    let outline = parsed(&home.run(&["outline", "--json", "new.ron"]));
    assert_eq!(outline["total_s"].as_f64(), Some(900.0));
    // Neither the file that is there nor the one that was read is written over.
    for to in ["new.ron", "ebb.ron"] {
        let before = read(to);
        let again = home.run(&["fit", "ebb.ron", "-o", to]);
        assert_eq!(status(&again), Some(73), "{}", err(&again));
        assert_eq!(read(to), before);
    }
    let forced = home.run(&["fit", "ebb.ron", "-o", "new.ron", "--force"]);
    assert_eq!(status(&forced), Some(0), "{}", err(&forced));
    let outline = parsed(&home.run(&["outline", "--json", "new.ron"]));
    assert_eq!(outline["total_s"].as_f64(), Some(960.0));
    let dash = home.run(&["fit", "ebb.ron", "-o", "-"]);
    assert_eq!(out(&dash), read("new.ron"));
}

#[test]
fn what_cannot_be_fitted_is_told_and_not_written() {
    let home = with_own();
    for (slot, says) in [("5", "too long"), ("60", "too short")] {
        let told = home.run(&["fit", "ebb.ron", "--slot", slot]);
        assert_eq!(status(&told), Some(65), "{slot}: {}", err(&told));
        assert!(out(&told).contains(says), "{}", out(&told));
        assert!(out(&told).contains("(Sand)"), "{}", out(&told));
        let all = parsed(&home.run(&["fit", "ebb.ron", "--slot", slot, "--json"]));
        let off = all["over_s"].as_f64().expect("s") + all["in_hand_s"].as_f64().expect("s");
        assert!(
            off > 0.0
                && all["ways_out"]
                    .as_array()
                    .is_some_and(|ways| !ways.is_empty())
        );
        let to = home.run(&["fit", "ebb.ron", "--slot", slot, "-o", "never.ron"]);
        assert_eq!(status(&to), Some(65));
        assert!(!home.path().join("never.ron").exists());
    }
}

#[test]
fn an_arranged_class_is_a_file_of_its_own_in_which_moves_take_their_comments_along() {
    let home = with_own();
    let all = parsed(&home.run(&["arrange", "ebb.ron", "--json"]));
    let block = &all["blocks"][0];
    let total = |of: &str| block[of]["total"].as_u64().expect("a number");
    assert!(
        total("after") < total("before") && block["exact"] == true,
        "{block}"
    );
    let made = home.run(&["arrange", "ebb.ron", "-o", "new.ron"]);
    assert_eq!(
        (status(&made), out(&made).as_str()),
        (Some(0), ""),
        "{}",
        err(&made)
    );
    let new = fs::read_to_string(home.path().join("new.ron")).expect("there");
    for kept in [
        "\"squat\", // low",
        "\"lunge\", // long",
        "// the main part",
        "// 40/15",
    ] {
        assert!(new.contains(kept), "{new}");
    }
    let again = parsed(&home.run(&["arrange", "new.ron", "--json"]));
    assert_eq!(again["blocks"][0]["before"], block["after"]);
    assert_eq!(
        status(&home.run(&["arrange", "ebb.ron", "-o", "new.ron"])),
        Some(73)
    );
    let first = parsed(&home.run(&[
        "arrange", "ebb.ron", "--json", "--first", "Plank", "--block", "1",
    ]));
    assert_eq!(first["blocks"][0]["order"][0], "plank");
    assert_eq!(
        fs::read_to_string(home.path().join("ebb.ron")).expect("there"),
        OWN
    );
}

/// Silence about a block would pass for "there is no better order".
#[test]
fn a_block_that_is_not_arranged_is_told_with_the_reason() {
    let home = Home::new();
    let held = r#"Session(title: "Held", parts: [
        Repeat(times: 2, parts: [
            Block(title: "Ebb", moves: ["squat", "plank"], pattern: Same(rounds: 1, work: 30, rest: 15)),
        ]),
        Block(title: "Pair", moves: [Together(moves: ["squat", "plank"])], pattern: Same(rounds: 2, work: 30, rest: 15)),
        Block(title: "One", moves: ["lunge"], pattern: Same(rounds: 2, work: 30, rest: 15)),
        Block(title: "Flow", moves: ["squat", "plank", "lunge"], pattern: Same(rounds: 1, work: 30, rest: 15)),
    ])"#;
    home.put("held.ron", held);
    let all = parsed(&home.run(&["arrange", "held.ron", "--json"]));
    let arranged = all["blocks"].as_array().expect("a list");
    assert_eq!((arranged.len(), &arranged[0]["block"]), (1, &json!(4)));
    let page = out(&home.run(&["arrange", "held.ron"]));
    let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
    let kept = [
        ("repeated", "block 1 (Ebb)", "in a `Repeat`"),
        ("at_once", "block 2 (Pair)", "at once"),
        ("short", "block 3 (One)", "fewer than two moves"),
    ];
    for (n, (why, name, says)) in kept.into_iter().enumerate() {
        assert_eq!(all["kept"][n], json!({ "block": n + 1, "why": why }));
        assert!(
            flat.contains(&format!("{name}: stays as it is; ")),
            "{page}"
        );
        assert!(flat.contains(says), "{page}");
        let asked = home.run(&["arrange", "held.ron", "--block", &(n + 1).to_string()]);
        assert_eq!(status(&asked), Some(64), "{}", out(&asked));
        assert!(err(&asked).contains(says), "{}", err(&asked));
    }
    let one = parsed(&home.run(&["arrange", "held.ron", "--json", "--block", "4"]));
    assert_eq!(one["kept"], json!([]));
}

#[test]
fn a_sheet_is_one_file_and_replaces_none() {
    let home = with_own();
    for (args, holds) in [
        (&["--paper", "letter"][..], "size: letter"),
        (&["--large"], "class=\"large\""),
        (&["--cover"], "For whoever teaches it tonight"),
        (&["--stations"], "class=\"card\""),
    ] {
        let page = out(&home.run(&[&["sheet", "ebb.ron"], args].concat()));
        assert!(
            page.starts_with("<!DOCTYPE html>") && page.contains(holds),
            "{args:?}"
        );
    }
    let args = ["sheet", "ebb.ron", "-o", "ebb.html"];
    assert_eq!(status(&home.run(&args)), Some(0));
    let before = fs::read_to_string(home.path().join("ebb.html")).expect("there");
    assert_eq!(before, out(&home.run(&["sheet", "ebb.ron"])));
    assert_eq!(
        status(&home.run(&[&args[..], &["--cover"]].concat())),
        Some(73)
    );
    assert_eq!(
        fs::read_to_string(home.path().join("ebb.html")).expect("there"),
        before
    );
}
