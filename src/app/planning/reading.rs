//! Something to read, which may be taken or left.

use crate::app::footer;
use crate::screen::pages::{Reach, ReadPage, Said};

/// What is read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Reading {
    /// What it is.
    pub(super) title: String,
    /// The paragraphs.
    pub(super) says: Vec<Said>,
    /// The text that the file would be, where there is something to take.
    pub(super) take: Option<String>,
    from: usize,
    /// How far it can be scrolled in the window that it was last drawn in.
    reach: Reach,
}

impl Reading {
    pub(super) fn new(title: impl Into<String>, says: Vec<Said>, take: Option<String>) -> Self {
        Self {
            title: title.into(),
            says,
            take,
            from: 0,
            reach: Reach::default(),
        }
    }

    /// Goes on or back in it.
    pub(super) fn scroll(&mut self, key: &str) {
        let last = self.reach.last();
        let from = self.from.min(last);
        let on = |by: usize| from.saturating_add(by).min(last);
        self.from = match key {
            "up" => from.saturating_sub(1),
            "down" => on(1),
            "pageup" => from.saturating_sub(10),
            "pagedown" | "space" => on(10),
            "home" => 0,
            "end" => last,
            _ => from,
        };
    }

    /// The page as it is drawn.
    pub(super) fn page(&self) -> ReadPage {
        let hints: &[(&str, &str)] = if self.take.is_some() {
            &[
                ("enter", "take it"),
                ("esc", "leave it"),
                ("↑ ↓", "read on"),
            ]
        } else {
            &[("esc", "back"), ("↑ ↓", "read on")]
        };
        ReadPage {
            title: self.title.clone(),
            beside: String::new(),
            says: self.says.clone(),
            from: self.from,
            reach: self.reach.clone(),
            hints: footer::of_page(hints),
        }
    }
}
