//! Asking: a pedal may have been trodden on by mistake, and whoever did so is on the mat.
//!
//! The question and its answers stand in place of everything but the figures.

use super::super::face::headline;
use super::super::pen::{below, right_of};
use super::super::theme::Role;
use super::Frame;
use crate::live::Asked;

pub(super) fn draw(frame: &mut Frame) {
    let (room, step) = (frame.middle(), frame.zones.name);
    let style = frame.pen.theme.band(Role::Now);
    frame.pen.fill(room, " ", style);
    let room = right_of(room, 2);
    let head = ratatui::layout::Rect {
        height: frame.zones.head.height,
        ..room
    };
    let Some(asked) = frame.view.asked else {
        return;
    };
    let question = asked.question();
    let used = headline(&mut frame.pen, head, &question, step, style);
    let answers = answers(frame);
    let left = room.height.saturating_sub(used);
    let answer_room = below(room, used + u16::from(left > 4));
    headline(&mut frame.pen, answer_room, &answers, step, style);
}

/// The keys that answer: the one that asked, and the one that closes whatever is open.
fn answers(frame: &Frame) -> String {
    let mut hints = frame.around.hints.iter();
    let ends = frame.view.asked == Some(Asked::End);
    match hints.find(|hint| ends && hint.action.starts_with("end")) {
        Some(hint) => format!("{}: yes · esc: no", hint.key),
        None => "same key: yes · esc: no".into(),
    }
}
