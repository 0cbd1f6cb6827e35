//! What to say now, large enough for a metre and a half, and after it what to say next.
//!
//! Words to be said stand beside a rail, so that they are known by shape; the rail goes down as
//! the time to say them goes. Words for somebody who must spare something have a double rail.

use ratatui::layout::Rect;
use ratatui::style::Modifier;

use super::face::set;
use super::pen::{Pen, below, right_of};
use super::ribbon::EIGHTHS;
use super::theme::Role;
use crate::live::PromptView;

/// The rail and the space beside it.
const RAIL: u16 = 3;

/// The size of a prompt where names have this one: read from half as far, so half as large.
pub(super) const fn step(names: u16) -> u16 {
    let half = names.div_ceil(2);
    if half < 2 { 2 } else { half }
}

/// The room that a prompt needs to be enlarged: its own zone, or as many lines above it as it takes,
/// down to its own zone where even the whole of `tall` is too low.
pub(super) fn zone(say: &PromptView, own: Rect, tall: Rect, step: u16) -> Rect {
    let heights = own.height..=tall.height.max(own.height);
    heights
        .map(|height| Rect {
            y: own.bottom() - height,
            height,
            ..own
        })
        .find(|rect| set(&say.say, right_of(*rect, RAIL), step).is_large())
        .unwrap_or(own)
}

/// Draws what to say now, and under it what to say then.
pub(super) fn draw(
    pen: &mut Pen,
    zone: Rect,
    say: Option<&PromptView>,
    then: Option<&PromptView>,
    step: u16,
) {
    let used = say.map_or(0, |say| now(pen, zone, say, step));
    if let Some(then) = then {
        let style = pen.theme.style(Role::Quiet);
        let lead = if say.is_some() {
            "then say: "
        } else {
            "to say next: "
        };
        let row = right_of(below(zone, used), if used > 0 { RAIL } else { 0 });
        pen.text(row, 0, &format!("{lead}{}", then.say), style);
    }
}

/// What to say now; gives the lines used.
pub(super) fn now(pen: &mut Pen, zone: Rect, say: &PromptView, step: u16) -> u16 {
    let role = if say.marked { Role::Spare } else { Role::Say };
    let style = pen.theme.style(role).add_modifier(Modifier::BOLD);
    let words = right_of(zone, RAIL);
    let used = set(&say.say, words, step)
        .draw(pen, words, style)
        .min(zone.height);
    let beside = Rect {
        height: used,
        ..zone
    };
    rail(pen, beside, say, role);
    used
}

/// The rail, as high as time to say the words is left.
fn rail(pen: &mut Pen, rect: Rect, say: &PromptView, role: Role) {
    let left = u16::from(say.left.min(12));
    let eighths = (rect.height.saturating_mul(8) * left).div_ceil(12);
    let wide = 1 + u16::from(say.marked);
    for line in 0..rect.height {
        let under = (rect.height - 1 - line) * 8;
        let filled = eighths.saturating_sub(under).min(8);
        let (symbol, role) = match filled {
            0 => ("╎", Role::Mark),
            _ => (EIGHTHS[usize::from(filled)], role),
        };
        let style = pen.theme.shape(role);
        for x in 0..wide {
            pen.put(rect.x + x, rect.y + line, symbol, style);
        }
    }
}
