//! The horizon: a line under the figures that shortens as the interval goes.
//!
//! What goes on is told by the line's shape: work is a heavy line, other moving a lighter one, rest
//! and recovery are dotted, talk is thin. In the last seconds before a start or stop the line
//! becomes as many blocks as there are seconds, one going each second: a beat for the eye where
//! the ear has none, slower than 2 Hz and without anything blinking (WCAG 2.2, 2.3.1).

use ratatui::layout::Rect;

use super::around::Around;
use super::pen::Pen;
use super::theme::Role;
use crate::live::{Digits, Stance, View};
use crate::plan::Kind;

/// Draws the line for a view.
pub(super) fn draw(pen: &mut Pen, rect: Rect, view: &View, around: &Around) {
    if let Some(count) = view.count.filter(|_| around.flash) {
        return beats(pen, rect, count);
    }
    let filled = filled(view, rect.width);
    for x in 0..rect.width {
        let (symbol, role) = if x < filled {
            (line(view.kind), role(view))
        } else {
            ("·", Role::Mark)
        };
        let style = pen.theme.shape(role);
        pen.put(rect.x + x, rect.y, symbol, style);
    }
}

const fn line(kind: Kind) -> &'static str {
    match kind {
        Kind::Work => "▀",
        Kind::WarmUp | Kind::CoolDown => "━",
        Kind::Rest | Kind::Recovery | Kind::Ready => "╍",
        Kind::Talk => "─",
    }
}

const fn role(view: &View) -> Role {
    match view.stance {
        Stance::Turning => Role::Next,
        Stance::Held | Stance::Ended => Role::Mark,
        _ => Role::Now,
    }
}

/// How many columns stand for the time left.
fn filled(view: &View, width: u16) -> u16 {
    let Digits::Left(left) = view.digits else {
        return width;
    };
    let length = u128::from(view.length.secs_up().max(1));
    let columns = (u128::from(left) * u128::from(width)).div_ceil(length);
    u16::try_from(columns).unwrap_or(width).min(width)
}

fn beats(pen: &mut Pen, rect: Rect, count: u64) {
    let wide = (rect.width / 8).clamp(1, 10);
    let style = pen.theme.shape(Role::Now);
    let count = u16::try_from(count.min(8)).unwrap_or(8);
    for beat in 0..count {
        for x in 0..wide {
            let x = beat * (wide + wide / 3 + 1) + x;
            if x < rect.width {
                pen.put(rect.x + x, rect.y, "▀", style);
            }
        }
    }
}
