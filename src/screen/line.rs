//! The class in one line, for a window too small for anything else.

use super::pen::Pen;
use super::theme::Role;
use crate::live::{HeldView, View};

/// Draws one line: what goes on, the time left, what comes.
pub(super) fn draw(pen: &mut Pen, view: &View) {
    let style = pen.theme.style(Role::Now);
    let area = pen.area;
    pen.wrapped(area, &text(view), style);
}

fn text(view: &View) -> String {
    let kind = match view.held {
        Some(HeldView { .. }) => "held",
        None => view.kind.label(),
    };
    let digits = super::digits::text(view.digits);
    match &view.next {
        Some(next) => format!("{kind} {digits} next {}", next.is.name),
        None => format!("{kind} {digits}"),
    }
}
