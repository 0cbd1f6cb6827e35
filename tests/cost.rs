//! What a running class costs, counted and not timed: how much of the screen a second changes.
//!
//! The bounds are this project's own. What a second may change is the figures, which take most of
//! it, the rail of the prompt, the line of the interval, the mark in the ribbon and the time left.

#[path = "support/stage.rs"]
mod stage;

use matside::live::{Digits, Input, Live, PromptView, View};
use matside::screen::below_figures;
use matside::session::{Library, Session};
use matside::time::{Moment, Offset, Span};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use stage::{class, frame, running};

const SCREENS: [(u16, u16); 2] = [(80, 24), (200, 50)];
/// Cells below the figures: at most about a line of words that moves by a letter.
const BELOW: usize = 64;
/// Seconds, of a hundred, in which more may change: words too long for their zone come phrase by
/// phrase, free time is counted down in large figures, and the bare name of the next move comes and
/// goes once more in every rest in which its preview lies far back.
const TURNING: u64 = 20;

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

/// Cells without ink in a class as it runs, one second in three, of so many in a hundred: at work and
/// in a rest.
fn blank(live: &mut Live, size: (u16, u16), seconds: u64) -> [usize; 2] {
    let cells = usize::from(size.0) * usize::from(size.1);
    let (mut blank, mut seen_of) = ([0, 0], [0, 0]);
    for second in (1..seconds).step_by(3) {
        let (view, buf) = seen(live, Moment::from_millis(second * 1000), size);
        let kind = match view.kind {
            matside::plan::Kind::Work => 0,
            matside::plan::Kind::Rest => 1,
            _ => continue,
        };
        let all = buf.content.iter();
        blank[kind] += all.filter(|cell| cell.symbol().trim().is_empty()).count();
        seen_of[kind] += 1;
    }
    [0, 1].map(|kind| 100 * blank[kind] / (cells * seen_of[kind]).max(1))
}

/// Of so many cells in a hundred, how many may be blank.
const MOST_BLANK: usize = 60;

/// A window must not be wasted, in no class: the bound is this project's own.
#[test]
fn large_windows_are_used_at_work_and_in_rests() {
    let library = Library::builtin();
    let demo = include_str!("../sessions/demo.ron");
    let demo = Session::read("demo.ron", demo, &library).expect("a session");
    let mut wasted = Vec::new();
    for size in [(160, 45), (200, 50), (300, 80)] {
        for session in [class(40), demo.clone()] {
            let title = session.title.clone();
            let [work, rest] = blank(&mut running(session, Offset::ZERO), size, 500);
            println!("{size:?} {title}: blank {work} % at work, {rest} % in a rest");
            if work >= MOST_BLANK || rest >= MOST_BLANK {
                wasted.push(format!("{size:?} {title}: {work} % {rest} %"));
            }
            assert!(work > 0 && rest > 0, "both were seen: {title}");
        }
    }
    assert!(wasted.is_empty(), "{wasted:?}");
}

/// Prints what the page of measurements holds: cells and share of the screen that a second changes,
/// and how much of it is blank at work and in a rest.
#[test]
#[ignore = "a table for people, no check"]
fn table_of_cells() {
    for size in [(80, 24), (120, 35), (160, 45), (200, 50), (300, 80)] {
        let mut live = begun();
        let mut last = seen(&mut live, Moment::ZERO, size);
        let mut sum = 0;
        for second in 1..600 {
            let now = seen(&mut live, Moment::from_millis(second * 1000), size);
            sum += last.1.diff(&now.1).len();
            last = now;
        }
        let [work, rest] = blank(&mut begun(), size, 600);
        println!(
            "{size:?}: {} cells a second, blank {work} % work, {rest} % rest",
            sum / 600
        );
    }
}
