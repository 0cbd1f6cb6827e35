//! What the system does to a running class: stops, ends, windows without room, terminals that die.

use std::thread;
use std::time::Duration;

use matside::live::{Act, Ending, What};
use rustix::process::Signal;

use crate::folders::Folders;
use crate::records;
use crate::run::{PATIENCE, Run, Start, now, pause};

const CLASS: &str = r#"Talk(time: 300, say: "Welcome."),
    Block(moves: ["squat", "push-up"], pattern: Same(rounds: 3, work: 30, rest: 20))"#;

fn begun(folders: &Folders) -> Run {
    let path = folders.session("Stopped", CLASS);
    let mut run = Start::new(folders, &["teach", "--mute"]).file(&path).run();
    run.sees("room until");
    run.press("enter");
    run.sees("recorded");
    run
}

/// Waits until the process is in a state of proc(5): `T` is stopped, `Z` is dead.
fn is_in(run: &Run, state: char) {
    let from = now();
    while run.state() != state {
        assert!(from.elapsed() < PATIENCE, "never {state}");
        pause(Duration::from_millis(20));
    }
}

/// Stopped for longer than the clocks may differ, the class is held where it was.
#[test]
fn a_stop_holds_the_class_where_it_was_and_shows_the_gap() {
    let folders = Folders::new();
    let mut run = begun(&folders);
    run.signal(Signal::TSTP);
    is_in(&run, 'T');
    run.watch(Duration::from_secs(4));
    run.gave_the_terminal_back();
    run.signal(Signal::CONT);
    run.sees("away for");
    assert!(run.screen().alternate_screen());
    run.press("space");
    run.runs();
    run.signal(Signal::TERM);
    run.ends_well();
    let record = records::only(&folders);
    let gaps = record.facts().filter_map(|fact| match fact.what {
        What::Did(Act::Slept { from, gap }) => Some((fact.at.since(from), gap)),
        _ => None,
    });
    let gaps: Vec<_> = gaps.collect();
    assert!(
        matches!(gaps[..], [(away, gap)] if gap.secs() >= 2.5
        && gap.secs() <= away.secs() + 1.5),
        "{gaps:?}"
    );
}

/// Slept past the end of the class, the key that catches up asks, and the same key again ends it, as
/// the question says. Esc takes the question back.
#[test]
fn catching_up_past_the_end_asks_and_the_same_key_again_ends_the_class() {
    let folders = Folders::new();
    let path = folders.session("Short", r#"Talk(time: 6, say: "Welcome.")"#);
    let mut run = Start::new(&folders, &["teach", "--mute"]).file(&path).run();
    run.sees("room until");
    run.press("enter");
    run.sees("recorded");
    run.signal(Signal::TSTP);
    is_in(&run, 'T');
    run.watch(Duration::from_secs(8));
    run.signal(Signal::CONT);
    run.sees("away for");
    run.press("c");
    run.sees("again ends it");
    run.press("esc");
    run.sees_no_more("again ends it");
    pause(Duration::from_secs(1));
    run.press("c");
    run.sees("again ends it");
    pause(Duration::from_secs(1));
    run.press("c");
    run.sees("planned");
    run.signal(Signal::TERM);
    run.ends_well();
    let record = records::only(&folders);
    let caught = record
        .facts()
        .filter(|fact| fact.what == What::Did(Act::CatchUp));
    assert_eq!(caught.count(), 1);
}

/// A stop too short to matter: the class goes on, and the screen is whole again.
#[test]
fn a_short_stop_goes_on() {
    let folders = Folders::new();
    let mut run = begun(&folders);
    run.signal(Signal::STOP);
    is_in(&run, 'T');
    run.signal(Signal::CONT);
    run.press("m");
    run.sees("marked");
    let held = run.text().contains("goes on with");
    run.signal(Signal::TERM);
    run.ends_well();
    let record = records::only(&folders);
    let slept = record
        .facts()
        .any(|fact| matches!(fact.what, What::Did(Act::Slept { .. })));
    assert_eq!(held, slept, "held only where the stop was long");
}

#[test]
fn an_end_from_outside_keeps_everything_and_the_next_start_offers_it() {
    thread::scope(|scope| {
        for signal in [Signal::HUP, Signal::TERM, Signal::INT] {
            scope.spawn(move || ended_from_outside(signal));
        }
    });
}

fn ended_from_outside(signal: Signal) {
    let folders = Folders::new();
    let mut run = begun(&folders);
    run.press("m");
    run.sees("marked");
    run.signal(signal);
    run.ends_well();
    let record = records::only(&folders);
    assert!(!record.is_ended() && record.torn.is_none(), "{signal:?}");
    let marks = record
        .facts()
        .filter(|fact| fact.what == What::Did(Act::Mark));
    assert_eq!(marks.count(), 1, "{signal:?}");
    let mut next = Start::new(&folders, &["teach", "--mute"]).run();
    next.sees("This class was broken off.");
    next.press("down");
    next.press("space");
    next.is_told("moved on by");
    drop(next);
    let mut last = Start::new(&folders, &["teach", "--mute"]).run();
    last.sees("This class was broken off.");
    last.press("down");
    last.press("tab");
    last.press("enter");
    last.sees("room until");
    last.press("q");
    last.ends_well();
    let record = records::only(&folders);
    let ended = record.facts().next_back().map(|fact| &fact.what);
    assert_eq!(ended, Some(&What::Ended(Ending::Broken)), "{signal:?}");
}

#[test]
fn a_window_without_room_and_back() {
    let folders = Folders::new();
    let mut run = begun(&folders);
    for cells in [(1, 1), (80, 1), (1, 24), (3, 3), (200, 2)] {
        run.resize(cells);
        run.watch(Duration::from_millis(150));
        run.press("m");
        run.watch(Duration::from_millis(150));
    }
    run.resize((80, 24));
    run.sees("left");
    run.sees("recorded");
    run.signal(Signal::TERM);
    run.ends_well();
    let record = records::only(&folders);
    let marks = record
        .facts()
        .filter(|fact| fact.what == What::Did(Act::Mark));
    assert_eq!(marks.count(), 5);
}

/// More than a program reads and writes to end in good order; one that asks a dead terminal again
/// and again does so in a few milliseconds.
const CALLS_TO_END: u64 = 1_000;

/// The terminal dies: the program ends without asking it again and again, and what happened is kept.
#[test]
fn a_dead_terminal_ends_the_program_and_does_not_keep_the_processor() {
    let folders = Folders::new();
    let mut run = begun(&folders);
    run.press("m");
    run.sees("marked");
    let calls = run.calls().expect("the program is there");
    run.close_terminal();
    is_in(&run, 'Z');
    let since = run.calls().expect("its figures outlive it") - calls;
    assert!(since > 0 && since <= CALLS_TO_END, "{since} calls");
    let record = records::only(&folders);
    assert!(!record.is_ended() && record.torn.is_none());
    assert!(record.facts().any(|fact| fact.what == What::Did(Act::Mark)));
}
