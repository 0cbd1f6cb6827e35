//! A move that is looked for: what is typed, what the list is narrowed to, and the card of the one
//! that is chosen.

use ratatui::layout::Rect;
use ratatui::style::Modifier;

use super::page::Said;
use crate::screen::around::Hint;
use crate::screen::pages::field::{self, Field};
use crate::screen::pages::paper::Paper;
use crate::screen::pages::sheet::Sheet;
use crate::screen::pages::{FoundLine, Page, list};
use crate::screen::pen::{Pen, below, right_of, row_of, width};
use crate::screen::theme::Role;

/// One way in which the list is narrowed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Narrow {
    /// By what.
    pub label: String,
    /// To what; empty where it is not narrowed so.
    pub to: String,
}

/// The page on which a move is found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FindPage {
    /// What it is looked for.
    pub title: String,
    /// What is typed.
    pub field: Field,
    /// What the list is narrowed to.
    pub narrows: Vec<Narrow>,
    /// Which of them the arrows turn.
    pub turned: usize,
    /// The moves that fit, the best first.
    pub lines: Vec<FoundLine>,
    /// Which one is chosen.
    pub chosen: usize,
    /// The chosen move.
    pub card: Vec<Said>,
    /// What was just done; empty where nothing need be said.
    pub word: String,
    /// The keys, most important first.
    pub hints: Vec<Hint>,
}

impl Page for FindPage {
    fn lay(&self, mut paper: Paper) -> bool {
        paper.is_tight = paper.area.height < 40;
        let beside = format!("{} found", self.lines.len());
        let told = vec![Hint::new(self.word.as_str(), "")];
        let foot = if self.word.is_empty() {
            &self.hints
        } else {
            &told
        };
        let mut sheet = Sheet::new(paper, (&self.title, &beside), foot);
        let row = sheet.take(1);
        field::draw(&mut sheet.pen, row, width(&self.field.label), &self.field);
        self.narrows(&mut sheet);
        if self.lines.is_empty() {
            let why = "Nothing fits all of this: fewer letters, or one narrowing less.";
            sheet.say(Role::Quiet, why);
        }
        let room = sheet.room;
        let is_wide = room.width >= 70;
        let left = Rect {
            width: if is_wide { room.width / 2 } else { room.width },
            ..room
        };
        self.list(&mut sheet.pen, left);
        if is_wide {
            let card = right_of(room, left.width + 2);
            self.card(&mut sheet.pen, card);
        }
        false
    }

    fn hints(&self) -> Vec<Hint> {
        self.hints.clone()
    }
}

impl FindPage {
    /// What the list is narrowed to, one after another on as few lines as they take.
    fn narrows(&self, sheet: &mut Sheet) {
        let mut used = 0_u16;
        let mut row = sheet.take(1);
        for (n, narrow) in self.narrows.iter().enumerate() {
            let to = if narrow.to.is_empty() {
                "any"
            } else {
                &narrow.to
            };
            let needs = width(&narrow.label)
                .saturating_add(width(to))
                .saturating_add(5);
            if used > 0 && used.saturating_add(needs) > row.width {
                row = sheet.take(1);
                used = 0;
            }
            let pen = &mut sheet.pen;
            let (quiet, now) = (pen.theme.style(Role::Quiet), pen.theme.style(Role::Next));
            let style = match () {
                () if n == self.turned => pen.theme.band(Role::Now),
                () if narrow.to.is_empty() => quiet,
                () => now,
            };
            used += pen.text(right_of(row, used), 0, &narrow.label, quiet) + 1;
            used += pen.text(right_of(row, used), 0, &format!("‹{to}›"), style) + 2;
        }
        sheet.gap();
    }

    fn list(&self, pen: &mut Pen, room: Rect) {
        let mut room = room;
        for n in list::shown(self.lines.len(), self.chosen, usize::from(room.height)) {
            let line = &self.lines[n];
            let role = if line.is_marked {
                Role::Spare
            } else {
                Role::Next
            };
            let sign = if line.is_marked { "◆ " } else { "" };
            let about = format!("{sign}{}", line.about);
            // The name first; what is told of it has the rest.
            let rest = room
                .width
                .saturating_sub(width(&line.name).saturating_add(7));
            let about = crate::screen::pen::cut(&about, rest);
            let text = (line.name.as_str(), about.as_str());
            list::line(pen, row_of(room, 0), n == self.chosen, role, text);
            room = below(room, 1);
        }
    }

    fn card(&self, pen: &mut Pen, room: Rect) {
        let mut room = room;
        for said in &self.card {
            let mut style = pen.theme.style(said.role);
            if said.is_head {
                style = style.add_modifier(Modifier::BOLD);
            }
            let used = pen.wrapped(room, &said.text, style);
            room = below(room, used);
        }
    }
}
