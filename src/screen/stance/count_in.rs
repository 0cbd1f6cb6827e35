//! Counting in: before a class that begins with people moving, and after a hold.
//!
//! It must not look like the last seconds of anything: the panel says that something starts, and
//! the first place has what does.

use super::super::pen::below;
use super::super::theme::Role;
use super::{Frame, words};
use crate::live::Digits;

pub(super) fn draw(frame: &mut Frame) {
    panel(frame);
    let view = frame.view;
    let kind = view.kind.label();
    let head = view
        .now
        .as_ref()
        .map_or_else(|| kind.to_owned(), words::name);
    let room = frame.labelled_head("start", &head, Role::Next);
    let mut texts = Vec::new();
    if let Some(now) = &view.now {
        texts.push((Role::Next, words::about(now)));
    }
    if let Some(next) = &view.next {
        let line = words::next_line(view, next);
        texts.push((Role::Quiet, format!("next: {line}")));
    }
    frame.lines_and_prompts(room, &texts);
}

fn panel(frame: &mut Frame) {
    let Digits::CountIn(left) = frame.view.digits else {
        return;
    };
    let upper = frame.upper();
    let used = frame.panel_line(&format!("starts in {left}"), upper, Role::Next);
    let lower = below(frame.panel, used.max(upper.height));
    let view = frame.view;
    let second = match &view.now {
        Some(now) => words::side(now).unwrap_or_else(|| now.position.label().into()),
        None => view.kind.label().to_owned(),
    };
    frame.panel_line(&second, lower, Role::Quiet);
}
