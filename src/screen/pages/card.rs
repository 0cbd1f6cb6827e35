//! The emergency card: the signs to stop at and what to do, as large as there is room.

use super::Page;
use super::paper::Paper;
use super::sheet::Sheet;
use super::turns::{turning, unturned};
use crate::screen::around::Hint;
use crate::screen::pen::{cells, wrap};
use crate::screen::theme::Role;

/// The emergency card.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CardPage {
    /// What to do, a line each, what cannot wait first.
    pub first: Vec<String>,
    /// What else is to be known.
    pub lines: Vec<String>,
    /// Which screenful is shown, where one does not hold them all; behind the last comes the first.
    pub page: usize,
    /// The keys, most important first; the one that turns it, `more`, is left out where all is seen.
    pub hints: Vec<Hint>,
}

impl Page for CardPage {
    fn lay(&self, mut paper: Paper) -> bool {
        let is_plain = paper.enlarged.is_none();
        let is_whole = self.write(paper.again());
        if is_whole || !is_plain {
            return is_whole;
        }
        paper.is_tight = true;
        self.write(paper)
    }

    fn hints(&self) -> Vec<Hint> {
        unturned(&self.hints)
    }
}

impl CardPage {
    fn write(&self, paper: Paper) -> bool {
        let mut sheet = Sheet::new(paper, ("Emergency", ""), &[]);
        let room = sheet.room;
        let in_lines = |role, texts: &[String]| -> Vec<(Role, String)> {
            let lines = texts.iter().flat_map(|text| wrap(text, room.width));
            lines.map(|line| (role, line)).collect()
        };
        let mut all = in_lines(Role::Trouble, &self.first);
        let needed = all.len() + in_lines(Role::Now, &self.lines).len();
        if needed < usize::from(room.height) {
            all.push((Role::Now, String::new()));
        }
        all.extend(in_lines(Role::Now, &self.lines));
        let screens = all.chunks(usize::from(room.height.max(1)));
        let count = screens.len();
        sheet.is_whole &= count < 2 && cells(all.len()) <= room.height;
        for (role, line) in screens.skip(self.page % count.max(1)).take(1).flatten() {
            let style = sheet.pen.theme.style(*role);
            let row = sheet.room;
            sheet.pen.text(row, 0, line, style);
            sheet.skip(1);
        }
        sheet.keys(&turning(&self.hints, self.page, count.max(1)));
        sheet.is_whole
    }
}
