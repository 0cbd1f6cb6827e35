//! The class as a ribbon: length is time, height is effort, and a mark stands at now.
//!
//! Its shape is to be seen, not read, so it has no words and no figures. It refuses to know moves.

use ratatui::layout::Rect;

use super::pen::{Pen, cells};
use super::theme::Role;
use crate::live::Ribbon;
use crate::time::{Offset, Span};

/// Lower blocks by eighths of a cell.
pub(super) const EIGHTHS: [&str; 9] = [" ", "▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"];

/// The hardest effort of a piece.
const HARDEST: u64 = 8;

/// A column of the ribbon.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Column {
    /// Effort times a thousand, 0 to 8000, the mean over the column's time.
    effort: u64,
    /// Whether a part of the class begins here.
    opens: bool,
}

/// Draws the ribbon into a rectangle, `at` being where the class is.
pub(super) fn draw(pen: &mut Pen, rect: Rect, ribbon: &Ribbon, at: Option<Span>) {
    let total = ribbon.total();
    if rect.is_empty() || total.is_zero() {
        return;
    }
    let now = at.map(|at| column(at, total, rect.width));
    for (n, column) in (0..rect.width).zip(columns(ribbon, rect.width)) {
        let here = now == Some(n);
        let role = match now {
            Some(now) if n < now => Role::Mark,
            Some(now) if n == now => Role::Now,
            _ => Role::Quiet,
        };
        pile(pen, rect, n, column, role, here);
    }
}

fn pile(pen: &mut Pen, rect: Rect, n: u16, column: Column, role: Role, here: bool) {
    let style = pen.theme.shape(role);
    let height = u64::from(rect.height) * 8;
    let eighths = (column.effort * height).div_ceil(HARDEST * 1000).max(1);
    for line in 0..rect.height {
        let under = u64::from(rect.height - 1 - line) * 8;
        let filled = usize::try_from(eighths.saturating_sub(under).min(8)).unwrap_or(8);
        let symbol = match (here, column.opens) {
            (true, _) => "┃",
            (false, true) => " ",
            (false, false) => EIGHTHS[filled],
        };
        pen.put(rect.x + n, rect.y + line, symbol, style);
    }
}

/// The column of a place in a class this long.
pub(super) fn column(at: Span, total: Span, width: u16) -> u16 {
    match width {
        0 => 0,
        _ => column_of(at.millis().min(total.millis()), total.millis(), width),
    }
}

fn column_of(at: u64, total: u64, width: u16) -> u16 {
    let column = u128::from(at) * u128::from(width) / u128::from(total.max(1));
    u16::try_from(column).unwrap_or(width).min(width - 1)
}

/// The columns, each with the mean effort of its time.
fn columns(ribbon: &Ribbon, width: u16) -> Vec<Column> {
    let total = u128::from(ribbon.total().millis());
    let edge = |n: u16| u64::try_from(total * u128::from(n) / u128::from(width)).unwrap_or(0);
    let mut out: Vec<Column> = (0..width)
        .map(|n| Column {
            effort: mean(ribbon, edge(n), edge(n + 1).max(edge(n) + 1)),
            opens: false,
        })
        .collect();
    let openings = ribbon.openings();
    if width > cells(openings.len()).saturating_mul(3) {
        for at in openings {
            let n = column(at.span(), ribbon.total(), width);
            out[usize::from(n)].opens = n > 0;
        }
    }
    out
}

fn mean(ribbon: &Ribbon, from: u64, to: u64) -> u64 {
    let until = |at| ribbon.effort_until(Offset::from_millis(at));
    (until(to) - until(from)) * 1000 / (to - from)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::PieceView;
    use crate::plan::Kind;

    fn ribbon(efforts: &[(u64, u8, usize)]) -> Ribbon {
        let mut at = 0;
        let mut out = Vec::new();
        for &(secs, effort, part) in efforts {
            out.push(PieceView {
                start: Offset::from_millis(at * 1000),
                length: Span::from_secs(secs),
                kind: Kind::Work,
                effort,
                part,
                block: 0,
            });
            at += secs;
        }
        Ribbon::of(out)
    }

    #[test]
    fn length_is_time_and_height_is_effort() {
        let columns = columns(&ribbon(&[(30, 2, 0), (10, 8, 0)]), 4);
        let efforts: Vec<u64> = columns.iter().map(|c| c.effort).collect();
        assert_eq!(efforts, [2000, 2000, 2000, 8000]);
    }

    #[test]
    fn a_column_of_much_has_the_mean_of_it() {
        let columns = columns(&ribbon(&[(20, 8, 0), (20, 0, 0)]), 1);
        assert_eq!(columns[0].effort, 4000);
    }

    #[test]
    fn a_part_opens_with_a_gap() {
        let columns = columns(&ribbon(&[(20, 8, 0), (20, 8, 1)]), 20);
        let gaps: Vec<usize> = (0..20).filter(|&n| columns[n].opens).collect();
        assert_eq!(gaps, [10]);
    }
}
