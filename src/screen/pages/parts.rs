//! Where to go: the parts of the class, with the one that runs.

use super::paper::Paper;
use super::sheet::Sheet;
use super::{Page, list};
use crate::screen::around::Hint;
use crate::screen::pen::below;
use crate::screen::theme::Role;
use crate::time::Span;

/// Whether a part was, is, or comes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PartState {
    /// It is over.
    Past,
    /// It runs.
    Now,
    /// It comes.
    Coming,
}

/// A part of the class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartLine {
    /// What it is called, and what is in it.
    pub name: String,
    /// Where it starts.
    pub start: Span,
    /// How long it is.
    pub length: Span,
    /// Whether it was, is, or comes.
    pub state: PartState,
}

/// The page from which another part is gone to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PartsPage {
    /// The parts in order.
    pub parts: Vec<PartLine>,
    /// Which one is chosen.
    pub chosen: usize,
    /// The keys, most important first.
    pub hints: Vec<Hint>,
}

impl Page for PartsPage {
    fn lay(&self, paper: Paper) -> bool {
        let mut sheet = Sheet::new(paper, ("Go to a part", ""), &self.hints);
        sheet.is_whole &= self.parts.len() <= usize::from(sheet.room.height);
        let mut room = sheet.room;
        for n in list::shown(self.parts.len(), self.chosen, usize::from(room.height)) {
            let part = &self.parts[n];
            let (mark, role) = match part.state {
                PartState::Past => ("done   ", Role::Quiet),
                PartState::Now => ("now    ", Role::Now),
                PartState::Coming => ("       ", Role::Next),
            };
            let text = format!("{mark}{:>7}  {}", part.start.to_string(), part.name);
            let length = part.length.to_string();
            list::line(
                &mut sheet.pen,
                room,
                n == self.chosen,
                role,
                (&text, &length),
            );
            room = below(room, 1);
        }
        sheet.is_whole
    }

    fn hints(&self) -> Vec<Hint> {
        self.hints.clone()
    }
}
