//! Numbers, lengths and counts as the lines of a landing write them.

use std::collections::BTreeSet;

use crate::plan::Shape;
use crate::time::Span;

const MINUTE: Span = Span::from_secs(60);

/// `45 → 30`, or `1:15 → 0:50` where one of them is a minute or more; a begun second is a whole
/// one, as the digits count it.
pub(super) fn change(from: Span, to: Span) -> String {
    let (from, to) = (from.ceil_secs(), to.ceil_secs());
    if from.max(to) < MINUTE {
        format!("{} → {}", from.secs_ceil(), to.secs_ceil())
    } else {
        format!("{from} → {to}")
    }
}

/// `, twice`, `, three times`.
pub(super) fn times(count: usize) -> String {
    match count {
        0 | 1 => String::new(),
        2 => ", twice".into(),
        _ => format!(", {} times", number(count)),
    }
}

/// A number in words, a large one in digits.
pub(super) fn number(count: usize) -> String {
    const WORDS: [&str; 12] = [
        "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
        "twelve",
    ];
    let word = count.checked_sub(1).and_then(|at| WORDS.get(at));
    word.map_or_else(|| count.to_string(), ToString::to_string)
}

/// `1 and 2`, `1 to 4`, `1, 2 and 4`.
pub(super) fn numbers(of: &BTreeSet<usize>) -> String {
    let of: Vec<usize> = of.iter().copied().collect();
    match of[..] {
        [] => String::new(),
        [one] => one.to_string(),
        [first, .., last] if of.len() > 2 && last - first + 1 == of.len() => {
            format!("{first} to {last}")
        }
        [ref init @ .., last] => {
            let init: Vec<String> = init.iter().map(ToString::to_string).collect();
            format!("{} and {last}", init.join(", "))
        }
    }
}

/// What a block has several of, one or many of them.
pub(super) fn unit(shape: Shape, count: usize) -> &'static str {
    let (one, many) = match shape {
        Shape::Grid { every: MINUTE } => ("minute", "minutes"),
        Shape::Grid { .. } => ("window", "windows"),
        Shape::Sets => ("set", "sets"),
        Shape::Rounds | Shape::Window => ("round", "rounds"),
    };
    if count == 1 { one } else { many }
}
