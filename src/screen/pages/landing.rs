//! How the class can be brought home on time: the changes, line by line, to take or to leave.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::Page;
use super::sheet::Sheet;
use crate::live::SlotView;
use crate::screen::around::Hint;
use crate::screen::status;
use crate::screen::theme::{Role, Theme};

/// The page that offers a landing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LandingPage {
    /// How the class stands without the landing.
    pub before: Option<SlotView>,
    /// The changes, a line each; empty where nothing needs to change or nothing can.
    pub lines: Vec<String>,
    /// When the class would end with them: `18:45`.
    pub ends: String,
    /// How the class would stand with them.
    pub after: Option<SlotView>,
    /// The keys, most important first.
    pub hints: Vec<Hint>,
}

impl Page for LandingPage {
    fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let mut sheet = Sheet::new(area, buf, theme, ("Land on time", ""), &self.hints);
        stand(&mut sheet, "as it is:", self.before);
        sheet.gap();
        if self.lines.is_empty() {
            sheet.say(Role::Now, "Nothing can be changed that would help.");
        }
        let kept = usize::from(sheet.room.height.saturating_sub(foot(&sheet)));
        for line in self.lines.iter().take(kept) {
            sheet.say(Role::Now, &format!("- {line}"));
        }
        if let more @ 1.. = self.lines.len().saturating_sub(kept) {
            sheet.say(Role::Quiet, &format!("and {more} more changes"));
        }
        sheet.gap();
        self.end(&mut sheet);
    }
}

impl LandingPage {
    /// When the class would end, large, and how that stands unless a line above has said it.
    fn end(&self, sheet: &mut Sheet) {
        if sheet.room.height >= 6 {
            sheet.line(Role::Quiet, "then it ends");
            sheet.large(Role::Next, &self.ends);
        } else {
            sheet.pair("then it ends", Role::Next, &self.ends);
        }
        let after = self.after.map(status::slot);
        let is_said = |text: &String| self.lines.iter().any(|line| line.ends_with(text.as_str()));
        if after.is_some_and(|(_, text)| !is_said(&text)) {
            stand(sheet, "that is", self.after);
        }
    }
}

/// Lines that the end takes, and one for what has no room.
const fn foot(sheet: &Sheet) -> u16 {
    let end = if sheet.room.height >= ROOMY { 5 } else { 1 };
    end + 2
}

/// Lines from which on the end of the class is written large.
const ROOMY: u16 = 12;

fn stand(sheet: &mut Sheet, label: &str, stands: Option<SlotView>) {
    if let Some((role, text)) = stands.map(status::slot) {
        sheet.pair(label, role, &text);
    }
}
