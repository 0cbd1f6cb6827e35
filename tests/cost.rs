//! What a running class costs, counted and not timed: how much of the screen a second changes.
//!
//! The bounds are this project's own. What a second may change is the figures, which take most of
//! it, the rail of the prompt, the line of the interval, the mark in the ribbon and the time left.

#[path = "support/stage.rs"]
mod stage;

use matside::live::{Digits, Input, Live, PromptView, View};
use matside::screen::below_figures;
use matside::time::{Moment, Offset, Span};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use stage::{class, frame, running};

const SCREENS: [(u16, u16); 2] = [(80, 24), (200, 50)];
/// Cells below the figures: at most about a line of words that moves by a letter.
const BELOW: usize = 64;
/// Seconds, of a hundred, in which more may change: words too long for their zone come phrase by
/// phrase, and free time is counted down in large figures.
const TURNING: u64 = 17;

/// A class of 21 minutes, with each kind of stance and prompt but the briefing's.
fn begun() -> Live {
    running(class(40), Offset::ZERO)
}

fn seen(live: &mut Live, now: Moment, size: (u16, u16)) -> (View, Buffer) {
    live.handle(now, &Input::Wake);
    (live.view(now), frame(live, now, size))
}

/// Whether the same things are shown, only at another time.
fn alike(a: &View, b: &View) -> bool {
    let words = |say: &Option<PromptView>| say.as_ref().map(|prompt| prompt.say.clone());
    let shown = |view: &View| {
        let counted_in = matches!(view.digits, Digits::CountIn(_));
        let counted = (view.count.is_some(), counted_in);
        let words = [words(&view.say), words(&view.say_next)];
        (
            view.stance,
            view.kind,
            view.place,
            view.round,
            counted,
            words,
        )
    };
    shown(a) == shown(b)
}

#[test]
fn a_second_changes_little_of_the_screen() {
    for size in SCREENS {
        let mut live = begun();
        let seconds = live.plan().total().secs_floor();
        let cells = usize::from(size.0) * usize::from(size.1);
        let floor = below_figures(Rect::new(0, 0, size.0, size.1)).y;
        let mut last = seen(&mut live, Moment::ZERO, size);
        let (mut calm, mut sum, mut turning) = (0, 0, 0);
        for second in 1..seconds {
            let now = seen(&mut live, Moment::from_millis(second * 1000), size);
            let changed = last.1.diff(&now.1);
            assert!(!changed.is_empty(), "the figures change, at {second} s");
            sum += changed.len();
            if alike(&last.0, &now.0) {
                let below = changed.iter().filter(|(_, y, _)| *y >= floor).count();
                turning += u64::from(below > BELOW * cells / (80 * 24));
                assert!(
                    changed.len() * 6 <= cells,
                    "{} at {second} s, {size:?}",
                    changed.len()
                );
                calm += 1;
            }
            last = now;
        }
        assert!(
            turning * 100 <= calm * TURNING,
            "{turning} of {calm} s, {size:?}"
        );
        assert!(calm * 3 > seconds * 2, "{calm} of {seconds} s are calm");
        assert!(
            sum * 12 <= cells * usize::try_from(seconds).unwrap(),
            "in the mean"
        );
    }
}

/// The class asks to be woken for whatever can be seen: up to the next wake nothing moves.
#[test]
fn between_two_wakes_the_screen_stays_as_it_is() {
    let mut live = begun();
    let (mut now, mut wakes) = (Moment::ZERO, 0);
    while let Some(wake) = live.next_wakeup(now) {
        let first = seen(&mut live, now, SCREENS[0]);
        let last = seen(&mut live, wake.at.before(Span::from_millis(1)), SCREENS[0]);
        assert_eq!(first.0, last.0, "at {} ms", now.millis());
        assert!(first.1.diff(&last.1).is_empty(), "at {} ms", now.millis());
        now = wake.at;
        live.handle(now, &Input::Wake);
        wakes += 1;
    }
    assert!(wakes > 1_000);
}

/// Prints what the page of measurements holds: cells and share of the screen that a second changes,
/// and how much of it is blank at work and in a rest.
#[test]
#[ignore = "a table for people, no check"]
fn table_of_cells() {
    for size in [(80, 24), (120, 35), (160, 45), (200, 50), (300, 80)] {
        let mut live = begun();
        let cells = usize::from(size.0) * usize::from(size.1);
        let mut last = seen(&mut live, Moment::ZERO, size);
        let (mut sum, mut blank, mut seconds) = (0, [0, 0], [0, 0]);
        for second in 1..600 {
            let now = seen(&mut live, Moment::from_millis(second * 1000), size);
            sum += last.1.diff(&now.1).len();
            let kind = match now.0.kind {
                matside::plan::Kind::Work => Some(0),
                matside::plan::Kind::Rest => Some(1),
                _ => None,
            };
            if let Some(kind) = kind {
                let empty = now
                    .1
                    .content
                    .iter()
                    .filter(|c| c.symbol().trim().is_empty());
                blank[kind] += empty.count();
                seconds[kind] += 1;
            }
            last = now;
        }
        let share = |n: usize| 100 * blank[n] / (cells * seconds[n]).max(1);
        let (work, rest) = (share(0), share(1));
        println!(
            "{size:?}: {} cells a second, blank {work} % work, {rest} % rest",
            sum / 600
        );
    }
}
