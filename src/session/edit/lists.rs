//! The values of a list in another order, with what is said of each of them.

use std::ops::Range;

/// The splices that put the values of a list into another order.
///
/// Where each value has lines of its own, the comment lines above it and the comment behind it go
/// with it; those above the first say something of the whole, and stay. Elsewhere nobody can tell
/// whose a comment is, and all of them stay.
pub(super) fn reordered(
    text: &str,
    items: &[Range<usize>],
    order: &[usize],
) -> Vec<(Range<usize>, String)> {
    let lines: Vec<Lines> = items.iter().map(|item| Lines::of(text, item)).collect();
    let apart = lines.iter().all(|lines| lines.is_own)
        && lines.windows(2).all(|pair| pair[0].end < pair[1].start);
    let opens_apart = lines
        .first()
        .is_some_and(|first| text[first.start..items[0].start].trim().is_empty());
    let mut splices = Vec::new();
    for (place, &from) in order
        .iter()
        .enumerate()
        .filter(|(place, from)| place != *from)
    {
        splices.push((items[place].clone(), text[items[from].clone()].to_owned()));
        if apart && opens_apart {
            splices.push((
                lines[place].behind.clone(),
                text[lines[from].behind.clone()].to_owned(),
            ));
        }
    }
    if apart && opens_apart {
        splices.extend(above(text, &lines, order));
    }
    splices
}

/// The comment lines above each value where it goes.
fn above(text: &str, lines: &[Lines], order: &[usize]) -> Vec<(Range<usize>, String)> {
    let of = |n: usize| match n.checked_sub(1) {
        Some(before) => lines[before].end + 1..lines[n].start,
        None => lines[0].start..lines[0].start,
    };
    let moved = order
        .iter()
        .enumerate()
        .filter(|(place, from)| place != *from);
    let moved = moved.map(|(place, &from)| (of(place), text[of(from)].to_owned()));
    moved
        .filter(|(range, new)| text[range.clone()] != *new)
        .collect()
}

/// The lines on which a value stands.
struct Lines {
    /// Where its first line begins.
    start: usize,
    /// Where its last line ends, the line break left out.
    end: usize,
    /// The comment behind it in its last line, with the space before it; empty where there is none.
    behind: Range<usize>,
    /// Whether nothing else is behind it, such as the bracket of the list: a comment that came there
    /// would hide it, or be joined to what is said of the list.
    is_own: bool,
}

impl Lines {
    fn of(text: &str, item: &Range<usize>) -> Self {
        let start = text[..item.start].rfind('\n').map_or(0, |at| at + 1);
        let end = text[item.end..]
            .find('\n')
            .map_or(text.len(), |at| item.end + at);
        let end = if text[..end].ends_with('\r') {
            end - 1
        } else {
            end
        };
        let rest = &text[item.end..end];
        let comment = rest.find("//").unwrap_or(rest.len());
        let is_own = rest[..comment].trim_matches([',', ' ', '\t']).is_empty();
        let behind = if is_own && comment < rest.len() {
            let before = rest[..comment].trim_end().len();
            item.end + before..end
        } else {
            end..end
        };
        Self {
            start,
            end,
            behind,
            is_own,
        }
    }
}
