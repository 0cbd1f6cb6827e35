//! What each stance must say, at the sizes in use, large enough to be read from the mat.

use ratatui::buffer::Buffer;

use super::face::Cut;
use super::legible::{LEAST, PREFERRED, cell_mm, height_mm};
use super::sample;
use super::tests::{COMMON, contains, plainly, row, stamped, text};
use super::zones::Zones;
use crate::live::{Body, Digits, HeldView, HoldReason, SlotView, Stance, View};
use crate::plan::Kind;
use crate::time::Span;

/// Whether one of these texts stands on the screen at least as large as an angle at three metres
/// asks.
fn is_legible(buf: &Buffer, texts: &[&str], minutes: f64) -> bool {
    let cell = cell_mm(buf.area.height);
    let step = Zones::of(buf.area).expect("large enough").step;
    let cuts = Cut::within(2 * step, buf.area.height).into_iter();
    let mut large =
        cuts.filter(|cut| f64::from(cut.half_lines()) / 2.0 * cell >= height_mm(3.0, minutes));
    large.any(|cut| {
        let mut patterns = texts.iter().filter_map(|text| stamped(cut, text));
        patterns.any(|pattern| contains(buf, &pattern))
    })
}

/// While work still runs the screen must not be taken for a rest: what is still done, that the
/// name is the next one's, and what to do and fetch for it, each at least at the least angle.
#[test]
fn the_last_seconds_of_work_say_what_is_still_done_and_what_is_next() {
    for (width, height, _) in COMMON {
        let buf = plainly(width, height, &sample::turning());
        for texts in [
            &["still Squat"][..],
            &["next"],
            &["Plank tap"],
            &["↓ to the floor", "↓ floor · fetch band"],
            &["fetch band", "↓ floor · fetch band"],
        ] {
            assert!(
                is_legible(&buf, texts, LEAST),
                "{texts:?} {width}x{height}\n{}",
                text(&buf)
            );
        }
        let rest = plainly(width, height, &sample::rest());
        assert!(!is_legible(&rest, &["next", "still Squat"], LEAST));
    }
}

/// Before a long pause nobody is sent to the floor or to fetch anything.
#[test]
fn a_long_pause_before_the_next_move_has_the_first_place() {
    let recovery = View {
        say: None,
        ..sample::before_recovery()
    };
    let long_rest = View {
        between: Some((Kind::Rest, Span::from_secs(30))),
        ..recovery.clone()
    };
    for (width, height, _) in COMMON {
        for (view, name) in [
            (recovery.clone(), "recovery 1:20"),
            (long_rest.clone(), "rest 0:30"),
        ] {
            let buf = plainly(width, height, &view);
            assert!(
                is_legible(&buf, &[name], PREFERRED),
                "{width}\n{}",
                text(&buf)
            );
            for early in [
                "Plank tap",
                "↓ to the floor",
                "fetch band",
                "↓ floor · fetch band",
            ] {
                assert!(!is_legible(&buf, &[early], LEAST), "{early} {width}");
            }
            assert!(
                text(&buf).contains("then Plank tap"),
                "{width}\n{}",
                text(&buf)
            );
        }
        let buf = plainly(width, height, &sample::recovery());
        assert!(!is_legible(&buf, &["↓ to the floor"], LEAST), "{width}");
        let short_rest = plainly(width, height, &sample::turning());
        assert!(
            is_legible(&short_rest, &["Plank tap"], PREFERRED),
            "{width}"
        );
    }
}

#[test]
fn a_count_in_looks_like_no_other_seconds() {
    for view in [
        sample::count_in(),
        View {
            stance: Stance::Turning,
            ..sample::count_in()
        },
    ] {
        for (width, height, _) in COMMON {
            let buf = plainly(width, height, &view);
            for shown in ["starts in 2", "start", "Squat"] {
                assert!(is_legible(&buf, &[shown], LEAST), "{shown} {width}");
            }
            let zones = Zones::of(buf.area).expect("large enough");
            let bar = row(&buf, zones.horizon.y);
            assert!(bar.contains("██ ██"), "{bar}");
            assert_eq!(bar.split_whitespace().count(), 2, "{bar}");
        }
    }
}

#[test]
fn the_panel_says_what_the_figures_do_not() {
    for (width, height, _) in COMMON {
        for (view, shown) in [
            (sample::at_work(), "4 of 6"),
            (sample::sided(), "side 2"),
            (sample::counted(), "up ~48"),
            (sample::counted(), "12 Squat"),
            (again(), "round 2 of 3"),
        ] {
            let buf = plainly(width, height, &view);
            assert!(is_legible(&buf, &[shown], LEAST), "{shown} {width}");
        }
    }
}

/// A work that is followed by another of the same move.
fn again() -> View {
    View {
        next: Some(sample::a_next("Squat")),
        ..sample::at_work()
    }
}

#[test]
fn a_circuit_is_listed_large_until_it_ends() {
    for (width, height, _) in COMMON {
        let shown = |left| {
            let view = View {
                digits: Digits::Left(left),
                ..sample::circuit()
            };
            let buf = plainly(width, height, &view);
            let moves = [
                "10 Squat · 8 Push-up ·",
                "10 Squat · 8 Push-up · 12 Reverse lunge ·",
            ];
            is_legible(&buf, &moves, LEAST)
        };
        assert!(shown(480) && shown(16) && !shown(15), "{width}");
    }
}

#[test]
fn a_break_is_counted_up_and_marked_at_each_full_minute() {
    let held = |why, secs| View {
        held: Some(HeldView {
            why,
            secs,
            gap: None,
        }),
        slot: None,
        ..sample::held()
    };
    let is_marked = |view: &View| {
        let buf = plainly(80, 24, view);
        let zones = Zones::of(buf.area).expect("large enough");
        let ground = |x, y| buf[(x, y)].bg;
        ground(zones.head.right() - 1, zones.head.y) != ground(0, 0)
    };
    for (secs, marked) in [
        (0, false),
        (59, false),
        (60, true),
        (64, true),
        (65, false),
        (120, true),
    ] {
        assert_eq!(is_marked(&held(HoldReason::Break, secs)), marked, "{secs}");
        assert!(!is_marked(&held(HoldReason::Hold, secs)));
    }
    let buf = plainly(80, 24, &held(HoldReason::Break, 125));
    assert!(
        is_legible(&buf, &["break 2:05"], PREFERRED),
        "{}",
        text(&buf)
    );
}

/// The end moves on with the hold, so that no more than its length can be over by it.
#[test]
fn a_class_that_goes_over_its_slot_in_a_hold_says_so_large() {
    let says = |over, secs| {
        let view = View {
            slot: Some(SlotView::Over(Span::from_secs(over))),
            held: Some(HeldView {
                why: HoldReason::Hold,
                secs,
                gap: None,
            }),
            ..sample::held()
        };
        is_legible(
            &plainly(80, 24, &view),
            &[&format!("now {} over", Span::from_secs(over))],
            LEAST,
        )
    };
    assert!(says(5, 42) && says(42, 42));
    assert!(!says(43, 42) && !says(60, 0));
}

#[test]
fn a_class_that_is_over_offers_no_keys_and_no_part() {
    let shown = text(&plainly(80, 24, &sample::ended()));
    for part in ["over · Tide Line", "summary follows", "1 move left out"] {
        assert!(shown.contains(part), "{part}\n{shown}");
    }
    for part in ["hold", "round 2", "Ebb"] {
        assert!(!shown.contains(part), "{part}\n{shown}");
    }
}

/// Whether the body goes down, and onto what, in the words of the position.
#[test]
fn each_change_of_position_has_its_own_words() {
    use crate::session::Position as P;
    for (body, from, to, words) in [
        (Body::Down, P::Standing, P::Supine, "↓ onto your back"),
        (Body::Down, P::Wall, P::Seated, "↓ sit down"),
        (Body::Down, P::Seated, P::Seated, "↓ to the floor"),
        (Body::Up, P::Prone, P::Standing, "↑ stand up"),
        (Body::Up, P::Supine, P::Seated, "↑ onto your seat"),
        (Body::Shift, P::Supine, P::Kneeling, "→ to your knees"),
        (Body::Shift, P::Seated, P::Standing, "↑ stand up"),
        (Body::Shift, P::Wall, P::Standing, "→ off the wall"),
        (Body::Shift, P::Standing, P::Wall, "→ to the wall"),
        (Body::Shift, P::Supine, P::Seated, "↑ sit up"),
        (Body::Shift, P::Prone, P::Supine, "→ onto your back"),
    ] {
        let mut next = sample::a_next("Plank tap");
        (next.body, next.from, next.is.position) = (body, from, to);
        let view = View {
            next: Some(next),
            ..sample::at_work()
        };
        let shown = text(&plainly(120, 35, &view));
        assert!(shown.contains(words), "{words}\n{shown}");
    }
}

#[test]
fn an_option_and_a_note_alike_are_shown_once() {
    let mut view = sample::at_work();
    if let Some(now) = &mut view.now {
        now.option = Some("toe taps behind".into());
        now.note = Some("Toe taps behind".into());
    }
    let shown = text(&plainly(120, 35, &view));
    assert_eq!(
        shown.to_lowercase().matches("toe taps").count(),
        1,
        "{shown}"
    );
}

#[test]
fn what_is_read_in_a_recovery_is_not_announced_again() {
    let view = View {
        say_next: Some(sample::prompt("Next block is on the floor")),
        ..sample::recovery()
    };
    assert!(!text(&plainly(200, 50, &view)).contains("then say"));
    assert!(text(&plainly(200, 50, &sample::recovery())).contains("then say: plank taps"));
}

/// Sixty letters, more than two lines of the narrow face hold at the smallest common size.
#[test]
fn the_words_of_a_recovery_are_enlarged_whole() {
    for (width, height, _) in COMMON {
        let buf = plainly(width, height, &sample::recovery());
        assert!(!text(&buf).contains("Next block is"), "{width}");
        assert!(text(&buf).contains("in 25"), "{width}\n{}", text(&buf));
    }
}
