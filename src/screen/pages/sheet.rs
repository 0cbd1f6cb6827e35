//! What every page has: a large title, lines from top to bottom, the keys at the foot.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::paper::{Enlarged, Paper};
use crate::screen::around::Hint;
use crate::screen::face::{Fit, set};
use crate::screen::pen::{Pen, below, cells, right_of, width, wrap};
use crate::screen::status;
use crate::screen::theme::Role;
use crate::screen::zones::Zones;

/// A page being written from top to bottom.
pub(super) struct Sheet<'a> {
    /// What writes.
    pub(super) pen: Pen<'a>,
    /// What is still free.
    pub(super) room: Rect,
    /// Whether all that was to be written had room.
    pub(super) is_whole: bool,
    /// The height of the title in pixels; nothing where it stands in ordinary cells.
    pub(super) title_high: Option<u16>,
    enlarged: Option<&'a mut Enlarged>,
    is_tight: bool,
}

impl<'a> Sheet<'a> {
    /// A page with its title, something at the title's right, and its keys.
    pub(super) fn new(paper: Paper<'a>, (title, beside): (&str, &str), hints: &[Hint]) -> Self {
        let pen = Pen::new(paper.area, paper.buf, paper.theme);
        let margin = u16::from(pen.area.width >= 60);
        let inner = Rect {
            x: pen.area.x + margin,
            width: pen.area.width - 2 * margin,
            ..pen.area
        };
        let foot = inner.height.saturating_sub(1);
        let room = Rect {
            height: if inner.height > 2 { foot } else { inner.height },
            ..inner
        };
        let mut sheet = Self {
            pen,
            room,
            is_whole: true,
            title_high: None,
            enlarged: paper.enlarged,
            is_tight: paper.is_tight,
        };
        sheet.keys(hints);
        sheet.title(title, beside);
        sheet
    }

    /// The keys, at the foot.
    pub(super) fn keys(&mut self, hints: &[Hint]) {
        let area = self.pen.area;
        if area.height > 2 {
            let row = Rect {
                y: area.bottom() - 1,
                height: 1,
                ..self.room
            };
            status::hints(&mut self.pen, row, hints);
        }
    }

    /// The title, large where there is room for it, as large as a name in the class.
    fn title(&mut self, title: &str, beside: &str) {
        let style = self.pen.theme.style(Role::Now);
        let used = self.pen.text_right(self.room, 0, beside, style);
        let is_roomy = self.seen().height >= ROOMY && !self.is_tight;
        let lines = if is_roomy { self.high_lines() } else { 1 };
        let room = Rect {
            width: self.room.width.saturating_sub(used + 2),
            height: lines.min(self.room.height),
            ..self.room
        };
        let (used, high) = self.headline(room, title, style);
        self.title_high = high;
        self.is_whole &= is_roomy || width(title) <= room.width;
        self.skip(used + u16::from(is_roomy && self.enlarged.is_none()));
    }

    /// Whether every cell of the page is going to be drawn several times as large.
    pub(super) const fn is_enlarged(&self) -> bool {
        self.enlarged.is_some()
    }

    /// The page as it is seen, in cells of the window.
    pub(super) fn seen(&self) -> Rect {
        let whole = self.enlarged.as_ref().map(|enlarged| enlarged.whole);
        whole.unwrap_or(self.pen.area)
    }

    /// The height of the largest capitals in pixels.
    fn high(&self) -> u16 {
        let seen = self.seen();
        let name = Zones::of(seen).map_or(0, |zones| zones.name);
        // A page under the figures has less height than its window, and is read from as far.
        let by_width = (seen.width.saturating_mul(7) / 80).min(seen.height / 2);
        name.max(by_width).max(7)
    }

    /// Lines of the page that the largest capitals take.
    fn high_lines(&self) -> u16 {
        let lines = (self.high() + 1).div_ceil(2);
        let times = self.enlarged.as_ref().map_or(1, |enlarged| enlarged.times);
        lines.div_ceil(times)
    }

    /// A text as large as its room allows; gives the lines used and its height in pixels.
    fn headline(&mut self, room: Rect, text: &str, style: Style) -> (u16, Option<u16>) {
        let high = self.high();
        if let Some(enlarged) = self.enlarged.as_mut()
            && let Some((lines, high)) = enlarged.keep(room, text, high, style)
        {
            return (lines, Some(high));
        }
        let set = set(text, room, high);
        (set.draw(&mut self.pen, room, style), set.high())
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
        self.is_whole &= lines <= self.room.height;
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
        let needed = cells(wrap(text, self.room.width).len());
        self.is_whole &= needed <= self.room.height && fits_by_words(text, self.room.width);
        let used = self.pen.wrapped(self.room, text, style);
        self.skip(used);
    }

    /// A text in large letters where there is room for them and for so many lines under them, else
    /// in ordinary ones.
    pub(super) fn large(&mut self, role: Role, text: &str, under: u16) {
        let style = self.pen.theme.style(role);
        let left = self.room.height.saturating_sub(under);
        let room = Rect {
            height: self.high_lines().min(left).max(1).min(self.room.height),
            ..self.room
        };
        let (used, _) = self.headline(room, text, style);
        self.is_whole &= width(text) <= room.width;
        self.skip(used.max(1));
    }

    /// A paragraph enlarged as little as can be read from a step away, with a blank row under it;
    /// the page is not whole where it has no room so.
    pub(super) fn legible(&mut self, role: Role, text: &str) {
        let fit = Fit {
            least: LEGIBLE,
            ..Fit::upto(self.room, LEGIBLE)
        };
        if text.is_empty() {
            return;
        }
        let Some(set) = fit.large(text) else {
            self.is_whole = false;
            return;
        };
        let style = self.pen.theme.style(role);
        let used = set.draw(&mut self.pen, self.room, style);
        self.is_whole &= used < self.room.height;
        self.skip(used + 1);
    }

    /// A label and what it is, on one line; an empty thing is left out.
    pub(super) fn pair(&mut self, label: &str, role: Role, text: &str) {
        if text.is_empty() {
            return;
        }
        let (quiet, style) = (
            self.pen.theme.style(Role::Quiet),
            self.pen.theme.style(role),
        );
        let row = self.take(1);
        let used = self.pen.text(row, 0, label, quiet);
        let rest = right_of(row, used + 1);
        self.is_whole &= width(text) <= rest.width;
        self.pen.text(rest, 0, text, style);
    }
}

/// The height of capitals in a paragraph of large letters, in pixels.
const LEGIBLE: u16 = 5;

/// The least lines of a page whose title is large.
const ROOMY: u16 = 18;

/// Whether no word is longer than a line.
fn fits_by_words(text: &str, room: u16) -> bool {
    text.split_whitespace().all(|word| width(word) <= room)
}
