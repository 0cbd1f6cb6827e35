//! What must hold for every page at every size, and what each must not lose at the smallest.

use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::Rect;

use super::{Page, sample, wild};
use crate::screen::theme::Theme;

fn text(page: &dyn Page, width: u16, height: u16) -> String {
    let area = Rect::new(0, 0, width, height);
    let mut buf = Buffer::empty(area);
    page.draw(area, &mut buf, &Theme::default());
    let row = |y| (0..width).map(|x| buf[(x, y)].symbol()).collect::<String>() + "\n";
    (0..height).map(row).collect()
}

#[test]
fn no_page_breaks_any_size_or_leaves_its_area() {
    let mut rng = fastrand::Rng::with_seed(29);
    for n in 0..250 {
        let (width, height) = match n % 5 {
            0 => (rng.u16(0..500), rng.u16(0..200)),
            1 => (rng.u16(0..12), rng.u16(0..8)),
            _ => (rng.u16(0..120), rng.u16(0..40)),
        };
        let area = Rect::new(2, 1, width, height);
        for page in wild::pages(&mut rng) {
            let whole = Rect::new(0, 0, width + 3, height + 2);
            let mut buf = Buffer::filled(whole, Cell::new("#"));
            page.draw(area, &mut buf, &Theme::default());
            for at in whole.positions().filter(|at| !area.contains(*at)) {
                assert_eq!(buf[at].symbol(), "#", "{at} outside {area}");
            }
        }
    }
}

#[test]
fn the_chosen_class_and_the_first_broken_file_are_seen_at_the_smallest_size() {
    let shown = text(&sample::chooser(), 40, 12);
    for part in [
        "▸ Low Tide, seated",
        "45:00",
        "draft.ron",
        "enter open",
        "find: ti",
    ] {
        assert!(shown.contains(part), "{part}\n{shown}");
    }
}

#[test]
fn the_opening_page_tells_everything_at_80_by_24() {
    let shown = text(&sample::opening(), 80, 24);
    for part in [
        "28:45 in all",
        "1:00 over",
        "ends 18:29",
        "bring: mat, band",
        "the slot ends 18:28",
        "◆ 1 wrists",
        "· 2 elbows",
        "◆ 5 low back",
        "sound 7/10",
        "No time to say: bridge",
        "- Stop anyone who asks to stop.",
        "space begin",
        "Ebb",
        "cool-down",
    ] {
        assert!(shown.contains(part), "{part}\n{shown}");
    }
}

/// Four cautions as long as those of the program, and as many limits.
fn full_opening() -> super::Opening {
    let mut page = sample::opening();
    let limits = (0..12_u8).map(|n| super::LimitToggle {
        key: char::from(b'a' + n).to_string(),
        label: ["wrists", "low back", "shoulders"][usize::from(n % 3)].into(),
        is_on: n == 2,
    });
    page.limits = limits.collect();
    page.cautions = (1..=4)
        .map(|n| format!("caution {n} {} end {n}", "of some words ".repeat(8)))
        .collect();
    page.hints = [
        ("enter", "begin"),
        ("↑ ↓ ← →", "end of the slot"),
        ("tab", "type it"),
        ("a-l", "limits tonight"),
        ("t", "hear the signals"),
        ("esc", "back"),
    ]
    .map(|(key, action)| crate::screen::Hint::new(key, action))
    .into();
    page
}

#[test]
fn the_opening_page_keeps_two_cautions_whole_and_says_what_is_cut() {
    let shown = text(&full_opening(), 80, 24);
    for part in [
        "- caution 1",
        "end 1",
        "- caution 2",
        "end 2",
        "taller window",
    ] {
        assert!(shown.contains(part), "{part}\n{shown}");
    }
    for part in ["enter begin", "esc back", "t hear the signals"] {
        assert!(shown.contains(part), "{part}\n{shown}");
    }
    let tall = text(&full_opening(), 120, 50);
    assert!(tall.contains("end 4") && !tall.contains("taller"), "{tall}");
}

#[test]
fn no_note_of_the_opening_page_is_shown_in_part() {
    for height in 12..50 {
        let shown = text(&full_opening(), 80, height);
        for n in 1..=4 {
            let (begun, ended) = (format!("- caution {n}"), format!("end {n}"));
            assert_eq!(
                shown.contains(&begun),
                shown.contains(&ended),
                "{height}\n{shown}"
            );
        }
        assert_ne!(
            shown.contains("end 4"),
            shown.contains("taller window"),
            "{height}\n{shown}"
        );
    }
}

#[test]
fn the_chooser_tells_equipment_and_when_taught_whole_and_the_path_of_the_chosen_only() {
    let mut page = sample::chooser();
    for entry in &mut page.entries {
        entry.file = format!("~/some/where/deep/in/a/folder/of/classes/{}", entry.file);
    }
    let shown = text(&page, 80, 24);
    assert!(shown.contains("mat, band · not taught yet · …"), "{shown}");
    assert!(
        shown.contains("mat, band · last taught 28 April  "),
        "{shown}"
    );
    assert_eq!(shown.matches("tide-line.ron").count(), 1, "{shown}");
}

#[test]
fn a_landing_says_once_what_is_still_over_and_its_end_large() {
    use crate::live::SlotView;
    use crate::time::Span;
    let page = super::LandingPage {
        lines: vec!["recovery 0:40, 0:20 less".into(), "still 0:41 over".into()],
        ends: "18:46:41".into(),
        after: Some(SlotView::Over(Span::from_secs(41))),
        ..super::LandingPage::default()
    };
    let shown = text(&page, 80, 24);
    assert_eq!(shown.matches("0:41 over").count(), 1, "{shown}");
    assert!(
        shown.contains("then it ends") && !shown.contains("18:46:41"),
        "{shown}"
    );
    assert!(text(&page, 40, 9).contains("then it ends 18:46:41"));
}
