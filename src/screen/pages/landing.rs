//! How the class can be brought home on time: the changes, line by line, to take or to leave.

use super::Page;
use super::paper::Paper;
use super::sheet::Sheet;
use crate::live::SlotView;
use crate::screen::around::Hint;
use crate::screen::status;
use crate::screen::theme::Role;

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
    fn lay(&self, paper: Paper) -> bool {
        let mut sheet = Sheet::new(paper, ("Land on time", ""), &self.hints);
        if let Some((role, text)) = self.headline() {
            sheet.large(role, &text, LEAST);
        }
        sheet.gap();
        if self.lines.is_empty() {
            sheet.say(Role::Now, "Nothing can be changed that would help.");
        }
        let after = self.after.map(|after| status::slot(after).1);
        let is_said = |line: &&String| {
            after
                .as_ref()
                .is_some_and(|after| line.ends_with(after.as_str()))
        };
        let lines: Vec<&String> = self.lines.iter().filter(|line| !is_said(line)).collect();
        let kept = usize::from(sheet.room.height.saturating_sub(FOOT));
        let kept = if lines.len() <= kept + 1 {
            lines.len()
        } else {
            kept
        };
        for line in lines.iter().take(kept) {
            sheet.say(Role::Now, &format!("- {line}"));
        }
        if let more @ 1.. = lines.len().saturating_sub(kept) {
            sheet.is_whole = false;
            sheet.say(Role::Quiet, &format!("and {more} more changes"));
        }
        sheet.pair("then it ends", Role::Next, &self.ends);
        sheet.is_whole
    }

    fn hints(&self) -> Vec<Hint> {
        self.hints.clone()
    }
}

impl LandingPage {
    /// How the class stands and would stand: `4:17 over → 1:05 over`, in the colour of trouble where
    /// it cannot be brought home on time.
    fn headline(&self) -> Option<(Role, String)> {
        let known = [self.before, self.after].into_iter().flatten();
        let texts: Vec<String> = known.clone().map(|slot| status::slot(slot).1).collect();
        let is_over = matches!(known.last()?, SlotView::Over(over) if !over.is_zero());
        let role = if is_over { Role::Trouble } else { Role::Next };
        Some((role, texts.join(" → ")))
    }
}

/// Lines under the list: what had no room, and when it ends.
const FOOT: u16 = 2;
/// Lines for which room is kept under the headline: a change, and when it ends.
const LEAST: u16 = 3;
