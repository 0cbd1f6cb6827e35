//! The house as DEVELOPERS.md draws it: which room may import which, and where clocks and files
//! may be touched.

mod paths;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use paths::{Module, modules, named_in, owner};
use petgraph::algo::tarjan_scc;
use petgraph::graphmap::DiGraphMap;

/// The rooms, and what each may import. A room may always import itself.
const ROOMS: &[(&str, &[&str])] = &[
    ("text", &[]),
    ("time", &[]),
    ("session", &["time"]),
    ("plan", &["time", "session"]),
    ("advice", &["time", "session", "plan"]),
    ("live", &["time", "session", "plan"]),
    ("record", &["time", "session", "plan", "live"]),
    (
        "export",
        &[
            "text", "time", "session", "plan", "advice", "live", "record",
        ],
    ),
    ("screen", &["text", "time", "session", "plan", "live"]),
    ("sound", &["time", "plan"]),
    ("speech", &["time", "plan", "sound"]),
    ("store", &["time", "session", "live", "record"]),
    (
        "app",
        &[
            "time", "session", "plan", "advice", "live", "record", "export", "screen", "sound",
            "speech", "store",
        ],
    ),
    (
        "cli",
        &[
            "time", "session", "plan", "advice", "live", "record", "export", "screen", "sound",
            "speech", "store", "app",
        ],
    ),
];

/// Crates that only some rooms may name.
const CRATES: &[(&str, &[&str])] = &[
    ("crossterm", &["app", "cli"]),
    ("ratatui", &["screen", "app"]),
    ("rodio", &["sound"]),
    ("hound", &["speech"]),
    ("rubato", &["speech"]),
    ("microlp", &["advice"]),
    ("anyhow", &["app", "cli"]),
    ("clap", &["cli"]),
    ("signal_hook", &["app", "cli"]),
    ("rustbus", &["app"]),
];

/// Ways to read a clock, to wait, or to change a file, and the rooms with a doorway for them.
const DOORWAYS: &[(&str, &[&str])] = &[
    ("Instant::now", &["app"]),
    ("SystemTime::now", &["app"]),
    ("Local::now", &["app"]),
    ("Utc::now", &["app"]),
    ("thread::sleep", &[]),
    ("fs::write", &["store"]),
    ("File::create", &["store"]),
    ("OpenOptions", &["store"]),
    ("fs::rename", &["store"]),
    ("fs::remove_file", &["store"]),
    ("create_dir", &["store"]),
];

/// Every source file of a room with its lines, tests and comments left out.
fn code() -> BTreeMap<String, Vec<(PathBuf, usize, String)>> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut rooms: BTreeMap<String, Vec<(PathBuf, usize, String)>> = BTreeMap::new();
    let mut open = vec![src.clone()];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(&folder).expect("src is read") {
            let path = entry.expect("src is read").path();
            if path.is_dir() {
                open.push(path);
                continue;
            }
            let inside = path.strip_prefix(&src).expect("below src");
            let first = inside.iter().next().expect("a name").to_string_lossy();
            let room = first.trim_end_matches(".rs").to_owned();
            let text = fs::read_to_string(&path).expect("source is text");
            rooms.entry(room).or_default().extend(lines(&path, &text));
        }
    }
    rooms
}

fn lines(path: &Path, text: &str) -> Vec<(PathBuf, usize, String)> {
    let name = path.file_stem().expect("a name").to_string_lossy();
    if name == "tests" || name.ends_with("_tests") {
        return Vec::new();
    }
    text.lines()
        .take_while(|line| line.trim() != "#[cfg(test)]" || !text.contains("mod tests {"))
        .enumerate()
        .map(|(n, line)| {
            (
                path.to_owned(),
                n + 1,
                line.split("//").next().unwrap_or("").to_owned(),
            )
        })
        .collect()
}

#[test]
fn every_room_imports_what_the_table_allows() {
    let modules = modules();
    let mut wrong = Vec::new();
    let mut checked = 0;
    for (module, (file, named)) in &modules {
        let Some(room) = module.first() else { continue };
        let allowed = ROOMS.iter().find(|(known, _)| known == room);
        let allowed = allowed.map_or(&[][..], |(_, allowed)| allowed);
        for path in named {
            let Some(other) = owner(path, &modules).and_then(|module| module.first()) else {
                continue;
            };
            checked += 1;
            if other != room && !allowed.contains(&other.as_str()) {
                wrong.push(format!(
                    "{}: `{room}` imports `{}`",
                    file.display(),
                    path.join("::")
                ));
            }
        }
    }
    assert!(checked > 1000, "the test reads the imports: {checked}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A module that names another depends on it, and a circle of them can only be understood whole.
#[test]
fn no_modules_of_a_room_go_round_in_a_circle() {
    let modules = modules();
    let mut graph = DiGraphMap::<&Module, ()>::new();
    for (module, (_, named)) in &modules {
        for other in named.iter().filter_map(|named| owner(named, &modules)) {
            if other != module && !other.is_empty() {
                graph.add_edge(module, other, ());
            }
        }
    }
    assert!(graph.edge_count() > 500, "the test reads the imports");
    let circles = tarjan_scc(&graph);
    let circles = circles.iter().filter(|modules| modules.len() > 1);
    let told: Vec<String> = circles
        .map(|modules| {
            let names: Vec<String> = modules.iter().map(|of| of.join("::")).collect();
            format!("a circle of {}", names.join(", "))
        })
        .collect();
    assert!(told.is_empty(), "{}", told.join("\n"));
}

#[test]
fn a_path_is_followed_however_it_is_written() {
    let text = "
        use super::super::course::{self, Running as R};
        use crate::plan::{Kind, cues::{Prompt}};
        fn f() -> self::share::Share { super::words::said(std::mem::take(x)) }
        mod inner { use super::super::steps; }
        #[cfg(test)]
        mod tests { use crate::screen::Screen; }
    ";
    let named = named_in(&["live", "landing", "spot"], text);
    let named: Vec<String> = named.iter().map(|path| path.join("::")).collect();
    let known = [
        "live::course",
        "live::course::Running",
        "live::landing::spot::share::Share",
        "live::landing::steps",
        "live::landing::words::said",
        "plan::Kind",
        "plan::cues::Prompt",
    ];
    assert_eq!(named, known);
}

#[test]
fn there_is_no_room_besides_those_of_the_table() {
    let known: Vec<&str> = ROOMS.iter().map(|(room, _)| *room).collect();
    for room in code().keys() {
        let doorway = ["main", "lib"].contains(&room.as_str());
        assert!(
            doorway || known.contains(&room.as_str()),
            "`{room}` is not in the table"
        );
    }
}

#[test]
fn the_table_of_the_rooms_is_the_one_that_is_checked() {
    let page = include_str!("../../DEVELOPERS.md");
    let rows = page.lines().filter_map(|line| {
        let cells: Vec<&str> = line
            .strip_prefix("| `")?
            .split('|')
            .map(str::trim)
            .collect();
        let [room, _, imports, _, _] = cells[..] else {
            return None;
        };
        let imports = imports.split(", ").filter(|name| *name != "-");
        Some((room.trim_end_matches('`'), imports.collect::<Vec<_>>()))
    });
    let checked = ROOMS.iter().map(|(room, may)| (*room, may.to_vec()));
    assert_eq!(rows.collect::<Vec<_>>(), checked.collect::<Vec<_>>());
}

#[test]
fn crates_clocks_and_files_stay_behind_their_doors() {
    let mut wrong = Vec::new();
    for (room, lines) in code() {
        for (path, n, line) in lines {
            let place = || format!("{}:{n}", path.display());
            for (name, allowed) in CRATES {
                let names_it = line.contains(&format!("{name}::"));
                if names_it && !allowed.contains(&room.as_str()) {
                    wrong.push(format!("{}: `{room}` names the crate `{name}`", place()));
                }
            }
            for (call, allowed) in DOORWAYS {
                if line.contains(call) && !allowed.contains(&room.as_str()) {
                    wrong.push(format!("{}: `{call}` in `{room}`", place()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn only_one_file_names_the_audio_library_and_one_the_bus() {
    for (room, name) in [("sound", "rodio::"), ("app", "rustbus::")] {
        let rooms = code();
        let mut files: Vec<&PathBuf> = rooms[room]
            .iter()
            .filter(|(_, _, line)| line.contains(name))
            .map(|(path, ..)| path)
            .collect();
        files.dedup();
        assert_eq!(files.len(), 1, "{files:?}");
    }
}

/// Cargo itself says what there is.
#[test]
fn of_each_crate_it_is_told_what_it_is_for() {
    let told = std::process::Command::new(env!("CARGO"))
        .args([
            "metadata",
            "--no-deps",
            "--format-version",
            "1",
            "--offline",
        ])
        .arg(concat!(
            "--manifest-path=",
            env!("CARGO_MANIFEST_DIR"),
            "/Cargo.toml"
        ))
        .output()
        .expect("cargo runs");
    let told: serde_json::Value = serde_json::from_slice(&told.stdout).expect("JSON");
    let crates = told["packages"][0]["dependencies"]
        .as_array()
        .expect("a list");
    let page = include_str!("../../DEVELOPERS.md");
    let (_, section) = page
        .split_once("\n## What it is built on\n")
        .expect("a section");
    let section = section.split("\n## ").next().unwrap_or(section);
    let names = |text: &str| -> BTreeSet<String> {
        text.split('`')
            .skip(1)
            .step_by(2)
            .map(str::to_owned)
            .collect()
    };
    let (table, tests) = section.split_once("In tests:").expect("both");
    let rows = table.lines().filter(|line| line.starts_with("| `"));
    let rows: BTreeSet<String> = rows
        .filter_map(|row| names(row).into_iter().next())
        .collect();
    let named = |dev: bool| -> BTreeSet<String> {
        let of_kind = crates.iter().filter(|one| (one["kind"] == "dev") == dev);
        of_kind
            .map(|one| one["name"].as_str().expect("a name").to_owned())
            .collect()
    };
    assert_eq!(rows, named(false));
    assert_eq!(names(tests), &named(true) - &rows);
}

#[test]
fn every_file_says_what_it_is() {
    for lines in code().values() {
        for (path, ..) in lines.iter().filter(|(_, n, _)| *n == 1) {
            let text = fs::read_to_string(path).expect("source is text");
            assert!(
                text.starts_with("//!"),
                "{} begins with //!",
                path.display()
            );
        }
    }
}
