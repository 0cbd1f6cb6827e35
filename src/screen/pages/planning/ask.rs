//! A question with its answers, or a list of which one thing is taken.

use crate::screen::around::Hint;
use crate::screen::pages::Field;
use crate::screen::pages::paper::Paper;
use crate::screen::pages::sheet::Sheet;
use crate::screen::pages::{Choice, Page, field, list};
use crate::screen::pen::{cells, width, wrap};
use crate::screen::theme::Role;

fn more(way: &str, count: usize) -> String {
    match count {
        0 => " ".to_owned(),
        count => format!("{way} {count} more"),
    }
}

/// A page on which one of several things is chosen.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AskPage {
    /// What is asked.
    pub title: String,
    /// What happened, or what there is to know; empty where nothing need be said.
    pub what: String,
    /// Where something is typed rather than chosen.
    pub field: Option<Field>,
    /// The answers.
    pub choices: Vec<Choice>,
    /// Which one is chosen.
    pub chosen: usize,
    /// The keys, most important first.
    pub hints: Vec<Hint>,
}

impl Page for AskPage {
    fn lay(&self, mut paper: Paper) -> bool {
        paper.is_tight = paper.area.height < 40;
        let mut sheet = Sheet::new(paper, (&self.title, ""), &self.hints);
        for line in self.what.lines() {
            sheet.say(Role::Quiet, line);
        }
        if let Some(of) = &self.field {
            let row = sheet.take(1);
            field::draw(&mut sheet.pen, row, width(&of.label), of);
        }
        sheet.gap();
        let wide = sheet.room.width.saturating_sub(2);
        let needs = |choice: &Choice| match choice.about.as_str() {
            "" => 1,
            about => cells(wrap(about, wide).len()).saturating_add(1),
        };
        let tallest = self.choices.iter().map(needs).max().unwrap_or(1).max(1);
        let all: u16 = self.choices.iter().map(needs).fold(0, u16::saturating_add);
        // Where there are more, a row above and one below say so.
        let marks = if all > sheet.room.height { 2 } else { 0 };
        let height = sheet.room.height.saturating_sub(marks);
        let per_page = usize::from(height / tallest).max(1);
        let shown = if marks == 0 {
            0..self.choices.len()
        } else {
            list::shown(self.choices.len(), self.chosen, per_page)
        };
        if marks > 0 {
            sheet.say(Role::Quiet, &more("↑", shown.start));
        }
        let behind = self.choices.len() - shown.end;
        for n in shown {
            list::choice(&mut sheet, &self.choices[n], n == self.chosen, 0);
        }
        if marks > 0 {
            sheet.say(Role::Quiet, &more("↓", behind));
        }
        false
    }

    fn hints(&self) -> Vec<Hint> {
        self.hints.clone()
    }
}
