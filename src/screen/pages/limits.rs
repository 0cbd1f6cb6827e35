//! What someone in the room must spare, a letter each.

use super::Page;
use super::columns::{Columns, KeyGroup, unturned};
use super::paper::Paper;
use super::sheet::Sheet;
use crate::screen::around::Hint;

/// The page of limits over a class.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LimitsPage {
    /// The limits that stand, each with the letter that takes it back.
    pub on: Vec<Hint>,
    /// Those that can be set, with their letters.
    pub off: Vec<Hint>,
    /// Which screenful is shown, where one does not hold them all; behind the last comes the first.
    pub page: usize,
    /// The keys of this page itself; the one that turns it, `more`, is left out where all is seen.
    pub hints: Vec<Hint>,
}

impl Page for LimitsPage {
    fn lay(&self, paper: Paper) -> bool {
        let mut sheet = Sheet::new(paper, ("Limits tonight", ""), &[]);
        let group = |title: &str, sign: &str, keys: &[Hint]| {
            let signed = |hint: &Hint| format!("{sign}{}", hint.action);
            let full: Vec<String> = keys.iter().map(signed).collect();
            let keys = keys.iter().zip(&full);
            KeyGroup {
                title: title.to_owned(),
                keys: keys
                    .map(|(hint, full)| Hint::new(&hint.key, full.as_str()))
                    .collect(),
                full,
            }
        };
        let groups = [
            group("spared; its letter takes it back", "◆ ", &self.on),
            group("someone must spare", "", &self.off),
        ];
        let groups: Vec<KeyGroup> = groups
            .into_iter()
            .filter(|group| !group.keys.is_empty())
            .collect();
        let columns = Columns {
            groups: &groups,
            last: "",
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
