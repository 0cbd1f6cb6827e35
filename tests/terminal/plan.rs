//! A class planned in a terminal: its file saved, lost and found again, changed by others, and lent to
//! an editor.

use std::os::unix::fs::PermissionsExt as _;
use std::path::{Path, PathBuf};

use matside::session::{Library, Session};
use rustix::process::Signal;

use crate::folders::{Folders, remove, write};
use crate::run::{Run, Start};

const CLASS: &str = "// mine\nSession(\n    title: \"Tide\",\n    slot: \"30:00\", // the room\n    parts: [\n        Talk(time: 30, say: \"Hi.\"),\n        Block(title: \"Ebb\", moves: [\"squat\", \"plank\"], pattern: Same(rounds: 3, work: 40, rest: 20)),\n    ],\n)\n";

/// Longer than a page that came by itself takes no keys.
const SEEN: std::time::Duration = std::time::Duration::from_millis(1_200);

fn class(folders: &Folders) -> PathBuf {
    let path = folders.root().join("tide.ron");
    write(&path, CLASS);
    path
}

fn text(path: &Path) -> String {
    std::fs::read_to_string(path).expect("the file is there")
}

fn plan(folders: &Folders, path: &Path) -> Run {
    let mut run = Start::new(folders, &["plan"]).file(path).run();
    run.sees("all keys");
    run
}

/// Presses keys one after another, each as one hand does.
fn press(run: &mut Run, keys: &str) {
    for key in keys.split_whitespace() {
        run.press(key);
    }
}

/// Types a word letter by letter: several at once would be a paste.
fn typed(run: &mut Run, word: &str) {
    for letter in word.chars() {
        run.press(&letter.to_string());
    }
}

#[test]
fn a_class_begun_from_nothing_is_a_file_once_it_is_saved() {
    let folders = Folders::new();
    let path = folders.root().join("low-tide.ron");
    let mut run = Start::new(&folders, &["plan"]).file(&path).run();
    run.sees("a new class");
    run.sees("Low tide");
    run.press("p");
    run.sees("What comes behind it?");
    press(&mut run, "down down down enter");
    run.sees("Its first move");
    typed(&mut run, "squat");
    run.press("enter");
    run.sees("Squat is in");
    run.press("esc");
    run.sees("low-tide.ron · not saved");
    assert!(!path.exists(), "nothing is written before it is saved");
    run.press("s");
    run.sees("low-tide.ron · saved");
    run.press("q");
    run.ends_well();
    let read = Session::read("low-tide", &text(&path), &Library::builtin());
    let session = read.expect("a class");
    assert_eq!(session.title, "Low tide");
    assert_eq!(session.parts.len(), 2);
    // Nothing is left to be offered.
    let mut run = plan(&folders, &path);
    assert!(!run.text().contains("was not saved"), "{}", run.text());
    run.press("q");
    run.ends_well();
}

/// A plan is there again after a kill, only offered; taken up it is not saved, and thrown away it is
/// not offered again.
#[test]
fn what_was_not_saved_is_offered_after_a_kill_and_never_taken_silently() {
    let folders = Folders::new();
    let path = class(&folders);
    let mut run = plan(&folders, &path);
    press(&mut run, "down right");
    run.sees("tide.ron · not saved");
    let kept = folders.data().join("unsaved");
    let has = |word: &str| {
        let files = std::fs::read_dir(&kept).into_iter().flatten().flatten();
        // What is being written lies beside it, under another name.
        let whole = files
            .map(|file| file.path())
            .filter(|path| path.extension().is_some_and(|kind| kind == "json"));
        let mut texts = whole.filter_map(|path| std::fs::read_to_string(path).ok());
        texts.any(|text| text.contains(word))
    };
    let from = crate::run::now();
    while !has("time: 35") {
        assert!(
            from.elapsed() < crate::run::PATIENCE,
            "it is never kept aside"
        );
        run.watch(std::time::Duration::from_millis(20));
    }
    run.kill();
    assert_eq!(text(&path), CLASS);

    let mut run = Start::new(&folders, &["plan"]).file(&path).run();
    run.sees("A plan that was not saved");
    run.press("esc");
    run.sees("tide.ron · saved");
    run.press("q");
    run.ends_well();
    assert_eq!(text(&path), CLASS);

    let mut run = Start::new(&folders, &["plan"]).file(&path).run();
    run.sees("A plan that was not saved");
    run.press("enter");
    run.sees("tide.ron · not saved");
    assert_eq!(text(&path), CLASS);
    run.press("s");
    run.sees("tide.ron · saved");
    run.press("q");
    run.ends_well();
    assert_eq!(text(&path), CLASS.replace("time: 30", "time: 35"));
    let mut run = plan(&folders, &path);
    run.press("q");
    run.ends_well();
}

/// The system ends the program in good order: what is not saved is kept.
#[test]
fn what_was_not_saved_is_kept_when_the_program_is_ended() {
    let folders = Folders::new();
    let path = class(&folders);
    let mut run = plan(&folders, &path);
    press(&mut run, "down right");
    run.sees("not saved");
    run.signal(Signal::TERM);
    run.ends_well();
    assert_eq!(text(&path), CLASS);
    let mut run = Start::new(&folders, &["plan"]).file(&path).run();
    run.sees("A plan that was not saved");
    press(&mut run, "down down enter");
    run.sees("tide.ron · saved");
    run.press("q");
    run.ends_well();
    let mut run = plan(&folders, &path);
    run.press("q");
    run.ends_well();
}

/// An editor of the person's own: what it is, which line it is told, and what it does to the file.
fn editor(folders: &Folders, does: &str) -> String {
    let path = folders.root().join("own-editor");
    let script = format!(
        "#!/bin/sh\necho \"$@\" >> {}\n{does}\n",
        told(folders).display()
    );
    write(&path, &script);
    let mode = std::fs::Permissions::from_mode(0o755);
    std::fs::set_permissions(&path, mode).expect("a mode");
    path.display().to_string()
}

fn told(folders: &Folders) -> PathBuf {
    folders.root().join("editor-was-told")
}

fn with_editor(folders: &Folders, path: &Path, editor: &str) -> Run {
    let env = [("TERM", "xterm-256color"), ("EDITOR", editor)];
    let mut run = Start::new(folders, &["plan"]).env(&env).file(path).run();
    run.sees("all keys");
    run
}

/// The editor has the terminal for itself: what is typed meanwhile is its own, to the last key.
#[test]
fn an_editor_has_the_terminal_and_what_it_changed_is_taken_back() {
    let folders = Folders::new();
    let path = class(&folders);
    let does = "echo the editor waits; read line; sed -i \"s/Hi/$line/\" \"$2\"";
    let editor = editor(&folders, does);
    let mut run = with_editor(&folders, &path, &editor);
    run.press("down");
    run.press("e");
    run.sees("the editor waits");
    for _ in 0..3 {
        typed(&mut run, "qsx");
    }
    run.send(b"\n");
    run.sees("taken from your editor");
    run.sees("qsxqsxqsx");
    run.sees("tide.ron · not saved");
    assert!(
        text(&told(&folders)).starts_with("+6 "),
        "{}",
        text(&told(&folders))
    );
    assert_eq!(text(&path), CLASS, "the file itself is not touched");
    run.press("s");
    run.sees("tide.ron · saved");
    run.press("q");
    run.ends_well();
    assert_eq!(text(&path), CLASS.replace("Hi", "qsxqsxqsx"));
}

#[test]
fn an_editor_that_breaks_the_file_or_is_not_there_loses_nothing() {
    let folders = Folders::new();
    let path = class(&folders);
    let editor = editor(&folders, "sed -i 's/\"squat\"/\"sqaut\"/' \"$2\"");
    let mut run = with_editor(&folders, &path, &editor);
    run.press("e");
    run.sees("with 1 fault");
    run.sees("sqaut");
    run.sees("1 to mend");
    run.press("u");
    run.sees("tide.ron · saved");
    run.press("q");
    run.ends_well();
    for (set, says) in [
        ("", "no editor is named"),
        ("/no/such/editor", "cannot be run"),
    ] {
        let mut run = with_editor(&folders, &path, set);
        run.press("e");
        run.sees(says);
        run.press("q");
        run.ends_well();
    }
    assert_eq!(text(&path), CLASS);
}

/// Somebody else changes the file while it is planned: it is noticed by itself, and nothing of
/// either is lost unasked.
#[test]
fn a_change_by_somebody_else_is_noticed_and_both_are_kept() {
    let folders = Folders::new();
    let path = class(&folders);
    let mut run = plan(&folders, &path);
    press(&mut run, "down right");
    run.sees("not saved");
    let theirs = CLASS.replace("Tide", "Flood");
    write(&path, &theirs);
    run.sees("The file was changed meanwhile");
    run.sees("take both");
    // A key that was on its way is not meant for it.
    run.press("enter");
    run.watch(SEEN);
    run.sees("take both");
    run.press("enter");
    run.sees("settled");
    run.sees("Flood");
    assert_eq!(text(&path), theirs);
    run.press("s");
    run.sees("tide.ron · saved");
    assert_eq!(text(&path), theirs.replace("time: 30", "time: 35"));
    // The same line: place after place.
    press(&mut run, "right");
    run.sees("not saved");
    let both = text(&path);
    write(&path, &both.replace("time: 35", "time: 99"));
    run.sees("one place after another");
    run.watch(SEEN);
    run.press("enter");
    run.sees("Which of the two? 1 of 1");
    press(&mut run, "down enter");
    run.sees("settled");
    run.press("s");
    run.sees("tide.ron · saved");
    assert_eq!(text(&path), both.replace("time: 35", "time: 99"));
    run.press("q");
    run.ends_well();
}

/// A question that is left open is asked again before anything is written over.
#[test]
fn a_file_that_others_changed_is_not_written_over_unasked() {
    let folders = Folders::new();
    let path = class(&folders);
    let mut run = plan(&folders, &path);
    press(&mut run, "down right");
    let theirs = CLASS.replace("Ebb", "Flood");
    write(&path, &theirs);
    run.sees("The file was changed meanwhile");
    run.watch(SEEN);
    run.press("esc");
    run.sees("all keys");
    run.press("s");
    run.sees("The file was changed meanwhile");
    assert_eq!(text(&path), theirs);
    press(&mut run, "down down enter");
    run.sees("settled");
    run.press("s");
    run.sees("tide.ron · saved");
    assert_eq!(text(&path), CLASS.replace("time: 30", "time: 35"));
    run.press("q");
    run.ends_well();
}

/// From the chosen line into a rehearsal, and back to the same line.
#[test]
fn a_rehearsal_comes_back_to_the_plan() {
    let folders = Folders::new();
    let path = class(&folders);
    let mut run = plan(&folders, &path);
    press(&mut run, "down down right");
    run.press("t");
    run.sees("Rehearse from here");
    press(&mut run, "down down enter");
    run.sees("tide.ron · not saved");
    run.sees("▸");
    let names = std::fs::read_dir(folders.records());
    assert!(names.map_or(0, Iterator::count) == 0, "nothing is recorded");
    press(&mut run, "q down down enter");
    run.ends_well();
    assert_eq!(text(&path), CLASS);
}

/// A window that is too small says what is needed, and the plan is there again in a larger one.
#[test]
fn a_small_window_is_told_what_is_needed() {
    let folders = Folders::new();
    let path = class(&folders);
    let mut run = plan(&folders, &path);
    run.resize((60, 20));
    run.sees("80 by 24");
    run.resize((120, 35));
    run.sees("all keys");
    run.press("q");
    run.ends_well();
}

/// What was not saved is kept aside whatever came before: a name under which it cannot be saved, a
/// second window, a copy that was taken up and taken back, a file that is gone.
#[test]
fn a_plan_that_was_left_unsaved_is_offered_whatever_came_before() {
    let folders = Folders::new();
    let mut run = Start::new(&folders, &["plan"]).run();
    run.sees("no file yet");
    press(&mut run, "down right");
    run.sees("no file yet · not saved");
    run.press("s");
    run.sees("Save it as");
    typed(&mut run, "nowhere/x");
    run.press("enter");
    run.sees("nowhere/x");
    run.sees("Save it as");
    run.press("esc");
    run.sees("no file yet · not saved");
    press(&mut run, "q down enter");
    run.ends_well();
    let mut run = Start::new(&folders, &["plan"]).run();
    run.sees("A plan that was not saved");
    // Taken up and taken back it is not thrown away.
    press(&mut run, "enter u q");
    run.ends_well();
    let mut run = Start::new(&folders, &["plan"]).run();
    run.sees("A plan that was not saved");
    run.press("enter");
    run.sees("no file yet · not saved");
    // To save it and leave is one wish, also where it has no name yet.
    press(&mut run, "q enter");
    run.sees("Save it as");
    run.press("enter");
    run.ends_well();
    let path = folders.root().join("new-class.ron");
    assert!(path.exists());

    let mut first = plan(&folders, &path);
    press(&mut first, "down right");
    first.sees("new-class.ron · not saved");
    let mut second = plan(&folders, &path);
    assert!(
        !second.text().contains("was not saved"),
        "{}",
        second.text()
    );
    second.press("q");
    second.ends_well();
    press(&mut first, "q down enter");
    first.ends_well();
    let mut run = Start::new(&folders, &["plan"]).file(&path).run();
    run.sees("A plan that was not saved");
    press(&mut run, "down down enter");

    run.sees("new-class.ron · saved");
    remove(&path);
    run.sees("new-class.ron · gone, not saved");
    press(&mut run, "q enter");
    run.ends_well();
    assert!(path.exists(), "made again");
}
