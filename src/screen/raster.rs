//! Pixels on a terminal: a bitmap, scaled in half steps, drawn with block characters.
//!
//! A cell carries two by two pixels. This file refuses to know letters: a face gives it bitmaps.
//! Only the block elements of the first Unicode versions are used, which every font has.

use ratatui::style::Style;

use super::pen::{Pen, cells};

/// The block elements by their set quarters: 1 upper left, 2 upper right, 4 lower left, 8 lower
/// right.
const QUARTERS: [&str; 16] = [
    " ", "▘", "▝", "▀", "▖", "▌", "▞", "▛", "▗", "▚", "▐", "▜", "▄", "▙", "▟", "█",
];

/// A drawing in pixels.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Bitmap {
    width: usize,
    rows: Vec<Vec<bool>>,
}

impl Bitmap {
    /// From rows of `#` and anything else.
    pub(super) fn of_rows<'a>(rows: impl IntoIterator<Item = &'a str>) -> Self {
        let rows: Vec<Vec<bool>> = rows
            .into_iter()
            .map(|row| row.chars().map(|c| c == '#').collect())
            .collect();
        let width = rows.iter().map(Vec::len).max().unwrap_or(0);
        Self { width, rows }
    }

    /// Another drawing at the right of this one, after `gap` blank columns.
    pub(super) fn push(&mut self, gap: usize, other: &Self) {
        self.width += gap + other.width;
        if self.rows.len() < other.rows.len() {
            self.rows.resize(other.rows.len(), Vec::new());
        }
        for (y, row) in self.rows.iter_mut().enumerate() {
            let empty = Vec::new();
            let right = other.rows.get(y).unwrap_or(&empty);
            row.resize(self.width - other.width, false);
            row.extend(right);
            row.resize(self.width, false);
        }
    }

    /// Scaled by half steps: 2 is as it is, 3 one and a half times as large.
    ///
    /// Upright strokes are two pixels wide and level ones one; sampling across and covering down
    /// keeps each kind of stroke equally thick at every step.
    pub(super) fn scaled(&self, across: usize, down: usize) -> Self {
        let width = (self.width * across).div_ceil(2);
        let height = (self.rows.len() * down).div_ceil(2);
        let on = |x: usize, y: usize| {
            let column = (2 * x + 1) / across;
            [2 * y, 2 * y + 1]
                .into_iter()
                .any(|y| self.is_on(column, y / down))
        };
        let rows = (0..height)
            .map(|y| (0..width).map(|x| on(x, y)).collect())
            .collect();
        Self { width, rows }
    }

    /// How many cells it is wide.
    pub(super) fn columns(&self) -> u16 {
        cells(self.width.div_ceil(2))
    }

    /// How many cells it is high.
    pub(super) fn lines(&self) -> u16 {
        cells(self.rows.len().div_ceil(2))
    }

    fn is_on(&self, x: usize, y: usize) -> bool {
        self.rows.get(y).and_then(|row| row.get(x)) == Some(&true)
    }

    /// The block element of a cell.
    fn quarter(&self, column: u16, line: u16) -> &'static str {
        let (x, y) = (usize::from(column) * 2, usize::from(line) * 2);
        let bit = |dx, dy, value| usize::from(self.is_on(x + dx, y + dy)) * value;
        QUARTERS[bit(0, 0, 1) + bit(1, 0, 2) + bit(0, 1, 4) + bit(1, 1, 8)]
    }

    /// Draws it with its upper left corner at a cell; cells without ink are left alone.
    pub(super) fn stamp(&self, pen: &mut Pen, x: u16, y: u16, style: Style) {
        for line in 0..self.lines() {
            for column in 0..self.columns() {
                let symbol = self.quarter(column, line);
                if symbol != " " {
                    pen.put(
                        x.saturating_add(column),
                        y.saturating_add(line),
                        symbol,
                        style,
                    );
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Strokes of one kind stay equally thick: two upright pixels become `across`, and one level
    /// pixel becomes half of `down`, rounded up, wherever in the glyph they stand.
    #[test]
    fn strokes_stay_equally_thick_at_every_scale() {
        for step in 2..=13 {
            for at in 0..6 {
                let mut row = [b'.'; 8];
                row[at..at + 2].fill(b'#');
                let row = std::str::from_utf8(&row).expect("ascii");
                let upright = Bitmap::of_rows([row]).scaled(step, 2);
                let ink = upright.rows[0].iter().filter(|on| **on).count();
                assert_eq!(ink, step, "across {step} at {at}");
                let level = Bitmap::of_rows((0..8).map(|y| if y == at { "#" } else { "." }));
                let ink = level.scaled(2, step).rows.iter().filter(|r| r[0]).count();
                assert_eq!(ink, step.div_ceil(2), "down {step} at {at}");
            }
        }
    }
}
