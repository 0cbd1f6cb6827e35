//! Every moment and page in every palette: what is drawn is told from its ground, word and shape
//! stay when colours go, and the sound's device and faults are told.

use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::Rect;
use ratatui::style::{Color, Modifier};

use super::around::{Around, SoundState};
use super::contrast::{Rgb, of_index, ratio};
use super::tests::{drawn, text};
use super::theme::{Palette, Role, Theme};
use super::{pages, sample};
use crate::live::View;

const SIZES: [(u16, u16); 3] = [(80, 24), (160, 45), (300, 80)];

const PALETTES: [Palette; 4] = [
    Palette::True,
    Palette::Indexed,
    Palette::Sixteen,
    Palette::None,
];

fn themes() -> impl Iterator<Item = (Palette, Theme)> {
    let both = |palette| [false, true].map(|is_light| (palette, Theme::of(palette, is_light)));
    PALETTES.into_iter().flat_map(both)
}

/// Every moment of a class, and every page, in a theme, by name.
fn all(theme: Theme, (width, height): (u16, u16)) -> Vec<(String, Buffer)> {
    let area = Rect::new(0, 0, width, height);
    let names = [
        "waiting", "work", "turning", "rest", "recovery", "held", "ended",
    ];
    let views = names
        .into_iter()
        .zip(sample::all())
        .chain(sample::special());
    let lost = Around {
        sound: absent(),
        ..sample::around()
    };
    let around = [("", sample::around()), (" without sound", lost)];
    let draw = |(name, view): (&str, View)| {
        around.clone().map(|(how, around)| {
            let buf = drawn(area, &view, &around, theme);
            (format!("{name}{how}"), buf)
        })
    };
    let views: Vec<(String, Buffer)> = views.flat_map(draw).collect();
    let pages = pages::sample::all().into_iter().map(|(name, page)| {
        let mut buf = Buffer::empty(area);
        page.draw(area, &mut buf, &theme);
        (name.to_owned(), buf)
    });
    views.into_iter().chain(pages).collect()
}

fn absent() -> SoundState {
    SoundState::Absent {
        why: "no output device".into(),
    }
}

fn has_ink(cell: &Cell) -> bool {
    !cell.symbol().trim().is_empty()
}

fn rgb(colour: Color) -> Option<Rgb> {
    match colour {
        Color::Rgb(r, g, b) => Some((r, g, b)),
        Color::Indexed(index) => Some(of_index(index)),
        _ => None,
    }
}

/// As drawn, not only as the theme has it: text 7:1, enlarged letters too, and the marks 3:1, by the
/// formula of WCAG 2.2 (success criteria 1.4.6 and 1.4.11). A mark is no letter and no figure.
#[test]
fn whatever_is_drawn_has_its_contrast() {
    for (palette, theme) in themes() {
        if !matches!(palette, Palette::True | Palette::Indexed) {
            continue;
        }
        let mark = theme.style(Role::Mark).fg;
        for (name, buf) in SIZES.into_iter().flat_map(|size| all(theme, size)) {
            for cell in buf.content().iter().filter(|cell| has_ink(cell)) {
                let what = format!("`{}` of {name}, {palette:?}", cell.symbol());
                let colours = rgb(cell.fg).zip(rgb(cell.bg));
                let (front, ground) = colours.unwrap_or_else(|| panic!("{what} has no colours"));
                let is_mark = Some(cell.fg) == mark;
                let needed = if is_mark { 3.0 } else { 7.0 };
                let found = ratio(front, ground);
                assert!(found >= needed, "{what}: {found:.2}");
                let is_text = cell.symbol().chars().any(char::is_alphanumeric);
                assert!(!(is_mark && is_text), "{what} is text");
            }
        }
    }
}

/// Colours carry nothing of their own (WCAG 2.2, 1.4.1): in every palette the same signs stand at
/// the same places.
#[test]
fn no_palette_changes_what_is_drawn_but_its_colours() {
    for size in SIZES {
        let first = all(Theme::default(), size);
        for (palette, theme) in themes() {
            for ((name, a), (_, b)) in first.iter().zip(all(theme, size)) {
                assert_eq!(text(a), text(&b), "{name} {palette:?}");
            }
        }
    }
}

/// Where the terminal chooses the colours no contrast can be promised, so text has none of them:
/// only the ground's own colour, bold or reversed, and enlarged letters may have a hue.
#[test]
fn of_sixteen_colours_no_small_text_has_one() {
    for is_light in [false, true] {
        let theme = Theme::of(Palette::Sixteen, is_light);
        for (name, buf) in SIZES.into_iter().flat_map(|size| all(theme, size)) {
            for cell in buf.content().iter().filter(|cell| has_ink(cell)) {
                let is_text = cell.symbol().chars().any(char::is_alphanumeric);
                let is_reversed = cell.modifier.contains(Modifier::REVERSED);
                assert!(
                    !is_text || is_reversed || cell.fg == Color::Reset,
                    "`{}` of {name}: {:?}",
                    cell.symbol(),
                    cell.fg
                );
            }
        }
    }
}

/// Which device plays, and why none does: on the class's screen and on the page before it.
#[test]
fn the_device_is_told_and_why_none_plays() {
    let on = SoundState::On {
        loudness: 7,
        device: "Kiln Row speaker".into(),
    };
    let lost = SoundState::Lost {
        why: "the device went away".into(),
    };
    for (sound, told) in [
        (on, &["sound 7/10", "Kiln Row speaker"][..]),
        (lost, &["the device went away"]),
        (absent(), &["no output device"]),
    ] {
        for (width, height) in [(80, 24), (120, 35), (160, 45), (200, 50)] {
            let area = Rect::new(0, 0, width, height);
            let around = Around {
                sound: sound.clone(),
                ..sample::around()
            };
            let class = drawn(area, &sample::at_work(), &around, Theme::default());
            let page = pages::Opening {
                sound: sound.clone(),
                ..pages::sample::opening()
            };
            let mut opening = Buffer::empty(area);
            pages::Page::draw(&page, area, &mut opening, &Theme::default());
            for words in told {
                let is_there = text(&class).contains(words);
                assert!(is_there, "{words} {width}\n{}", text(&class));
                let is_there = pages::tests::place_of(&opening, words).is_some();
                assert!(is_there, "{words} {width}\n{}", text(&opening));
            }
        }
    }
}
