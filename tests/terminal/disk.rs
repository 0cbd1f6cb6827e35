//! A disk that fails: the class runs to its end, says so, and what was written reads back.
//!
//! A small file system of one's own needs root; without it those tests say that they are left out.

use std::io::Write as _;
use std::path::PathBuf;
use std::process::Command;
use std::thread;
use std::time::Duration;

use matside::live::{Act, What};
use matside::record::read;

use crate::folders::{Folders, make_folder, write};
use crate::records;
use crate::run::{Cells, Run, Start};

/// Where there is little room for words.
const SMALL: Cells = (80, 24);
/// Three seconds of class.
const BRIEF: &str = r#"Talk(time: 3, say: "Welcome.")"#;

/// A file system in memory, that goes with the test.
struct Tmpfs(PathBuf);

impl Tmpfs {
    /// Mounted with these options at the folder of the records, or nothing where that is not
    /// allowed.
    fn mount(folders: &Folders, options: &str) -> Option<Self> {
        make_folder(&folders.records());
        let mut mount = Command::new("mount");
        mount.args(["-t", "tmpfs", "-o", options, "tmpfs"]);
        let done = mount.arg(folders.records()).output();
        let is_done = done.is_ok_and(|done| done.status.success());
        if !is_done {
            // Not by a macro: what a test that passes prints so is never seen.
            let told = "left out: a test that needs to mount a file system, and may not here\n";
            let _ = std::io::stderr().write_all(told.as_bytes());
        }
        is_done.then(|| Self(folders.records()))
    }
}

impl Drop for Tmpfs {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg("-l").arg(&self.0).output();
    }
}

fn begun(folders: &Folders, cells: Cells, parts: &str) -> Run {
    let path = folders.session("Disk", parts);
    let start = Start::new(folders, &["teach", "--mute"]).file(&path);
    let mut run = start.cells(cells).run();
    run.sees("room until");
    run.press("enter");
    run.sees("left");
    run
}

/// The middle of "not recorded" in the large letters at the foot of a class.
const NOT_RECORDED: &str = "▌▚▌▌▐ ▐   ▛▌▐▀ ▌ ▐ ▌▛▌▐ ▌▛▘▐ ▌";

/// The class goes on to its end and tells that it was not recorded.
fn runs_to_its_end(run: &mut Run) {
    run.sees("not recorded");
    run.sees("class time");
    run.sees("not recorded");
    run.press("esc");
    run.ends_well();
    let told = run.text().replace('\n', "");
    assert!(told.contains("taught 0:03 of 0:03 planned"), "{told}");
}

#[test]
fn a_folder_removed_during_class() {
    thread::scope(|scope| {
        for cells in [SMALL, (40, 12)] {
            scope.spawn(move || removed(cells));
        }
    });
}

fn removed(cells: Cells) {
    let folders = Folders::new();
    let mut run = begun(&folders, cells, BRIEF);
    mark(&mut run, &folders);
    std::fs::remove_dir_all(folders.records()).expect("the folder is there");
    runs_to_its_end(&mut run);
}

#[test]
fn a_place_for_records_that_is_a_file() {
    let folders = Folders::new();
    write(&folders.data(), "not a folder");
    runs_to_its_end(&mut begun(&folders, SMALL, BRIEF));
}

#[test]
fn a_folder_that_may_only_be_read() {
    let folders = Folders::new();
    let Some(_disk) = Tmpfs::mount(&folders, "ro") else {
        return;
    };
    runs_to_its_end(&mut begun(&folders, SMALL, BRIEF));
}

/// 64 KiB, nearly full before the class begins, and full after a few marks.
#[test]
fn a_disk_that_fills_during_class() {
    let folders = Folders::new();
    let Some(_disk) = Tmpfs::mount(&folders, "size=64k") else {
        return;
    };
    let mut run = begun(&folders, SMALL, r#"Talk(time: 300, say: "Welcome.")"#);
    mark(&mut run, &folders);
    write_all_there_is(&folders.records().join("filler"));
    // A page of the file system that was begun still takes what fits: about forty lines.
    for key in ["+", "-", "m"].into_iter().cycle().take(300) {
        run.press(key);
        run.watch(Duration::from_millis(10));
        if run.text().contains(NOT_RECORDED) {
            break;
        }
    }
    run.sees(NOT_RECORDED);
    // Just after the beginning a key that moves on is not heard; and to end the last interval is
    // asked twice.
    run.watch(Duration::from_millis(1_600));
    run.press("right");
    run.sees("The same key again ends it.");
    run.press("right");
    run.sees("class time");
    run.press("esc");
    run.ends_well();
    assert!(is_marked(&folders));
    assert!(!records::only(&folders).is_ended());
}

/// Marks, and waits until that is in the record, which is begun in the background.
fn mark(run: &mut Run, folders: &Folders) {
    run.press("m");
    run.until("the mark, in the record", |_| is_marked(folders));
}

fn is_marked(folders: &Folders) -> bool {
    let files = records::files(&folders.records(), "jsonl");
    let record = files.first().and_then(|path| std::fs::read(path).ok());
    let record = record.and_then(|bytes| read(&bytes).ok());
    record.is_some_and(|record| record.facts().any(|fact| fact.what == What::Did(Act::Mark)))
}

/// Fills the file system; what does not go in is left out.
fn write_all_there_is(path: &std::path::Path) {
    use std::io::Write;
    let mut file = crate::folders::create(path);
    while file.write_all(&[b'.'; 512]).is_ok() {}
}
