//! The class as a ribbon: length is time, height is effort, and a mark stands at now.
//!
//! Its shape is to be seen, not read, so it has no words and no figures. It refuses to know moves.

use ratatui::layout::Rect;

use super::pen::{Pen, cells};
use super::theme::Role;
use crate::live::PieceView;
use crate::plan::Kind;
use crate::time::Span;

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
pub(super) fn draw(pen: &mut Pen, rect: Rect, pieces: &[PieceView], at: Option<Span>) {
    let total = total(pieces);
    if rect.is_empty() || total == 0 {
        return;
    }
    let now = at.map(|at| column_of(at.millis().min(total), total, rect.width));
    for (n, column) in (0..rect.width).zip(columns(pieces, rect.width)) {
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

fn total(pieces: &[PieceView]) -> u64 {
    pieces
        .last()
        .map_or(0, |last| last.start.millis() + last.length.millis())
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
fn columns(pieces: &[PieceView], width: u16) -> Vec<Column> {
    let total = u128::from(total(pieces));
    let edge = |n: u16| u64::try_from(total * u128::from(n) / u128::from(width)).unwrap_or(0);
    let mut first = 0;
    let mut out = vec![Column::default(); usize::from(width)];
    for (n, column) in (0..width).zip(&mut out) {
        let (from, to) = (edge(n), edge(n + 1).max(edge(n) + 1));
        while pieces.get(first).is_some_and(|piece| end(piece) <= from) {
            first += 1;
        }
        column.effort = mean(&pieces[first.min(pieces.len())..], from, to);
    }
    for at in openings(pieces) {
        let n = usize::from(column_of(at, total.try_into().unwrap_or(u64::MAX), width));
        out[n].opens = n > 0 && width > 3 * cells(openings(pieces).count());
    }
    out
}

fn end(piece: &PieceView) -> u64 {
    piece.start.millis() + piece.length.millis()
}

fn mean(pieces: &[PieceView], from: u64, to: u64) -> u64 {
    pieces
        .iter()
        .take_while(|piece| piece.start.millis() < to)
        .map(|piece| {
            let within = end(piece)
                .min(to)
                .saturating_sub(piece.start.millis().max(from));
            u64::from(piece.effort).min(HARDEST) * 1000 * within
        })
        .sum::<u64>()
        / (to - from)
}

/// Where a part of the class begins, so that its blocks stand apart.
fn openings(pieces: &[PieceView]) -> impl Iterator<Item = u64> {
    pieces
        .windows(2)
        .filter(|two| two[0].part != two[1].part && two[1].kind != Kind::Ready)
        .map(|two| two[1].start.millis())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::time::Offset;

    fn pieces(efforts: &[(u64, u8, usize)]) -> Vec<PieceView> {
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
        out
    }

    #[test]
    fn length_is_time_and_height_is_effort() {
        let columns = columns(&pieces(&[(30, 2, 0), (10, 8, 0)]), 4);
        let efforts: Vec<u64> = columns.iter().map(|c| c.effort).collect();
        assert_eq!(efforts, [2000, 2000, 2000, 8000]);
    }

    #[test]
    fn a_column_of_much_has_the_mean_of_it() {
        let columns = columns(&pieces(&[(20, 8, 0), (20, 0, 0)]), 1);
        assert_eq!(columns[0].effort, 4000);
    }

    #[test]
    fn a_part_opens_with_a_gap() {
        let columns = columns(&pieces(&[(20, 8, 0), (20, 8, 1)]), 20);
        let gaps: Vec<usize> = (0..20).filter(|&n| columns[n].opens).collect();
        assert_eq!(gaps, [10]);
    }
}
