//! Waiting: nothing runs yet; what comes first, and the key that starts it.

use super::super::theme::Role;
use super::{Frame, words};

pub(super) fn draw(frame: &mut Frame) {
    let (view, panel) = (frame.view, frame.panel);
    let hint = frame.around.hints.first();
    let start = hint.map(|hint| format!("{}: {}", hint.key, hint.action));
    frame.panel_line(&start.unwrap_or_default(), panel, Role::Now);
    let first = view
        .now
        .as_ref()
        .or(view.next.as_ref().map(|next| &next.is));
    let head = first.map_or_else(|| view.title.to_string(), words::name);
    let room = frame.head(&head, Role::Next);
    let mut texts = vec![(Role::Quiet, format!("{} in all", view.total))];
    if !view.brief.is_empty() {
        texts.push((Role::Quiet, view.brief.to_string()));
    }
    frame.lines_and_prompts(room, &texts);
}
