//! The large figures, with a face of their own, and the one place where they stand.
//!
//! They refuse to know the stance: the eye must find them without looking for them, so nothing but
//! the size of the terminal decides where they are and how large.

use std::rc::Rc;

use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

use super::memo::Memo;
use super::pen::{Pen, width};
use super::raster::{Bitmap, Scale};
use crate::live::Digits;
use crate::time::Span;

/// Figures of 10 by 15 square pixels, rows parted by `/`; upright strokes are a fifth of the height or less, numerals
/// at least 5 by 7 (ISO 9241-3 lineage, from a secondary text).
const FIGURES: [&str; 10] = [
    "..######../.########./####..####/###....###/###....###/\
     ###....###/###....###/###....###/###....###/###....###/\
     ###....###/###....###/####..####/.########./..######..",
    "....###.../...####.../.######.../.######.../....###.../\
     ....###.../....###.../....###.../....###.../....###.../\
     ....###.../....###.../....###.../.#########/.#########",
    "..######../.########./####..####/###....###/.......###/\
     ......####/.....####./....####../...####.../..####..../\
     .####...../####....../###......./##########/##########",
    "..######../.########./####..####/###....###/.......###/\
     ......####/...######./...#####../...######./......####/\
     .......###/###....###/####..####/.########./..######..",
    ".....####./.....####./....#####./....#####./...######./\
     ..###.###./..###.###./.###..###./.###..###./###...###./\
     ##########/##########/......###./......###./......###.",
    "##########/##########/###......./###......./###......./\
     ########../#########./......####/.......###/.......###/\
     .......###/###....###/####..####/.########./..######..",
    "...#####../..#######./.####..###/.###....../###......./\
     ###......./###.####../#########./####..####/###....###/\
     ###....###/###....###/####..####/.########./..######..",
    "##########/##########/.......###/......####/......###./\
     .....####./.....###../....####../....###.../...####.../\
     ...###..../...###..../..####..../..###...../..###.....",
    "..######../.########./####..####/###....###/###....###/\
     ####..####/.########./..######../.########./####..####/\
     ###....###/###....###/####..####/.########./..######..",
    "..######../.########./####..####/###....###/###....###/\
     ###....###/####..####/.#########/..####.###/.......###/\
     .......###/......###./###..####./.#######../..#####...",
];

/// Before figures that count up, so that they do not look like those that count down.
const PLUS: &str = "......./......./......./......./......./..###../..###../#######/\
     #######/..###../..###../......./......./......./.......";

const COLON: &str = ".../.../.../###/###/###/.../.../.../###/###/###/.../.../...";

/// What the figures show: seconds alone under 100, then minutes, then hours; what counts up has a
/// sign before it.
#[must_use]
pub(super) fn text(digits: Digits) -> String {
    match digits {
        Digits::Left(secs) | Digits::CountIn(secs) => plain(secs),
        Digits::Up(secs) => format!("+{}", plain(secs)),
    }
}

fn plain(secs: u64) -> String {
    let (hours, minutes) = (secs / 3600, secs / 60);
    match secs {
        0..100 => secs.to_string(),
        100..3600 => format!("{minutes}:{:02}", secs % 60),
        _ => format!("{hours}:{:02}:{:02}", minutes % 60, secs % 60),
    }
}

thread_local! {
    static FIGURE: Memo<(char, u16), Rc<Bitmap>> = Memo::new();
    static DRAWN: Memo<(String, u16), Rc<Bitmap>> = Memo::new();
}

/// The figures as high as this many pixels; they are drawn on square pixels, of which a cell has
/// two across and one down.
fn bitmap(text: &str, high: u16) -> Rc<Bitmap> {
    let draw = |(text, high): &(String, u16)| {
        let (mut out, gap) = (Bitmap::default(), across(*high).of(2));
        for (n, c) in text.chars().enumerate() {
            out.push(gap * usize::from(n > 0), &figure(c, *high));
        }
        Rc::new(out)
    };
    DRAWN.with(|all| all.get((text.to_owned(), high), draw))
}

fn figure(c: char, high: u16) -> Rc<Bitmap> {
    let draw = |&(c, high): &(char, u16)| {
        let rows = match (c, c.to_digit(10)) {
            (_, Some(digit)) => FIGURES[digit as usize],
            ('+', _) => PLUS,
            _ => COLON,
        };
        let figure = Bitmap::of_rows(rows.split('/'));
        Rc::new(figure.scaled(across(high), Scale(high, ROWS)))
    };
    FIGURE.with(|all| all.get((c, high), draw))
}

const fn across(high: u16) -> Scale {
    Scale(2 * high, ROWS)
}

/// Rows of a figure.
const ROWS: u16 = 15;
/// The lowest that a figure is drawn.
const LOWEST: u16 = 7;

/// The shortest figures for which room is kept.
const fn least(digits: Digits) -> &'static str {
    match digits {
        Digits::Up(_) => "+00",
        Digits::Left(_) | Digits::CountIn(_) => "00",
    }
}

/// Draws the figures at the upper left of their band, as high as this many pixels; gives the
/// columns used, never less than two figures take, in which a single one stands at the right: so
/// nothing moves when 10 becomes 9. Figures too long for the band are drawn smaller, at last in
/// ordinary cells.
pub(super) fn draw(pen: &mut Pen, band: Rect, digits: Digits, high: u16, style: Style) -> u16 {
    let text = text(digits);
    let field = bitmap(least(digits), high).columns();
    let fitting = fitting(&text, band, high);
    if let Some(bitmap) = fitting {
        let columns = bitmap.columns();
        let indent = field.saturating_sub(columns);
        bitmap.stamp(pen, band.x + indent, band.y, style);
        return columns + indent;
    }
    pen.text(band, 0, &text, style.add_modifier(Modifier::BOLD));
    width(&text).max(field)
}

/// The columns that the figures of an interval so long take at its start: what stands beside them
/// must not move when they become shorter.
pub(super) fn field(band: Rect, length: Span, high: u16) -> u16 {
    let longest = text(Digits::Left(length.secs_ceil()));
    fitting(&longest, band, high).map_or(0, |bitmap| bitmap.columns())
}

fn fitting(text: &str, band: Rect, high: u16) -> Option<Rc<Bitmap>> {
    let heights = (LOWEST..=high).rev();
    let all = heights.map(|high| bitmap(text, high));
    let fits =
        |bitmap: &Rc<Bitmap>| bitmap.columns() <= band.width && bitmap.lines() <= band.height;
    all.into_iter().find(fits)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn seconds_stand_alone_until_they_would_be_three_figures() {
        for (secs, shown) in [
            (0, "0"),
            (45, "45"),
            (99, "99"),
            (100, "1:40"),
            (3599, "59:59"),
            (3600, "1:00:00"),
        ] {
            assert_eq!(text(Digits::Left(secs)), shown);
            assert_eq!(text(Digits::CountIn(secs)), shown);
            assert_eq!(text(Digits::Up(secs)), format!("+{shown}"));
        }
    }

    #[test]
    fn every_figure_is_fifteen_rows_of_ten() {
        for rows in FIGURES {
            assert_eq!(rows.split('/').count(), 15);
            assert!(rows.split('/').all(|row| row.len() == 10));
        }
        assert_eq!(
            (bitmap("45", 15).columns(), bitmap("45", 15).lines()),
            (22, 8)
        );
    }
}
