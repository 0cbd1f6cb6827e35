//! After the class: what was taught beside what was planned, and room to note how it was.

use std::sync::Arc;

use ratatui::layout::Rect;

use super::Page;
use super::field::{self, Field};
use super::paper::Paper;
use super::sheet::Sheet;
use crate::live::Ribbon;
use crate::screen::around::{Hint, RecordState};
use crate::screen::pen::{right_of, width};
use crate::screen::ribbon;
use crate::screen::theme::Role;

/// One thing, as planned and as taught.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Beside {
    /// What: `class time`.
    pub what: String,
    /// As planned.
    pub planned: String,
    /// As taught.
    pub taught: String,
}

/// The page after a class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EndedPage {
    /// What the class is called.
    pub title: String,
    /// The class as it was planned.
    pub planned: Arc<Ribbon>,
    /// The class as it was taught.
    pub taught: Arc<Ribbon>,
    /// Figures of both.
    pub beside: Vec<Beside>,
    /// What else happened, a line each: breaks, moves left out, moments noted.
    pub lines: Vec<String>,
    /// Whether it was kept.
    pub record: RecordState,
    /// How it was: a rating, heads counted, words; one of them may have the focus. They come first:
    /// what is typed must be seen.
    pub fields: Vec<Field>,
    /// The keys, most important first.
    pub hints: Vec<Hint>,
}

/// The width of a column of figures.
const COLUMN: u16 = 12;

impl Page for EndedPage {
    fn lay(&self, paper: Paper) -> bool {
        let beside = self.record.words();
        let mut sheet = Sheet::new(paper, (&self.title, &beside), &self.hints);
        if let Some(why) = self.record.trouble() {
            sheet.say(Role::Trouble, &format!("not recorded: {why}"));
        }
        let wide = self.fields.iter().map(|field| width(&field.label)).max();
        for field in &self.fields {
            let row = sheet.take(1);
            field::draw(&mut sheet.pen, row, wide.unwrap_or(0), field);
        }
        sheet.gap();
        self.table(&mut sheet);
        for line in &self.lines {
            sheet.say(Role::Quiet, line);
        }
        sheet.gap();
        self.shapes(&mut sheet);
        sheet.is_whole
    }

    fn hints(&self) -> Vec<Hint> {
        self.hints.clone()
    }
}

impl EndedPage {
    fn shapes(&self, sheet: &mut Sheet) {
        let lines = (sheet.room.height / 2).clamp(1, 6);
        for (label, pieces) in [("planned", &self.planned), ("taught", &self.taught)] {
            let rect = sheet.take(lines);
            let style = sheet.pen.theme.style(Role::Quiet);
            sheet.pen.text(rect, lines - 1, label, style);
            ribbon::draw(&mut sheet.pen, right_of(rect, 9), pieces, None);
        }
    }

    fn table(&self, sheet: &mut Sheet) {
        let wide = self.beside.iter().map(|beside| width(&beside.what)).max();
        let wide = wide.unwrap_or(0).min(sheet.room.width / 2);
        Self::row(sheet, wide, Role::Quiet, ["", "planned", "taught"]);
        for beside in &self.beside {
            let row = [&*beside.what, &*beside.planned, &*beside.taught];
            Self::row(sheet, wide, Role::Now, row);
        }
    }

    fn row(sheet: &mut Sheet, wide: u16, role: Role, [what, planned, taught]: [&str; 3]) {
        let (quiet, style) = (
            sheet.pen.theme.style(Role::Quiet),
            sheet.pen.theme.style(role),
        );
        let row = sheet.take(1);
        let cell = |x: u16, width: u16| Rect {
            width: width.min(right_of(row, x).width),
            ..right_of(row, x)
        };
        sheet.pen.text(cell(0, wide), 0, what, quiet);
        sheet.pen.text_right(cell(wide, COLUMN), 0, planned, quiet);
        sheet
            .pen
            .text_right(cell(wide + COLUMN, COLUMN), 0, taught, style);
    }
}
