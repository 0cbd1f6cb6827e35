//! All keys, by what they are for.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Modifier;

use super::Page;
use super::sheet::Sheet;
use crate::screen::around::Hint;
use crate::screen::pen::{Pen, below, cells, right_of, width};
use crate::screen::theme::{Role, Theme};

/// Keys that belong together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeyGroup {
    /// What they are for.
    pub title: String,
    /// The keys with their labels.
    pub keys: Vec<Hint>,
    /// What each does in full, in the same order, for a page with room for it.
    pub full: Vec<String>,
}

/// The page of keys.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HelpPage {
    /// The groups, most important first.
    pub groups: Vec<KeyGroup>,
    /// The keys of this page itself.
    pub hints: Vec<Hint>,
}

/// The width of a column of keys with their labels.
const COLUMN: u16 = 26;
/// The width of a column of keys with what they do in full.
const FULL: u16 = 72;

impl Page for HelpPage {
    fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let mut sheet = Sheet::new(area, buf, theme, ("Keys", ""), &self.hints);
        let room = sheet.room;
        let in_full = room.width >= 2 * FULL + 2;
        let wide = if in_full { FULL } else { COLUMN };
        let mut column = Rect {
            width: room.width.min(wide),
            ..room
        };
        for group in &self.groups {
            let needs = cells(group.keys.len()) + 2;
            let next = right_of(room, column.right() - room.x + 2);
            let is_first = column.height == room.height;
            if needs > column.height && !is_first && next.width > wide / 2 {
                column = Rect {
                    width: next.width.min(wide),
                    ..next
                };
            }
            column = below(column, group.draw(&mut sheet.pen, column, in_full));
        }
    }
}

impl KeyGroup {
    /// Draws the group; gives the lines used, an empty one among them.
    fn draw(&self, pen: &mut Pen, rect: Rect, in_full: bool) -> u16 {
        let quiet = pen.theme.style(Role::Quiet);
        let bold = pen.theme.style(Role::Now).add_modifier(Modifier::BOLD);
        pen.text(rect, 0, &self.title, pen.theme.style(Role::Next));
        let wide = self.keys.iter().map(|hint| width(&hint.key)).max();
        let wide = wide.unwrap_or(0).min(rect.width / 2);
        for (n, (line, hint)) in (1..rect.height).zip(&self.keys).enumerate() {
            let key = Rect {
                width: wide.min(rect.width),
                ..rect
            };
            pen.text(key, line, &hint.key, bold);
            let full = self.full.get(n).filter(|_| in_full);
            let says = full.unwrap_or(&hint.action);
            pen.text(right_of(rect, wide + 2), line, says, quiet);
        }
        cells(self.keys.len()).saturating_add(2)
    }
}
