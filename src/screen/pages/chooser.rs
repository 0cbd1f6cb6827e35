//! Which class to teach: the sessions that were found, and the files that could not be read.

use std::sync::Arc;

use ratatui::layout::Rect;

use super::field::end_of;
use super::paper::Paper;
use super::sheet::Sheet;
use super::{Page, list};
use crate::live::Ribbon;
use crate::screen::around::Hint;
use crate::screen::pen::{below, cells, right_of, row_of, width, wrap};
use crate::screen::theme::Role;
use crate::screen::{ribbon, status};

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
    fn lay(&self, paper: Paper) -> bool {
        let mut sheet = Sheet::new(
            paper,
            ("Choose a class", &status::clock(&self.clock)),
            &self.hints,
        );
        sheet.pair("find:", Role::Now, &format!("{}▏", self.filter));
        sheet.pair("", Role::Trouble, &self.notice);
        if self.entries.is_empty() {
            let why = match self.filter.as_str() {
                "" => "No class is here yet: a file that ends in .ron and holds a session.",
                _ => "No session here matches; an empty search shows them all.",
            };
            sheet.say(Role::Now, why);
        }
        let list = self.list_room(&sheet);
        self.list(&mut sheet, list);
        sheet.skip(list.height);
        self.broken(&mut sheet);
        sheet.is_whole
    }

    fn hints(&self) -> Vec<Hint> {
        self.hints.clone()
    }
}

impl Chooser {
    /// The list has what the broken files leave, and at least two thirds.
    fn list_room(&self, sheet: &Sheet) -> Rect {
        let room = sheet.room;
        let lines = |broken: &BrokenFile| wrap(&broken.words(), room.width).len();
        let for_broken = match self.broken.iter().map(lines).sum::<usize>() {
            0 => 0,
            lines => cells(lines).saturating_add(1).min(room.height / 3),
        };
        Rect {
            height: room.height - for_broken,
            ..room
        }
    }

    fn list(&self, sheet: &mut Sheet, room: Rect) {
        let per_page = usize::from(room.height / ENTRY);
        sheet.is_whole &= self.entries.len() <= per_page;
        let shown = list::shown(self.entries.len(), self.chosen, per_page.max(1));
        let mut room = room;
        for n in shown {
            let entry = &self.entries[n];
            let same = |other: &&Entry| other.title == entry.title;
            let is_alone = self.entries.iter().filter(same).count() == 1;
            let is_chosen = n == self.chosen;
            entry.draw(sheet, room, (is_chosen, is_chosen || !is_alone));
            room = below(room, ENTRY);
        }
    }

    /// The files that cannot be read, as many as have room with all of their faults.
    fn broken(&self, sheet: &mut Sheet) {
        if self.broken.is_empty() {
            return;
        }
        let (wide, room) = (sheet.room.width, sheet.room.height.saturating_sub(1));
        let mut needed = 0_u16;
        let fits = |broken: &&BrokenFile| {
            needed = needed.saturating_add(cells(wrap(&broken.words(), wide).len()));
            needed <= room
        };
        // The first is shown in any case, as far as it has room.
        let shown = self.broken.iter().take_while(fits).count().max(1);
        let also = match self.broken.len() - shown {
            0 => String::new(),
            hidden => format!(", {hidden} more"),
        };
        sheet.is_whole &= also.is_empty();
        sheet.say(Role::Trouble, &format!("Files that cannot be read{also}:"));
        for broken in &self.broken[..shown] {
            sheet.say(Role::Quiet, &broken.words());
        }
    }
}

impl BrokenFile {
    fn words(&self) -> String {
        format!("{}: {}", self.file, self.fault)
    }
}

impl Entry {
    /// Draws it; the file is shown where it is chosen or its title is another's, too.
    fn draw(&self, sheet: &mut Sheet, room: Rect, (is_chosen, with_file): (bool, bool)) {
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
        let name = match self.file.rsplit('/').next() {
            Some("") | None => "built in",
            Some(name) => name,
        };
        // A path is cut to its name with a sign before it.
        let for_name = if with_file { width(name) + 4 } else { 0 };
        let both = [self.equipment.as_str(), last.as_str()];
        let both: Vec<&str> = both.into_iter().filter(|text| !text.is_empty()).collect();
        let wordings = [both.join(" · "), last];
        let fits = |text: &&String| width(text) + for_name <= words.width;
        let about = wordings.iter().find(fits).map_or("", String::as_str);
        let used = pen.text(words, 0, about, style);
        sheet.is_whole &= !about.is_empty();
        if with_file {
            let gap = if about.is_empty() { "" } else { " · " };
            let room = words.width.saturating_sub(used + width(gap));
            let path = if self.file.is_empty() {
                name
            } else {
                &self.file
            };
            let file = format!("{gap}{}", end_of(path, room));
            sheet.pen.text(right_of(words, used), 0, &file, style);
        }
    }
}
