//! For the eye: prints a page of every kind as cells, to be looked at or made into a picture.
//!
//! `cargo test look -- --ignored --nocapture` prints each size of each page with ANSI colours.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Color, Modifier};

use super::theme::{Palette, Theme};
use super::{draw, sample};

const SIZES: [(u16, u16); 5] = [(40, 12), (80, 24), (120, 35), (160, 45), (200, 50)];

/// The colours that a terminal has of its own, in their order.
const SIXTEEN: [Color; 9] = [
    Color::Black,
    Color::Red,
    Color::Green,
    Color::Yellow,
    Color::Blue,
    Color::Magenta,
    Color::Cyan,
    Color::Gray,
    Color::DarkGray,
];

fn colour(colour: Option<Color>, ground: bool) -> String {
    let lead = if ground { 48 } else { 38 };
    match colour {
        Some(Color::Rgb(r, g, b)) => format!("\u{1b}[{lead};2;{r};{g};{b}m"),
        Some(Color::Indexed(n)) => format!("\u{1b}[{lead};5;{n}m"),
        Some(named) => match SIXTEEN.iter().position(|one| *one == named) {
            Some(n) if !ground => format!("\u{1b}[{}m", 30 + n + 52 * (n / 8)),
            _ => String::new(),
        },
        None => String::new(),
    }
}

fn print(name: &str, buf: &Buffer) {
    println!("@@ {name} {}x{}", buf.area.width, buf.area.height);
    for y in 0..buf.area.height {
        let mut line = String::new();
        for x in 0..buf.area.width {
            let cell = &buf[(x, y)];
            line.push_str("\u{1b}[0m");
            if cell.modifier.contains(Modifier::BOLD) {
                line.push_str("\u{1b}[1m");
            }
            if cell.modifier.contains(Modifier::REVERSED) {
                line.push_str("\u{1b}[7m");
            }
            line.push_str(&colour(Some(cell.fg), false));
            line.push_str(&colour(Some(cell.bg), true));
            line.push_str(cell.symbol());
        }
        println!("{line}\u{1b}[0m");
    }
}

#[test]
#[ignore = "for the eye"]
fn look() {
    let names = [
        "waiting", "work", "turning", "rest", "recovery", "held", "ended",
    ];
    for (width, height) in SIZES {
        let area = Rect::new(0, 0, width, height);
        let common = names.into_iter().zip(sample::all());
        for (name, view) in common.chain(sample::special()) {
            let mut buf = Buffer::empty(area);
            draw(area, &mut buf, &view, &sample::around(), &Theme::default());
            print(name, &buf);
        }
    }
}

#[test]
#[ignore = "for the eye"]
fn look_at_the_pages() {
    for (width, height) in SIZES {
        let area = Rect::new(0, 0, width, height);
        for (name, page) in super::pages::sample::all() {
            let mut buf = Buffer::empty(area);
            page.draw(area, &mut buf, &Theme::default());
            print(name, &buf);
        }
    }
}

/// The moments of a class that are looked at side by side, in plain text.
#[test]
#[ignore = "for the eye"]
fn look_as_text() {
    let moments = [
        ("work", sample::at_work()),
        ("silence", sample::silence()),
        ("last-seconds", sample::turning()),
        ("rest-before-floor", sample::rest_before_floor()),
        ("recovery", sample::recovery()),
        ("circuit", sample::circuit()),
        ("held", sample::held()),
    ];
    for (width, height) in [(40, 12), (80, 24), (160, 45)] {
        let area = Rect::new(0, 0, width, height);
        for (name, view) in &moments {
            let mut buf = Buffer::empty(area);
            draw(area, &mut buf, view, &sample::around(), &Theme::default());
            plain(name, &buf);
        }
        for (name, page) in super::pages::sample::all() {
            let mut buf = Buffer::empty(area);
            page.draw(area, &mut buf, &Theme::default());
            plain(name, &buf);
        }
    }
}

fn plain(name: &str, buf: &Buffer) {
    println!("@@ {name} {}x{}", buf.area.width, buf.area.height);
    for y in 0..buf.area.height {
        let line: String = (0..buf.area.width).map(|x| buf[(x, y)].symbol()).collect();
        println!("{}", line.trim_end());
    }
}

/// Every moment and page in every palette.
#[test]
#[ignore = "for the eye"]
fn look_at_the_palettes() {
    let palettes = [
        ("light", Palette::True, true),
        ("256", Palette::Indexed, false),
        ("16", Palette::Sixteen, false),
        ("none", Palette::None, false),
    ];
    let area = Rect::new(0, 0, 80, 24);
    for (palette, theme) in palettes.map(|(name, of, is_light)| (name, Theme::of(of, is_light))) {
        for (name, buf) in super::palettes::all(theme, (area.width, area.height)) {
            print(&format!("{palette} {name}"), &buf);
        }
    }
}
