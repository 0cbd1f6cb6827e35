//! What every page has: a large title, lines from top to bottom, the keys at the foot.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use crate::screen::around::Hint;
use crate::screen::face::headline;
use crate::screen::pen::{Pen, below, right_of, row_of};
use crate::screen::status;
use crate::screen::theme::{Role, Theme};

/// A page being written from top to bottom.
pub(super) struct Sheet<'a> {
    /// What writes.
    pub(super) pen: Pen<'a>,
    /// What is still free.
    pub(super) room: Rect,
}

impl<'a> Sheet<'a> {
    /// A page with its title, something at the title's right, and its keys.
    pub(super) fn new(
        area: Rect,
        buf: &'a mut Buffer,
        theme: &'a Theme,
        (title, beside): (&str, &str),
        hints: &[Hint],
    ) -> Self {
        let mut pen = Pen::new(area, buf, theme);
        let margin = u16::from(pen.area.width >= 60);
        let inner = Rect {
            x: pen.area.x + margin,
            width: pen.area.width - 2 * margin,
            ..pen.area
        };
        let foot = inner.height.saturating_sub(1);
        if inner.height > 2 {
            status::hints(&mut pen, row_of(inner, foot), hints);
        }
        let room = Rect {
            height: if inner.height > 2 { foot } else { inner.height },
            ..inner
        };
        let mut sheet = Self { pen, room };
        sheet.title(title, beside);
        sheet
    }

    /// The title, large where there is room for it.
    fn title(&mut self, title: &str, beside: &str) {
        let style = self.pen.theme.style(Role::Now);
        let used = self.pen.text_right(self.room, 0, beside, style);
        let high = if self.room.height >= 18 { 4 } else { 1 };
        let room = Rect {
            width: self.room.width.saturating_sub(used + 2),
            height: high.min(self.room.height),
            ..self.room
        };
        let lines = headline(&mut self.pen, room, title, 7, style);
        self.skip(lines + u16::from(high > 1));
    }

    /// Leaves lines free.
    pub(super) fn skip(&mut self, lines: u16) {
        self.room = below(self.room, lines);
    }

    /// Leaves a line free where the page is roomy.
    pub(super) fn gap(&mut self) {
        self.skip(u16::from(self.pen.area.height >= 28));
    }

    /// The next lines, as far as there are any.
    pub(super) fn take(&mut self, lines: u16) -> Rect {
        let taken = Rect {
            height: lines.min(self.room.height),
            ..self.room
        };
        self.skip(lines);
        taken
    }

    /// A paragraph.
    pub(super) fn say(&mut self, role: Role, text: &str) {
        let style = self.pen.theme.style(role);
        let used = self.pen.wrapped(self.room, text, style);
        self.skip(used);
    }

    /// One line, cut where it is too long.
    pub(super) fn line(&mut self, role: Role, text: &str) {
        let style = self.pen.theme.style(role);
        let row = self.take(1);
        self.pen.text(row, 0, text, style);
    }

    /// A text in large letters where there is room for them.
    pub(super) fn large(&mut self, role: Role, text: &str) {
        let style = self.pen.theme.style(role);
        let room = Rect {
            height: self.room.height.min(4),
            ..self.room
        };
        let used = headline(&mut self.pen, room, text, 7, style);
        self.skip(used);
    }

    /// A label and what it is, on one line; an empty thing is left out.
    pub(super) fn pair(&mut self, label: &str, role: Role, text: &str) {
        if text.is_empty() || self.room.is_empty() {
            return;
        }
        let (quiet, style) = (
            self.pen.theme.style(Role::Quiet),
            self.pen.theme.style(role),
        );
        let row = self.take(1);
        let used = self.pen.text(row, 0, label, quiet);
        self.pen.text(right_of(row, used + 1), 0, text, style);
    }
}
