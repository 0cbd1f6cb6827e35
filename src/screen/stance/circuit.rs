//! A circuit that is repeated freely: everybody is at another move, so all of them are the head.

use ratatui::layout::Rect;

use super::super::face::set;
use super::super::pen::below;
use super::super::theme::Role;
use super::{Frame, words};
use crate::live::{Digits, View};

/// From here on what comes next is shown instead.
const ENDING: u64 = 15;

pub(super) fn is_shown(view: &View) -> bool {
    let is_ending = matches!(view.digits, Digits::Left(left) if left <= ENDING);
    view.circuit.len() > 1 && !(is_ending && view.next.is_some())
}

/// The moves in letters as large as they all have room, and under them what is to be said.
pub(super) fn draw(frame: &mut Frame) {
    let view = frame.view;
    let is_said = view.say.is_some() && frame.around.prompts;
    let middle = frame.middle();
    let bottom = if is_said {
        frame.zones.say.y
    } else {
        middle.bottom() - u16::from(middle.height > 3)
    };
    let room = Rect {
        height: bottom - middle.y,
        ..middle
    };
    let style = frame.style(Role::Now);
    let moves = set(&list(&view.circuit), room, frame.zones.step);
    let used = moves.draw(&mut frame.pen, room, style).min(room.height);
    let next = view.next.as_ref();
    let next = next.map(|next| format!("next: {}", words::next_line(view, next)));
    let texts: Vec<_> = next.map(|line| (Role::Next, line)).into_iter().collect();
    if is_said {
        frame.lines_and_prompts(below(room, used), &texts);
    } else {
        frame.lines(below(middle, used), &texts);
    }
}

/// The moves in a row; a line breaks between two of them, never within one.
fn list(circuit: &[String]) -> String {
    let whole = |name: &String| name.split_whitespace().collect::<Vec<_>>().join("\u{a0}");
    let moves: Vec<String> = circuit.iter().map(whole).collect();
    moves.join("\u{a0}· ")
}
