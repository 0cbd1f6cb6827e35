//! A table of times by few numbers: one for each row, and for some columns one of their own.

use std::collections::BTreeMap;

use crate::time::Span;

/// A table by its rows, and the columns that have a time of their own in every row.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Shared {
    pub(super) rows: Vec<Option<Span>>,
    pub(super) columns: Vec<Option<Span>>,
}

/// The table by rows and columns, where it can be told so: each cell is its column's time, or where
/// the column has none, its row's. `single`: all rows have the same time.
pub(super) fn shared(cells: &[Vec<Option<Span>>], single: bool) -> Option<Shared> {
    let width = cells.iter().map(Vec::len).max().unwrap_or(0);
    let column = |at: usize| {
        cells
            .iter()
            .filter_map(move |row| row.get(at).copied().flatten())
    };
    let is_even = |at: usize| {
        let mut all = column(at);
        let first = all.next();
        all.all(|cell| Some(cell) == first)
    };
    let mut rows = vec![None; cells.len()];
    for at in (0..width).filter(|at| !is_even(*at)) {
        for (row, cells) in rows.iter_mut().zip(cells) {
            match (&row, cells.get(at).copied().flatten()) {
                (_, None) => {}
                (None, cell) => *row = cell,
                (Some(time), Some(cell)) if *time == cell => {}
                _ => return None,
            }
        }
    }
    if rows.iter().all(Option::is_none) {
        rows = vec![most_common(cells); cells.len()];
    } else if single && rows.windows(2).any(|pair| pair[0] != pair[1]) {
        return None;
    }
    let own = |at: usize| {
        let follows = |(row, cells): (&Option<Span>, &Vec<Option<Span>>)| {
            let cell = cells.get(at).copied().flatten();
            cell.is_none() || cell == *row
        };
        let as_rows = rows.iter().zip(cells).all(follows);
        (!as_rows).then(|| column(at).next()).flatten()
    };
    let columns = (0..width).map(own).collect();
    Some(Shared { rows, columns })
}

fn most_common(cells: &[Vec<Option<Span>>]) -> Option<Span> {
    let mut counts: BTreeMap<Span, usize> = BTreeMap::new();
    for cell in cells.iter().flatten().flatten() {
        *counts.entry(*cell).or_default() += 1;
    }
    let most = counts.into_iter().max_by_key(|(_, count)| *count);
    most.map(|(time, _)| time)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whatever comes out gives the table that went in, and every table that was made from rows and
    /// columns is told.
    #[test]
    fn a_table_is_told_by_rows_and_columns_where_it_can_be() {
        let mut random = fastrand::Rng::with_seed(5);
        let (mut told, mut not) = (0, 0);
        for _ in 0..20_000 {
            let (rows, width) = (random.usize(1..5), random.usize(1..5));
            let mut span = || Span::from_secs(random.u64(1..4));
            let by_row: Vec<Span> = (0..rows).map(|_| span()).collect();
            let own: Vec<Span> = (0..width).map(|_| span()).collect();
            let is_own: Vec<bool> = (0..width).map(|_| random.bool()).collect();
            let holes = random.u8(0..3) == 0;
            let mut cells: Vec<Vec<Option<Span>>> = (0..rows)
                .map(|row| {
                    let cell = |at: usize| if is_own[at] { own[at] } else { by_row[row] };
                    (0..width).map(|at| Some(cell(at))).collect()
                })
                .collect();
            if holes {
                let (row, at) = (random.usize(0..rows), random.usize(0..width));
                cells[row][at] = None;
            }
            let is_spoilt = random.u8(0..3) == 0;
            if is_spoilt {
                let (row, at) = (random.usize(0..rows), random.usize(0..width));
                cells[row][at] = Some(Span::from_secs(9));
            }
            if let Some(Shared { rows, columns }) = shared(&cells, false) {
                for (row, cells) in rows.iter().zip(&cells) {
                    for (own, cell) in columns.iter().zip(cells) {
                        assert!(cell.is_none() || cell == &own.or(*row), "{cells:?}");
                    }
                }
                told += 1;
            } else {
                assert!(is_spoilt, "{cells:?}");
                not += 1;
            }
        }
        assert!(told > 10_000 && not > 1_000, "{told} {not}");
    }
}
