//! Held: unmistakable from four metres, with what a key will do.

use ratatui::layout::Rect;

use super::super::face::headline;
use super::super::pen::{below, right_of};
use super::super::theme::Role;
use super::super::{prompts, status};
use super::{Frame, words};
use crate::live::{HeldView, HoldReason, SlotView, View};
use crate::time::Span;

/// For how long a full minute of a break is marked.
const MARKED: u64 = 5;

pub(super) fn draw(frame: &mut Frame) {
    band(frame);
    let hint = frame.around.hints.first();
    let head = hint.map(|hint| format!("{}: {}", hint.key, hint.action));
    let room = head_of(frame, &head.unwrap_or_default());
    let mut texts = vec![(Role::Now, why(frame)), (Role::Quiet, goes_on(frame))];
    match frame.view.slot {
        Some(SlotView::Over(over)) if has_turned(frame.view) => {
            let above = Rect {
                height: frame.zones.say.y - room.y,
                ..room
            };
            frame.lines(above, &texts);
            turned(frame, over);
        }
        slot => {
            let over = slot.filter(|slot| matches!(slot, SlotView::Over(_)));
            texts.extend(over.map(status::slot));
            frame.lines_and_prompts(room, &texts);
        }
    }
}

/// What a key does; inverted for some seconds at every full minute of a break.
fn head_of(frame: &mut Frame, text: &str) -> Rect {
    if !marks_minute(frame.view) {
        return frame.head(text, Role::Now);
    }
    let (head, style) = (frame.zones.head, frame.pen.theme.band(Role::Now));
    frame.pen.fill(head, " ", style);
    headline(
        &mut frame.pen,
        right_of(head, 2),
        text,
        frame.zones.step,
        style,
    );
    below(frame.zones.roomy_head(), head.height)
}

fn marks_minute(view: &View) -> bool {
    let is_marked = |held: &HeldView| {
        held.why == HoldReason::Break && held.secs >= 60 && held.secs % 60 < MARKED
    };
    view.held.as_ref().is_some_and(is_marked)
}

/// Whether there was time in hand when the hold began: the end moves on with every second of it.
fn has_turned(view: &View) -> bool {
    match (&view.held, view.slot) {
        (Some(held), Some(SlotView::Over(over))) => over.secs_up() <= held.secs,
        _ => false,
    }
}

/// That the class now ends after its slot, in large letters.
fn turned(frame: &mut Frame, over: Span) {
    let (zone, style) = (frame.zones.say, frame.pen.theme.band(Role::Trouble));
    frame.pen.fill(zone, " ", style);
    let text = format!("now {over} over");
    let step = prompts::step(frame.zones.step);
    headline(&mut frame.pen, right_of(zone, 2), &text, step, style);
}

/// A block of the strongest contrast beside the figures.
fn band(frame: &mut Frame) {
    let style = frame.pen.theme.band(Role::Now);
    frame.pen.fill(frame.panel, " ", style);
    let panel = right_of(frame.panel, 2);
    let edge = u16::from(panel.height > 4);
    let room = Rect {
        y: panel.y + edge,
        height: panel.height - 2 * edge,
        ..panel
    };
    let word = word(frame.view.held.as_ref());
    headline(&mut frame.pen, room, &word, 2 * frame.zones.step, style);
}

fn word(held: Option<&HeldView>) -> String {
    match held {
        Some(held) if held.why == HoldReason::Break => {
            format!("break {}", Span::from_secs(held.secs))
        }
        _ => "held".into(),
    }
}

fn why(frame: &Frame) -> String {
    let Some(held) = &frame.view.held else {
        return "the clock of the class stands still".into();
    };
    let since = Span::from_secs(held.secs);
    match (held.why, held.gap) {
        (HoldReason::Hold, _) => format!("held for {since}; the class stands still"),
        (HoldReason::Break, _) => format!("a break for everyone, for {since}"),
        (HoldReason::Slept, Some(gap)) => {
            let gap = Span::from_secs(gap.secs_down());
            format!("away for {gap}; held where it was,")
        }
        (HoldReason::Slept, None) => format!("held where it was, for {since}"),
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
