//! At work: figures first, the move's name, then prompt and option; what comes next is small.

use ratatui::layout::Rect;

use super::super::digits;
use super::super::face::set;
use super::super::pen::{below, right_of};
use super::super::prompts;
use super::super::theme::Role;
use super::{Frame, circuit, words};
use crate::live::{Digits, MoveView, NextView, View};

pub(super) fn draw(frame: &mut Frame) {
    panel(frame);
    let view = frame.view;
    if circuit::is_shown(view) {
        return circuit::draw(frame);
    }
    let head = view.now.as_ref().map(words::name).unwrap_or_default();
    let room = frame.head(&head, Role::Now);
    let mut texts = Vec::new();
    if let Some(now) = &view.now {
        texts.push((Role::Quiet, about(now, view.digits)));
    }
    let Some(next) = &view.next else {
        return frame.lines_and_prompts(room, &texts);
    };
    let (name, line) = coming(view, next);
    if view.say.is_some() || !frame.around.prompts {
        texts.push((Role::Next, line));
        return frame.lines_and_prompts(room, &texts);
    }
    frame.lines(room, &texts);
    silence(frame, &name, &line);
}

/// What comes first, and what comes in a line.
fn coming(view: &View, next: &NextView) -> (String, String) {
    match words::pause(view) {
        Some(pause) => {
            let line = format!("next: {pause}, {}", words::after_pause(next));
            (pause, line)
        }
        None => (
            next.is.name.clone(),
            format!("next: {}", words::next_line(view, next)),
        ),
    }
}

/// Nothing is to be said now, so what comes next has the prompt's room.
fn silence(frame: &mut Frame, next: &str, line: &str) {
    let zone = frame.zones.say;
    let large = Rect {
        height: zone.height - u16::from(zone.height > 1),
        ..zone
    };
    let step = prompts::step(frame.zones.step);
    let used = frame.labelled(large, ("next", next), step, Role::Next);
    frame.lines(below(zone, used), &[(Role::Next, line.to_owned())]);
}

fn about(now: &MoveView, digits: Digits) -> String {
    let about = words::about(now);
    match digits {
        Digits::Up(_) => format!("{about} · counting up, you move on"),
        _ => about,
    }
}

/// What the figures do not say, in large letters, and under it who needs another version.
fn panel(frame: &mut Frame) {
    let view = frame.view;
    let facts = facts(view);
    let upper = frame.upper();
    let kind = view.kind.label();
    let first = facts.first().map_or(kind, String::as_str);
    let used = frame.panel_line(first, upper, Role::Now);
    if !facts.is_empty() {
        kind_beside(frame, first, kind);
    }
    let mut room = below(frame.panel, used.max(upper.height));
    let mut texts = view.now.as_ref().map_or_else(Vec::new, words::versions);
    let spare = view.now.as_ref().and_then(|now| now.spare.first());
    let second = spare.map(|spare| (Role::Spare, spare));
    let second = second.or_else(|| Some((Role::Now, facts.get(1)?)));
    if let Some((role, text)) = second {
        let large = set(text, room, 2);
        if large.is_large() {
            let style = frame.style(role);
            room = below(room, large.draw(&mut frame.pen, room, style));
            texts.drain(..usize::from(role == Role::Spare));
        }
    }
    frame.lines(room, &texts);
}

/// What the figures do not say, what matters most first.
fn facts(view: &View) -> Vec<String> {
    let planned = Digits::Left(view.length.secs_up());
    let up = matches!(view.digits, Digits::Up(_)).then(|| format!("up ~{}", digits::text(planned)));
    let side = view.now.as_ref().and_then(words::side);
    let facts = [up, side, words::last(view), words::place(view)];
    facts.into_iter().flatten().collect()
}

/// The kind as a smaller word at the right, where there is room for it.
fn kind_beside(frame: &mut Frame, first: &str, kind: &str) {
    let upper = frame.upper();
    let taken = set(first, upper, frame.zones.step).columns() + 3;
    let room = Rect {
        height: upper.height.min(3),
        ..right_of(upper, taken)
    };
    let small = set(kind, room, 2);
    if small.is_large() && small.lines() <= 3 {
        let style = frame.style(Role::Quiet);
        let right = right_of(room, room.width.saturating_sub(small.columns()));
        small.draw(&mut frame.pen, right, style);
    }
}
