//! The class in one line, for a window too small for anything else.

use super::pen::Pen;
use super::theme::Role;
use crate::live::{Digits, HeldView, Stance, ThenView, View};

/// Draws one line: what goes on, the time left, what comes.
pub(super) fn draw(pen: &mut Pen, view: &View) {
    let style = pen.theme.style(Role::Now);
    let area = pen.area;
    pen.wrapped(area, &text(view), style);
}

fn text(view: &View) -> String {
    if let Some(asked) = view.asked {
        return format!("{} same key yes, esc no", asked.question().to_lowercase());
    }
    let kind = match (&view.held, view.stance, view.digits) {
        (Some(HeldView { .. }), ..) => "held",
        (None, Stance::Ended, _) => return "finished".into(),
        (None, _, Digits::CountIn(_)) => "starts in",
        _ => view.kind.label(),
    };
    let digits = super::digits::text(view.digits);
    let next = view.next.as_ref().map(|next| next.is.name.clone());
    match pause(view).or(next) {
        Some(next) => format!("{kind} {digits} next {next}"),
        None => format!("{kind} {digits}"),
    }
}

/// The pause that comes before the next move, where it is long: nobody is to be sent anywhere yet.
fn pause(view: &View) -> Option<String> {
    match view.then? {
        ThenView::Pause {
            kind,
            length,
            is_long: true,
        } if view.kind.is_moving() => Some(format!("{} {length}", kind.label())),
        _ => None,
    }
}
