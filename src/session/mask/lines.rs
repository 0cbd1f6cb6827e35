//! The fewest lines without which the brackets of a text fit.

use std::ops::Range;

use super::super::brackets::{self, closing, is_closing, token};
use super::super::trivia::{indent, line_start, skipped};
use super::chunks::is_alike;
use super::{Fill, Found};

/// Lines of one mistake, at the most, where there may be another behind it.
const LONG: usize = 24;

/// The text without the fewest lines around a place that leave a text in which what stands around
/// them can be taken apart, or at least one whose brackets fit. Where there are none, the line alone.
pub(super) fn without(text: &str, at: usize, effort: &mut usize) -> Option<Found> {
    let lines = lines_of(text);
    let marks = marks_of(text, &lines);
    let flaw = brackets::flaw(text);
    let misplaced = flaw.and_then(|_| misplaced(text));
    let (mut good, mut second): (Option<Found>, Option<Found>) = (None, None);
    for at in misplaced.into_iter().chain([at]) {
        let here = line_of(text, &lines, at)?;
        for lengths in [1..LONG, LONG..lines.len() + 1] {
            let is_far = lengths.start >= LONG;
            let mut search = Search {
                text,
                lines: &lines,
                marks: marks.as_deref(),
                here,
                effort,
            };
            let (found, is_good) = search.runs(lengths);
            if is_good {
                let shorter = |new: &Found| {
                    good.as_ref()
                        .is_none_or(|old| new.range.len() < old.range.len())
                };
                good = found.filter(shorter).or(good);
                break;
            }
            second = second.or(found);
            let alone = Found::of(text, inner(text, lines[here].clone()), Fill::Blank)?;
            // Another mistake is behind it: that is looked for next.
            if !is_far && good.is_none() && second.is_none() && brackets::flaw(&alone.text) != flaw
            {
                return Some(alone);
            }
        }
    }
    let here = line_of(text, &lines, at)?;
    good.or(second)
        .or_else(|| Found::of(text, inner(text, lines[here].clone()), Fill::Blank))
}

struct Search<'t> {
    text: &'t str,
    lines: &'t [Range<usize>],
    /// The brackets, each with its line, where each line can be told by itself.
    marks: Option<&'t [(usize, u8)]>,
    /// The line that is masked in any case.
    here: usize,
    /// How many bytes more are walked over.
    effort: &'t mut usize,
}

impl Search<'_> {
    /// The first text without a run of lines, of these lengths, that is good; else the first whose
    /// brackets fit. Whether it is good.
    fn runs(&mut self, lengths: Range<usize>) -> (Option<Found>, bool) {
        let mut second = None;
        for long in lengths {
            // Downwards first: what is forgotten is mostly found behind where it was opened.
            for first in ((self.here + 1).saturating_sub(long)..=self.here).rev() {
                let Some(last) = self.lines.get(first + long - 1) else {
                    continue;
                };
                if *self.effort == 0 {
                    return (second, false);
                }
                if !self.may_fit(first..first + long) {
                    continue;
                }
                match self.run(self.lines[first].start..last.end) {
                    Some((found, true)) => return (Some(found), true),
                    Some((found, false)) => drop(second.get_or_insert(found)),
                    None => {}
                }
            }
        }
        (second, false)
    }

    /// Whether the brackets may fit without these lines.
    fn may_fit(&mut self, hidden: Range<usize>) -> bool {
        let Some(marks) = self.marks else { return true };
        *self.effort = self.effort.saturating_sub(marks.len());
        let mut open = Vec::new();
        let left = marks.iter().filter(|(line, _)| !hidden.contains(line));
        for &(_, mark) in left {
            if !is_closing(mark) {
                open.push(mark);
            } else if open.pop().is_none_or(|opened| closing(opened) != mark) {
                return false;
            }
        }
        open.is_empty()
    }

    /// The text without these lines, if its brackets then fit, and whether what stands around them
    /// is all of one kind.
    fn run(&mut self, lines: Range<usize>) -> Option<(Found, bool)> {
        *self.effort = self.effort.saturating_sub(4 * self.text.len());
        let range = inner(self.text, lines);
        let blank = Found::of(self.text, range.clone(), Fill::Blank)?;
        if brackets::flaw(&blank.text).is_some() {
            return None;
        }
        let is_good = |found: &Found| is_alike(&found.text, found.range.start);
        let item = Found::of(self.text, range, Fill::Item);
        if let Some(item) = item.filter(is_good) {
            return Some((item, true));
        }
        let is_good = is_good(&blank);
        Some((blank, is_good))
    }
}

/// The first bracket that is met by one of another kind, or is closed at the beginning of a line which
/// is set in otherwise than the one it was opened in: what should have closed it was forgotten.
fn misplaced(text: &str) -> Option<usize> {
    let mut open = Vec::new();
    let mut at = skipped(text, 0);
    while at < text.len() {
        let end = token(text, at).ok()?;
        match text.as_bytes()[at] {
            opens @ (b'(' | b'[' | b'{') => open.push((at, opens)),
            closes @ (b')' | b']' | b'}') => {
                let (opened, opens) = open.pop()?;
                if !matches!((opens, closes), (b'(', b')') | (b'[', b']') | (b'{', b'}')) {
                    return Some(opened);
                }
                let starts_line = text[line_start(text, at)..at].trim().is_empty();
                if starts_line && indent(text, opened) != indent(text, at) {
                    return Some(opened);
                }
            }
            _ => {}
        }
        at = skipped(text, end);
    }
    None
}

/// The brackets with their lines, where no text in quotes and no comment goes over the end of one.
fn marks_of(text: &str, lines: &[Range<usize>]) -> Option<Vec<(usize, u8)>> {
    let (whole, broken_off) = brackets::marks(text);
    let mut apart = Vec::with_capacity(whole.len());
    for (n, line) in lines.iter().enumerate() {
        let (marks, broken_off) = brackets::marks(&text[line.clone()]);
        if broken_off.is_some() {
            return None;
        }
        apart.extend(marks.into_iter().map(|at| (n, line.start + at)));
    }
    let is_same = broken_off.is_none() && apart.iter().map(|(_, at)| at).eq(&whole);
    let of = |(n, at): (usize, usize)| (n, text.as_bytes()[at]);
    is_same.then(|| apart.into_iter().map(of).collect())
}

/// The lines of a text without their breaks.
fn lines_of(text: &str) -> Vec<Range<usize>> {
    let mut at = 0;
    let lines = text.split_inclusive('\n').map(|line| {
        let start = at;
        at += line.len();
        start..start + line.trim_end_matches(['\n', '\r']).len()
    });
    lines.collect()
}

/// The line of a place, or the one before it that has something in it.
fn line_of(text: &str, lines: &[Range<usize>], at: usize) -> Option<usize> {
    let here = lines.iter().rposition(|line| line.start <= at)?;
    let is_said = |n: &usize| !text[lines[*n].clone()].trim().is_empty();
    (0..=here).rev().find(is_said)
}

/// The range without the blanks around it, and without a comment behind its last comma.
fn inner(text: &str, range: Range<usize>) -> Range<usize> {
    let part = &text[range.clone()];
    let start = range.start + part.len() - part.trim_start().len();
    let end = start + part.trim().len();
    let (mut at, mut last) = (start, start);
    while at < end {
        let next = skipped(&text[..end], at);
        let Ok(after) = token(&text[..end], next) else {
            return start..end;
        };
        if next < end {
            last = after;
        }
        at = after;
    }
    let is_comma = text[start..last].ends_with(',');
    start..if is_comma { last } else { end }
}
