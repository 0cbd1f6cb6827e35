//! What can be written of a line: a field a row, of which one is chosen.

use ratatui::layout::Rect;
use ratatui::style::Modifier;

use crate::screen::pages::field::end_of;
use crate::screen::pages::list;
use crate::screen::pen::{Pen, below, right_of, row_of, width};
use crate::screen::theme::Role;

/// A field.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FormLine {
    /// What it is.
    pub label: String,
    /// What stands in it, or is being typed.
    pub text: String,
    /// What holds while nothing stands in it.
    pub usual: String,
    /// The one figure of a row of them that is chosen, counted from 0.
    pub figure: Option<usize>,
}

/// The fields of a line.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FormView {
    /// What the line is.
    pub title: String,
    /// The fields.
    pub lines: Vec<FormLine>,
    /// Which one is chosen.
    pub chosen: usize,
    /// Whether it is being typed.
    pub is_typing: bool,
    /// What may be written in it.
    pub hint: String,
}

impl FormView {
    /// Draws it; gives the lines used.
    pub(super) fn draw(&self, pen: &mut Pen, room: Rect) -> u16 {
        let bold = pen.theme.style(Role::Now).add_modifier(Modifier::BOLD);
        let quiet = pen.theme.style(Role::Quiet);
        pen.text(room, 0, &self.title, bold);
        let label = self.lines.iter().map(|line| width(&line.label)).max();
        let label = label.unwrap_or(0).min(room.width / 2);
        // Under the fields is what may be written.
        let rows = usize::from(room.height.saturating_sub(4));
        let shown = list::shown(self.lines.len(), self.chosen, rows);
        let mut used = 1;
        for n in shown {
            self.line(pen, row_of(room, used), label, n);
            used += 1;
        }
        let under = right_of(below(room, used), 2);
        let lines = Rect {
            height: under.height.min(3),
            ..under
        };
        used + pen.wrapped(lines, &self.hint, quiet)
    }

    fn line(&self, pen: &mut Pen, row: Rect, label: u16, n: usize) {
        let (line, is_chosen) = (&self.lines[n], n == self.chosen);
        let (now, quiet) = (pen.theme.style(Role::Now), pen.theme.style(Role::Quiet));
        if is_chosen {
            pen.text(row, 0, "▸", now);
        }
        let style = if is_chosen { now } else { quiet };
        let left = Rect {
            width: label,
            ..right_of(row, 2)
        };
        pen.text(left, 0, &line.label, style);
        let at = right_of(row, label.saturating_add(4));
        if line.text.is_empty() && !(is_chosen && self.is_typing) {
            let usual = if line.usual.is_empty() {
                "-".to_owned()
            } else {
                format!("({})", line.usual)
            };
            pen.text(at, 0, &usual, quiet);
            return;
        }
        if is_chosen && self.is_typing {
            let used = pen.text(at, 0, &end_of(&line.text, at.width.saturating_sub(1)), now);
            pen.text(
                right_of(at, used),
                0,
                " ",
                now.add_modifier(Modifier::REVERSED),
            );
            return;
        }
        if let Some(figure) = line.figure.filter(|_| is_chosen) {
            return figures(pen, at, &line.text, figure);
        }
        let role = if is_chosen { Role::Now } else { Role::Next };
        let style = pen.theme.style(role);
        pen.text(at, 0, &line.text, style);
    }
}

/// A row of figures, one of them marked.
fn figures(pen: &mut Pen, row: Rect, text: &str, chosen: usize) {
    let mut used = 0;
    for (n, figure) in text.split_whitespace().enumerate() {
        let style = if n == chosen {
            pen.theme.band(Role::Now)
        } else {
            pen.theme.style(Role::Now)
        };
        used += pen.text(right_of(row, used), 0, figure, style) + 1;
    }
}
