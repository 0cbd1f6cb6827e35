//! What the pages of planning must not lose, at the sizes in use.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::{PLAN_NEEDS, PlanPage, sample};
use crate::screen::Theme;
use crate::screen::pages::Page;

const SIZES: [(u16, u16); 4] = [(80, 24), (120, 35), (160, 45), (200, 50)];

fn text(page: &dyn Page, (width, height): (u16, u16)) -> String {
    let area = Rect::new(0, 0, width, height);
    let mut buf = Buffer::empty(area);
    page.draw(area, &mut buf, &Theme::default());
    crate::screen::tests::text(&buf)
}

fn sees(page: &dyn Page, size: (u16, u16), parts: &[&str]) {
    let shown = text(page, size);
    for part in parts {
        assert!(shown.contains(part), "{part} at {size:?}\n{shown}");
    }
}

#[test]
fn the_class_and_what_it_becomes_are_seen_together_at_every_size() {
    for size in SIZES {
        sees(
            &sample::plan(),
            size,
            &[
                "Tide Line",
                "tide-line.ron · not saved",
                "28:45 of 30:00 · 1:15 in hand",
                "▲",
                "Squat, easier 1",
                "x 12 · 50 40 30",
                "! Plank tap",
                "✗ Arm circle",
                "must mend: squats",
                "▌ 0:12 before: next squats",
                "◆ 0:06 before",
                "m a move",
                "? all keys",
            ],
        );
    }
}

#[test]
fn the_fields_of_a_line_are_seen_beside_the_class() {
    for size in SIZES {
        let page = sample::form();
        sees(
            &page,
            size,
            &[
                "▸ work",
                "50 40 30",
                "(20)",
                "(the move itself)",
                "how many",
                "one for all",
            ],
        );
        let mut typing = page;
        if let Some(form) = &mut typing.form {
            form.is_typing = true;
            form.lines[0].text = "1:3".into();
        }
        sees(&typing, size, &["1:3 "]);
    }
}

/// Wherever the mark stands in a long list, its line is seen; a form of many fields shows the chosen
/// one.
#[test]
fn the_chosen_line_is_seen_in_a_list_of_any_length() {
    let mut page = sample::form();
    let line = page.lines[3].clone();
    page.lines = (0..300)
        .map(|n| super::PlanLine {
            name: format!("Move {n} of many"),
            ..line.clone()
        })
        .collect();
    for chosen in [0, 1, 150, 298, 299] {
        page.chosen = chosen;
        for size in SIZES {
            sees(&page, size, &[&format!("Move {chosen} of many")]);
        }
    }
    let form = page.form.as_mut().expect("a form");
    let field = form.lines[1].clone();
    form.lines = (0..40)
        .map(|n| super::FormLine {
            label: format!("field {n}"),
            ..field.clone()
        })
        .collect();
    for chosen in [0, 20, 39] {
        page.form.as_mut().expect("a form").chosen = chosen;
        for size in SIZES {
            sees(&page, size, &[&format!("▸ field {chosen}")]);
        }
    }
}

#[test]
fn a_refusal_stands_in_the_place_of_the_keys() {
    let page = PlanPage {
        word: "`squat` needs `reps` in a block of `Reps`".into(),
        is_refused: true,
        ..sample::plan()
    };
    for size in SIZES {
        let shown = text(&page, size);
        assert!(shown.contains("needs `reps`"), "{shown}");
        assert!(!shown.contains("m a move"), "{shown}");
    }
}

/// Below what it needs it says so, whole, and what becomes of the plan.
#[test]
fn a_window_that_is_too_small_is_told_what_is_needed() {
    let (wide, high) = PLAN_NEEDS;
    for size in [
        (wide - 1, high),
        (wide, high - 1),
        (40, 12),
        (200, 10),
        (30, 24),
    ] {
        let shown = text(&sample::plan(), size).replace('\n', " ");
        let shown = shown.split_whitespace().collect::<Vec<_>>().join(" ");
        for part in ["80 by 24", "Nothing is lost"] {
            assert!(shown.contains(part), "{part} {size:?}: {shown}");
        }
    }
}

#[test]
fn a_move_is_found_with_its_card_beside_it() {
    for size in SIZES {
        sees(
            &sample::find(),
            size,
            &[
                "pla",
                "works ‹core›",
                "‹any›",
                "▸ Plank tap",
                "◆",
                "Elbows under the shoulders.",
                "enter put it in",
            ],
        );
    }
}

#[test]
fn what_is_read_and_what_is_asked_are_seen() {
    for size in SIZES.into_iter().chain([(60, 20)]) {
        sees(&sample::read(), size, &["0:45 -> 1:00", "enter take it"]);
        sees(
            &sample::ask(),
            size,
            &["▸ save, and leave", "the file has all", "leave without it"],
        );
    }
}

/// What stands beside is cut from its end, with how much there is and the key that opens it; what to
/// bring is seen where there is room for all of it.
#[test]
fn what_has_no_room_beside_is_told_with_its_key() {
    for size in SIZES {
        let mut page = sample::plan();
        sees(&page, size, &["Bring", "mat, band"]);
        let line = page.beside[1].clone();
        for _ in 0..60 {
            page.beside.push(line.clone());
        }
        sees(&page, size, &["Squat", "must mend", "↓ ", "more: b"]);
        let shown = text(&page, size);
        assert!(!shown.contains("Bring"), "{shown}");
        // While a line is written its keys are its own.
        page.more.clear();
        let shown = text(&page, size);
        assert!(
            shown.contains("more") && !shown.contains("more: b"),
            "{shown}"
        );
    }
}
