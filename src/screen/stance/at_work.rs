//! At work: figures first, the move's name, then prompt and option; what comes next is small.

use ratatui::layout::Rect;

use super::super::face::{Set, headline, set};
use super::super::pen::below;
use super::super::theme::Role;
use super::{Frame, words};
use crate::live::{Digits, MoveView};

pub(super) fn draw(frame: &mut Frame) {
    panel(frame);
    let view = frame.view;
    let head = view.now.as_ref().map(words::name).unwrap_or_default();
    let room = frame.head(&head, Role::Now);
    let mut texts = Vec::new();
    if let Some(now) = &view.now {
        texts.push((Role::Quiet, about(now, view.digits)));
    }
    if view.circuit.len() > 1 {
        texts.push((Role::Now, view.circuit.join(" · ")));
    }
    let line = view.next.as_ref().map(|next| words::next_line(view, next));
    if view.say.is_some() || !frame.around.prompts {
        texts.extend(line.map(|line| (Role::Next, format!("next: {line}"))));
        return frame.lines_and_prompts(room, &texts);
    }
    frame.lines(room, &texts);
    if let (Some(next), Some(line)) = (&view.next, line) {
        silence(frame, &format!("next: {}", next.is.name), &line);
    }
}

/// Nothing is to be said now, so what comes next has the prompt's room.
fn silence(frame: &mut Frame, next: &str, line: &str) {
    let (zone, style) = (frame.zones.say, frame.style(Role::Next));
    let large = Rect {
        height: zone.height - u16::from(zone.height > 1),
        ..zone
    };
    let used = headline(&mut frame.pen, large, next, 2, style);
    frame.lines(below(zone, used), &[(Role::Next, line.to_owned())]);
}

fn about(now: &MoveView, digits: Digits) -> String {
    let about = words::about(now);
    match digits {
        Digits::Up(_) => format!("{about} · counting up, you move on"),
        _ => about,
    }
}

/// The kind in large letters, and under it who needs another version.
fn panel(frame: &mut Frame) {
    let view = frame.view;
    let title = match view.last_of {
        Some(of) => format!("last of {of}"),
        None => view.kind.label().to_owned(),
    };
    let half = half(frame);
    let used = frame.panel_line(&title, half, Role::Quiet);
    let mut room = below(frame.panel, used.max(half.height));
    let Some(now) = &view.now else { return };
    let mut texts = words::versions(now);
    if let Some(spare) = now.spare.first() {
        let large = set(spare, room, 2);
        if matches!(large, Set::Large(..)) {
            let style = frame.style(Role::Spare);
            room = below(room, large.draw(&mut frame.pen, room, style));
            texts.remove(0);
        }
    }
    frame.lines(room, &texts);
}

fn half(frame: &Frame) -> Rect {
    Rect {
        height: frame.panel.height.div_ceil(2),
        ..frame.panel
    }
}
