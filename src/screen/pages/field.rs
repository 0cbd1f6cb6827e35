//! A place to write in.

use ratatui::layout::Rect;
use ratatui::style::Modifier;

use crate::screen::pen::{Pen, right_of, width};
use crate::screen::theme::Role;

/// A label, and a text that may be edited.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Field {
    /// What it is for.
    pub label: String,
    /// What stands in it.
    pub text: String,
    /// Whether keys go into it now.
    pub is_focused: bool,
    /// What is wrong with the text, or what may be written; empty where nothing need be said.
    pub hint: String,
}

/// Draws a field on the first line of a rectangle.
pub(super) fn draw(pen: &mut Pen, rect: Rect, label_width: u16, field: &Field) {
    let (quiet, style) = (pen.theme.style(Role::Quiet), pen.theme.style(Role::Now));
    pen.text(rect, 0, &field.label, quiet);
    let at = right_of(rect, label_width.max(width(&field.label)) + 1);
    let used = pen.text(
        at,
        0,
        &end_of(&field.text, at.width.saturating_sub(2)),
        style,
    );
    let after = right_of(at, used);
    let mut used = 0;
    if field.is_focused {
        used = pen.text(after, 0, " ", style.add_modifier(Modifier::REVERSED));
    } else if field.text.is_empty() {
        used = pen.text(after, 0, "____", pen.theme.style(Role::Mark));
    }
    pen.text(right_of(after, used + 2), 0, &field.hint, quiet);
}

/// The end of a text that is too long for its room: there the writing goes on, and there a path
/// has its name.
pub(super) fn end_of(text: &str, room: u16) -> String {
    if width(text) <= room {
        return text.to_owned();
    }
    let mut end = text;
    while width(end) + 1 > room && !end.is_empty() {
        let mut chars = end.chars();
        chars.next();
        end = chars.as_str();
    }
    format!("…{end}")
}
