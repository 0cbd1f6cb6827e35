//! Every key of the help page, twice in a row, at every kind of interval, in a hold and in a count-in.
//!
//! What a key did is read from the record: after it was taken back, what lies ahead is what it was.

use std::sync::Arc;
use std::thread;

use matside::live::{Act, Live, What};
use matside::plan::{Interval, Kind};
use matside::record::Recovered;
use matside::time::{Moment, Span};

use crate::folders::Folders;
use crate::records;
use crate::run::{Run, Start};

/// The keys of the help page with the beginning of what it says about them.
const KEYS: [(&str, &str); 31] = [
    ("space", "stop the class clock"),
    ("right", "end this interval now"),
    ("enter", "end this interval now"),
    ("left", "this interval from its"),
    ("+", "ten seconds more"),
    ("=", "ten seconds more"),
    ("-", "ten seconds less"),
    ("b", "hold, with a reminder"),
    ("l", "show what would end"),
    ("c", "after a sleep"),
    ("s", "leave this move out"),
    ("e", "put the next easier"),
    ("h", "put the next harder"),
    ("o", "this move again"),
    ("d", "leave out the rest"),
    ("p", "go to another part"),
    ("u", "take the last change back"),
    ("m", "note this moment"),
    ("q", "end the class; asked twice"),
    ("ctrl-c", "end the class; asked twice"),
    ("?", "show or hide the keys"),
    ("f1", "show or hide the keys"),
    ("n", "hide or show what to say"),
    ("v", "signals off or on"),
    ("up", "signals louder"),
    ("down", "signals softer"),
    ("i", "the next version for"),
    ("w", "what someone in the room"),
    ("x", "another move in place"),
    ("k", "hold, with an easy move"),
    ("a", "the signs to stop at"),
];

/// Pages over the class, by a word that only they show, and the key that closes them: their own, or
/// one that does not write there.
const PAGES: [(&str, &str, &str); 7] = [
    ("l", "leave it", "l"),
    ("p", "go there", "p"),
    ("?", "every key", "?"),
    ("f1", "every key", "f1"),
    ("a", "esc close", "a"),
    ("w", "set, or take back", "esc"),
    ("x", "do this move", "esc"),
];

const ASKED: &str = "The same key again ends it.";
const WIDE: (u16, u16) = (160, 45);

/// A block with a rest and a recovery, everything so long that nothing ends by itself.
const LONG: &str = r#"Block(title: "Long", moves: ["squat", "push-up", "lunge"],
    pattern: Same(rounds: 3, work: 400, rest: 300), recovery: 200),
    Recover(time: 300), CoolDown([("child-pose", 300)])"#;

/// A kind of interval: what it is called, and the parts before [`LONG`] that lead to it.
const KINDS: [(&str, &str); 8] = [
    ("talk", r#"Talk(time: 300, say: "Welcome."),"#),
    (
        "warm-up",
        r#"WarmUp([("march", 300), ("arm-circle", 300)]),"#,
    ),
    ("get ready", "Ready(time: 300),"),
    ("work", ""),
    (
        "rest",
        r#"Block(moves: [Use(move: "squat", work: 2), "push-up"],
            pattern: Same(rounds: 2, work: 400, rest: 300)),"#,
    ),
    (
        "recovery",
        r#"Block(moves: ["squat"], pattern: Rounds(work: [2, 400], rest: [1]), recovery: 300),"#,
    ),
    (
        "work",
        r#"Block(moves: [Use(move: "squat", reps: 12), Use(move: "push-up", reps: 8)],
            pattern: Reps(rounds: 2, rest: 200)),"#,
    ),
    (
        "cool-down",
        r#"CoolDown([("child-pose", 300), ("march", 200)]),"#,
    ),
];

/// How the class stands while the keys are pressed.
#[derive(Clone, Copy, PartialEq)]
enum Stand {
    Running,
    Held,
    CountIn,
}

#[test]
fn every_key_twice_at_every_kind_of_interval_is_undone_or_asked() {
    let running = KINDS.map(|kind| (kind, Stand::Running));
    let others = [(KINDS[3], Stand::Held), (KINDS[3], Stand::CountIn)];
    thread::scope(|scope| {
        for (kind, stand) in running.into_iter().chain(others) {
            scope.spawn(move || press_all(kind, stand));
        }
    });
}

fn press_all((label, before): (&str, &str), stand: Stand) {
    let folders = Folders::new();
    let path = folders.counted_in("Long", 10, &format!("{before}{LONG}"));
    let start = Start::new(&folders, &["teach", "--mute", "--slot", "30:00"]);
    let mut run = start.file(&path).cells(WIDE).run();
    run.sees("room until");
    run.press("enter");
    run.sees("recorded");
    for (key, _) in KEYS {
        stand_as(&mut run, label, stand);
        twice(&mut run, key);
        take_back(&mut run);
    }
    for (key, then) in [("l", "enter"), ("p", "down")] {
        stand_as(&mut run, label, stand);
        run.press(key);
        run.sees(page_of(key).expect("a page").0);
        run.press(then);
        if then != "enter" {
            run.press("enter");
        }
        take_back(&mut run);
    }
    end(&mut run);
    let record = records::only(&folders);
    assert!(record.is_ended(), "{label}");
    check(label, &record);
}

/// A word that only the page of a key shows, and the key that closes it.
fn page_of(key: &str) -> Option<(&'static str, &'static str)> {
    let page = PAGES.iter().find(|page| page.0 == key);
    page.map(|(_, words, closes)| (*words, *closes))
}

/// Sees the class in its interval, and has it held or in its count-in of ten seconds.
fn stand_as(run: &mut Run, label: &str, stand: Stand) {
    run.until(label, |screen| {
        screen.contents().trim_start().starts_with(label)
    });
    let is_held = |run: &Run| run.text().contains("goes on with");
    if stand != Stand::Running && !is_held(run) {
        run.press("space");
        run.is_held();
    }
    if stand == Stand::CountIn {
        run.press("space");
        run.sees_no_more("goes on with");
    }
}

/// The same key twice, no sooner than a hand would; a page opens and closes, an end is asked for.
fn twice(run: &mut Run, key: &str) {
    run.press(key);
    if let Some((words, closes)) = page_of(key) {
        run.sees(words);
        run.press(closes);
        run.sees_no_more(words);
    } else if matches!(key, "q" | "ctrl-c") {
        run.sees(ASKED);
        run.press("m");
        run.sees_no_more(ASKED);
    } else {
        run.press(key);
    }
}

/// Takes two changes back, and sees that the program still answers. A mark between two keys that
/// are alike keeps them from counting as one, however late the program reads them.
fn take_back(run: &mut Run) {
    for key in ["u", "m", "u", "m"] {
        run.press(key);
    }
    run.press("?");
    run.sees("every key");
    run.press("?");
    run.sees_no_more("every key");
}

fn end(run: &mut Run) {
    run.press("q");
    run.sees(ASKED);
    run.press("q");
    run.sees("class time");
    run.press("esc");
    run.ends_well();
}

/// Replays the record: whatever a key changed, taking it back gives what lay ahead before, and
/// everything was taken back.
fn check(label: &str, record: &Recovered) {
    let mut live = Live::new(Arc::new(record.header.session.clone()));
    let mut changes: Vec<(&Act, Ahead)> = Vec::new();
    let mut taken_back = 0;
    for fact in record.facts() {
        let before = Ahead::of(&live, fact.at);
        live.redo(fact);
        while live.poll_output().is_some() {}
        match &fact.what {
            What::Undid(_) => {
                let (act, before) = changes.pop().expect("something to take back");
                let after = Ahead::of(&live, fact.at);
                after.assert_same(&before, &format!("{label}: {act:?}"));
                taken_back += 1;
            }
            What::Did(act) if is_change(act) => changes.push((act, before)),
            _ => {}
        }
    }
    let left: Vec<&Act> = changes.iter().map(|(act, _)| *act).collect();
    assert!(left.is_empty(), "{label}: not taken back: {left:?}");
    // Going on (two keys) 4, back 1, skip 2, options 4, parts 1, landing 1; the rest by kind.
    assert!(taken_back >= 13, "{label}: {taken_back} changes");
}

const fn is_change(act: &Act) -> bool {
    !matches!(
        act,
        Act::Begin | Act::Hold(_) | Act::Resume | Act::Mark | Act::Limits(_) | Act::End
    )
}

/// What lies ahead of a class at a moment.
#[derive(Debug)]
struct Ahead {
    at: Moment,
    running: Option<u32>,
    coming: Vec<std::sync::Arc<Interval>>,
    left: Span,
}

impl Ahead {
    fn of(live: &Live, at: Moment) -> Self {
        let from_here = live.plan().intervals().iter().skip(live.running());
        Self {
            at,
            running: from_here.clone().next().map(|interval| interval.id),
            coming: from_here
                .skip(1)
                .map(|next| next.interval().clone())
                .collect(),
            left: live.left(at),
        }
    }

    fn lengths(&self) -> Vec<(u32, Kind, Span)> {
        let coming = self.coming.iter();
        let each = coming.map(|next| (next.id, next.kind, next.length));
        each.collect()
    }

    /// The same, but for the time that went by.
    fn assert_same(&self, before: &Self, what: &str) {
        assert_eq!(self.running, before.running, "{what}");
        assert_eq!(self.lengths(), before.lengths(), "{what}");
        assert!(self.coming == before.coming, "{what}: other work");
        let gone = self.at.since(before.at);
        assert!(
            self.left <= before.left && before.left.saturating_sub(self.left) <= gone,
            "{what}: {} left before, {} after {gone}",
            before.left,
            self.left
        );
    }
}

#[test]
fn the_help_page_names_every_key() {
    let folders = Folders::new();
    let path = folders.session("Long", LONG);
    let start = Start::new(&folders, &["rehearse"]).file(&path);
    let mut run = start.cells((220, 66)).run();
    run.sees("left");
    run.press("?");
    run.sees("every key");
    for (_, words) in KEYS {
        run.sees(words);
    }
}
