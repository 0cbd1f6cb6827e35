//! Pixels on a terminal: a bitmap, scaled to any size, drawn with block characters.
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

/// How much larger: so many pixels for so many.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Scale(pub(super) u16, pub(super) u16);

impl Scale {
    /// A length scaled, to the nearest pixel; nothing that is there vanishes.
    pub(super) fn of(self, length: usize) -> usize {
        let (to, from) = (usize::from(self.0), usize::from(self.1.max(1)));
        let scaled = (2 * length * to + from) / (2 * from);
        scaled.max(length.min(1))
    }

    /// A line of pixels scaled.
    fn line(self, line: &[bool]) -> Vec<bool> {
        let (length, long) = (line.len(), self.of(line.len()));
        let mut out = vec![false; long];
        let mut at = 0;
        for run in line.chunk_by(|a, b| a == b) {
            let (from, to) = (at, at + run.len());
            at = to;
            if !run[0] {
                continue;
            }
            let thick = self.of(run.len()).min(long);
            let start = match (from + to).cmp(&length) {
                std::cmp::Ordering::Less => self.start(from),
                std::cmp::Ordering::Equal => (long - thick) / 2,
                std::cmp::Ordering::Greater => long.saturating_sub(self.start(length - to) + thick),
            };
            out[start.min(long - thick)..][..thick].fill(true);
        }
        out
    }

    fn start(self, at: usize) -> usize {
        if at == 0 { 0 } else { self.of(at) }
    }
}

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
        let before = self.width + gap;
        self.width = before + other.width;
        if self.rows.len() < other.rows.len() {
            self.rows.resize(other.rows.len(), Vec::new());
        }
        for (y, row) in self.rows.iter_mut().enumerate() {
            row.resize(before, false);
            row.extend(other.rows.get(y).into_iter().flatten());
            row.resize(self.width, false);
        }
    }

    /// Another drawing under this one, after `gap` blank rows.
    pub(super) fn push_below(&mut self, gap: usize, other: Self) {
        self.width = self.width.max(other.width);
        self.rows.resize(self.rows.len() + gap, Vec::new());
        self.rows.extend(other.rows);
    }

    /// Scaled across and down.
    ///
    /// Strokes of one kind stay equally thick wherever they stand, and what is even stays even:
    /// each run of ink is scaled by its own length and held to the nearer edge.
    pub(super) fn scaled(&self, across: Scale, down: Scale) -> Self {
        let width = across.of(self.width);
        let wide: Vec<Vec<bool>> = self.rows.iter().map(|row| across.line(row)).collect();
        let column = |x: usize| -> Vec<bool> {
            let ink = wide.iter().map(|row| row.get(x) == Some(&true));
            down.line(&ink.collect::<Vec<_>>())
        };
        let columns: Vec<Vec<bool>> = (0..width).map(column).collect();
        let row = |y: usize| columns.iter().map(|column| column[y]).collect();
        let rows = (0..down.of(self.rows.len())).map(row).collect();
        Self { width, rows }
    }

    /// How many pixels it is wide.
    pub(super) const fn width(&self) -> usize {
        self.width
    }

    /// How many cells it is wide.
    pub(super) fn columns(&self) -> u16 {
        cells(self.width.div_ceil(2))
    }

    /// How many cells it is high.
    pub(super) fn lines(&self) -> u16 {
        cells(self.rows.len().div_ceil(2))
    }

    /// Draws it with its upper left corner at a cell; cells without ink are left alone.
    pub(super) fn stamp(&self, pen: &mut Pen, x: u16, y: u16, style: Style) {
        let is_on = |row: &[bool], x: usize| usize::from(row.get(x) == Some(&true));
        for (line, rows) in (0_u16..).zip(self.rows.chunks(2)) {
            let upper = rows[0].as_slice();
            let lower = rows.get(1).map_or(&[][..], Vec::as_slice);
            for column in 0..self.columns() {
                let at = usize::from(column) * 2;
                let quarters = is_on(upper, at)
                    + 2 * is_on(upper, at + 1)
                    + 4 * is_on(lower, at)
                    + 8 * is_on(lower, at + 1);
                if quarters > 0 {
                    let (x, y) = (x.saturating_add(column), y.saturating_add(line));
                    pen.put(x, y, QUARTERS[quarters], style);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Strokes of one kind stay equally thick wherever they stand, at every scale.
    #[test]
    fn strokes_stay_equally_thick_at_every_scale() {
        for high in 7..60_u16 {
            let scale = Scale(high, 7);
            for thick in 1..=2 {
                let inks: Vec<usize> = (0..=7 - thick)
                    .map(|at| {
                        let mut row = vec![false; 7];
                        row[at..at + thick].fill(true);
                        scale.line(&row).iter().filter(|on| **on).count()
                    })
                    .collect();
                assert!(
                    inks.iter().all(|ink| *ink == scale.of(thick)),
                    "{high} {inks:?}"
                );
            }
        }
    }

    #[test]
    fn what_is_even_stays_even() {
        for high in 7..60_u16 {
            for row in ["##..##", ".####.", "..##..", "##.##.##"] {
                let line: Vec<bool> = row.chars().map(|c| c == '#').collect();
                let mut scaled = Scale(high, 7).line(&line);
                let same = scaled.clone();
                scaled.reverse();
                // A run in the middle may be a pixel off where an odd rest is left over.
                let apart = scaled.iter().zip(&same).filter(|(a, b)| a != b).count();
                assert!(apart <= 2, "{row} at {high}");
            }
        }
    }
}
