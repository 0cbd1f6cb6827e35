//! Another move in place of one: what is typed, and the moves that fit.

use super::field::{self, Field};
use super::paper::Paper;
use super::sheet::Sheet;
use super::{Page, list};
use crate::screen::around::Hint;
use crate::screen::pen::{below, width};
use crate::screen::theme::Role;

/// A move that fits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FoundLine {
    /// Its name.
    pub name: String,
    /// Where the body is, what to fetch, which limit it loads.
    pub about: String,
    /// Whether it loads what somebody in the room must spare, and no version of it spares that.
    pub is_marked: bool,
}

/// The page on which another move is chosen.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SwapPage {
    /// The name of the move in whose place it comes.
    pub instead_of: String,
    /// What is typed.
    pub field: Field,
    /// The moves that fit, the best first.
    pub lines: Vec<FoundLine>,
    /// Which one is chosen.
    pub chosen: usize,
    /// The keys, most important first.
    pub hints: Vec<Hint>,
}

impl Page for SwapPage {
    fn lay(&self, paper: Paper) -> bool {
        let title = format!("In place of {}", self.instead_of);
        let mut sheet = Sheet::new(paper, (&title, ""), &self.hints);
        let row = sheet.take(1);
        field::draw(&mut sheet.pen, row, width(&self.field.label), &self.field);
        if self.lines.is_empty() {
            sheet.say(Role::Quiet, "no move is called so; fewer letters find more");
        }
        sheet.is_whole &= self.lines.len() <= usize::from(sheet.room.height);
        let mut room = sheet.room;
        for n in list::shown(self.lines.len(), self.chosen, usize::from(room.height)) {
            let line = &self.lines[n];
            let role = if line.is_marked {
                Role::Spare
            } else {
                Role::Next
            };
            let sign = if line.is_marked { "◆ " } else { "" };
            let about = format!("{sign}{}", line.about);
            let text = (line.name.as_str(), about.as_str());
            list::line(&mut sheet.pen, room, n == self.chosen, role, text);
            room = below(room, 1);
        }
        sheet.is_whole
    }

    fn hints(&self) -> Vec<Hint> {
        self.hints.clone()
    }
}
