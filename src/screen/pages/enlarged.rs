//! A page in a large window: laid out as in a small one, then every cell of it drawn several times
//! as large, where all of it has room so.

use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::Page;
use super::paper::{Enlarged, Paper};
use crate::screen::face::{Cut, Face};
use crate::screen::fold::fold;
use crate::screen::pen::{Pen, right_of, row_of};
use crate::screen::ribbon::EIGHTHS;
use crate::screen::status;
use crate::screen::theme::Theme;

/// The least times: below it a letter of five rows of pixels has no room in a cell.
const LEAST: u16 = 3;
/// The smallest page that is laid out to be enlarged.
const SMALLEST: (u16, u16) = (40, 9);

/// Draws a page as large as all of it has room, its keys in ordinary cells; tells whether it was
/// enlarged at all.
pub(super) fn draw<P: Page + ?Sized>(
    page: &P,
    area: Rect,
    buf: &mut Buffer,
    theme: &Theme,
) -> bool {
    let area = area.intersection(buf.area);
    let most = (area.width / SMALLEST.0).min(area.height / SMALLEST.1);
    for times in (LEAST..=most).rev() {
        let body = area.height.saturating_sub(1) / times;
        // The last line is for the keys, which are not enlarged.
        let small = Rect::new(0, 0, area.width / times, body + 1);
        let mut laid = Buffer::empty(small);
        let mut enlarged = Enlarged {
            times,
            whole: area,
            large: Vec::new(),
        };
        let paper = Paper {
            area: small,
            buf: &mut laid,
            theme,
            enlarged: Some(&mut enlarged),
            is_tight: false,
        };
        if page.lay(paper) {
            let mut pen = Pen::new(area, buf, theme);
            for at in (Rect {
                height: body,
                ..small
            })
            .positions()
            {
                enlarge(&mut pen, area, (at.x, at.y), &laid[at], times);
            }
            for (room, set, style) in enlarged.large {
                set.draw(&mut pen, room, style);
            }
            let inner = right_of(area, 1);
            let foot = row_of(inner, area.height - 1);
            status::hints(&mut pen, foot, &page.hints());
            return true;
        }
    }
    false
}

/// Draws one cell so many times as large.
fn enlarge(pen: &mut Pen, area: Rect, (x, y): (u16, u16), cell: &Cell, times: u16) {
    let rect = Rect::new(area.x + x * times, area.y + y * times, times, times);
    let style = cell.style();
    pen.fill(rect, " ", style);
    let symbol = cell.symbol();
    if symbol.trim().is_empty() {
        return;
    }
    if let Some(eighths) = EIGHTHS.iter().position(|block| *block == symbol) {
        return bar(pen, rect, eighths, style);
    }
    let cut = cut(times);
    if !fold(symbol).is_empty() && cut.columns(symbol) <= times {
        return cut.draw(symbol).stamp(pen, rect.x, rect.y, style);
    }
    let middle = Rect {
        y: rect.y + times / 2,
        height: 1,
        ..rect
    };
    pen.text(middle, 0, symbol, style);
}

/// A lower block of so many eighths.
fn bar(pen: &mut Pen, rect: Rect, eighths: usize, style: Style) {
    let filled = eighths * usize::from(rect.height);
    for line in 0..rect.height {
        let under = usize::from(rect.height - 1 - line) * 8;
        let symbol = EIGHTHS[filled.saturating_sub(under).min(8)];
        let row = row_of(rect, line);
        for x in row.x..row.right() {
            pen.put(x, row.y, symbol, style);
        }
    }
}

/// The letters that stand in a cell so many times as large, with a blank row under them.
const fn cut(times: u16) -> Cut {
    let high = 2 * times - 1;
    Cut {
        face: Face::Narrow,
        high,
        wide: high,
        gap: 1,
    }
}

/// A text as it stands on a page that is enlarged so many times.
#[cfg(test)]
pub(super) fn stamp(text: &str, times: u16) -> Buffer {
    let wide = crate::screen::pen::width(text);
    let mut laid = Buffer::empty(Rect::new(0, 0, wide, 1));
    laid.set_string(0, 0, text, Style::new());
    let area = Rect::new(0, 0, wide * times, times);
    let (mut buf, theme) = (Buffer::empty(area), Theme::default());
    let mut pen = Pen::new(area, &mut buf, &theme);
    for x in 0..wide {
        enlarge(&mut pen, area, (x, 0), &laid[(x, 0)], times);
    }
    buf
}
