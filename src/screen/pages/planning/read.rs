//! Something to read before it is taken or left: what a change would be, remarks, faults.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use ratatui::style::Modifier;

use super::page::Said;
use crate::screen::around::Hint;
use crate::screen::pages::Page;
use crate::screen::pages::paper::Paper;
use crate::screen::pages::sheet::Sheet;
use crate::screen::pen::{cells, row_of, width, wrap};
use crate::screen::theme::Role;

/// How far a page can be scrolled in the window that it was last drawn in: only who draws it knows how
/// many lines it has. Two pages are alike whatever it says.
#[derive(Clone, Debug)]
pub struct Reach(Arc<AtomicUsize>);

impl Default for Reach {
    fn default() -> Self {
        Self(Arc::new(AtomicUsize::new(usize::MAX)))
    }
}

impl PartialEq for Reach {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Eq for Reach {}

impl Reach {
    /// How many lines may be passed over; without end before it was drawn.
    #[must_use]
    pub fn last(&self) -> usize {
        self.0.load(Ordering::Relaxed)
    }

    fn is(&self, last: usize) {
        self.0.store(last, Ordering::Relaxed);
    }
}

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
    /// How many may be.
    pub reach: Reach,
    /// The keys, most important first.
    pub hints: Vec<Hint>,
}

impl Page for ReadPage {
    fn lay(&self, mut paper: Paper) -> bool {
        paper.is_tight = paper.area.height < 40;
        let mut sheet = Sheet::new(paper, (&self.title, &self.beside), &self.hints);
        let room = sheet.room;
        let lines: Vec<Line> = (self.says.iter().enumerate())
            .flat_map(|(n, said)| lines(said, n > 0, room.width))
            .collect();
        let high = usize::from(room.height);
        let last = lines.len().saturating_sub(high);
        self.reach.is(last);
        let from = self.from.min(last);
        let shown = &lines[from..lines.len().min(from + high)];
        for (row, (role, is_head, line)) in (0..room.height).zip(shown) {
            let mut style = sheet.pen.theme.style(*role);
            if *is_head {
                style = style.add_modifier(Modifier::BOLD);
            }
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

/// A line, what it is for, and whether it stands over what follows.
type Line = (Role, bool, String);

/// The lines of a paragraph, each behind the blanks that it begins with, or behind its mark. What has
/// blanks within it is laid out already. A heading has a line free above it.
fn lines(said: &Said, is_under: bool, wide: u16) -> Vec<Line> {
    let text = said.text.trim_end();
    let blanks = text.len() - text.trim_start().len();
    let line = |text: String| (said.role, said.is_head, text);
    if said.is_head {
        let free = is_under.then(|| line(String::new()));
        let head = wrap(text, wide).into_iter().map(line);
        return free.into_iter().chain(head).collect();
    }
    if text.trim_start().contains("  ") || text.is_empty() {
        return vec![line(text.to_owned())];
    }
    let sign = said.sign();
    let room = wide.saturating_sub(cells(blanks) + width(sign)).max(1);
    let wrapped = wrap(text, room).into_iter().enumerate();
    wrapped
        .map(|(n, text)| line(format!("{}{}{text}", " ".repeat(blanks), said.sign_of(n))))
        .collect()
}
