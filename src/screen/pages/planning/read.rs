//! Something to read before it is taken or left: what a change would be, remarks, faults.

use super::page::Said;
use crate::screen::around::Hint;
use crate::screen::pages::Page;
use crate::screen::pages::paper::Paper;
use crate::screen::pages::sheet::Sheet;
use crate::screen::pen::{cells, row_of, wrap};
use crate::screen::theme::Role;

/// A page to read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ReadPage {
    /// What it is.
    pub title: String,
    /// Something at the title's right.
    pub beside: String,
    /// The paragraphs; the blanks at the front of one are kept.
    pub says: Vec<Said>,
    /// How many lines are passed over at its front.
    pub from: usize,
    /// The keys, most important first.
    pub hints: Vec<Hint>,
}

impl Page for ReadPage {
    fn lay(&self, mut paper: Paper) -> bool {
        paper.is_tight = paper.area.height < 40;
        let mut sheet = Sheet::new(paper, (&self.title, &self.beside), &self.hints);
        let room = sheet.room;
        let lines: Vec<(Role, String)> = (self.says.iter())
            .flat_map(|said| lines(said, room.width))
            .collect();
        let high = usize::from(room.height);
        let from = self.from.min(lines.len().saturating_sub(high));
        let shown = &lines[from..lines.len().min(from + high)];
        for (row, (role, line)) in (0..room.height).zip(shown) {
            let style = sheet.pen.theme.style(*role);
            sheet.pen.text(row_of(room, row), 0, line, style);
        }
        let left = lines.len() - from - shown.len();
        if left > 0 {
            let style = sheet.pen.theme.style(Role::Quiet);
            let more = format!(" ↓ {left} more ");
            sheet
                .pen
                .text_right(row_of(room, room.height.saturating_sub(1)), 0, &more, style);
        }
        false
    }

    fn hints(&self) -> Vec<Hint> {
        self.hints.clone()
    }
}

/// The lines of a paragraph, each behind the blanks that it begins with. What has blanks within it is
/// laid out already.
fn lines(said: &Said, wide: u16) -> Vec<(Role, String)> {
    let text = said.text.trim_end();
    let blanks = text.len() - text.trim_start().len();
    if text.trim_start().contains("  ") || text.is_empty() {
        return vec![(said.role, text.to_owned())];
    }
    let room = wide.saturating_sub(cells(blanks)).max(1);
    let wrapped = wrap(text, room).into_iter();
    wrapped
        .map(|line| (said.role, format!("{}{line}", " ".repeat(blanks))))
        .collect()
}
