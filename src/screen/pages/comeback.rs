//! A class was broken off: take it up where it stopped, where the clock says, or close it.

use super::paper::Paper;
use super::sheet::Sheet;
use super::{Page, list};
use crate::screen::around::Hint;
use crate::screen::pen::{cells, wrap};
use crate::screen::status;
use crate::screen::theme::Role;

/// A way to go on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// What it does: `where it stopped`.
    pub title: String,
    /// Where that is, and when the class would end: `12:40, squat, round 2 of 3; ends 18:52`.
    pub about: String,
}

/// The page that is shown when a class was broken off.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Comeback {
    /// What the class is called.
    pub title: String,
    /// What happened: `Begun 18:00, broken off 18:12, four minutes ago.`
    pub what: String,
    /// The ways to go on.
    pub choices: Vec<Choice>,
    /// Which one is chosen.
    pub chosen: usize,
    /// The hour.
    pub clock: String,
    /// The keys, most important first.
    pub hints: Vec<Hint>,
}

impl Page for Comeback {
    fn lay(&self, paper: Paper) -> bool {
        let mut sheet = Sheet::new(
            paper,
            (&self.title, &status::clock(&self.clock)),
            &self.hints,
        );
        sheet.say(Role::Now, "This class was broken off.");
        sheet.say(Role::Quiet, &self.what);
        sheet.gap();
        let wide = sheet.room.width.saturating_sub(2);
        let needs = |choice: &Choice| 1 + cells(wrap(&choice.about, wide).len()).max(1);
        let tallest = self.choices.iter().map(needs).max().unwrap_or(2);
        let per_page = usize::from(sheet.room.height / tallest).max(1);
        sheet.is_whole &= per_page >= self.choices.len();
        for n in list::shown(self.choices.len(), self.chosen, per_page) {
            list::choice(&mut sheet, &self.choices[n], n == self.chosen, 1);
        }
        sheet.is_whole
    }

    fn hints(&self) -> Vec<Hint> {
        self.hints.clone()
    }
}
