//! Held: unmistakable from four metres, with what a key will do.

use ratatui::layout::Rect;

use super::super::face::headline;
use super::super::pen::right_of;
use super::super::theme::Role;
use super::{Frame, words};
use crate::live::HoldReason;

pub(super) fn draw(frame: &mut Frame) {
    band(frame);
    let hint = frame.around.hints.first();
    let head = hint.map(|hint| format!("{}: {}", hint.key, hint.action));
    let room = frame.head(&head.unwrap_or_default(), Role::Now);
    let texts = [(Role::Now, why(frame)), (Role::Quiet, goes_on(frame))];
    frame.lines_and_prompts(room, &texts);
}

/// A block of the strongest contrast beside the figures.
fn band(frame: &mut Frame) {
    let style = frame.pen.theme.band(Role::Now);
    frame.pen.fill(frame.panel, " ", style);
    let word = match frame.view.held.as_ref().map(|held| held.why) {
        Some(HoldReason::Break) => "break",
        _ => "held",
    };
    let panel = right_of(frame.panel, 2);
    let edge = u16::from(panel.height > 4);
    let room = Rect {
        y: panel.y + edge,
        height: panel.height - 2 * edge,
        ..panel
    };
    headline(&mut frame.pen, room, word, 2 * frame.zones.step, style);
}

fn why(frame: &Frame) -> String {
    let Some(held) = &frame.view.held else {
        return "the clock of the class stands still".into();
    };
    let since = crate::time::Span::from_secs(held.secs);
    match (held.why, held.gap) {
        (HoldReason::Hold, _) => format!("held for {since}; the class stands still"),
        (HoldReason::Break, _) => format!("a break for everyone, for {since}"),
        (HoldReason::Slept, Some(gap)) => {
            let gap = crate::time::Span::from_secs(gap.secs_down());
            format!("away for {gap}; held where it was,")
        }
        (HoldReason::Slept, None) => format!("held where it was, for {since}"),
        (HoldReason::Return, _) => "taken up again where it stopped".into(),
    }
}

fn goes_on(frame: &Frame) -> String {
    let view = frame.view;
    let now = view.now.as_ref().map(words::name);
    let what = now.unwrap_or_else(|| view.kind.label().to_owned());
    match &view.next {
        Some(next) => format!(
            "goes on with {what}; next: {}",
            words::next_line(view, next)
        ),
        None => format!("goes on with {what}"),
    }
}
