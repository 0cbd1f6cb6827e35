//! The values of a list in another order, with what is said of each of them.

use std::ops::Range;

use super::Splice;
use super::bracket::{Bracket, Lines};

/// The splices that put the values of a list into another order; nothing where one of them cannot be
/// taken from its place.
///
/// Where each value has lines of its own, the comment lines above it and the comment behind it go
/// with it; those above the first say something of the whole, and stay. Elsewhere nobody can tell
/// whose a comment is, and all of them stay.
pub(super) fn reordered(list: &Bracket<'_>, order: &[usize]) -> Option<Vec<Splice>> {
    let moved: Vec<(usize, usize)> = order
        .iter()
        .copied()
        .enumerate()
        .filter(|(place, from)| place != from)
        .collect();
    if !moved.iter().all(|&(_, from)| list.is_loose(from)) {
        return None;
    }
    let lines: Option<Vec<Lines>> = (0..order.len()).map(|n| list.lines(n)).collect();
    let apart = lines.filter(|lines| lines.windows(2).all(|pair| pair[0].next <= pair[1].start));
    let mut splices = Vec::new();
    for (place, from) in moved {
        let mut put = |of: &dyn Fn(usize) -> Range<usize>| {
            let new = list.written[of(from)].to_owned();
            splices.push((of(place), new));
        };
        put(&|n| list.units[n].clone());
        let Some(lines) = &apart else { continue };
        let (end, comma) = (|n: usize| list.units[n].end, |n: usize| lines[n].comma);
        put(&|n| lines[n].above..lines[n].start);
        put(&|n| end(n)..comma(n).unwrap_or(end(n)));
        put(&|n| comma(n).map_or(end(n), |comma| comma + 1)..lines[n].end);
    }
    splices.retain(|(range, new)| list.written[range.clone()] != *new);
    Some(splices)
}
