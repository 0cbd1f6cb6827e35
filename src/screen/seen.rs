//! What each stance must say, at the sizes in use, large enough to be read from the mat.

use ratatui::buffer::Buffer;

use super::legible::{LEAST, PREFERRED, cell_mm, height_mm};
use super::pen::right_of;
use super::prompts::RAIL;
use super::sample;
use super::tests::{COMMON, is_enlarged, plainly, row, text};
use super::zones::Zones;
use crate::live::{
    Digits, HeldView, HoldReason, Nth, PositionChange, SlotView, Stance, ThenView, View,
};
use crate::plan::PromptKind;
use crate::time::Span;

/// Whether one of these texts stands on the screen at least as large as an angle at three metres
/// asks.
fn is_legible(buf: &Buffer, texts: &[&str], minutes: f64) -> bool {
    let half_cell = cell_mm(buf.area.height) / 2.0;
    // The upper half of the panel may be a little higher than a name.
    let most = Zones::of(buf.area).expect("large enough").name * 5 / 4;
    let mut least = 5;
    while f64::from(least) * half_cell < height_mm(3.0, minutes) {
        least += 1;
    }
    texts.iter().any(|text| is_enlarged(buf, text, least, most))
}

/// While work still runs the screen must not be taken for a rest: what is still done, what it
/// leads to, whose name is the next one's, who needs another version and what to say.
#[test]
fn the_last_seconds_of_work_say_what_is_done_and_what_is_next() {
    for (width, height, _) in COMMON {
        let buf = plainly(width, height, &sample::turning());
        for (texts, angle) in [
            (&["Squat"][..], PREFERRED),
            (&["then rest 0:25"], LEAST),
            (&["next"], LEAST),
            (&["Plank tap"], PREFERRED),
            (&["◆ wrists: onto forearms"], LEAST),
            (
                &["plank taps next,", "plank taps next, mat down,"],
                PREFERRED,
            ),
        ] {
            assert!(
                is_legible(&buf, texts, angle),
                "{texts:?} {width}x{height}\n{}",
                text(&buf)
            );
        }
        assert!(!is_legible(&buf, &["↓ to the floor", "↓ floor"], LEAST));
    }
}

/// What is too long to be large is begun large: what somebody must do instead is no small print.
#[test]
fn a_long_version_for_a_limit_is_begun_large_and_its_rest_is_told() {
    for (width, height, _) in COMMON {
        for (words, large, rest) in [
            (
                "wrists: forearms, reach one hand, then the other hand",
                ["◆ wrists: forearms", "◆ forearms"],
                "… reach one hand, then the other hand",
            ),
            (
                "the pelvic floor: step out wide, both arms to the front and up again",
                ["◆ the pelvic floor: step out wide", "◆ step out wide"],
                "… both arms to the front and up again",
            ),
        ] {
            let view = View {
                version: vec![sample::marked(words)],
                ..sample::rest_before_floor()
            };
            let buf = plainly(width, height, &view);
            let whole = is_legible(&buf, &[&format!("◆ {words}")], LEAST);
            let begun = is_legible(&buf, &large, LEAST) && text(&buf).contains(rest);
            assert!(whole || begun, "{width}x{height}\n{}", text(&buf));
        }
    }
}

/// In the rest: that it is one, where to go, what to fetch, and who needs another version, as long
/// as it lasts.
#[test]
fn a_rest_says_so_and_where_to_go() {
    for (width, height, _) in COMMON {
        for left in [24, 14, 4, 1] {
            let view = View {
                digits: Digits::Left(left),
                ..sample::rest_before_floor()
            };
            let buf = plainly(width, height, &view);
            for texts in [
                &["rest"][..],
                &["next"],
                &["Plank tap"],
                &["↓ to the floor · get band", "↓ floor · get band"],
                &["◆ wrists: onto forearms"],
                &["feet wide, one hand at a time"],
            ] {
                assert!(
                    is_legible(&buf, texts, LEAST),
                    "{texts:?} {width}x{height}\n{}",
                    text(&buf)
                );
            }
            assert!(is_legible(&buf, &["for 0:40"], LEAST), "{}", text(&buf));
        }
    }
}

/// Where nobody moves to another position, none is shown large.
#[test]
fn a_position_is_shown_only_where_it_changes() {
    let mut view = sample::rest_before_floor();
    if let Some(next) = &mut view.next {
        (next.change, next.fetch) = (PositionChange::Same, Vec::new());
    }
    let buf = plainly(80, 24, &view);
    assert!(
        is_legible(&buf, &["then straight on"], LEAST),
        "{}",
        text(&buf)
    );
    assert!(!is_legible(&buf, &["hands and feet"], LEAST));
}

/// What cannot stand in one line with the change is shown under it, and neither is lost.
#[test]
fn many_things_to_fetch_are_shown_whole() {
    let mut view = sample::rest_before_floor();
    if let Some(next) = &mut view.next {
        next.fetch = vec!["dumbbells".into(), "chair".into()];
    }
    for (width, height, _) in COMMON {
        let buf = plainly(width, height, &view);
        let joined = [
            "↓ to the floor · get dumbbells, chair",
            "↓ floor · get dumbbells, chair",
            "↓ floor · dumbbells, chair",
        ];
        let apart = is_legible(&buf, &["get dumbbells, chair"], LEAST)
            && is_legible(&buf, &["↓ to the floor"], LEAST);
        assert!(apart || is_legible(&buf, &joined, LEAST), "{}", text(&buf));
    }
}

/// Before a long pause nobody is sent anywhere, and the next name steps back.
#[test]
fn a_long_pause_is_what_the_seconds_lead_to() {
    for (width, height, _) in COMMON {
        let buf = plainly(width, height, &sample::before_recovery());
        let pause = ["then recovery 1:20"];
        assert!(is_legible(&buf, &pause, LEAST), "{width}\n{}", text(&buf));
        for early in ["↓ to the floor", "get band", "↓ floor · get band"] {
            assert!(!is_legible(&buf, &[early], LEAST), "{early} {width}");
        }
        assert!(
            text(&buf).contains("last move of the block"),
            "{}",
            text(&buf)
        );
    }
}

/// In a recovery the next move and the change of position are large before it turns.
#[test]
fn a_recovery_shows_what_comes_large() {
    for (width, height, _) in COMMON {
        let buf = plainly(width, height, &sample::recovery());
        for texts in [
            &["recovery"][..],
            &["Plank tap"],
            &[
                "↓ to the floor · get band",
                "↓ floor · get band",
                "↓ floor · band",
                "get band",
            ],
        ] {
            assert!(is_legible(&buf, texts, LEAST), "{texts:?}\n{}", text(&buf));
        }
    }
}

#[test]
fn a_count_in_looks_like_no_other_seconds() {
    for stance in [Stance::AtWork, Stance::Turning] {
        let view = View {
            stance,
            ..sample::count_in()
        };
        for (width, height, _) in COMMON {
            let buf = plainly(width, height, &view);
            for shown in ["about to start", "Squat"] {
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
            (sample::at_work(), &["then rest 0:25"][..]),
            (sample::sided(), &["side 2 of 2"]),
            (sample::counted(), &["about 48 · → goes on", "→ goes on"]),
            (sample::counted(), &["Squat x 12"]),
            (straight_on(), &["then straight on"]),
            (last_of_all(), &["then the end"]),
        ] {
            let buf = plainly(width, height, &view);
            assert!(
                is_legible(&buf, shown, LEAST),
                "{shown:?} {width}\n{}",
                text(&buf)
            );
        }
    }
}

/// Work that is followed by the same move, with no pause.
fn straight_on() -> View {
    let mut next = sample::a_next("Squat");
    (next.change, next.fetch) = (PositionChange::Same, Vec::new());
    View {
        next: Some(next),
        then: Some(ThenView::Move),
        ..sample::at_work()
    }
}

fn last_of_all() -> View {
    View {
        next: None,
        then: Some(ThenView::End),
        ..sample::at_work()
    }
}

/// A circuit: how many moves, that it is repeated freely, all of them; of none of them that it is
/// the first or how long it lasts.
#[test]
fn a_circuit_is_listed_large_and_no_move_is_singled_out() {
    for (width, height, _) in COMMON {
        let buf = plainly(width, height, &sample::circuit());
        let moves = [
            "10 Squat\u{a0}· 8 Push-up\u{a0}·",
            "10 Squat\u{a0}· 8 Push-up\u{a0}· 12 Reverse\u{a0}lunge\u{a0}·",
        ];
        assert!(is_legible(&buf, &moves, LEAST), "{width}\n{}", text(&buf));
        assert!(is_legible(&buf, &["4 moves"], LEAST), "{width}");
        let shown = text(&buf);
        assert!(shown.contains("as many rounds as you can"), "{shown}");
        assert!(
            !shown.contains("1 of 4") && !shown.contains("for 5:00"),
            "{shown}"
        );
    }
}

#[test]
fn a_minute_of_many_is_counted_as_one() {
    let view = View {
        minute: Some(Nth::new(3, 12)),
        ..sample::at_work()
    };
    let shown = text(&plainly(80, 24, &view));
    assert!(shown.contains("minute 3 of 12"), "{shown}");
    assert!(
        !shown.contains("round 2") && !shown.contains("move 4"),
        "{shown}"
    );
}

/// What head and panel say is not written a second time: a rail beside them says it now.
#[test]
fn a_preview_that_stands_in_the_head_is_not_repeated() {
    let mut say = sample::prompt("Plank taps next");
    say.kind = PromptKind::Preview;
    for (width, height, _) in COMMON {
        let view = View {
            say: Some(say.clone()),
            ..sample::rest_before_floor()
        };
        let buf = plainly(width, height, &view);
        assert!(!is_legible(&buf, &["plank taps next"], LEAST));
        let zones = Zones::of(buf.area).expect("large enough");
        let foot = zones.head.y + zones.name.div_ceil(2) - 1;
        assert_eq!(buf[(zones.head.x, foot)].symbol(), "█", "{}", text(&buf));
        let at_work = View {
            say: Some(say.clone()),
            ..sample::at_work()
        };
        let buf = plainly(width, height, &at_work);
        assert!(
            is_legible(&buf, &["plank taps next"], LEAST),
            "{}",
            text(&buf)
        );
    }
}

#[test]
fn free_time_is_shown_large_with_when_to_be_back() {
    for (width, height, _) in COMMON {
        let buf = plainly(width, height, &sample::silence());
        assert!(
            is_legible(&buf, &["free 0:18 · back at 16"], PREFERRED),
            "{width}"
        );
        let busy = plainly(width, height, &sample::at_work());
        assert!(!is_legible(&busy, &["free 0:18"], LEAST));
    }
}

/// What is wrong is said large and lasting, and at the laptop why.
#[test]
fn what_is_wrong_is_said_large() {
    use super::around::{RecordState, SoundState};
    let ordinary = sample::around();
    for (width, height, _) in COMMON {
        for view in [
            sample::at_work(),
            sample::rest_before_floor(),
            sample::held(),
        ] {
            for (around, words) in [
                (
                    super::Around {
                        record: RecordState::Off("the disk is full".into()),
                        ..ordinary.clone()
                    },
                    "not recorded",
                ),
                (
                    super::Around {
                        sound: SoundState::Absent {
                            why: "no device".into(),
                        },
                        ..ordinary.clone()
                    },
                    "no sound",
                ),
                (
                    super::Around {
                        prompts: false,
                        ..ordinary.clone()
                    },
                    "prompts hidden",
                ),
            ] {
                if view.stance == Stance::Held && words.starts_with("prompts") {
                    continue;
                }
                let area = ratatui::layout::Rect::new(0, 0, width, height);
                let theme = super::Theme::default();
                let buf = super::tests::drawn(area, &view, &around, theme);
                assert!(is_legible(&buf, &[words], LEAST), "{words}\n{}", text(&buf));
                let zones = Zones::of(area).expect("large enough");
                assert!(row(&buf, zones.class.y).contains("18:50 left"));
            }
        }
    }
}

/// What a question is about is read from the mat, and the held move is named beside the word.
#[test]
fn questions_about_a_window_and_the_held_move_are_read_from_the_mat() {
    use crate::live::{Asked, WindowAsked};
    for (width, height, _) in COMMON {
        for what in [
            WindowAsked::Leave,
            WindowAsked::LeaveOut,
            WindowAsked::Again,
        ] {
            let length = crate::time::Span::from_secs(12 * 60);
            let asked = Asked::Window { what, length };
            let view = View {
                asked: Some(asked),
                ..sample::at_work()
            };
            let buf = plainly(width, height, &view);
            let short = asked.short();
            assert!(
                is_legible(&buf, &[&short], LEAST),
                "{short}\n{}",
                text(&buf)
            );
            assert!(row(&buf, height - 1).contains("again does it"));
        }
        let view = sample::held();
        let name = view.now.as_ref().map(|now| now.name.clone());
        let buf = plainly(width, height, &view);
        assert!(is_legible(&buf, &["held"], LEAST), "{}", text(&buf));
        let name = name.expect("a move is held");
        assert!(is_legible(&buf, &[&name], LEAST), "{name}\n{}", text(&buf));
    }
}

#[test]
fn a_break_is_counted_up_and_marked_at_each_full_minute() {
    let held = |why, secs| View {
        held: Some(HeldView {
            why,
            secs,
            gap: None,
            doing: None,
        }),
        slot: None,
        ..sample::held()
    };
    let is_marked = |view: &View| {
        let buf = plainly(80, 24, view);
        let zones = Zones::of(buf.area).expect("large enough");
        let ground = |x, y| buf[(x, y)].bg;
        ground(zones.say.right() - 1, zones.say.y) != ground(0, 0)
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
    assert!(is_enlarged(&buf, "break 2:05", 7, 14), "{}", text(&buf));
}

/// In a window too small for large letters they are said to be hidden as lastingly, in ordinary
/// ones.
#[test]
fn hidden_prompts_are_said_at_every_size_that_has_zones() {
    let around = super::Around {
        prompts: false,
        ..sample::around()
    };
    for (width, height) in [
        (40, 12),
        (40, 24),
        (50, 14),
        (60, 18),
        (79, 23),
        (80, 20),
        (200, 12),
    ] {
        for view in [
            sample::at_work(),
            sample::rest_before_floor(),
            sample::recovery(),
        ] {
            let area = ratatui::layout::Rect::new(0, 0, width, height);
            let buf = super::tests::drawn(area, &view, &around, super::Theme::default());
            let words = "prompts hidden";
            let is_said = text(&buf).contains(words) || is_enlarged(&buf, words, 5, 30);
            assert!(is_said, "{width}x{height}\n{}", text(&buf));
        }
    }
}

/// From the mat she sees what they do and for how long; what to say stands there as long as it lasts.
#[test]
fn while_they_keep_moving_the_move_its_time_and_what_to_say_are_large() {
    for (width, height) in [(80, 24), (100, 30), (120, 35), (160, 45), (200, 50)] {
        for secs in [0, 34, 65, 600] {
            let view = View {
                held: Some(HeldView {
                    why: HoldReason::Moving,
                    secs,
                    gap: None,
                    doing: Some("march".into()),
                }),
                slot: None,
                ..sample::held()
            };
            let buf = plainly(width, height, &view);
            let time = crate::time::Span::from_secs(secs);
            let shown = format!("march {time}");
            let name = Zones::of(buf.area).expect("large enough").name;
            assert!(is_enlarged(&buf, &shown, name, 2 * name), "{}", text(&buf));
            let say = "keep moving, easy";
            assert!(is_legible(&buf, &[say], LEAST), "{}", text(&buf));
        }
    }
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
                doing: None,
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
    for part in ["finished · Tide Line", "summary follows", "1 move left out"] {
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
    for (change, from, to, words) in [
        (
            PositionChange::Down,
            P::Standing,
            P::Supine,
            "↓ onto your back",
        ),
        (PositionChange::Down, P::Wall, P::Seated, "↓ sit down"),
        (PositionChange::Down, P::Seated, P::Seated, "↓ to the floor"),
        (PositionChange::Up, P::Prone, P::Standing, "↑ stand up"),
        (PositionChange::Up, P::Supine, P::Seated, "↑ onto your seat"),
        (
            PositionChange::Shift,
            P::Supine,
            P::Kneeling,
            "→ to your knees",
        ),
        (PositionChange::Shift, P::Seated, P::Standing, "↑ stand up"),
        (
            PositionChange::Shift,
            P::Wall,
            P::Standing,
            "→ off the wall",
        ),
        (PositionChange::Shift, P::Standing, P::Wall, "→ to the wall"),
        (PositionChange::Shift, P::Supine, P::Seated, "↑ sit up"),
        (
            PositionChange::Shift,
            P::Prone,
            P::Supine,
            "→ onto your back",
        ),
    ] {
        let mut next = sample::a_next("Plank tap");
        (next.change, next.from, next.is.position) = (change, from, to);
        next.fetch = Vec::new();
        let view = View {
            next: Some(next),
            ..sample::rest_before_floor()
        };
        let buf = plainly(120, 35, &view);
        assert!(is_legible(&buf, &[words], LEAST), "{words}\n{}", text(&buf));
    }
}

#[test]
fn a_note_that_the_version_says_is_shown_once() {
    let mut view = sample::at_work();
    view.version[0].words = "everyone: toe taps behind".into();
    if let Some(now) = &mut view.now {
        now.note = Some("Toe taps behind".into());
    }
    let shown = text(&plainly(120, 35, &view));
    assert!(!shown.to_lowercase().contains("toe taps"), "{shown}");
}

/// Where nothing is due, what is said next stands large where it is going to be said, and changes
/// nothing but its colour and rail when it is.
#[test]
fn words_to_come_stand_where_they_are_said() {
    for (width, height, _) in COMMON {
        let words = "feet wide";
        let before = View {
            say: None,
            free: None,
            say_next: Some(sample::prompt(words)),
            ..sample::rest_before_floor()
        };
        let after = View {
            say: Some(sample::prompt(words)),
            say_next: None,
            ..before.clone()
        };
        let [before, after] = [before, after].map(|view| plainly(width, height, &view));
        assert!(is_legible(&before, &[words], LEAST), "{}", text(&before));
        let zone = right_of(Zones::of(before.area).expect("zones").say, RAIL);
        for at in zone.positions() {
            assert_eq!(before[at].symbol(), after[at].symbol(), "{width}x{height}");
        }
        assert!(
            !text(&before).contains("then say: feet"),
            "{}",
            text(&before)
        );
    }
}

/// What stands there as the note of the move need not be announced as the next thing to say.
#[test]
fn a_note_that_is_going_to_be_said_is_shown_once() {
    let mut view = sample::at_work();
    view.say_next = Some(sample::prompt("twelve, sides in turn"));
    if let Some(now) = &mut view.now {
        now.note = Some("Twelve, sides in turn".into());
    }
    let shown = text(&plainly(200, 50, &view)).to_lowercase();
    assert_eq!(shown.matches("sides in turn").count(), 1, "{shown}");
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

/// Phrase by phrase, since sixty letters have no room in one line of such a height.
#[test]
fn the_words_of_a_recovery_are_enlarged_whole() {
    for (width, height, _) in COMMON {
        let both = "Water. Next block is on the floor,";
        let phrases = [
            ["Water.", both],
            ["Next block is on the floor,", both],
            [
                "three rounds of three moves.",
                "three rounds of three moves.",
            ],
        ];
        let mut seen = [false; 3];
        for left in (0..120).step_by(8) {
            let view = View {
                digits: Digits::Left(left),
                ..sample::recovery()
            };
            let buf = plainly(width, height, &view);
            for (seen, phrase) in seen.iter_mut().zip(phrases) {
                *seen |= is_legible(&buf, &phrase, PREFERRED);
            }
        }
        assert_eq!(seen, [true; 3], "{width}");
    }
}
