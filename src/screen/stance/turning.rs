//! Turning: the next move takes the first place, with its position and what to fetch.

use ratatui::layout::Rect;

use super::super::pen::below;
use super::super::theme::Role;
use super::{Frame, words};
use crate::live::{Body, NextView};

pub(super) fn draw(frame: &mut Frame) {
    let view = frame.view;
    let Some(next) = &view.next else {
        return last(frame);
    };
    panel(frame, next);
    let room = frame.head(&words::name(&next.is), Role::Next);
    let mut texts = vec![(
        Role::Next,
        format!("{} · {}", words::when(next), words::about(&next.is)),
    )];
    if let Some(now) = &view.now {
        texts.push((Role::Quiet, format!("still {}", now.name)));
    }
    if !next.is.setup.is_empty() {
        texts.push((Role::Now, next.is.setup.clone()));
    }
    texts.extend(words::versions(&next.is));
    frame.lines_and_prompts(room, &texts);
}

/// What the body does, and what must be fetched; where it does nothing, where it stays.
fn panel(frame: &mut Frame, next: &NextView) {
    let position = next.is.position.label();
    let first = words::body(next.body).unwrap_or(position);
    let first = if next.body == Body::Shift {
        position
    } else {
        first
    };
    let second = match (words::fetch(next), next.body) {
        (Some(fetch), _) => Some(fetch),
        (None, Body::Down) => Some(position.to_owned()),
        (None, _) if !frame.view.kind.is_moving() => Some(frame.view.kind.label().to_owned()),
        (None, _) => None,
    };
    let role = if next.body == Body::Same {
        Role::Quiet
    } else {
        Role::Next
    };
    let upper = match second {
        Some(_) => Rect {
            height: frame.panel.height.div_ceil(2),
            ..frame.panel
        },
        None => frame.panel,
    };
    let used = frame.panel_line(first, upper, role);
    if let Some(second) = second {
        let lower = below(frame.panel, used.max(upper.height));
        frame.panel_line(&second, lower, Role::Next);
    }
}

/// The last seconds of the last work.
fn last(frame: &mut Frame) {
    let view = frame.view;
    frame.panel_line("then done", frame.panel, Role::Next);
    let head = view.now.as_ref().map(words::name).unwrap_or_default();
    let room = frame.head(&head, Role::Now);
    frame.lines_and_prompts(room, &[]);
}
