//! Turning: what comes next takes the first place, with its position and what to fetch.
//!
//! While people still work the name has a word before it, and the panel says what is still done,
//! so that an eye from the mat never takes it for the rest.

use ratatui::layout::Rect;

use super::super::face::set;
use super::super::pen::below;
use super::super::theme::Role;
use super::{Frame, words};
use crate::live::{Body, NextView};

pub(super) fn draw(frame: &mut Frame) {
    let view = frame.view;
    let Some(next) = &view.next else {
        return last(frame);
    };
    match words::pause(view) {
        Some(pause) => before_pause(frame, next, &pause),
        None => before_move(frame, next),
    }
}

/// The next move follows, at once or after a short rest.
fn before_move(frame: &mut Frame, next: &NextView) {
    let is_work = frame.view.kind.is_moving();
    let rest = if is_work { still(frame) } else { frame.panel };
    change(frame, rest, next);
    let name = words::name(&next.is);
    let room = if is_work {
        frame.labelled_head("next", &name, Role::Next)
    } else {
        frame.head(&name, Role::Next)
    };
    let mut texts = vec![(
        Role::Next,
        format!("{} · {}", words::when(next), words::about(&next.is)),
    )];
    if !next.is.setup.is_empty() {
        texts.push((Role::Now, next.is.setup.clone()));
    }
    texts.extend(words::versions(&next.is));
    frame.lines_and_prompts(room, &texts);
}

/// A long pause comes first: nobody is to be sent anywhere yet, so the move after it is small.
fn before_pause(frame: &mut Frame, next: &NextView, pause: &str) {
    let room = still(frame);
    let large = Rect {
        height: room.height.saturating_sub(1),
        ..room
    };
    let last = words::last(frame.view);
    let used = last.map_or(0, |last| frame.panel_line(&last, large, Role::Quiet));
    let then = [(Role::Quiet, words::after_pause(next))];
    frame.lines(below(room, used), &then);
    let room = frame.labelled_head("next", pause, Role::Next);
    frame.lines_and_prompts(room, &[]);
}

/// What is still done, at the top of the panel; gives what is left of the panel.
fn still(frame: &mut Frame) -> Rect {
    let (view, panel) = (frame.view, frame.panel);
    let Some(now) = &view.now else { return panel };
    let high = match panel.height {
        0..7 => 1,
        7..12 => 3,
        height => height / 3,
    };
    let room = Rect {
        height: high,
        ..panel
    };
    let used = frame.panel_line(&format!("still {}", now.name), room, Role::Now);
    below(panel, used.max(high))
}

/// What the body does, and what must be fetched; where it does nothing, where it stays.
fn change(frame: &mut Frame, room: Rect, next: &NextView) {
    let position = next.is.position.label();
    let first = words::body(next).unwrap_or(position);
    let role = if next.body == Body::Same {
        Role::Quiet
    } else {
        Role::Next
    };
    let Some(second) = second(frame, next, first) else {
        frame.panel_line(first, room, role);
        return;
    };
    let is_low = room.height < 6;
    if is_low {
        let fitting = |both: &String| set(both, room, frame.zones.step).is_large();
        if let Some(both) = [first.to_owned(), words::short(first)]
            .map(|first| format!("{first} · {second}"))
            .into_iter()
            .find(fitting)
        {
            frame.panel_line(&both, room, role);
            return;
        }
    }
    let high = if is_low {
        room.height.saturating_sub(1)
    } else {
        room.height.div_ceil(2)
    };
    let upper = Rect {
        height: high,
        ..room
    };
    let used = frame.panel_line(first, upper, role);
    let lower = below(room, used.max(if is_low { 0 } else { high }));
    frame.panel_line(&second, lower, Role::Next);
}

/// What stands under the change: what to fetch, else where the body comes to be, else what goes on.
fn second(frame: &Frame, next: &NextView, first: &str) -> Option<String> {
    let position = next.is.position.label();
    let kind = frame.view.kind;
    match (words::fetch(next), next.body) {
        (Some(fetch), _) => Some(fetch),
        (None, Body::Down) if first.ends_with("floor") => Some(position.to_owned()),
        (None, _) if !kind.is_moving() => Some(kind.label().to_owned()),
        (None, _) => None,
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
