//! What must hold for every view at every size: nothing breaks, nothing leaves the area, nothing
//! that the eye looks for moves, and what must be read from the mat is large enough for it.

use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::Rect;

use super::around::{Around, Hint, RecordState};
use super::face::Cut;
use super::fold::fold;
use super::legible::{PREFERRED, cell_mm, height_mm};
use super::pen::Pen;
use super::theme::{Palette, Theme};
use super::zones::Zones;
use super::{draw, sample, wild};
use crate::live::{Digits, Stance, View};

const STANCES: [Stance; 6] = [
    Stance::Waiting,
    Stance::AtWork,
    Stance::Turning,
    Stance::Open,
    Stance::Held,
    Stance::Ended,
];

/// Sizes with the lines of ink that 22 minutes of arc need at three metres (display and sound,
/// section 1).
pub(super) const COMMON: [(u16, u16, u16); 4] =
    [(80, 24, 3), (120, 35, 5), (160, 45, 6), (200, 50, 6)];

pub(super) fn drawn(area: Rect, view: &View, around: &Around, theme: Theme) -> Buffer {
    let mut buf = Buffer::empty(area);
    draw(area, &mut buf, view, around, &theme);
    buf
}

pub(super) fn plainly(width: u16, height: u16, view: &View) -> Buffer {
    let area = Rect::new(0, 0, width, height);
    drawn(area, view, &sample::around(), Theme::default())
}

pub(super) fn row(buf: &Buffer, y: u16) -> String {
    (0..buf.area.width).map(|x| buf[(x, y)].symbol()).collect()
}

pub(super) fn text(buf: &Buffer) -> String {
    (0..buf.area.height).map(|y| row(buf, y) + "\n").collect()
}

fn has_ink(cell: &Cell) -> bool {
    !cell.symbol().trim().is_empty()
}

/// The symbols of a rectangle.
fn ink(buf: &Buffer, rect: Rect) -> Vec<String> {
    let rect = rect.intersection(buf.area);
    rect.positions()
        .map(|at| buf[at].symbol().to_owned())
        .collect()
}

/// The lines of a rectangle in which anything is drawn.
fn inked_lines(buf: &Buffer, rect: Rect) -> u16 {
    let lines = rect
        .rows()
        .filter(|row| row.positions().any(|at| has_ink(&buf[at])));
    u16::try_from(lines.count()).expect("few")
}

#[test]
fn no_view_breaks_any_size_or_leaves_its_area() {
    let mut rng = fastrand::Rng::with_seed(11);
    for n in 0..1500 {
        let (width, height) = match n % 3 {
            0 => (rng.u16(0..60), rng.u16(0..20)),
            1 => (rng.u16(40..210), rng.u16(12..60)),
            _ => (rng.u16(1..=500), rng.u16(1..=200)),
        };
        if n % 3 == 2 && n % 10 != 0 {
            continue;
        }
        let view = wild::view(&mut rng, STANCES[n % 6]);
        let around = wild::around(&mut rng);
        let whole = Rect::new(0, 0, width + 4, height + 4);
        let mut buf = Buffer::filled(whole, Cell::new("#"));
        let area = Rect::new(2, 2, width, height);
        draw(area, &mut buf, &view, &around, &Theme::default());
        for at in whole.positions().filter(|at| !area.contains(*at)) {
            assert_eq!(buf[at].symbol(), "#", "{at} outside {area}");
        }
        draw(
            Rect::new(0, 0, u16::MAX, u16::MAX),
            &mut buf,
            &view,
            &around,
            &Theme::default(),
        );
    }
}

#[test]
fn equal_views_draw_equal_buffers() {
    for seed in 0..40 {
        let view = |_: u8| wild::view(&mut fastrand::Rng::with_seed(seed), Stance::Turning);
        assert_eq!(plainly(97, 31, &view(0)), plainly(97, 31, &view(1)));
    }
}

#[test]
fn the_figures_stand_at_the_same_place_in_every_stance() {
    let mut rng = fastrand::Rng::with_seed(5);
    for _ in 0..60 {
        let (width, height) = (rng.u16(40..260), rng.u16(12..80));
        let zones = Zones::of(Rect::new(0, 0, width, height)).expect("large enough");
        let digits = Digits::Left(rng.u64(0..5000));
        let field = Rect {
            width: digits_width(digits, zones),
            ..zones.band
        };
        let mut first = None;
        for stance in STANCES {
            let view = View {
                digits,
                ..wild::view(&mut rng, stance)
            };
            let found = ink(&plainly(width, height, &view), field);
            assert_eq!(
                *first.get_or_insert_with(|| found.clone()),
                found,
                "{stance:?}"
            );
        }
    }
}

pub(super) fn digits_width(digits: Digits, zones: Zones) -> u16 {
    let theme = Theme::default();
    let mut buf = Buffer::empty(zones.band);
    let mut pen = Pen::new(zones.band, &mut buf, &theme);
    let style = ratatui::style::Style::new();
    super::digits::draw(&mut pen, zones.band, digits, zones.figures, style)
}

/// Figures, the next move's name, its change of position and what to fetch, against the formula
/// `h = 2 d tan(a / 2)` and the cell heights of a 13.3-inch screen.
#[test]
fn what_is_read_from_the_mat_is_large_enough() {
    for (width, height, lines) in COMMON {
        let needed = height_mm(3.0, PREFERRED) / cell_mm(height);
        assert!(
            (needed - f64::from(lines)).abs() <= 1.0 && needed <= f64::from(lines),
            "{height}"
        );
        let view = sample::rest_before_floor();
        let buf = plainly(width, height, &view);
        let zones = Zones::of(buf.area).expect("large enough");
        let panel = super::pen::right_of(zones.band, digits_width(view.digits, zones) + 3);
        let upper = Rect {
            height: panel.height / 2,
            ..panel
        };
        let figures = Rect {
            width: digits_width(view.digits, zones),
            ..zones.band
        };
        for (what, rect) in [("figures", figures), ("rest", upper), ("name", zones.head)] {
            assert!(
                inked_lines(&buf, rect) >= lines,
                "{what} at {width}x{height}"
            );
        }
    }
}

/// Cells without ink: a page of few large words is mostly ground, but a window must not be wasted.
#[test]
fn large_windows_are_used() {
    for (width, height, most) in [(160, 45, 59), (200, 50, 59), (240, 60, 60), (300, 80, 59)] {
        for (what, view) in [
            ("work", sample::at_work()),
            ("silence", sample::silence()),
            ("last seconds", sample::turning()),
            ("rest before the floor", sample::rest_before_floor()),
            ("rest", sample::rest()),
            ("stations", sample::stations()),
            ("partners", sample::partners()),
        ] {
            let buf = plainly(width, height, &view);
            let blank = buf.content().iter().filter(|cell| !has_ink(cell)).count();
            let share = blank * 100 / buf.content().len();
            println!("{what} {width}x{height}: {share} % blank");
            // The lines of a list are of different length, and all as high as the longest can be.
            let most = most + if what == "stations" { 6 } else { 0 };
            assert!(share <= most, "{what} {width}x{height}: {share} %");
        }
    }
}

/// A search of the table of colours for every cell was nine tenths of what drawing cost.
#[test]
fn drawing_searches_no_table_of_colours() {
    use super::contrast::SEARCHES;
    for palette in [
        Palette::True,
        Palette::Indexed,
        Palette::Sixteen,
        Palette::None,
    ] {
        let theme = Theme::of(palette, false);
        let before = SEARCHES.get();
        for view in sample::all() {
            drawn(Rect::new(0, 0, 120, 35), &view, &sample::around(), theme);
        }
        assert_eq!(SEARCHES.get(), before, "{palette:?}");
    }
    let before = SEARCHES.get();
    let _ = Theme::of(Palette::Indexed, false);
    assert!(SEARCHES.get() > before, "the count counts");
}

/// Whether a text stands anywhere in a buffer, in ordinary cells or enlarged at any size up to one.
pub(super) fn shows(buf: &Buffer, name: &str, most: u16) -> bool {
    text(buf).contains(name) || is_enlarged(buf, name, 0, most)
}

/// Whether a text stands in a buffer in capitals of such a height in pixels.
pub(super) fn is_enlarged(buf: &Buffer, name: &str, least: u16, most: u16) -> bool {
    stamps(buf, name, least, most).any(|(_, stamp)| contains(buf, &stamp))
}

/// A text's ink in capitals of each such height that has room in a buffer, with that height.
pub(super) fn stamps(
    buf: &Buffer,
    name: &str,
    least: u16,
    most: u16,
) -> impl Iterator<Item = (u16, Buffer)> {
    let (wide, is_drawn) = (buf.area.width, !fold(name).is_empty());
    let cuts = Cut::all(most).into_iter();
    let cuts = cuts.filter(move |cut| is_drawn && cut.high >= least && cut.columns(name) <= wide);
    cuts.map(|cut| (cut.high, stamped(cut, name)))
}

/// The name's ink in cells.
fn stamped(cut: Cut, name: &str) -> Buffer {
    let bitmap = cut.draw(name);
    let area = Rect::new(0, 0, bitmap.columns(), bitmap.lines());
    let (mut buf, theme) = (Buffer::empty(area), Theme::default());
    let mut pen = Pen::new(area, &mut buf, &theme);
    bitmap.stamp(&mut pen, 0, 0, ratatui::style::Style::new());
    buf
}

fn contains(buf: &Buffer, pattern: &Buffer) -> bool {
    found(buf, pattern).is_some()
}

/// Where a pattern stands in a buffer.
pub(super) fn found(buf: &Buffer, pattern: &Buffer) -> Option<(u16, u16)> {
    let (area, small) = (buf.area, pattern.area);
    if small.width > area.width || small.height > area.height || small.is_empty() {
        return None;
    }
    let matches = |x: u16, y: u16| {
        small
            .positions()
            .all(|at| buf[(x + at.x, y + at.y)].symbol() == pattern[at].symbol())
    };
    let rows = 0..=area.height - small.height;
    let mut places = rows.flat_map(|y| (0..=area.width - small.width).map(move |x| (x, y)));
    places.find(|(x, y)| matches(*x, *y))
}

#[test]
fn the_next_name_stands_on_the_screen_at_every_size() {
    let mut rng = fastrand::Rng::with_seed(3);
    for name in ["Squat", "Plank", "漢字の動き", "Überzug"] {
        for _ in 0..12 {
            let (width, height) = (rng.u16(40..200), rng.u16(12..60));
            for mut view in [sample::turning(), sample::rest(), sample::recovery()] {
                let next = &mut view.next.as_mut().expect("has one").is;
                name.clone_into(&mut next.name);
                name.clone_into(&mut next.call);
                let buf = plainly(width, height, &view);
                let most = Zones::of(buf.area).expect("large enough").name;
                let name = if name.is_ascii() || !name.contains('Ü') {
                    name
                } else {
                    "Uberzug"
                };
                let is_shown = match name {
                    // A wide letter takes two cells, the second of them empty.
                    "漢字の動き" => name.chars().all(|c| text(&buf).contains(c)),
                    _ => shows(&buf, name, most) || text(&buf).contains("Überzug"),
                };
                assert!(is_shown, "{name} at {width}x{height}\n{}", text(&buf));
            }
        }
    }
}

#[test]
fn a_note_is_shown_whole_where_there_is_room_and_never_in_part() {
    let around = Around {
        note: "screen may sleep".into(),
        ..sample::around()
    };
    for width in 40..200 {
        let area = Rect::new(0, 0, width, 24);
        let with = text(&drawn(area, &sample::at_work(), &around, Theme::default()));
        let part = with.contains("screen may") || with.contains("may sleep");
        assert_eq!(with.contains("screen may sleep"), part, "{width}\n{with}");
        assert!(width < 120 || part, "{width}\n{with}");
    }
}

#[test]
fn every_hint_of_the_footer_is_whole_or_absent() {
    let around = Around {
        hints: (0..20)
            .map(|n| Hint::new(format!("k{n}"), format!("act{n}x")))
            .collect(),
        ..sample::around()
    };
    for width in 40..200 {
        let area = Rect::new(0, 0, width, 24);
        let buf = drawn(area, &sample::at_work(), &around, Theme::default());
        let footer = row(&buf, 23);
        let shown: Vec<&str> = footer.split_whitespace().collect();
        let whole = (0..20).flat_map(|n| [format!("k{n}"), format!("act{n}x")]);
        let expected: Vec<String> = whole.take(shown.len()).collect();
        assert_eq!(shown, expected, "{width}");
        assert!(shown.len() >= 4 && shown.len().is_multiple_of(2), "{width}");
    }
}

#[test]
fn the_line_of_the_class_keeps_the_slot_before_the_record() {
    let at = |width| row(&plainly(width, 24, &sample::at_work()), 22);
    assert_eq!(
        at(80).trim(),
        "18:50 left · 1:00 over · ends 18:46 · sound 7/10 · recorded · Kiln Row speaker"
    );
    assert_eq!(at(42).trim(), "18:50 left · 1:00 over · ends 18:46");
}

/// A reason as long as a path on a disk must not push the words off the line.
#[test]
fn a_class_that_is_not_recorded_says_so_at_every_width() {
    let around = Around {
        record: RecordState::Off("the disk is full: ".repeat(9)),
        ..sample::around()
    };
    for width in [40, 60, 80, 200] {
        let area = Rect::new(0, 0, width, 24);
        let buf = drawn(area, &sample::at_work(), &around, Theme::default());
        assert!(shows(&buf, "not recorded", 7), "{width}\n{}", text(&buf));
    }
}

#[test]
fn without_colour_nothing_is_coloured_and_held_is_reversed() {
    use ratatui::style::{Color, Modifier};
    let theme = Theme::of(Palette::None, false);
    for view in sample::all() {
        let area = Rect::new(0, 0, 80, 24);
        let buf = drawn(area, &view, &sample::around(), theme);
        for cell in buf.content() {
            assert_eq!((cell.fg, cell.bg), (Color::Reset, Color::Reset));
        }
        let reversed = |cell: &Cell| cell.modifier.contains(Modifier::REVERSED);
        let count = buf.content().iter().filter(|cell| reversed(cell)).count();
        assert_eq!(
            count > 200,
            view.stance == Stance::Held,
            "{:?}",
            view.stance
        );
    }
}

#[test]
fn a_tiny_window_has_one_line_with_kind_time_and_next() {
    let buf = plainly(39, 11, &sample::at_work());
    assert_eq!(row(&buf, 0).trim(), "work 34 next Plank tap");
}

/// Work and rest differ by shape, not by colour alone, and so do the last seconds.
#[test]
fn the_horizon_tells_kinds_apart_and_counts_down() {
    let horizon = |view: &View, around: &Around| {
        let area = Rect::new(0, 0, 80, 24);
        row(&drawn(area, view, around, Theme::default()), 9)
    };
    let rest = View {
        count: None,
        ..sample::rest()
    };
    let (around, work) = (
        sample::around(),
        horizon(&sample::at_work(), &sample::around()),
    );
    assert!(work.contains("▀▀▀") && !work.contains('╍'));
    assert!(horizon(&rest, &around).contains('╍'));
    let beats = |count| {
        let view = View {
            count: Some(count),
            ..sample::rest()
        };
        horizon(&view, &around).split_whitespace().count()
    };
    assert_eq!([beats(3), beats(2), beats(1)], [3, 2, 1]);
    let silent = Around {
        flash: false,
        ..sample::around()
    };
    assert!(horizon(&sample::rest(), &silent).contains('╍'));
}

#[test]
fn the_question_whether_to_end_is_asked_in_large_letters_in_every_stance() {
    for view in sample::all() {
        let view = View {
            asked: Some(crate::live::Asked::End),
            ..view
        };
        for (width, height, _) in COMMON {
            let buf = plainly(width, height, &view);
            let most = Zones::of(buf.area).expect("large enough").name;
            assert!(
                shows(&buf, "End the class?", most),
                "{:?} {width}",
                view.stance
            );
            assert!(row(&buf, height - 1).contains("again ends it"));
            let small = plainly(40, 12, &view);
            assert!(
                text(&small).contains("q: yes · esc: no") || shows(&small, "q: yes · esc: no", 7)
            );
            assert!(row(&small, 11).contains("again ends it"));
            assert!(
                shows(&buf, "q: yes · esc: no", most),
                "{:?} {width}",
                view.stance
            );
        }
    }
}
