//! A list with one line chosen, of which as much is shown as there is room for.

use ratatui::layout::Rect;

use super::Choice;
use super::sheet::Sheet;
use crate::screen::pen::{Pen, right_of, row_of};
use crate::screen::theme::Role;

/// Which entries are shown where `room` of them have room and the chosen one must be seen.
pub(super) fn shown(count: usize, chosen: usize, room: usize) -> std::ops::Range<usize> {
    let room = room.min(count);
    let chosen = chosen.min(count.saturating_sub(1));
    let first = (chosen + 1)
        .saturating_sub(room.div_ceil(2))
        .min(count - room);
    first..first + room
}

/// An answer that can be chosen, and what it means under it, in so many lines at the least.
pub(super) fn choice(sheet: &mut Sheet, choice: &Choice, is_chosen: bool, least: u16) {
    let (room, text) = (sheet.room, (choice.title.as_str(), ""));
    line(&mut sheet.pen, room, is_chosen, Role::Now, text);
    sheet.skip(1);
    let style = sheet.pen.theme.style(Role::Quiet);
    let room = right_of(sheet.room, 2);
    let used = sheet.pen.wrapped(room, &choice.about, style);
    sheet.skip(used.max(least));
}

/// One line of a list: a mark and a band where it is chosen, a text, and one at the right.
pub(super) fn line(pen: &mut Pen, rect: Rect, is_chosen: bool, role: Role, text: (&str, &str)) {
    let style = if is_chosen {
        pen.theme.band(role)
    } else {
        pen.theme.style(role)
    };
    let row = row_of(rect, 0);
    pen.fill(row, " ", style);
    if is_chosen {
        pen.text(row, 0, "▸", style);
    }
    let inner = Rect {
        width: row.width.saturating_sub(3),
        ..right_of(row, 2)
    };
    let used = pen.text_right(inner, 0, text.1, style);
    let left = Rect {
        width: inner.width.saturating_sub(used + u16::from(used > 0)),
        ..inner
    };
    pen.text(left, 0, text.0, style);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_chosen_line_is_always_among_those_shown() {
        for count in 0..20 {
            for room in 0..22 {
                for chosen in 0..25 {
                    let shown = shown(count, chosen, room);
                    assert!(shown.end <= count && shown.len() == room.min(count));
                    if room > 0 && count > 0 {
                        assert!(shown.contains(&chosen.min(count - 1)));
                    }
                }
            }
        }
    }
}
