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

/// Draws the line for a view in the colour of its figures.
pub(super) fn draw(pen: &mut Pen, rect: Rect, view: &View, around: &Around) {
    if let Some(count) = view.count.filter(|_| around.flash) {
        return beats(pen, rect, count, role(view));
    }
    if let Digits::CountIn(left) = view.digits {
        return blocks(pen, rect, left);
    }
    let filled = filled(view, rect.width, around.motion);
    let middle = rect.height.saturating_sub(1) / 2;
    for line in 0..rect.height {
        for x in 0..rect.width {
            let (symbol, role) = match x < filled {
                true if rect.height == 1 => (thin(view.kind), role(view)),
                true => (thick(view.kind, x, line, rect.height), role(view)),
                false if line == middle => ("·", Role::Mark),
                false => (" ", Role::Mark),
            };
            let style = pen.theme.shape(role);
            pen.put(rect.x + x, rect.y + line, symbol, style);
        }
    }
}

/// A line of one row.
const fn thin(kind: Kind) -> &'static str {
    match kind {
        Kind::Work => "▀",
        Kind::WarmUp | Kind::CoolDown => "━",
        Kind::Rest | Kind::Recovery | Kind::Ready => "╍",
        Kind::Talk | Kind::Free => "─",
    }
}

/// The columns of a dot of a thick line, and those from one to the next.
const DOTS: (u16, u16) = (6, 8);

/// The same at a column and a row of a line of several, the last of them half.
const fn thick(kind: Kind, x: u16, line: u16, high: u16) -> &'static str {
    let is_last = line + 1 == high;
    match kind {
        Kind::Rest | Kind::Recovery | Kind::Ready if x % DOTS.1 >= DOTS.0 => " ",
        Kind::Work | Kind::Rest | Kind::Recovery | Kind::Ready => full(is_last),
        Kind::WarmUp | Kind::CoolDown if line == 0 => "▀",
        Kind::Talk | Kind::Free if line == 0 => "─",
        Kind::WarmUp | Kind::CoolDown | Kind::Talk | Kind::Free => " ",
    }
}

/// A row of a thick line.
const fn full(is_last: bool) -> &'static str {
    if is_last { "▀" } else { "█" }
}

/// The role of the figures and their line: what people do now, what they do next, or nothing that
/// runs.
pub(super) const fn role(view: &View) -> Role {
    match (view.stance, view.digits) {
        (Stance::Held | Stance::Ended, _) => Role::Quiet,
        (_, Digits::CountIn(_)) => Role::Next,
        // They count to the next move, so they belong to it.
        (Stance::Turning | Stance::Open, _) if !view.kind.is_moving() => Role::Next,
        _ => Role::Now,
    }
}

/// With motion off, the line changes four times in an interval and stands still between.
const QUARTERS: u128 = 4;

/// How many columns stand for the time left.
fn filled(view: &View, width: u16, is_moving: bool) -> u16 {
    let Digits::Left(left) = view.digits else {
        return width;
    };
    let length = u128::from(view.length.secs_ceil().max(1));
    let (left, width_of_all) = (u128::from(left), u128::from(width));
    let columns = if is_moving {
        (left * width_of_all).div_ceil(length)
    } else {
        (left * QUARTERS).div_ceil(length) * width_of_all / QUARTERS
    };
    u16::try_from(columns).unwrap_or(width).min(width)
}

/// The least seconds of which a count in is drawn.
const COUNT: u64 = 3;

/// Counting in: solid blocks over the whole width, one of which goes each second.
fn blocks(pen: &mut Pen, rect: Rect, left: u64) {
    let all = u16::try_from(left.clamp(COUNT, 8)).unwrap_or(8);
    let style = pen.theme.shape(Role::Next);
    for x in 0..rect.width {
        let block_of = |x: u16| u32::from(x) * u32::from(all) / u32::from(rect.width);
        let (block, next) = (block_of(x), block_of(x + 1));
        if u64::from(block) < left && next == block {
            for line in 0..rect.height {
                pen.put(rect.x + x, rect.y + line, "█", style);
            }
        }
    }
}

fn beats(pen: &mut Pen, rect: Rect, count: u64, role: Role) {
    let wide = (rect.width / 8).clamp(1, 10);
    let style = pen.theme.shape(role);
    let count = u16::try_from(count.min(8)).unwrap_or(8);
    for beat in 0..count {
        for x in 0..wide {
            let x = beat * (wide + wide / 3 + 1) + x;
            if x < rect.width {
                for line in 0..rect.height {
                    let symbol = full(line + 1 == rect.height);
                    pen.put(rect.x + x, rect.y + line, symbol, style);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;
    use crate::time::Span;

    #[test]
    fn the_line_is_as_long_as_the_time_left() {
        let view = |left, length| View {
            digits: Digits::Left(left),
            length: Span::from_secs(length),
            ..sample::at_work()
        };
        for (left, columns, still) in [
            (50, 100, 100),
            (25, 50, 50),
            (24, 48, 50),
            (1, 2, 25),
            (0, 0, 0),
        ] {
            assert_eq!(filled(&view(left, 50), 100, true), columns);
            assert_eq!(filled(&view(left, 50), 100, false), still);
        }
        assert_eq!(filled(&view(9, 0), 100, true), 100);
    }
}
