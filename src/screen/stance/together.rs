//! Several moves at once on the screen: who is where, or goes where, each in a cell of its own.
//!
//! Up to four are drawn as large as they all can be; more are a table in ordinary letters, where
//! they cannot all be larger.

use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

use crate::live::{PositionChange, StationView, TogetherView};
use crate::screen::face::{Fit, LOWEST, Set};
use crate::screen::pen::{Pen, cut, right_of, row_of, width};

/// Between two columns.
const GAP: u16 = 3;
/// So many stations are looked at for larger letters.
const LARGE: usize = 12;
/// The least that a column of ordinary letters is wide.
const NARROWEST: u16 = 16;

/// Draws who is where into a room.
pub(super) fn draw(pen: &mut Pen, room: Rect, view: &TogetherView, most: u16, style: Style) {
    let texts: Vec<[String; 2]> = texts(view);
    let quiet = style.add_modifier(Modifier::DIM);
    let styles: Vec<Style> = (view.stations.iter())
        .map(|station| if station.is_free { quiet } else { style })
        .collect();
    match large(room, &texts, most) {
        Some((cells, sets)) => {
            for ((cell, set), style) in cells.into_iter().zip(&sets).zip(styles) {
                set.draw(pen, cell, style);
            }
        }
        None => table(pen, room, &texts, &styles),
    }
}

/// Each station in full and in few words: who, where, and what.
fn texts(view: &TogetherView) -> Vec<[String; 2]> {
    let numbered = view.is_walked || view.stations.len() > 2;
    let text = |(n, station): (usize, &StationView)| {
        let mut lead: Vec<String> = Vec::new();
        if numbered {
            lead.push((n + 1).to_string());
        }
        if !station.groups.is_empty() {
            lead.push(station.groups.join(" + "));
        }
        lead.extend(sign(station.change).map(ToOwned::to_owned));
        let what = |name: &str| {
            if station.is_free {
                format!("({name})")
            } else {
                name.to_owned()
            }
        };
        [&station.name, &station.call].map(|name| {
            let words = lead.iter().cloned().chain([what(name)]);
            words.collect::<Vec<_>>().join("\u{a0}")
        })
    };
    view.stations.iter().enumerate().map(text).collect()
}

/// Where the body goes on the way there, as a sign.
const fn sign(change: PositionChange) -> Option<&'static str> {
    match change {
        PositionChange::Down => Some("↓"),
        PositionChange::Up => Some("↑"),
        PositionChange::Same | PositionChange::Shift => None,
    }
}

/// The tallest setting that all of them have room for, in as few columns as that allows.
fn large(room: Rect, texts: &[[String; 2]], most: u16) -> Option<(Vec<Rect>, Vec<Set>)> {
    if texts.len() > LARGE {
        return None;
    }
    let columns = 1..=u16::try_from(texts.len()).unwrap_or(u16::MAX).min(3);
    let layouts: Vec<Vec<Rect>> = columns.map(|n| cells(room, texts.len(), n)).collect();
    let heights = (LOWEST..=most.max(LOWEST)).rev();
    let mut all = heights.flat_map(|high| layouts.iter().map(move |cells| (high, cells)));
    all.find_map(|(high, cells)| {
        let sets = cells.iter().zip(texts);
        let sets: Option<Vec<Set>> = sets
            .map(|(cell, text)| in_cell(*cell, text, high))
            .collect();
        Some((cells.clone(), sets?))
    })
}

/// One station in one line of capitals this high.
fn in_cell(cell: Rect, texts: &[String; 2], high: u16) -> Option<Set> {
    if high >= 2 * cell.height {
        return None;
    }
    let fit = Fit {
        least: high,
        lines: 1,
        ..Fit::upto(cell, high)
    };
    texts.iter().find_map(|text| fit.large(text))
}

/// So many cells in so many columns, filled column by column as people stand.
fn cells(room: Rect, count: usize, columns: u16) -> Vec<Rect> {
    let rows = u16::try_from(count)
        .unwrap_or(u16::MAX)
        .div_ceil(columns.max(1))
        .max(1);
    let wide = (room.width + GAP) / columns.max(1);
    let high = room.height / rows;
    (0..u16::try_from(count).unwrap_or(u16::MAX))
        .map(|n| Rect {
            x: room.x + (n / rows) * wide,
            y: room.y + (n % rows) * high,
            width: wide.saturating_sub(GAP),
            height: high,
        })
        .collect()
}

/// A table in ordinary letters; what has no room is counted.
fn table(pen: &mut Pen, room: Rect, texts: &[[String; 2]], styles: &[Style]) {
    if room.height == 0 {
        return;
    }
    let rows = usize::from(room.height);
    let most = usize::from((room.width / NARROWEST).max(1));
    let columns = texts.len().div_ceil(rows).min(most).max(1);
    let has_room = columns * rows;
    let shown = if texts.len() > has_room {
        has_room - 1
    } else {
        texts.len()
    };
    let wide = (room.width + GAP) / u16::try_from(columns).unwrap_or(1);
    let place = |n: usize| {
        let column = u16::try_from(n / rows).unwrap_or(0);
        let row = u16::try_from(n % rows).unwrap_or(0);
        let at = right_of(row_of(room, row), column * wide);
        Rect {
            width: at.width.min(wide.saturating_sub(GAP)),
            ..at
        }
    };
    for (n, (text, style)) in texts.iter().zip(styles).take(shown).enumerate() {
        let cell = place(n);
        let fits = text.iter().find(|text| width(text) <= cell.width);
        let text = fits.cloned().unwrap_or_else(|| cut(&text[1], cell.width));
        pen.text(cell, 0, &text, style.add_modifier(Modifier::BOLD));
    }
    if shown < texts.len() {
        let more = format!("and {} more", texts.len() - shown);
        pen.text(
            place(shown),
            0,
            &more,
            styles.first().copied().unwrap_or_default(),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_lie_in_their_room_and_never_over_one_another() {
        for count in 1..=12 {
            for columns in 1..=3 {
                let room = Rect::new(3, 2, 74, 12);
                let cells = cells(room, count, columns);
                assert_eq!(cells.len(), count);
                for (n, cell) in cells.iter().enumerate() {
                    assert_eq!(cell.intersection(room), *cell, "{count} in {columns}");
                    let others = cells[n + 1..].iter();
                    for other in others.filter(|other| !other.is_empty() && !cell.is_empty()) {
                        assert!(!cell.intersects(*other), "{count} in {columns}");
                    }
                }
            }
        }
    }
}
