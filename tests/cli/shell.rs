//! The pages of the manual, and what a shell offers while a command is typed.

use std::collections::BTreeSet;
use std::fs;

use crate::home::{Home, err, out, status};

/// The commands of a help page.
fn commands(home: &Home, below: &[&str]) -> Vec<String> {
    let help = out(&home.run(&[below, &["--help"]].concat()));
    let list = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    list.take_while(|line| !line.is_empty())
        .filter_map(|line| Some(line.split_whitespace().next()?.to_owned()))
        .filter(|name| name != "help")
        .collect()
}

/// Every page that a page names can be printed, and is among the files.
#[test]
fn every_page_that_is_named_can_be_printed_and_installed() {
    let home = Home::new();
    let made = home.run(&["man", "--all", "-o", "share/man1"]);
    assert_eq!(status(&made), Some(0), "{}", err(&made));
    let folder = home.path().join("share/man1");
    let files: BTreeSet<String> = fs::read_dir(&folder)
        .expect("made")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    let mut expected = BTreeSet::from(["matside.1".to_owned()]);
    for name in commands(&home, &[]) {
        expected.insert(format!("matside-{name}.1"));
        for below in commands(&home, &[&name]) {
            expected.insert(format!("matside-{name}-{below}.1"));
        }
    }
    assert!(expected.len() >= 15, "{expected:?}");
    assert_eq!(files, expected);
    for file in &files {
        let text = fs::read_to_string(folder.join(file)).expect("text");
        let words: Vec<&str> = file.trim_end_matches(".1").split('-').skip(1).collect();
        let printed = home.run(&[&["man"], words.as_slice()].concat());
        assert_eq!(out(&printed), text, "{file}");
        for named in text
            .split(['\n', ' '])
            .filter_map(|word| word.strip_suffix("(1)"))
        {
            let named = format!("{}.1", named.replace("\\-", "-"));
            assert!(
                files.contains(&named) || named.ends_with("help.1"),
                "{file}: {named}"
            );
        }
    }
    let again = home.run(&["man", "--all", "-o", "share/man1"]);
    assert_eq!(status(&again), Some(73), "nothing is replaced unasked");
    let forced = home.run(&["man", "--all", "-o", "share/man1", "--force"]);
    assert_eq!(status(&forced), Some(0));
}

/// What the program offers for the last of these words.
fn offered(home: &Home, words: &[&str]) -> Vec<String> {
    let mut command = home.command(&[&["--", "matside"], words].concat());
    let last = words.len().to_string();
    let asked = command
        .env("MATSIDE_COMPLETE", "bash")
        .env("_CLAP_COMPLETE_INDEX", last)
        .env("_CLAP_IFS", "\n");
    out(&asked.output().expect("the program runs"))
        .lines()
        .map(str::to_owned)
        .collect()
}

#[test]
fn a_shell_is_offered_commands_sessions_moves_and_records() {
    let home = Home::new();
    home.put("sessions/tide-line.ron", "()");
    home.put("classes/ebb.RON", "()");
    home.put("classes/.ebb.ron.swp", "()");
    let settings = format!(
        "Config(sessions: [\"{}\"])",
        home.path().join("classes").display()
    );
    let home = home.with("config.ron", &settings);
    for name in commands(&home, &[]) {
        assert!(offered(&home, &[&name[..1]]).contains(&name), "{name}");
    }
    for command in ["teach", "rehearse", "outline", "check"] {
        assert_eq!(offered(&home, &[command, "t"]), ["tide-line"], "{command}");
        assert_eq!(offered(&home, &[command, "e"]), ["ebb"], "{command}");
    }
    let moves = offered(&home, &["moves", "--show", "side-pl"]);
    assert!(moves.contains(&"side-plank".to_owned()), "{moves:?}");
    crate::records::record(&home, 0, "");
    let records = offered(&home, &["records", "show", "2026"]);
    assert_eq!(records, ["2026-03-02-1830-tide-shore"]);
}

#[test]
fn each_script_says_where_it_belongs_and_is_bound_to_the_program() {
    let home = Home::new();
    for (shell, place) in [
        ("bash", "bash-completion/completions"),
        ("zsh", "fpath"),
        ("fish", "fish/completions"),
        ("elvish", "rc.elv"),
        ("powershell", "PROFILE"),
    ] {
        let text = out(&home.run(&["completions", shell]));
        assert!(
            text.contains(place) && text.contains("MATSIDE_COMPLETE"),
            "{shell}"
        );
        let first = text.lines().next().unwrap_or_default();
        assert!(first.starts_with('#'), "{shell}: {first}");
        assert_eq!(
            first.starts_with("#compdef"),
            shell == "zsh",
            "{shell}: {first}"
        );
    }
}
