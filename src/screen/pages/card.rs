//! The emergency card: the signs to stop at and what to do, as large as there is room.

use super::Page;
use super::paper::Paper;
use super::sheet::Sheet;
use crate::screen::around::Hint;
use crate::screen::theme::Role;

/// The emergency card.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CardPage {
    /// What to do, a line each, what cannot wait first.
    pub first: Vec<String>,
    /// What else is to be known.
    pub lines: Vec<String>,
    /// The keys, most important first.
    pub hints: Vec<Hint>,
}

impl Page for CardPage {
    fn lay(&self, paper: Paper) -> bool {
        let mut sheet = Sheet::new(paper, ("Emergency", ""), &self.hints);
        for line in &self.first {
            sheet.say(Role::Trouble, line);
        }
        sheet.gap();
        for line in &self.lines {
            sheet.say(Role::Now, line);
        }
        sheet.is_whole
    }

    fn hints(&self) -> Vec<Hint> {
        self.hints.clone()
    }
}
