//! What must hold for every page at every size, and what each must not lose at the smallest.

use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::Rect;

use super::{Page, sample, wild};
use crate::screen::tests::{found, stamps};
use crate::screen::theme::{Role, Theme};

/// The sizes in use.
const SIZES: [(u16, u16); 6] = [
    (40, 12),
    (80, 24),
    (100, 30),
    (120, 35),
    (160, 45),
    (200, 50),
];

fn drawn(page: &dyn Page, width: u16, height: u16) -> Buffer {
    let area = Rect::new(0, 0, width, height);
    let mut buf = Buffer::empty(area);
    page.draw(area, &mut buf, &Theme::default());
    buf
}

fn text(page: &dyn Page, width: u16, height: u16) -> String {
    crate::screen::tests::text(&drawn(page, width, height))
}

/// Where a text stands, in cells or enlarged, with the pixels of its capitals.
pub(in crate::screen) fn place_of(buf: &Buffer, words: &str) -> Option<(u16, (u16, u16))> {
    let mut rows = (0..buf.area.height).map(|y| (y, crate::screen::tests::row(buf, y)));
    let in_cells = rows.find_map(|(y, row)| {
        let (before, _) = row.split_once(words)?;
        Some((1, (crate::screen::pen::width(before), y)))
    });
    let by_cells = (3..=8).map(|times| (2 * times - 1, super::enlarged::stamp(words, times)));
    let mut large = by_cells.chain(stamps(buf, words, 5, 30));
    in_cells.or_else(|| {
        large.find_map(|(high, stamp)| {
            let (x, y) = found(buf, &stamp)?;
            let mut inked = stamp.area.positions();
            let ink = inked.find(|at| !stamp[*at].symbol().trim().is_empty())?;
            Some((high, (x + ink.x, y + ink.y)))
        })
    })
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
fn the_opening_page_keeps_its_cautions_together_and_says_what_is_cut() {
    let keys = ["enter begin", "esc back", "t hear the signals"];
    for (height, cautions) in [(24, 4), (22, 4), (20, 4), (18, 3), (40, 4)] {
        let shown = text(&full_opening(), 80, height);
        for part in keys {
            assert!(shown.contains(part), "{part}\n{shown}");
        }
        let seen = (1..=4).filter(|n| shown.contains(&format!("end {n}")));
        assert_eq!(seen.count(), cautions, "{height}\n{shown}");
        let is_cut = shown.contains("larger window");
        assert_eq!(is_cut, cautions < 4, "{height}\n{shown}");
    }
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
            shown.contains("larger window"),
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

/// What is still over is said in the headline, in the colour of trouble, and not in the list again.
#[test]
fn a_landing_says_first_and_large_how_the_class_stands_and_would_stand() {
    use crate::live::SlotView;
    use crate::time::Span;
    let over = |secs| SlotView::Over(Span::from_secs(secs));
    let in_hand = |secs| SlotView::InHand(Span::from_secs(secs));
    for (before, after, words, role) in [
        (over(257), over(65), "4:17 over → 1:05 over", Role::Trouble),
        (over(257), in_hand(0), "4:17 over → on time", Role::Next),
        (
            in_hand(90),
            in_hand(30),
            "1:30 in hand → 0:30 in hand",
            Role::Next,
        ),
    ] {
        let last = words.split_once("→ ").expect("two").1;
        let page = super::LandingPage {
            before: Some(before),
            lines: vec!["recovery 0:40, 0:20 less".into(), format!("still {last}")],
            ends: "18:46:41".into(),
            after: Some(after),
            ..super::LandingPage::default()
        };
        for (width, height) in SIZES.into_iter().chain([(80, 14), (120, 20), (160, 26)]) {
            let buf = drawn(&page, width, height);
            let shown = text(&page, width, height);
            let place = place_of(&buf, words);
            let (high, (x, y)) =
                place.unwrap_or_else(|| panic!("{words} {width}x{height}\n{shown}"));
            assert!(
                high >= 7 || height < 14 || width < 60,
                "{width}x{height}\n{shown}"
            );
            let style = Theme::default().style(role);
            assert_eq!(Some(buf[(x, y)].fg), style.fg, "{words} {width}x{height}");
            let list = place_of(&buf, "recovery").expect("listed").1;
            assert!(y < list.1, "{width}x{height}\n{shown}");
        }
        let shown = text(&page, 40, 12);
        let body = shown.lines().skip(1);
        let said = body.filter(|line| line.contains(last)).count();
        assert_eq!(said, 1, "{shown}");
        assert!(shown.contains("then it ends 18:46:41"), "{shown}");
    }
}

/// What is typed must be seen: the fields come before whatever may have no room.
#[test]
fn the_fields_after_class_are_seen_at_every_size_whatever_else_there_is() {
    let mut page = sample::ended();
    page.lines = (0..30)
        .map(|n| format!("line {n} of what happened"))
        .collect();
    page.record = crate::screen::RecordState::Off("the disk is full; make room on it".into());
    for (width, height) in SIZES.into_iter().chain([(90, 27), (300, 80)]) {
        let buf = drawn(&page, width, height);
        for words in [
            "how it was, 0 to 10",
            "heads",
            "words",
            "Ebb ran",
            "the disk is full",
        ] {
            let found = place_of(&buf, words);
            assert!(
                found.is_some(),
                "{words} {width}x{height}\n{}",
                text(&page, width, height)
            );
        }
    }
}

/// Every key is on some screenful, and at the foot stands how to come to the others.
#[test]
fn all_keys_can_be_come_to_at_every_size() {
    let mut page = sample::help();
    for (n, group) in page.groups.iter_mut().enumerate() {
        for (m, hint) in group.keys.iter_mut().enumerate() {
            (hint.key, hint.action) = (format!("k{n}{m}"), format!("does {n}-{m}"));
        }
    }
    page.without = vec!["catch up".into(), "the whole interval again".into()];
    for (width, height) in SIZES.into_iter().chain([(40, 6), (80, 14), (60, 12)]) {
        let mut screens = Vec::new();
        for n in 0..24 {
            page.page = n;
            screens.push(drawn(&page, width, height));
        }
        let keys = page.groups.iter().flat_map(|group| &group.keys);
        let keys = keys.map(|hint| hint.key.as_str());
        for words in keys.chain(["without a", "again"]) {
            let is_seen = screens.iter().any(|buf| place_of(buf, words).is_some());
            let first = crate::screen::tests::text(&screens[0]);
            assert!(is_seen, "{words} {width}x{height}\n{first}");
        }
        let tells_more = place_of(&screens[0], "more, 1 of").is_some();
        assert_eq!(tells_more, screens[0] != screens[1], "{width}x{height}");
        assert!(tells_more || width > 40, "{width}x{height}");
    }
}

#[test]
fn two_classes_of_one_title_are_told_apart_at_every_size() {
    let mut page = sample::chooser();
    page.filter = String::new();
    page.chosen = 2;
    for (n, file) in ["", "~/classes/spring/tide-line.ron", "~/other.ron"]
        .into_iter()
        .enumerate()
    {
        "Tide Line".clone_into(&mut page.entries[n].title);
        file.clone_into(&mut page.entries[n].file);
    }
    for (width, height) in SIZES {
        let buf = drawn(&page, width, height);
        for words in ["built in", "tide-line.ron", "other.ron"] {
            let found = place_of(&buf, words);
            assert!(
                found.is_some(),
                "{words} {width}x{height}\n{}",
                text(&page, width, height)
            );
        }
    }
}

#[test]
fn an_empty_list_says_how_to_begin() {
    let mut page = sample::chooser();
    (page.entries, page.broken) = (Vec::new(), Vec::new());
    let shown = text(&page, 80, 24);
    assert!(shown.contains("an empty search shows them all"), "{shown}");
    page.filter = String::new();
    let shown = text(&page, 80, 24);
    assert!(shown.contains("ends in .ron"), "{shown}");
}

/// Each way to go on with all that is said of it, as far as there is room for three.
#[test]
fn the_ways_to_come_back_are_told_whole() {
    let mut page = sample::comeback();
    for (n, choice) in page.choices.iter_mut().enumerate() {
        choice.about =
            format!("12:40, Squat, round 2 of 3; ends 18:52, 4:17 over the slot, way {n}.");
    }
    for (width, height) in SIZES {
        for chosen in 0..3 {
            page.chosen = chosen;
            let buf = drawn(&page, width, height);
            let words = format!("way {chosen}.");
            let found = place_of(&buf, &words);
            assert!(
                found.is_some(),
                "{words} {width}x{height}\n{}",
                text(&page, width, height)
            );
        }
    }
}

/// The distance is that at which a name spans 22 minutes of arc (`h = 2 d tan(a / 2)`, NUREG-0700
/// 1.3.1-4), computed here apart from the page.
#[test]
fn the_reading_distance_is_that_of_a_name() {
    use crate::screen::legible::cell_mm;
    use crate::screen::zones::Zones;
    for (width, height) in SIZES.into_iter().skip(1) {
        let zones = Zones::of(Rect::new(0, 0, width, height)).expect("large enough");
        let high = f64::from(zones.name) * cell_mm(height) / 2.0 / 1000.0;
        let metres = high / 2.0 / (22.0_f64 / 60.0 / 2.0).to_radians().tan();
        let words = format!("read to {metres:.1} m");
        let place = place_of(&drawn(&sample::opening(), width, height), &words);
        assert!(place.is_some(), "{words} {width}x{height}");
    }
}

/// What is wrong is said above everything that can wait, in the colour of trouble, at every size.
#[test]
fn what_can_still_be_mended_is_said_before_the_class() {
    let mut page = sample::opening();
    page.trouble = "This class would not be recorded: the disk is full; make room on it".into();
    page.sound = crate::screen::SoundState::Absent {
        why: "no device".into(),
    };
    for (width, height) in SIZES {
        let buf = drawn(&page, width, height);
        for wordings in [
            &[
                "This class would not be recorded: the disk is full; make room on it",
                "would not be recorded",
            ][..],
            &["no sound here"],
            &[
                "1:00 over",
                "28:45 in all · 1:00 over · begun now it ends 18:29",
            ],
        ] {
            let place = wordings.iter().find_map(|words| place_of(&buf, words));
            let words = wordings[0];
            let place = place.unwrap_or_else(|| panic!("{words}\n{}", text(&page, width, height)));
            let trouble = Theme::default().style(Role::Trouble);
            assert_eq!(
                Some(buf[place.1].fg),
                trouble.fg,
                "{words} {width}x{height}"
            );
        }
    }
}

/// On the same screen a larger window makes nothing on a page smaller to the eye that it enlarges:
/// a capital of 80 by 24 is at most seven tenths of a cell high (from memory).
#[test]
fn pages_grow_with_the_window() {
    use crate::screen::legible::cell_mm;
    let least = 0.7 * cell_mm(24);
    let pages: [(Box<dyn Page>, &str); 5] = [
        (Box::new(sample::chooser()), "Short and Sharp"),
        (Box::new(sample::landing()), "recovery 0:40"),
        (Box::new(sample::ended()), "class time"),
        (Box::new(sample::comeback()), "where it stopped"),
        (Box::new(sample::opening()), "bring: mat, band"),
    ];
    for (page, words) in pages {
        for (width, height) in [(160, 45), (200, 50), (300, 80)] {
            let buf = drawn(&*page, width, height);
            let (high, _) = place_of(&buf, words).expect(words);
            let high = f64::from(high) / 2.0 * cell_mm(height);
            assert!(high >= least, "{words} {width}x{height}: {high:.1} mm");
        }
    }
}
