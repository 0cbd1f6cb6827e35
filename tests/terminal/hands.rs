//! Hands and terminals as they are: keys held down, text pasted, answers nobody asked for, halves of
//! sequences, and stops.

use std::thread;
use std::time::Duration;

use matside::live::{Act, What};
use rustix::process::Signal;

use crate::folders::{Folders, make_folder, write};
use crate::records;
use crate::run::{HEARD, PATIENCE, Run, Shell, Start, now, pause};

/// `prompts hidden` in the letters of the class page, their first row.
const PROMPTS_HIDDEN: &str = "▛▚▐▀▖▞▚▐▖▟▐▀▖▀▛▘▞▀  ▌▐▝▛▐▀▖▛▚▐▀▘▙ ▌";
const ASKED: &str = "The same key again ends it.";
const CLASS: &str = r#"Talk(time: 300, say: "Welcome."),
    Block(moves: ["squat", "push-up"], pattern: Same(rounds: 3, work: 30, rest: 20))"#;

fn before(folders: &Folders) -> Run {
    let path = folders.session("Hands", CLASS);
    let mut run = Start::new(folders, &["teach", "--mute"]).file(&path).run();
    run.sees("room until");
    run
}

fn begun(folders: &Folders) -> Run {
    let mut run = before(folders);
    run.press("enter");
    run.sees("recorded");
    run
}

/// The list of classes, whose heading is in large letters.
const LIST: &str = "find: ";

/// Half a second of delay, then thirty times a second, as a desktop repeats a key (from memory).
fn hold_down(run: &mut Run, bytes: &[u8], time: Duration) {
    run.send(bytes);
    run.watch(Duration::from_millis(500));
    for _ in 0..(time.saturating_sub(Duration::from_millis(500)).as_millis() / 33) {
        run.send(bytes);
        run.watch(Duration::from_millis(33));
    }
    run.watch(Duration::from_millis(400));
}

/// What was done in the class besides beginning it.
fn acts(run: &mut Run, folders: &Folders) -> Vec<Act> {
    run.signal(Signal::TERM);
    run.ends_well();
    let record = records::only(folders);
    let acts = record.facts().filter_map(|fact| match &fact.what {
        What::Did(act) if *act != Act::Begin => Some(act.clone()),
        _ => None,
    });
    acts.collect()
}

/// The space bar held for half a second or two begins the class and does nothing else.
#[test]
fn a_key_held_down_begins_a_class_and_does_not_hold_it() {
    thread::scope(|scope| {
        for millis in [500, 700, 2_000] {
            scope.spawn(move || {
                let folders = Folders::new();
                let mut run = before(&folders);
                run.watch(Duration::from_millis(1_300));
                hold_down(&mut run, b" ", Duration::from_millis(millis));
                run.sees("recorded");
                assert_eq!(acts(&mut run, &folders), [], "{millis}");
            });
        }
    });
}

/// Enter held in the list opens the page of the class, and that page begins nothing.
#[test]
fn enter_held_in_the_list_begins_and_records_nothing() {
    let folders = Folders::new();
    let mut run = Start::new(&folders, &[]).run();
    run.sees(LIST);
    run.watch(Duration::from_millis(1_300));
    hold_down(&mut run, b"\r", Duration::from_secs(2));
    run.sees("room until");
    run.press("ctrl-c");
    run.ends_well();
    // The page tries whether a record could be kept; that leaves an empty folder.
    let kept = std::fs::read_dir(folders.records()).map_or(0, Iterator::count);
    assert_eq!(kept, 0);
}

/// Halves of sequences: dropped bytes of a remote line, a stray answer. A window is drawn in its new
/// size at once, Ctrl-C is heard at once, any other key a moment later.
#[test]
fn an_unfinished_sequence_deafens_nobody() {
    let folders = Folders::new();
    let mut run = begun(&folders);
    let halves: [&[u8]; 6] = [
        b"\x1b[<",
        b"\x1b[?",
        b"\x1b[1;",
        b"\x1b[200~",
        b"\x1b]11;rgb:",
        b"\x1bP1$r",
    ];
    for (n, half) in (0_u16..).zip(halves) {
        run.send(half);
        let rows = 25 + n;
        run.resize((80, rows));
        run.until("the last line", |screen| {
            let last = screen.rows(0, 80).nth(usize::from(rows) - 1);
            last.is_some_and(|line| !line.trim().is_empty())
        });
        run.send(half);
        run.press("ctrl-c");
        run.sees(ASKED);
        run.press("right");
        run.sees_no_more(ASKED);
        run.send(half);
        run.watch(Duration::from_millis(300));
        run.press("m");
        run.is_told("marked");
        run.until("the word gone", |screen| {
            !screen.contents().contains("marked")
        });
    }
    assert_eq!(acts(&mut run, &folders), vec![Act::Mark; halves.len()]);
}

/// Pasted sentences are no keys in class, and are text where text is written.
#[test]
fn a_paste_does_nothing_to_a_class() {
    let folders = Folders::new();
    let mut run = begun(&folders);
    run.send(b"\x1b[200~skip soon, land; quit now\r\nqq  \x1b[201~");
    run.is_told("pasted text");
    run.press("m");
    run.is_told("marked");
    run.until("the word gone", |screen| {
        !screen.contents().contains("marked")
    });
    run.send(b"so we mend sore knees");
    run.is_told("pasted text");
    assert_eq!(acts(&mut run, &folders), [Act::Mark]);
    let mut list = Start::new(&folders, &["--no-config"]).run();
    list.sees("This class was broken off.");
    list.send(b"\x1b[200~close it\r\x1b[201~");
    list.sees("pasted text");
    list.press("esc");
    list.sees(LIST);
    list.send(b"\x1b[200~xyz\x1b[201~");
    list.sees("find: xyz");
    list.send(b"squat");
    list.sees("find: xyzsquat");
    list.press("ctrl-c");
    list.ends_well();
}

/// Late answers to what some program asked the terminal before (xterm's control sequences).
#[test]
fn answers_of_the_terminal_set_no_limit_and_do_nothing_in_class() {
    let answers: [&[u8]; 5] = [
        b"\x1b]11;rgb:abab/cdcd/efef\x1b\\",
        b"\x1b]4;1;rgb:aa/bb/cc\x07",
        b"\x1b[?62;22c",
        b"\x1bP>|abc(3)\x1b\\",
        b"\x1b[24;80R",
    ];
    let folders = Folders::new();
    let mut run = before(&folders);
    for answer in answers {
        run.send(answer);
    }
    run.press("enter");
    run.sees("recorded");
    for answer in answers {
        run.send(answer);
    }
    run.press("m");
    run.is_told("marked");
    assert_eq!(acts(&mut run, &folders), [Act::Mark]);
    assert!(records::only(&folders).header.limits.is_empty());
}

/// An unbound key has a word, a capital is its small letter, what is hidden says so as long as it is.
#[test]
fn no_key_is_silent() {
    let folders = Folders::new();
    let mut run = begun(&folders);
    run.send(b"z");
    run.is_told("z does nothing here");
    run.send("\u{44b}".as_bytes());
    run.is_told("\u{44b} does nothing here");
    run.send(b"\x1bq");
    run.is_told("this key does nothing here");
    run.send(b"M");
    run.is_told("marked");
    run.press("n");
    run.sees(PROMPTS_HIDDEN);
    run.watch(Duration::from_secs(5));
    run.sees(PROMPTS_HIDDEN);
    assert_eq!(acts(&mut run, &folders), [Act::Mark]);
}

/// Ctrl-C leaves from every page before class.
#[test]
fn ctrl_c_leaves_from_every_page_before_class() {
    let folders = Folders::new();
    let mut page = before(&folders);
    page.press("ctrl-c");
    page.ends_well();
    let mut list = Start::new(&folders, &[]).run();
    list.sees(LIST);
    list.press("enter");
    list.sees("room until");
    list.press("ctrl-c");
    list.ends_well();
    begun(&folders).kill();
    let mut back = Start::new(&folders, &["teach", "--mute"]).run();
    back.sees("This class was broken off.");
    back.press("ctrl-c");
    back.ends_well();
}

/// Ctrl-Z stops whatever started the program as well, so that the shell above it is heard again.
#[test]
fn ctrl_z_stops_the_whole_group() {
    thread::scope(|scope| {
        for shell in [Shell::Alone, Shell::AndAScript] {
            scope.spawn(move || stopped_below(shell));
        }
    });
}

fn stopped_below(shell: Shell) {
    let folders = Folders::new();
    let path = folders.session("Hands", CLASS);
    let start = Start::new(&folders, &["teach", "--mute"]).file(&path);
    let mut run = start.below(shell).run();
    run.sees("room until");
    run.press("enter");
    run.sees("recorded");
    for _ in 0..2 {
        run.press("ctrl-z");
        run.sees(HEARD);
        run.gave_the_terminal_back();
        run.watch(Duration::from_secs(4));
        run.send(b"\r");
        run.sees("away for");
        assert!(run.screen().alternate_screen());
        run.press("space");
        run.runs();
    }
    run.press("ctrl-c");
    run.sees(ASKED);
    run.press("ctrl-c");
    run.sees("class time");
    run.press("esc");
    run.ends_well();
    let record = records::only(&folders);
    let stops = record.facts().filter_map(|fact| match fact.what {
        What::Did(Act::Slept { gap, .. }) => Some(gap),
        _ => None,
    });
    let stops: Vec<_> = stops.collect();
    assert_eq!(stops.len(), 2, "{stops:?}");
    assert!(stops.iter().all(|gap| gap.secs() >= 2.5), "{stops:?}");
}

/// Where no shell waits there is nobody to bring a stopped program back.
#[test]
fn ctrl_z_below_no_shell_stops_nothing() {
    let folders = Folders::new();
    let mut run = begun(&folders);
    run.press("ctrl-z");
    run.is_told("no shell");
    run.press("m");
    run.is_told("marked");
    assert_eq!(acts(&mut run, &folders), [Act::Mark]);
}

/// A rehearsal that was stopped is held, whatever its pace.
#[test]
fn a_stopped_rehearsal_is_held() {
    let folders = Folders::new();
    let path = folders.session("Hands", CLASS);
    for pace in ["1", "5"] {
        let start = Start::new(&folders, &["rehearse", "--pace", pace]).file(&path);
        let mut run = start.run();
        run.sees("left");
        run.signal(Signal::STOP);
        is_stopped(&run);
        run.watch(Duration::from_secs(4));
        run.signal(Signal::CONT);
        run.sees("away for");
        run.is_held();
    }
}

/// A line that hangs for seconds is no stop: the class goes on behind it.
#[test]
fn a_terminal_that_takes_nothing_for_a_while_holds_nothing() {
    let folders = Folders::new();
    let mut run = begun(&folders);
    for rows in (24..64).chain([24]) {
        run.tell_size((80, rows));
        pause(Duration::from_millis(100));
    }
    pause(Duration::from_secs(4));
    run.press("m");
    run.is_told("marked");
    assert_eq!(acts(&mut run, &folders), [Act::Mark]);
}

fn is_stopped(run: &Run) {
    let from = now();
    while run.state() != 'T' {
        assert!(from.elapsed() < PATIENCE, "never stopped");
        pause(Duration::from_millis(20));
    }
}

/// A serial line tells no size.
#[test]
fn a_terminal_of_no_size_has_the_usual_one() {
    let folders = Folders::new();
    let mut run = begun(&folders);
    run.tell_size((0, 0));
    run.watch(Duration::from_millis(300));
    run.press("m");
    run.is_told("marked");
}

/// A file that was mended, spoilt or added while a class was looked at is as it is now: what is chosen
/// is read once more, and the folder when the list is come back to, which stands where it was left.
#[test]
fn the_list_and_what_is_chosen_are_as_the_files_are_now() {
    let folders = Folders::new();
    let folder = folders.root().join("sessions");
    make_folder(&folder);
    // A chosen title is drawn large; its length is not.
    let class = |title: &str, secs: u32| {
        format!("Session(title: \"{title}\", parts: [Talk(time: {secs}, say: \"Hello.\")])\n")
    };
    let file = folder.join("last.ron");
    write(&file, &class("Zebra Line", 30));
    let mut run = Start::new(&folders, &[]).run();
    run.sees("Zebra Line");
    run.press("down");
    write(&file, &class("Zenith Line", 45));
    run.press("enter");
    run.sees("0:45 in all");
    write(&folder.join("first.ron"), &class("Abalone", 20));
    run.press("esc");
    run.sees("Abalone");
    run.press("enter");
    run.sees("0:45 in all");
    run.press("esc");
    run.sees("Abalone");
    write(&file, "Session(title: \"Zenith Line\", parts: [\n");
    run.press("enter");
    run.sees("last.ron: line ");
    run.sees(LIST);
    run.press("esc");
    run.ends_well();
}

/// Pipes and devices where a file of ours would be: none is waited for, by a list or by a command.
#[test]
fn what_is_no_file_hangs_nobody() {
    let folders = Folders::new();
    make_folder(&folders.records());
    make_folder(&folders.root().join("sessions"));
    for place in [
        folders.records().join("2026-03-02-1830-tide.jsonl"),
        folders.records().join("2026-03-02-1830-tide.pulse"),
        folders.records().join("index.cache"),
        folders.root().join("sessions/pipe.ron"),
    ] {
        let made = std::process::Command::new("mkfifo").arg(&place).status();
        assert!(made.expect("mkfifo is there").success());
    }
    let device = folders.records().join("2026-03-02-1900-ebb.jsonl");
    std::os::unix::fs::symlink("/dev/zero", device).expect("a link");
    let mut run = Start::new(&folders, &[]).run();
    run.sees(LIST);
    run.sees("pipe.ron");
    run.press("esc");
    run.ends_well();
    for args in [&["records"][..], &["records", "show"], &["teach", "pipe"]] {
        Start::new(&folders, args).run().ends();
    }
    for file in ["config.ron", "moves.ron"] {
        let folders = Folders::new();
        make_folder(&folders.config());
        let place = folders.config().join(file);
        let made = std::process::Command::new("mkfifo").arg(&place).status();
        assert!(made.expect("mkfifo is there").success());
        let mut run = Start::new(&folders, &["teach", "--mute"]).run();
        assert_eq!(run.ends().code(), Some(66), "{file}: {}", run.text());
    }
}
