//! Whatever a hand may press, and how long a key takes.

use super::super::press::press as press_key;
use super::{CLASS, plan, press};
use crate::app::keys::Key;

/// Keys that a hand may fall on, wherever it is.
const ANY: [&str; 52] = [
    "up",
    "down",
    "down",
    "down",
    "left",
    "right",
    "right",
    "enter",
    "enter",
    "esc",
    "tab",
    "home",
    "end",
    "pageup",
    "pagedown",
    "backspace",
    "delete",
    "space",
    "f1",
    "f5",
    "ctrl-x",
    "a",
    "b",
    "c",
    "d",
    "e",
    "f",
    "g",
    "h",
    "i",
    "k",
    "l",
    "m",
    "n",
    "o",
    "p",
    "q",
    "r",
    "s",
    "t",
    "u",
    "v",
    "w",
    "x",
    "0",
    "4",
    "5",
    ",",
    ".",
    ":",
    "-",
    "|",
];

/// Whatever is pressed, in whatever order, at any size: the page is drawn, the mark stands on a line,
/// and undo goes back to the bytes of the file.
#[test]
fn whatever_is_pressed_the_page_is_drawn_and_undo_goes_back_to_the_file() {
    use ratatui::buffer::Buffer;
    use ratatui::layout::Rect;

    use crate::app::shell::Painted as _;

    let broken = CLASS
        .replace("recovery: 60,", "recovery: 60")
        .replace("rest: 20),", "rest: 20)");
    let texts = [
        CLASS,
        include_str!("../../../../sessions/demo.ron"),
        include_str!("../../../../tests/good/every-part.ron"),
        &broken,
        "",
    ];
    for (seed, text) in (0..).zip(texts.into_iter().cycle().take(10)) {
        let mut rng = fastrand::Rng::with_seed(seed);
        let mut plan = plan(text);
        let mut pressed = Vec::new();
        for n in 0..60 {
            let key = ANY[rng.usize(..ANY.len())];
            pressed.push(key);
            press_key(&mut plan, Key::named(key).expect(key));
            assert!(plan.chosen < plan.lines.len().max(1), "{seed}: {pressed:?}");
            if n % 8 == 0 {
                let area = Rect::new(0, 0, rng.u16(1..220), rng.u16(1..60));
                let mut buf = Buffer::empty(area);
                let page = super::super::drawn::drawn(&plan, "tide.ron");
                page.paint(area, &mut buf, &crate::screen::Theme::default());
            }
        }
        while plan.manuscript.undo().is_some() {}
        assert_eq!(plan.manuscript.text(), text, "{seed}: {pressed:?}");
    }
}

/// How long a key takes in a class of an hour, from the press to the drawn page, in the median:
///
///     cargo test --locked --lib how_long_a_key -- --ignored --nocapture
#[test]
#[ignore = "for the clock"]
#[expect(clippy::disallowed_methods, reason = "it is there to measure")]
fn how_long_a_key_takes() {
    use ratatui::buffer::Buffer;
    use ratatui::layout::Rect;

    use crate::app::shell::Painted as _;

    let block = |title: &str| {
        format!(
            "Block(title: \"{title}\", moves: [\"squat\", \"plank\", \"reverse-lunge\", \"bridge\", \"push-up\"], pattern: Same(rounds: 3, work: 40, rest: 20), recovery: 60), "
        )
    };
    let blocks: String = ["One", "Two", "Three"].into_iter().map(block).collect();
    let text = format!(
        "Session(title: \"Hour\", slot: \"60:00\", limits: [Wrist, Knee], parts: [WarmUp([(\"march\", \"2:00\"), (\"arm-circle\", \"2:00\")]), {blocks}CoolDown([(\"child-pose\", \"3:00\"), (\"hip-stretch\", \"3:00\")])])"
    );
    let mut plan = plan(&text);
    let total = crate::plan::Timeline::of(plan.session().expect("a class")).total();
    let area = Rect::new(0, 0, 120, 35);
    let mut buf = Buffer::empty(area);
    let mut times = Vec::new();
    for n in 0..200_usize {
        plan.chosen = 5 + n % 15;
        let from = std::time::Instant::now();
        press(&mut plan, if n % 2 == 0 { "right" } else { "left" });
        let page = super::super::drawn::drawn(&plan, "hour.ron");
        page.paint(area, &mut buf, &crate::screen::Theme::default());
        times.push(from.elapsed());
    }
    times.sort();
    println!(
        "{total}: median {:?}, 95 of 100 {:?}",
        times[100], times[190]
    );
}
