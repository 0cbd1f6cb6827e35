//! A program killed in the middle of a class, and the class taken up again.

use std::thread;
use std::time::Duration;

use chrono::TimeDelta;
use fastrand::Rng;
use matside::live::{Act, Ending, Fact, Input, Live, What};
use matside::record::{Recovered, Wall};
use matside::time::{Moment, Span};
use rustix::process::Signal;

use crate::folders::Folders;
use crate::records;
use crate::run::{Run, Start, wall};

/// Short intervals, so that a kill may fall anywhere about a boundary; a class that begins with
/// work would stand still for its count-in first.
const SHORT: &str = r#"WarmUp([("march", 2)]), Block(moves: ["squat", "lunge", "push-up"],
    pattern: Same(rounds: 20, work: 4, rest: 3), recovery: 5)"#;

/// How a class came back.
#[derive(Debug)]
pub(crate) struct Back {
    /// Milliseconds of class time between where it stopped and where it came back.
    pub(crate) lost: i64,
    /// Whether it came back in the interval in which it stopped.
    pub(crate) same_interval: bool,
    /// Whether every key whose effect was seen is in the record.
    pub(crate) kept: bool,
    #[expect(dead_code, reason = "told where a test fails")]
    told: String,
}

impl Back {
    pub(crate) fn is_good(&self) -> bool {
        (-50..=1_000).contains(&self.lost) && self.same_interval && self.kept
    }
}

/// Teaches, presses keys, kills the program at a random moment, takes the class up again, and
/// compares.
pub(crate) fn killed(random: &mut Rng) -> Back {
    let folders = Folders::new();
    let mut run = begun(&folders, SHORT);
    let seen = press_some(&mut run, random);
    run.watch(Duration::from_millis(random.u64(0..2_500)));
    let at = run.kill();
    let before = records::only(&folders);
    let mut again = Start::new(&folders, &["teach", "--mute", "--resume"]).run();
    again.is_held();
    again.signal(Signal::TERM);
    again.ends_well();
    compare(at, &before, &records::only(&folders), seen)
}

fn begun(folders: &Folders, parts: &str) -> Run {
    let path = folders.session("Killed", parts);
    let mut run = Start::new(folders, &["teach", "--mute"]).file(&path).run();
    run.sees("room until");
    run.press("enter");
    run.sees("recorded");
    run
}

/// Presses a few keys, each after the one before was answered. A mark twice is told by its time.
fn press_some(run: &mut Run, random: &mut Rng) -> usize {
    let (mut seen, mut last) = (0, "");
    for _ in 0..random.usize(0..6) {
        let keys = [
            ("m", "marked"),
            ("o", "once more"),
            ("+", "10 s more"),
            ("u", "taken back"),
        ];
        let fresh: Vec<_> = keys.into_iter().filter(|(key, _)| *key != last).collect();
        let (key, words) = fresh[random.usize(..fresh.len())];
        if key == "u" && !matches!(last, "o" | "+") {
            continue;
        }
        run.press(key);
        run.is_told(words);
        run.watch(Duration::from_millis(random.u64(0..600)));
        (seen, last) = (seen + 1, key);
    }
    seen + hold_or_not(run, random.u8(..6))
}

/// Now and then the class is held, or was and is counted in.
fn hold_or_not(run: &mut Run, how: u8) -> usize {
    if how > 1 {
        return 0;
    }
    run.press("space");
    run.is_held();
    if how > 0 {
        return 1;
    }
    run.press("space");
    run.runs();
    2
}

fn compare(at: Wall, before: &Recovered, after: &Recovered, seen: usize) -> Back {
    let mut stopped = records::replayed(before);
    let moment = moment(before, at);
    stopped.handle(moment, &Input::Wake);
    let back = records::replayed(after);
    let (was, is) = (stopped.offset(moment), back.offset(Moment::ZERO));
    let millis = |offset: matside::time::Offset| i64::try_from(offset.millis()).expect("hours");
    let pressed = |fact: &&Fact| match &fact.what {
        What::Did(act) => *act != Act::Begin,
        What::Undid(_) => true,
        _ => false,
    };
    let kept = before.facts().filter(pressed).count();
    Back {
        lost: millis(was) - millis(is),
        same_interval: stopped.running() == back.running(),
        kept: kept == seen && after.entries.starts_with(&before.entries),
        told: format!(
            "was at {was:?} in {}, is at {is:?} in {}",
            stopped.running(),
            back.running()
        ),
    }
}

/// The steady clock of the class at an hour, by the fact with which it began.
fn moment(record: &Recovered, hour: Wall) -> Moment {
    let (wall, fact) = record
        .facts_on_the_wall()
        .next()
        .expect("a class that began");
    let since = (hour - wall).max(TimeDelta::zero()).num_milliseconds();
    fact.at + Span::from_millis(u64::try_from(since).expect("not negative"))
}

#[test]
fn a_killed_class_comes_back_at_most_a_second_before_with_all_keys_pressed() {
    thread::scope(|scope| {
        for seed in 0..5 {
            scope.spawn(move || {
                let back = killed(&mut Rng::with_seed(seed));
                assert!(back.is_good(), "seed {seed}: {back:?}");
            });
        }
    });
}

/// Class time runs on with the clock on the wall while nothing runs.
#[test]
fn a_killed_class_goes_on_where_it_stopped_or_where_the_clock_says_or_is_closed() {
    thread::scope(|scope| {
        for answer in 0..3 {
            scope.spawn(move || answered(answer));
        }
    });
}

fn answered(answer: usize) {
    let folders = Folders::new();
    let mut run = begun(&folders, r#"Talk(time: 600, say: "Welcome.")"#);
    run.watch(Duration::from_millis(1_200));
    run.kill();
    let before = records::only(&folders);
    let mut next = Start::new(&folders, &["teach", "--mute"]).run();
    next.sees("This class was broken off.");
    for key in ["down", "tab"].into_iter().take(answer) {
        next.press(key);
    }
    next.watch(Duration::from_millis(1_500));
    let by_the_clock = || records::replayed(&before).offset(moment(&before, wall()));
    let pressed = by_the_clock();
    next.press("enter");
    match answer {
        0 => next.is_held(),
        1 => next.is_told("moved on by"),
        _ => next.sees("room until"),
    }
    let told = by_the_clock();
    next.signal(Signal::TERM);
    next.ends_well();
    let after = records::only(&folders);
    let live = records::replayed(&after);
    let last = after.facts().next_back().map(|fact| &fact.what);
    let offset = |live: &Live| live.offset(after.facts().next_back().expect("facts").at);
    match answer {
        0 => assert!(live.is_held(), "{last:?}"),
        1 => {
            // Somewhere between the key and the word on the screen, however busy the machine is.
            let at = offset(&live);
            let off = pressed.since(at) + at.since(told);
            assert!(
                !live.is_held() && off.secs() < 2.0,
                "{at:?} beside {pressed:?} and {told:?}"
            );
        }
        _ => assert_eq!(last, Some(&What::Ended(Ending::Broken))),
    }
}

/// Two programs never write one record, and a class that is being taught is not offered.
#[test]
fn a_class_that_runs_elsewhere_is_not_offered() {
    let folders = Folders::new();
    let mut first = begun(&folders, SHORT);
    let mut second = begun(&folders, SHORT);
    for run in [&mut first, &mut second] {
        run.press("m");
        run.is_told("marked");
        run.signal(Signal::TERM);
        run.ends_well();
    }
    let files = records::files(&folders.records(), "jsonl");
    assert_eq!(files.len(), 2, "{files:?}");
    for file in files {
        let record = records::of(&file);
        assert!(record.facts().any(|fact| fact.what == What::Did(Act::Mark)));
    }
}

#[test]
fn a_class_asked_to_be_left_for_later_is_offered_again() {
    let folders = Folders::new();
    begun(&folders, SHORT).kill();
    for _ in 0..2 {
        let mut next = Start::new(&folders, &["teach", "--mute"]).run();
        next.sees("This class was broken off.");
        next.press("esc");
        next.sees("room until");
        next.press("q");
        next.ends_well();
    }
    let mut fresh = Start::new(&folders, &["teach", "--mute", "--fresh"]).run();
    fresh.sees("room until");
}
