//! A class was broken off: take it up where it stopped, where the clock says, or close it.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::sheet::Sheet;
use super::{Page, list};
use crate::screen::around::Hint;
use crate::screen::pen::{below, right_of};
use crate::screen::theme::{Role, Theme};

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
    fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let mut sheet = Sheet::new(area, buf, theme, (&self.title, &self.clock), &self.hints);
        sheet.say(Role::Now, "This class was broken off.");
        sheet.say(Role::Quiet, &self.what);
        sheet.gap();
        let per_page = usize::from(sheet.room.height / 2).max(1);
        for n in list::shown(self.choices.len(), self.chosen, per_page) {
            let (choice, room) = (&self.choices[n], sheet.room);
            let text = (choice.title.as_str(), "");
            list::line(&mut sheet.pen, room, n == self.chosen, Role::Now, text);
            let style = sheet.pen.theme.style(Role::Quiet);
            sheet
                .pen
                .text(right_of(below(room, 1), 2), 0, &choice.about, style);
            sheet.skip(2);
        }
    }
}
