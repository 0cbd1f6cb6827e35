//! Press patterns against what they must do, for every nature of key and on every page.
//!
//! Delays and rates of held keys are from memory: a bare console 250 ms and 92 ms, desktops 500 and
//! 33 or 660 and 40, the slowest settings 1000 and 110. That hands stamp no faster than seven times
//! a second is common practice, no source.

use super::super::keys::{Action, Keys, Preset};
use super::super::{after, chooser, comeback, opening, stage};
use super::*;

fn key(name: &str) -> Key {
    Key::named(name).expect(name)
}

/// Strokes of one or more keys, each with its millisecond, and those that were meant.
fn meant(
    strokes: &[(Stroke, u64)],
    nature: impl Fn(Stroke) -> Nature,
    hands: &mut Hands,
) -> Vec<Key> {
    let mut taken = Vec::new();
    for (stroke, at) in strokes {
        let at = Moment::from_millis(*at);
        while let Some(due) = hands.due().filter(|due| *due <= at) {
            taken.extend(hands.settled(due, None));
        }
        taken.extend(hands.settled(at, Some(stroke.key)));
        if hands.judge(*stroke, nature(*stroke), at) == Meant::Press {
            taken.push(*stroke);
        }
    }
    while let Some(due) = hands.due() {
        taken.extend(hands.settled(due, None));
    }
    taken.into_iter().map(|stroke| stroke.key).collect()
}

fn downs(name: &str, times: &[u64]) -> Vec<(Stroke, u64)> {
    let stroke = |at: &u64| (Stroke::of(key(name)), *at);
    times.iter().map(stroke).collect()
}

fn held(delay: u64, every: u64, until: u64) -> Vec<u64> {
    let repeats = (0..).map(|n| delay + n * every);
    std::iter::once(0)
        .chain(repeats.take_while(|at| *at <= until))
        .collect()
}

const NATURES: [Nature; 4] = [Nature::Flow, Nature::Step, Nature::Turn, Nature::Begin];
const KEYBOARDS: [(u64, u64); 4] = [(250, 92), (500, 33), (660, 40), (1000, 110)];

/// A pattern, its presses, and how many of them count for a key of each nature.
fn patterns() -> Vec<(&'static str, Vec<u64>, [usize; 4])> {
    let stamped = |every: u64| (0..8).map(|n| n * every).collect();
    vec![
        ("a tap", vec![0], [1, 1, 1, 1]),
        ("a double tap", vec![0, 180], [2, 2, 1, 1]),
        ("two taps a second apart", vec![0, 1000], [2, 2, 2, 1]),
        ("two taps two seconds apart", vec![0, 2000], [2, 2, 2, 2]),
        ("stamped quickly", stamped(170), [8, 8, 2, 2]),
        ("stamped twice a second", stamped(530), [8, 8, 4, 3]),
        ("stamped slowly", stamped(1_300), [8, 8, 8, 8]),
        ("a switch that chatters", vec![0, 4, 11, 30], [4, 1, 1, 1]),
        ("a worn switch", vec![0, 80, 2_000, 2_080], [4, 2, 2, 2]),
        (
            "a worn switch, soon again",
            vec![0, 6, 12, 800, 806, 812],
            [6, 2, 2, 1],
        ),
        ("held 0.5 s on a console", held(250, 92, 500), [4, 1, 1, 1]),
        ("held 0.65 s", held(500, 33, 650), [6, 1, 1, 1]),
        ("held 2 s", held(500, 33, 2_000), [47, 1, 1, 1]),
        (
            "held 0.5 s on a desktop, one repeat",
            held(500, 33, 510),
            [2, 2, 1, 1],
        ),
        ("held 0.7 s, one repeat", held(660, 40, 690), [2, 2, 1, 1]),
    ]
}

#[test]
fn each_pattern_does_what_the_nature_of_the_key_says() {
    for (what, times, counts) in patterns() {
        for (nature, count) in NATURES.into_iter().zip(counts) {
            let strokes = downs("x", &times);
            let taken = meant(&strokes, |_| nature, &mut Hands::default());
            assert_eq!(taken.len(), count, "{what}: {nature:?} at {times:?}");
        }
    }
}

/// However long a key is held, however the keyboard repeats it: once, and once more for what is
/// pressed when it was let go.
#[test]
fn a_held_key_counts_once_and_is_heard_again_when_it_was_let_go() {
    for (delay, every) in KEYBOARDS {
        for until in [delay + 3 * every, 2_000, 10_000] {
            for nature in [Nature::Step, Nature::Turn, Nature::Begin] {
                let mut times = held(delay, every, until);
                let once = meant(&downs("x", &times), |_| nature, &mut Hands::default());
                assert_eq!(once.len(), 1, "{delay} {every} {until} {nature:?}");
                times.push(until.max(1_100) + 400);
                let twice = meant(&downs("x", &times), |_| nature, &mut Hands::default());
                assert_eq!(twice.len(), 2, "{delay} {every} {until} {nature:?}");
            }
        }
    }
}

/// The keys of every page that could do harm, with the page's own judgement of them.
fn pages() -> Vec<(&'static str, &'static str, Nature)> {
    let table = Keys::of(Preset::TwoSwitch, &[]);
    let on = |page: &'static str, name: &'static str, of: &dyn Fn(Stroke) -> Nature| {
        (page, name, of(Stroke::of(key(name))))
    };
    let class = |stroke: Stroke| stage::nature(table.action(stroke.key).expect("an action"));
    let before = |stroke: Stroke| opening::nature(stroke, false);
    let typing = |stroke: Stroke| opening::nature(stroke, true);
    let mut rows = Vec::new();
    rows.extend(["enter", "esc"].map(|key| on("the list", key, &chooser::nature)));
    let begins = [
        "enter", "space", "f5", "pagedown", "esc", "q", "a", "t", "tab",
    ];
    rows.extend(begins.map(|key| on("before class", key, &before)));
    rows.extend(["enter", "esc", "tab"].map(|key| on("typing the hour", key, &typing)));
    rows.extend(
        ["enter", "space", "esc", "q"].map(|key| on("coming back", key, &comeback::nature)),
    );
    let acts = [
        "space", "left", "right", "pagedown", "s", "b", "d", "o", "u", "l", "q", "n", "v",
    ];
    rows.extend(acts.map(|key| on("class", key, &class)));
    rows.extend(["enter", "esc"].map(|key| on("after class", key, &after::nature)));
    rows
}

/// A thumb or a foot that stays for half a second or two does on every page what a tap does; stamping
/// and a chattering switch do no more than a few deliberate presses.
#[test]
fn on_every_page_a_key_that_stays_down_does_what_a_tap_does() {
    for (page, name, nature) in pages() {
        for (delay, every) in KEYBOARDS {
            for until in [500, 560, 600, 2_000] {
                let times = held(delay, every, until);
                let taken = meant(&downs(name, &times), |_| nature, &mut Hands::default());
                assert_eq!(taken.len(), 1, "{page}, {name} held {until}: {times:?}");
            }
        }
        for chatter in [&[0, 5][..], &[0, 3, 9, 21], &[0, 90], &[0, 30, 60, 90, 120]] {
            let taken = meant(&downs(name, chatter), |_| nature, &mut Hands::default());
            assert_eq!(taken.len(), 1, "{page}, {name}: {chatter:?}");
        }
    }
}

/// What is typed or moved by holding a key goes on as long as it is held.
#[test]
fn what_is_typed_repeats() {
    let times = held(500, 33, 2_000);
    let typing = |stroke: Stroke| opening::nature(stroke, true);
    let before = |stroke: Stroke| opening::nature(stroke, false);
    let rows: [(&str, &dyn Fn(Stroke) -> Nature); 6] = [
        ("down", &chooser::nature),
        ("backspace", &chooser::nature),
        ("x", &chooser::nature),
        ("up", &before),
        ("backspace", &typing),
        ("x", &after::nature),
    ];
    for (name, nature) in rows {
        let taken = meant(&downs(name, &times), nature, &mut Hands::default());
        assert_eq!(taken.len(), times.len(), "{name}");
    }
    assert_eq!(stage::nature(Action::Louder), Nature::Flow);
}

/// A key that opened a page is still down when the page is there; the page that begins or records
/// something does not hear it until it was let go.
#[test]
fn a_key_held_over_from_the_page_before_begins_nothing() {
    for (delay, every) in KEYBOARDS {
        for until in [300, 600, 1_050, 3_000] {
            let mut hands = Hands::default();
            let times = held(delay, every, until);
            let first = meant(&downs("enter", &times[..1]), chooser::nature, &mut hands);
            assert_eq!(first.len(), 1);
            let before = |stroke: Stroke| opening::nature(stroke, false);
            let rest = meant(&downs("enter", &times[1..]), before, &mut hands);
            assert!(rest.is_empty(), "{delay} {every} {until}");
            let later = until.max(1_100) + 300;
            let begun = meant(&downs("enter", &[later]), before, &mut hands);
            assert_eq!(begun.len(), 1, "{delay} {every} {until}");
        }
    }
}

/// The program was started with Enter.
#[test]
fn the_enter_that_started_the_program_begins_no_class() {
    let before = |stroke: Stroke| opening::nature(stroke, false);
    for (delay, every) in KEYBOARDS {
        let mut hands = Hands::at_the_start(Moment::ZERO);
        let times = &held(delay, every, 2_500)[1..];
        assert!(meant(&downs("enter", times), before, &mut hands).is_empty());
    }
    let mut hands = Hands::at_the_start(Moment::ZERO);
    assert_eq!(meant(&downs("space", &[40]), before, &mut hands).len(), 1);
}

/// Two pedals pressed together, in turn, and one held while the other is tapped.
#[test]
fn two_pedals_do_not_stand_in_each_others_way() {
    let both = |rows: &[(&str, u64)]| -> Vec<String> {
        let strokes: Vec<_> = rows
            .iter()
            .map(|(name, at)| (Stroke::of(key(name)), *at))
            .collect();
        let taken = meant(&strokes, |_| Nature::Turn, &mut Hands::default());
        taken.into_iter().map(Key::name).collect()
    };
    for (rows, expected) in [
        (&[("left", 0), ("right", 5)][..], &["left", "right"][..]),
        (
            &[("left", 0), ("right", 5), ("left", 11), ("right", 14)],
            &["left", "right"],
        ),
        (
            &[("left", 0), ("right", 300), ("left", 600), ("right", 900)],
            &["left", "right", "left", "right"],
        ),
        (
            &[
                ("left", 0),
                ("left", 500),
                ("left", 533),
                ("right", 560),
                ("right", 1_060),
            ],
            &["left", "right"],
        ),
        (
            &[("left", 0), ("left", 900), ("right", 950)],
            &["left", "left", "right"],
        ),
    ] {
        assert_eq!(both(rows), expected, "{rows:?}");
    }
}

/// A terminal that tells holding and letting go: nothing waits, nothing is guessed, and only the
/// chatter of a switch is left out.
#[test]
fn where_the_terminal_tells_holding_it_is_believed() {
    use Motion::{Down, Held, Up};

    let strokes = |rows: &[(Motion, u64)]| -> Vec<(Stroke, u64)> {
        let stroke = |motion| Stroke {
            motion,
            ..Stroke::of(key("space"))
        };
        rows.iter().map(|(m, at)| (stroke(*m), *at)).collect()
    };
    for (rows, count) in [
        (&[(Down, 0), (Up, 90), (Down, 300), (Up, 380)][..], 2),
        (
            &[(Down, 0), (Held, 500), (Held, 533), (Up, 540), (Down, 700)],
            2,
        ),
        (&[(Down, 0), (Held, 1_000), (Up, 1_001)], 1),
        (&[(Down, 0), (Up, 6), (Down, 12), (Up, 400)], 1),
        (&[(Held, 0), (Held, 30), (Up, 60)], 0),
    ] {
        for nature in [Nature::Step, Nature::Turn, Nature::Begin] {
            let taken = meant(&strokes(rows), |_| nature, &mut Hands::default());
            assert_eq!(taken.len(), count, "{rows:?} {nature:?}");
        }
    }
    let typed = strokes(&[(Down, 0), (Held, 500), (Held, 533), (Up, 540)]);
    assert_eq!(
        meant(&typed, |_| Nature::Flow, &mut Hands::default()).len(),
        3
    );
}
