//! Which class to teach: the sessions that were found, and the files that could not be read.

use std::sync::Arc;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::sheet::Sheet;
use super::{Page, list};
use crate::live::Ribbon;
use crate::screen::around::Hint;
use crate::screen::pen::{below, cells, right_of, row_of, width};
use crate::screen::ribbon;
use crate::screen::theme::{Role, Theme};

/// A session that can be chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// What the class is called.
    pub title: String,
    /// How long it is: `30:30`.
    pub length: String,
    /// The class drawn to time and effort.
    pub ribbon: Arc<Ribbon>,
    /// What everyone needs: `mat, band`.
    pub equipment: String,
    /// When it was taught last: `3 May`; empty where it never was.
    pub last: String,
    /// The file it comes from; empty for the built-in one.
    pub file: String,
}

/// A file that is no session.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BrokenFile {
    /// Its name.
    pub file: String,
    /// The first fault in it, with its line.
    pub fault: String,
}

/// The page on which a session is chosen.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Chooser {
    /// The sessions that match the filter.
    pub entries: Vec<Entry>,
    /// Which one is chosen.
    pub chosen: usize,
    /// What the list is narrowed by.
    pub filter: String,
    /// Whether keys go into the filter now.
    pub is_filtering: bool,
    /// The files that could not be read.
    pub broken: Vec<BrokenFile>,
    /// What was just done or went wrong; empty where nothing need be said.
    pub notice: String,
    /// The hour.
    pub clock: String,
    /// The keys, most important first.
    pub hints: Vec<Hint>,
}

/// Lines of an entry.
const ENTRY: u16 = 2;

impl Page for Chooser {
    fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let mut sheet = Sheet::new(
            area,
            buf,
            theme,
            ("Choose a class", &self.clock),
            &self.hints,
        );
        if self.is_filtering || !self.filter.is_empty() {
            let cursor = if self.is_filtering { "▏" } else { "" };
            sheet.pair("find:", Role::Now, &format!("{}{cursor}", self.filter));
        }
        sheet.pair("", Role::Trouble, &self.notice);
        if self.entries.is_empty() {
            sheet.say(Role::Now, "No session here matches.");
        }
        let list = list_room(&sheet, self.broken.len());
        self.list(&mut sheet, list);
        sheet.skip(list.height);
        self.broken(&mut sheet);
    }
}

/// The list has what the broken files leave, and at least two thirds.
fn list_room(sheet: &Sheet, broken: usize) -> Rect {
    let room = sheet.room;
    let for_broken = match broken {
        0 => 0,
        _ => (cells(broken).saturating_add(1)).min(room.height / 3),
    };
    Rect {
        height: room.height - for_broken,
        ..room
    }
}

impl Chooser {
    fn list(&self, sheet: &mut Sheet, room: Rect) {
        let per_page = usize::from(room.height / ENTRY);
        let shown = list::shown(self.entries.len(), self.chosen, per_page.max(1));
        let mut room = room;
        for n in shown {
            self.entries[n].draw(sheet, room, n == self.chosen);
            room = below(room, ENTRY);
        }
    }

    fn broken(&self, sheet: &mut Sheet) {
        let Some(more) = self.broken.len().checked_sub(1) else {
            return;
        };
        let lines = usize::from(sheet.room.height.saturating_sub(1));
        let hidden = (more + 1).saturating_sub(lines);
        let also = if hidden > 0 {
            format!(", {hidden} more")
        } else {
            String::new()
        };
        sheet.say(Role::Trouble, &format!("Files that cannot be read{also}:"));
        for broken in self.broken.iter().take(lines) {
            let text = format!("{}: {}", broken.file, broken.fault);
            let style = sheet.pen.theme.style(Role::Quiet);
            let row = sheet.take(1);
            sheet.pen.text(row, 0, &text, style);
        }
    }
}

impl Entry {
    fn draw(&self, sheet: &mut Sheet, room: Rect, is_chosen: bool) {
        let pen = &mut sheet.pen;
        list::line(pen, room, is_chosen, Role::Now, (&self.title, &self.length));
        let under = right_of(row_of(room, 1), 2);
        let drawn = Rect {
            width: (under.width / 3).min(48),
            ..under
        };
        ribbon::draw(pen, drawn, &self.ribbon, None);
        let last = match self.last.as_str() {
            "" => "not taught yet".to_owned(),
            last => format!("last taught {last}"),
        };
        let words = right_of(under, drawn.width + 2);
        let style = pen.theme.style(Role::Quiet);
        let about = [self.equipment.as_str(), last.as_str()];
        let about: Vec<&str> = about.into_iter().filter(|text| !text.is_empty()).collect();
        let about = about.join(" · ");
        let whole = if width(&about) <= words.width {
            about
        } else {
            last
        };
        let used = pen.text(words, 0, &whole, style);
        if is_chosen && !self.file.is_empty() {
            let file = format!(
                " · {}",
                end_of(&self.file, words.width.saturating_sub(used + 3))
            );
            pen.text(right_of(words, used), 0, &file, style);
        }
    }
}

/// The end of a path, as whole as it has room: the name stands there.
fn end_of(path: &str, room: u16) -> String {
    if width(path) <= room {
        return path.to_owned();
    }
    let mut end = path;
    while width(end) + 1 > room && !end.is_empty() {
        let mut chars = end.chars();
        chars.next();
        end = chars.as_str();
    }
    format!("…{end}")
}
