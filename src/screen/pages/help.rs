//! All keys, by what they are for.

use super::Page;
use super::columns::{Columns, KeyGroup, unturned};
use super::paper::Paper;
use super::sheet::Sheet;
use crate::screen::around::Hint;

/// The page of keys.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HelpPage {
    /// The groups, most important first.
    pub groups: Vec<KeyGroup>,
    /// What the preset left without a key, by its label.
    pub without: Vec<String>,
    /// Which screenful is shown, where one does not hold them all; behind the last comes the first.
    pub page: usize,
    /// The keys of this page itself; the one that turns it, `more`, is left out where all is seen.
    pub hints: Vec<Hint>,
}

impl Page for HelpPage {
    fn lay(&self, paper: Paper) -> bool {
        let mut sheet = Sheet::new(paper, ("Keys", ""), &[]);
        let last = match self.without[..] {
            [] => String::new(),
            _ => format!("without a key: {}", self.without.join(", ")),
        };
        let columns = Columns {
            groups: &self.groups,
            last: &last,
            page: self.page,
            hints: &self.hints,
        };
        columns.lay(&mut sheet);
        sheet.is_whole
    }

    fn hints(&self) -> Vec<Hint> {
        unturned(&self.hints)
    }
}
