//! What is set about sound, beside a flash to hear it against.

use super::paper::Paper;
use super::sheet::Sheet;
use super::{Page, list};
use crate::screen::around::Hint;
use crate::screen::pen::{below, row_of};
use crate::screen::theme::Role;

/// Something that can be set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SettingLine {
    /// What it is called.
    pub name: String,
    /// How it is set.
    pub value: String,
}

/// The page on which sound is set.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SoundPage {
    /// What can be set.
    pub lines: Vec<SettingLine>,
    /// Which of it is chosen.
    pub chosen: usize,
    /// What the chosen one is for, and how to find out what is right.
    pub about: String,
    /// Whether the flash is lit: a tone is to be heard in this moment.
    pub is_lit: bool,
    /// What plays, or why nothing does.
    pub state: String,
    /// Whether that is trouble.
    pub is_trouble: bool,
    /// The keys, most important first.
    pub hints: Vec<Hint>,
}

/// Lines of the flash.
const FLASH: u16 = 3;

impl Page for SoundPage {
    fn lay(&self, paper: Paper) -> bool {
        let mut sheet = Sheet::new(paper, ("Sound", ""), &self.hints);
        let flash = sheet.take(FLASH);
        let (style, word) = if self.is_lit {
            (sheet.pen.theme.band(Role::Now), "now")
        } else {
            (sheet.pen.theme.style(Role::Quiet), "")
        };
        for line in 0..flash.height {
            let row = row_of(flash, line);
            let ink = if self.is_lit { " " } else { "·" };
            sheet.pen.fill(row, ink, style);
        }
        if !word.is_empty() && flash.height > 1 {
            sheet.pen.text(row_of(flash, 1), 2, word, style);
        }
        let role = if self.is_trouble {
            Role::Trouble
        } else {
            Role::Quiet
        };
        sheet.say(role, &self.state);
        sheet.gap();
        let left = usize::from(sheet.room.height.saturating_sub(ABOUT));
        sheet.is_whole &= self.lines.len() <= left;
        let shown = list::shown(self.lines.len(), self.chosen, left);
        for n in shown {
            let line = &self.lines[n];
            let is_chosen = n == self.chosen;
            let text = (line.name.as_str(), line.value.as_str());
            list::line(&mut sheet.pen, sheet.room, is_chosen, Role::Now, text);
            sheet.room = below(sheet.room, 1);
        }
        sheet.gap();
        sheet.say(Role::Next, &self.about);
        sheet.is_whole
    }

    fn hints(&self) -> Vec<Hint> {
        self.hints.clone()
    }
}

/// Lines kept for what is said of the chosen one.
const ABOUT: u16 = 4;
