//! Where a value goes into a list or a group, and what is left where it was.

use super::Splice;
use super::bracket::{Bracket, Lines, is_between};
use super::piece::Piece;
use crate::session::trivia::{comma, indent, line_break, line_end, line_start, skipped};

/// How far what stands inside is set in, where nothing stands there yet.
const STEP: &str = "    ";

/// The splices that put a value before the one that is now at a place, or behind the last.
pub(super) fn inserted(bracket: &Bracket<'_>, n: usize, piece: &Piece) -> Option<Vec<Splice>> {
    let text = bracket.text;
    let long = bracket.units.len();
    if n > long {
        return None;
    }
    let Some(last) = long.checked_sub(1) else {
        return Some(vec![into_empty(bracket, piece)]);
    };
    let beside = n.min(last);
    let margin = indent(text, bracket.units[beside].start);
    Some(match bracket.lines(beside) {
        Some(lines) if n < long => vec![before(bracket, n, &lines, piece)],
        Some(lines) => behind(bracket, &lines, piece),
        None if n < long => {
            let at = bracket.units[n].start;
            vec![(at..at, before_in_line(text, margin, piece))]
        }
        None => behind_in_line(bracket, margin, piece),
    })
}

fn before(bracket: &Bracket<'_>, n: usize, lines: &Lines, piece: &Piece) -> Splice {
    let (text, line_break) = (bracket.text, line_break(bracket.text));
    let at = if n == 0 { lines.start } else { lines.above };
    let new = piece.lined(indent(text, lines.start), ",", line_break);
    (at..at, new + line_break)
}

/// Behind the last, which has lines of its own: the new last has a comma if that had one.
fn behind(bracket: &Bracket<'_>, lines: &Lines, piece: &Piece) -> Vec<Splice> {
    let (text, line_break) = (bracket.text, line_break(bracket.text));
    let end = bracket.units.last().map_or(bracket.open, |unit| unit.end);
    let own = if lines.comma.is_some() { "," } else { "" };
    let new = piece.lined(indent(text, lines.start), own, line_break);
    let mut splices = vec![(lines.next..lines.next, new + line_break)];
    if lines.comma.is_none() {
        splices.push((end..end, ",".to_owned()));
    }
    splices
}

fn before_in_line(text: &str, margin: &str, piece: &Piece) -> String {
    let line_break = line_break(text);
    if !piece.is_said() {
        return piece.inline(margin, line_break) + ", ";
    }
    let lined = piece.lined(margin, ",", line_break);
    [line_break, &lined, line_break, margin].concat()
}

fn behind_in_line(bracket: &Bracket<'_>, margin: &str, piece: &Piece) -> Vec<Splice> {
    let (text, line_break) = (bracket.text, line_break(bracket.text));
    let end = bracket.units.last().map_or(bracket.open, |unit| unit.end);
    if !piece.is_said() {
        return vec![(end..end, format!(", {}", piece.inline(margin, line_break)))];
    }
    let after = comma(text, end);
    let at = after.map_or(end, |comma| comma + 1);
    let own = if after.is_some() { "," } else { "" };
    let lined = piece.lined(margin, own, line_break);
    // What is said of the last stays in its line.
    let eol = line_end(text, at);
    let (at, rest) = if skipped(text, at) > eol && is_between(text, at, eol) {
        (eol, String::new())
    } else {
        (at, [line_break, margin].concat())
    };
    let mut splices = vec![(at..at, [line_break, &lined, &rest].concat())];
    if after.is_none() {
        splices.insert(0, (end..end, ",".to_owned()));
    }
    splices
}

fn into_empty(bracket: &Bracket<'_>, piece: &Piece) -> Splice {
    let (text, line_break) = (bracket.text, line_break(bracket.text));
    let close = bracket.close;
    let outside = indent(text, close).to_owned();
    let inside = format!("{outside}{STEP}");
    let start = line_start(text, close);
    if start > bracket.open && text[start..close].trim().is_empty() {
        let lined = piece.lined(&inside, ",", line_break);
        return (start..start, lined + line_break);
    }
    if !piece.is_said() && !piece.is_long() {
        return (close..close, piece.inline(&outside, line_break));
    }
    let lined = piece.lined(&inside, ",", line_break);
    let new = [line_break, &lined, line_break, &outside].concat();
    (close..close, new)
}

/// The splices that take a value out. Comments that are not said of it stay.
pub(super) fn removed(bracket: &Bracket<'_>, n: usize) -> Option<Vec<Splice>> {
    let (text, unit) = (bracket.text, bracket.units.get(n)?.clone());
    if !bracket.is_loose(n) {
        return None;
    }
    if let Some(lines) = bracket.lines(n) {
        return Some(vec![(lines.above..lines.next, String::new())]);
    }
    let gap = |from: usize, to: usize| (from..to, String::new());
    let before = text[..unit.start].trim_end_matches([' ', '\t']).len();
    if let Some(comma) = comma(text, unit.end) {
        let rest = &text[comma + 1..];
        let blanks = rest.len() - rest.trim_start_matches([' ', '\t']).len();
        let behind = &rest[blanks..];
        let is_last = n + 1 == bracket.units.len();
        let ends_line = is_last || behind.starts_with(['\n', '\r']) || behind.starts_with("//");
        // Either the blanks before it go with it or those behind it.
        let (from, to) = if ends_line && !text[..before].ends_with('\n') {
            (before, comma + 1)
        } else if ends_line {
            (unit.start, comma + 1)
        } else {
            (unit.start, comma + 1 + blanks)
        };
        return Some(if text[unit.end..comma].trim().is_empty() {
            vec![gap(from, to)]
        } else {
            vec![gap(from, unit.end), gap(comma, to)]
        });
    }
    let last = n.checked_sub(1).map(|n| bracket.units[n].end);
    let Some(comma) = last.and_then(|end| comma(text, end)) else {
        return Some(vec![gap(unit.start, unit.end)]);
    };
    Some(if text[comma + 1..unit.start].trim().is_empty() {
        vec![gap(comma, unit.end)]
    } else {
        vec![gap(comma, comma + 1), gap(before, unit.end)]
    })
}
