//! Writing into a buffer without ever leaving the area.
//!
//! It refuses to know what is written. Whatever is too long ends in an ellipsis; whatever lies
//! outside is dropped.

use std::num::NonZeroU16;

use ratatui::buffer::{Buffer, Cell, CellDiffOption};
use ratatui::layout::Rect;
use ratatui::style::Style;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::theme::{Role, Theme};
use crate::text;

/// A count as a number of cells.
pub(super) fn cells(count: usize) -> u16 {
    u16::try_from(count).unwrap_or(u16::MAX)
}

/// How many cells a text takes.
pub(super) fn width(text: &str) -> u16 {
    cells(text.width())
}

/// A symbol known to be one cell wide: what is told need not be measured anew for every cell of every
/// frame, which takes longer than to draw it.
const NARROW: CellDiffOption = CellDiffOption::ForcedWidth(NonZeroU16::MIN);

/// A buffer, the part of it that may be written to, and the theme.
pub(super) struct Pen<'a> {
    buf: &'a mut Buffer,
    /// What may be written to.
    pub(super) area: Rect,
    /// The colours.
    pub(super) theme: &'a Theme,
}

impl<'a> Pen<'a> {
    /// A pen for an area, which is cleared to the theme's ground.
    pub(super) fn new(area: Rect, buf: &'a mut Buffer, theme: &'a Theme) -> Self {
        let area = area.intersection(buf.area);
        let mut pen = Self { buf, area, theme };
        pen.fill(area, " ", theme.style(Role::Now));
        pen
    }

    /// Sets one cell to a narrow symbol.
    pub(super) fn put(&mut self, x: u16, y: u16, symbol: &str, style: Style) {
        if self.area.contains((x, y).into()) {
            let cell = self.buf[(x, y)].set_symbol(symbol).set_style(style);
            cell.set_diff_option(NARROW);
        }
    }

    /// Sets every cell of a rectangle to a narrow symbol.
    pub(super) fn fill(&mut self, rect: Rect, symbol: &str, style: Style) {
        let mut cell = Cell::EMPTY;
        cell.set_symbol(symbol).set_style(style);
        cell.set_diff_option(NARROW);
        for row in rect.intersection(self.area).rows() {
            let from = self.buf.index_of(row.x, row.y);
            self.buf.content[from..][..usize::from(row.width)].fill(cell.clone());
        }
    }

    /// Writes on a line of a rectangle, cut to its width; gives the cells that were used.
    pub(super) fn text(&mut self, rect: Rect, line: u16, text: &str, style: Style) -> u16 {
        let row = row_of(rect, line).intersection(self.area);
        if row.is_empty() {
            return 0;
        }
        let text = cut(text, row.width);
        let end = self
            .buf
            .set_stringn(row.x, row.y, &text, usize::from(row.width), style);
        if !text.is_ascii() {
            for x in row.x..end.0 {
                self.buf[(x, row.y)].set_diff_option(CellDiffOption::None);
            }
        }
        end.0.saturating_sub(row.x)
    }

    /// Writes at the right end of a line, if the whole text has room; gives the cells used.
    pub(super) fn text_right(&mut self, rect: Rect, line: u16, text: &str, style: Style) -> u16 {
        let needs = width(text);
        if needs > rect.width {
            return 0;
        }
        let start = Rect {
            x: rect.right() - needs,
            width: needs,
            ..rect
        };
        self.text(start, line, text, style)
    }

    /// Writes wrapped by words from the top of a rectangle; gives the lines used.
    pub(super) fn wrapped(&mut self, rect: Rect, text: &str, style: Style) -> u16 {
        let lines = wrap(text, rect.width);
        let shown = cells(lines.len()).min(rect.height);
        for (n, line) in (0..shown).zip(&lines) {
            let is_last_of_more = n + 1 == shown && lines.len() > usize::from(shown);
            let line = if is_last_of_more {
                cut(&format!("{line} …"), rect.width)
            } else {
                line.clone()
            };
            self.text(rect, n, &line, style);
        }
        shown
    }
}

/// One line of a rectangle; empty where it has no such line.
pub(super) fn row_of(rect: Rect, line: u16) -> Rect {
    Rect {
        y: rect.y.saturating_add(line),
        height: u16::from(line < rect.height),
        ..rect
    }
}

/// What is left of a rectangle under its first lines.
pub(super) fn below(rect: Rect, lines: u16) -> Rect {
    let lines = lines.min(rect.height);
    Rect {
        y: rect.y + lines,
        height: rect.height - lines,
        ..rect
    }
}

/// What is left of a rectangle right of its first columns.
pub(super) fn right_of(rect: Rect, columns: u16) -> Rect {
    let columns = columns.min(rect.width);
    Rect {
        x: rect.x + columns,
        width: rect.width - columns,
        ..rect
    }
}

/// The text, or as much of it as has room together with an ellipsis.
pub(super) fn cut(text: &str, room: u16) -> String {
    let clean: String = text
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if width(&clean) <= room {
        return clean;
    }
    let mut out = String::new();
    let mut used = 0;
    for c in clean.chars() {
        used += c.width().unwrap_or(0);
        if used >= usize::from(room) {
            break;
        }
        out.push(c);
    }
    if room > 0 {
        out.push('…');
    }
    out
}

/// The text in lines, broken between words; a word longer than a line stands alone on one.
pub(super) fn wrap(text: &str, room: u16) -> Vec<String> {
    let room = usize::from(room);
    text::wrap(text.split_whitespace(), room, room)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the terminal shows after each frame is what was drawn, wide letters or narrow ones; the
    /// terminal is `vt100`'s.
    #[test]
    fn wide_letters_come_and_go_whole() {
        let area = Rect::new(0, 0, 12, 1);
        let theme = Theme::default();
        let mut before = Buffer::empty(area);
        let size = |cells| std::num::NonZero::new(cells).expect("cells");
        let mut screen = vt100::Parser::new(size(1), size(12), 0);
        for text in [
            "plank",
            "漢字 plank",
            "漢字",
            "a漢字",
            "",
            "漢",
            "plank taps",
        ] {
            let mut now = Buffer::empty(area);
            let mut pen = Pen::new(area, &mut now, &theme);
            pen.text(area, 0, text, theme.style(Role::Now));
            for (x, _, cell) in before.diff_iter(&now) {
                screen.process(format!("\x1b[1;{}H{}", x + 1, cell.symbol()).as_bytes());
            }
            assert_eq!(screen.screen().contents().trim_end(), text);
            before = now;
        }
    }

    #[test]
    fn a_text_is_cut_to_its_room_and_says_so() {
        assert_eq!(cut("plank", 5), "plank");
        assert_eq!(cut("planks", 5), "plan…");
        assert_eq!(cut("漢字漢字", 5), "漢字…");
        assert_eq!(cut("a\nb", 5), "a b");
        assert_eq!(cut("abc", 0), "");
    }
}
