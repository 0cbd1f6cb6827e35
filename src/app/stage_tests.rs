//! Keys of a running class on the stage itself, without a terminal.

use std::sync::Arc;

use super::super::keys::{Key, Preset};
use super::*;
use crate::session::{Library, Load, Session};

/// Ten minutes, at a pace at which nothing sounds.
fn begun() -> Stage {
    let class = r#"(title: "Tide", parts: [Talk(time: 600, say: "Welcome.")])"#;
    let session = Session::read("tide", class, &Library::builtin()).expect("a class");
    let clock = Clock::starting_at(Moment::from_millis(1_000_000), 2);
    let ears = Ears::open(
        clock,
        crate::sound::Settings::default(),
        "",
        &crate::app::speech_settings::Speech::default(),
    );
    let keys = Keys::of(Preset::Arrows, &[]);
    let live = Live::new(Arc::new(session));
    let mut stage = Stage::new(live, (clock, wall()), ears, keys, None);
    stage.live.handle(clock.now(), &Input::Act(Act::Begin));
    stage
}

fn stroke(name: &str) -> Stroke {
    Stroke::of(Key::named(name).expect("a key"))
}

/// The program was stopped while a key waited: nothing of the stop is class, whatever the key is.
#[test]
fn a_key_that_waited_through_a_stop_runs_no_class_through_it() {
    for key in [
        "m", "+", "?", "esc", "space", "x", "right", "v", "j", "home",
    ] {
        let mut stage = begun();
        stage.real = Clock::starting_at(Moment::from_millis(60_000), 1);
        stage.stood = Stood::begin(stage.real);
        stage.clock = Clock::starting_at(Moment::from_millis(1_012_000), 2);
        stage.stood.stop(stage.real, Span::from_secs(6));
        stage.hear(stroke(key));
        let at = stage.live.offset(stage.clock.now());
        assert!(at.span() < Span::from_secs(2), "{key}: {at}");
    }
}

/// At the question whether to end, a key that says no has done something, bound or not.
#[test]
fn a_key_that_answers_the_question_is_not_said_to_do_nothing() {
    let mut stage = begun();
    for key in ["esc", "z", "backspace", "home", "delete"] {
        assert!(!stage.hear(stroke(key)), "{key} does nothing in class");
        let now = stage.clock.now();
        stage.live.handle(now, &Input::End);
        assert!(stage.live.is_asking(stage.clock.now()), "{key}");
        assert!(stage.hear(stroke(key)), "{key} says no");
        assert!(!stage.live.is_asking(stage.clock.now()), "{key}");
        assert!(!stage.live.is_over());
    }
}

/// The disk has a second to begin the record; after that it is said, and unsaid when it is there.
#[test]
fn a_disk_that_leaves_the_record_waiting_is_told_after_a_second() {
    let (let_go, held) = std::sync::mpsc::channel::<()>();
    let mut stage = begun();
    stage.recorder = Some(Recorder::beginning::<crate::store::RecordFile>(move || {
        let _ = held.recv();
        Err(crate::store::StoreFault::Special {
            name: "tide".into(),
        })
    }));
    stage.carry_out();
    let begun = stage.clock.now();
    let off = RecordState::Off("the disk does not answer yet".into());
    for (millis, late) in [
        (0, false),
        (500, false),
        (900, false),
        (1_000, true),
        (60_000, true),
    ] {
        let now = begun + Span::from_millis(millis);
        stage.clock = Clock::starting_at(now, 1);
        stage.tell_where(now);
        let expected = if late {
            off.clone()
        } else {
            RecordState::Beginning
        };
        assert_eq!(stage.record_state(), expected, "{millis}");
    }
    drop(let_go);
    let recorder = stage.recorder.take().expect("a recorder");
    let why = recorder.finish(Duration::from_secs(60)).unwrap_err();
    stage.recorder = Some(Recorder::none(why.clone()));
    assert_eq!(stage.record_state(), RecordState::Off(why.why.to_string()));
}

/// Two letters set two limits, whatever else they mean in class; a third takes one back.
#[test]
fn letters_one_after_the_other_set_limits_and_do_nothing_else() {
    let mut stage = begun();
    let before = stage.live.plan().clone();
    for key in ["w", "s", "k", "d", "l", "d"] {
        stage.hear(stroke(key));
        assert!(matches!(stage.overlay, Overlay::Limits(_)), "{key}");
    }
    assert_eq!(
        stage.live.limits(),
        [Load::Shoulder, Load::Knee, Load::LowBack]
    );
    assert_eq!(
        *stage.live.plan(),
        before,
        "nothing was skipped or left out"
    );
    assert!(!stage.live.is_held());
    stage.hear(stroke("esc"));
    assert_eq!(stage.overlay, Overlay::None);
}

/// A page that lies over the class must not hide the question, nor take the answer.
#[test]
fn whatever_page_is_open_the_question_whether_to_end_is_seen_and_answered() {
    for page in ["?", "w", "a", "p", "l", "x"] {
        let mut stage = begun();
        // At a faster pace nothing is asked.
        stage.clock = Clock::starting_at(stage.clock.now(), 1);
        stage.hear(stroke(page));
        assert!(stage.overlay != Overlay::None, "{page} opens a page");
        stage.hear(stroke("ctrl-c"));
        let now = stage.clock.now();
        assert!(stage.live.is_asking(now), "{page}");
        assert_eq!(stage.page_with(now, None).sheet, None, "{page}");
        stage.hear(stroke("esc"));
        assert!(!stage.live.is_asking(now), "{page}: no");
    }
}

/// What is told of a key that was pressed, is told on the page too that lies over the class.
#[test]
fn a_page_over_the_class_does_not_hide_what_is_told() {
    for page in ["?", "w", "a", "p", "l", "x"] {
        for (width, height) in [(40, 12), (80, 24), (200, 50)] {
            let mut stage = begun();
            stage.hear(stroke(page));
            let area = Rect::new(0, 0, width, height);
            let mut buf = Buffer::empty(area);
            let shown = stage.page_with(stage.clock.now(), Some("j does nothing here"));
            shown.paint(area, &mut buf, &Theme::default());
            let row: String = (0..width).map(|x| buf[(x, height - 1)].symbol()).collect();
            assert!(row.contains("j does nothing here"), "{page} {width}: {row}");
        }
    }
}
