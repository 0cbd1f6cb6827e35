//! The README told by the program: its examples are read, its tables and lists are those in force.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;

use matside::app::Settings;
use matside::export::{OUTLINE_FIELDS, Outline};
use matside::plan::{CuePlan, Timeline};
use matside::session::{Library, Session};
use serde_json::Value;

const README: &str = include_str!("../README.md");

/// The fenced blocks of a language.
fn blocks(language: &str) -> Vec<String> {
    let mut blocks = Vec::new();
    let mut lines = README.lines();
    while let Some(line) = lines.next() {
        if line.strip_prefix("```") == Some(language) {
            let block: Vec<&str> = lines.by_ref().take_while(|line| *line != "```").collect();
            blocks.push(block.join("\n"));
        }
    }
    blocks
}

/// The one block of RON that begins so.
fn example(head: &str) -> String {
    let mut found = blocks("ron")
        .into_iter()
        .filter(|block| block.starts_with(head));
    let first = found.next().expect(head);
    assert!(found.next().is_none(), "one example of `{head}`");
    first
}

/// The text from a heading to the next.
fn section(heading: &str) -> &'static str {
    let (_, rest) = README
        .split_once(&format!("\n## {heading}\n"))
        .expect(heading);
    rest.split("\n## ").next().unwrap_or(rest)
}

/// What stands in backticks.
fn quoted(text: &str) -> Vec<&str> {
    text.split('`').skip(1).step_by(2).collect()
}

/// The cells of a table's row.
fn cells(line: &str) -> Option<Vec<&str>> {
    let inner = line.strip_prefix('|')?.strip_suffix('|')?;
    Some(inner.split('|').map(str::trim).collect())
}

#[test]
fn the_example_of_a_session_is_read_fits_its_slot_and_announces_every_move() {
    let session = Session::read("README.md", &example("Session("), &Library::builtin());
    let session = session.unwrap_or_else(|faults| panic!("{faults}"));
    let timeline = Timeline::of(&session);
    assert!(timeline.total() <= session.slot.expect("a slot"));
    let cues = CuePlan::of(&timeline, &session.cueing, &session.limits);
    let said = |n| cues.prompts.iter().any(|prompt| prompt.about == n);
    for (n, interval) in timeline.intervals().iter().enumerate() {
        assert!(!interval.kind.is_moving() || said(n), "{n} is announced");
    }
}

#[test]
fn the_example_of_a_configuration_is_read_and_differs_from_the_usual() {
    let text = example("Config(");
    let home = Some(Path::new("/home/ada"));
    let read = Settings::read("README.md", text.as_bytes(), home);
    let read = read.unwrap_or_else(|faults| panic!("{faults}"));
    assert_ne!(read, Settings::default());
    assert_eq!(read.sessions(), [Path::new("/home/ada/classes")]);
}

#[test]
fn there_is_no_example_that_nothing_reads() {
    assert_eq!(blocks("ron").len(), 2);
    let commands = blocks("sh");
    assert_eq!(commands.len(), 2, "{commands:?}");
    assert!(commands[0].ends_with("cargo run --release -- rehearse"));
    assert!(commands[1].starts_with("cargo test"));
}

#[test]
fn the_table_of_keys_is_the_one_in_force() {
    let rows: Vec<(String, String, String)> = section("Keys")
        .lines()
        .filter_map(cells)
        .filter(|cells| cells.len() == 3 && cells[0].starts_with('`'))
        .map(|cells| {
            let word = quoted(cells[1]).concat();
            (quoted(cells[0]).join("  "), word, cells[2].to_owned())
        })
        .collect();
    let in_force: Vec<(String, String, String)> = Settings::default()
        .help()
        .into_iter()
        .map(|(keys, word, _, help)| (keys, word.to_owned(), help.to_owned()))
        .collect();
    assert_eq!(rows, in_force);
}

/// The keys of an action under a preset.
fn keys_under(preset: &str, action: &str) -> BTreeSet<String> {
    let text = format!("Config(keys: Keys(preset: {preset}))");
    let settings = Settings::read("a preset", text.as_bytes(), None).expect(preset);
    let rows = settings.help();
    let row = rows.iter().find(|row| row.1 == action);
    let keys = row.map_or("", |row| &row.0);
    keys.split_whitespace().map(str::to_owned).collect()
}

#[test]
fn every_preset_lays_the_keys_it_is_said_to_lay_and_no_others() {
    let presets = ["Arrows", "Remote", "OneSwitch", "TwoSwitch"];
    let rows: BTreeMap<&str, &str> = section("Keys")
        .lines()
        .filter_map(cells)
        .filter(|cells| cells.len() == 2)
        .map(|cells| (cells[0].trim_matches('`'), cells[1]))
        .collect();
    for preset in presets {
        let told = rows[preset].split(';').filter(|group| group.contains('`'));
        let told: BTreeMap<&str, BTreeSet<String>> = told
            .map(|group| {
                let action = group.rsplit(' ').next().unwrap_or("");
                let keys = quoted(group).into_iter().map(str::to_owned);
                (action, keys.collect())
            })
            .collect();
        for (_, action, ..) in Settings::default().help() {
            check(preset, action, told.get(action));
        }
        check(preset, "one-switch", told.get("one-switch"));
    }
}

fn check(preset: &str, action: &str, told: Option<&BTreeSet<String>>) {
    let before = keys_under("Arrows", action);
    let laid = &keys_under(preset, action) - &before;
    let told = told.map_or_else(BTreeSet::new, |told| told - &before);
    assert_eq!(laid, told, "{preset}: {action}");
}

fn help(command: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_matside"))
        .args(command)
        .arg("--help")
        .output()
        .expect("the program runs");
    assert!(output.status.success(), "{command:?}");
    String::from_utf8(output.stdout).expect("text")
}

fn options(text: &str) -> BTreeSet<&str> {
    text.split(|c: char| !(c.is_ascii_lowercase() || c == '-'))
        .filter(|word| word.len() > 2 && word.starts_with("--") && !word.starts_with("---"))
        .filter(|word| !["--help", "--version"].contains(word))
        .collect()
}

/// The names in the list of commands of a help page.
fn listed(page: &str) -> Vec<&str> {
    let after = page.split("Commands:\n").nth(1).expect("commands");
    let rows = after.lines().take_while(|line| !line.is_empty());
    rows.filter_map(|row| row.split_whitespace().next())
        .filter(|name| *name != "help")
        .collect()
}

#[test]
fn every_command_and_option_is_told_and_none_that_is_not_there() {
    let top = help(&[]);
    let records = help(&["records"]);
    let mut pages = Vec::new();
    for name in listed(&top) {
        assert!(
            section("Commands").contains(&format!("matside {name}")),
            "`{name}`"
        );
        pages.push(help(&[name]));
    }
    for name in listed(&records) {
        assert!(
            section("Commands").contains(&format!("`{name}`")),
            "`{name}`"
        );
        pages.push(help(&["records", name]));
    }
    let pages = pages.concat();
    assert_eq!(options(section("Commands")), options(&pages));
}

/// The names in a row of the list of fields, on the page of help.
fn fields(row: &str) -> BTreeSet<String> {
    let start = format!("- {row}: ");
    let line = OUTLINE_FIELDS
        .lines()
        .find_map(|line| line.strip_prefix(&start));
    let names = quoted(line.expect(row)).into_iter();
    names.map(str::to_owned).collect()
}

fn names(value: &Value) -> BTreeSet<String> {
    let rows = value.as_array().map_or(&[][..], Vec::as_slice);
    let objects = rows.iter().filter_map(Value::as_object);
    objects.flat_map(|object| object.keys().cloned()).collect()
}

fn kinds(value: &Value) -> BTreeSet<String> {
    let rows = value.as_array().map_or(&[][..], Vec::as_slice);
    let kinds = rows.iter().filter_map(|row| row["kind"].as_str());
    kinds.map(str::to_owned).collect()
}

/// Every session that comes with the program, and every published plan, as its outline's JSON.
fn outlines() -> Vec<Value> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folders = ["sessions", "tests/published"].into_iter();
    let entries = folders.flat_map(|folder| std::fs::read_dir(root.join(folder)).expect("it"));
    let outline = |path: &Path| {
        let text = std::fs::read_to_string(path).expect("readable");
        let session = Session::read("a sample", &text, &Library::builtin()).expect("whole");
        serde_json::from_str(&Outline::of(&session).json()).expect("JSON")
    };
    entries
        .map(|entry| outline(&entry.expect("an entry").path()))
        .collect()
}

#[test]
fn the_fields_and_kinds_of_the_outline_are_those_that_the_samples_have() {
    let outlines = outlines();
    let tops = Value::Array(outlines.clone());
    assert_eq!(names(&tops), fields("top"));
    for (list, said) in [
        ("intervals", Some("interval")),
        ("prompts", Some("prompt")),
        ("signals", Some("signal")),
        ("unplaced", None),
    ] {
        let all = |of: fn(&Value) -> BTreeSet<String>| -> BTreeSet<String> {
            outlines.iter().flat_map(|page| of(&page[list])).collect()
        };
        assert_eq!(all(names), fields(&format!("`{list}`")), "{list}");
        if let Some(said) = said {
            assert_eq!(all(kinds), told_kinds(said), "{list}");
        }
    }
}

/// The kinds that the page of help tells of an interval, a prompt or a signal.
fn told_kinds(what: &str) -> BTreeSet<String> {
    let text = OUTLINE_FIELDS.replace('\n', " ");
    let (_, rest) = ["an", "a"]
        .iter()
        .find_map(|article| text.split_once(&format!("`kind` of {article} {what}: ")))
        .expect(what);
    let sentence = rest.split('.').next().unwrap_or(rest);
    quoted(sentence).into_iter().map(str::to_owned).collect()
}
