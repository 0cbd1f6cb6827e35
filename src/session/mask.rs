//! What cannot be taken apart, masked, so that all around it can.
//!
//! A mask is as long as what it hides, so that every place of the masked text is a place of the
//! text as it is written. Where the brackets fit, it hides what stands between two commas; where
//! they don't, a bracket takes the place of a blank, or the fewest lines are hidden without which
//! they do. This knows the grammar's brackets and
//! commas, and asks ron whether a mask was enough.

use std::ops::Range;

use super::brackets;
use super::fault::{Fault, Faults};
use super::source::{Blame, Source};
use super::syntax;
use super::trivia::skipped;

mod chunks;
mod forgotten;
mod lines;

/// Masks that are tried one after the other before the whole is given up: nobody makes so many
/// mistakes at a time.
const MOST: usize = 40;

/// Bytes that are walked over at the most in looking for what to mask, in all: it is done at every key.
const EFFORT: usize = 6 << 20;

/// So many lines are one mistake, and are hidden rather than that a bracket is put into them.
const LITTLE: usize = 2;

/// A text with masks in it.
#[derive(Debug)]
pub(super) struct Masked {
    /// The text that can be taken apart.
    pub(super) source: Source,
    /// What is hidden, in the order of finding.
    pub(super) masks: Vec<Mask>,
}

/// A place that is hidden.
#[derive(Clone, Debug)]
pub(super) struct Mask {
    /// The place.
    pub(super) range: Range<usize>,
    /// Whether a word stands there now; else there is nothing.
    pub(super) has_word: bool,
    /// Whether anything is hidden; a bracket in place of a blank hides nothing.
    pub(super) is_hiding: bool,
    /// The place of one value, where it is one that could be taken out or written anew.
    pub(super) value: Option<Range<usize>>,
    /// Why it cannot be read.
    pub(super) fault: Fault,
}

impl Mask {
    fn of(found: &Found, written: &Source, fault: &Fault) -> Self {
        let range = found.range.clone();
        let value = match found.fill {
            Fill::Word => Some(range.clone()),
            Fill::Item if written.text()[range.clone()].ends_with(',') => {
                Some(range.start..range.end - 1)
            }
            // The comma of the mask is none of the text.
            Fill::Item | Fill::Blank | Fill::Bracket => None,
        };
        Self {
            range,
            has_word: matches!(found.fill, Fill::Word | Fill::Item),
            is_hiding: !matches!(found.fill, Fill::Bracket),
            value,
            fault: match found.fill {
                Fill::Bracket => {
                    missing(written, found).unwrap_or_else(|| rewritten(written, fault))
                }
                _ => rewritten(written, fault),
            },
        }
    }
}

/// The text with what is in the way masked, if that can be found. The faults are those of the
/// text.
pub(super) fn masked(written: &Source, faults: &Faults) -> Option<Masked> {
    let mut masks: Vec<Mask> = Vec::new();
    let mut text = written.text().to_owned();
    let mut fault = faults.iter().next()?.clone();
    let mut effort = EFFORT;
    while masks.len() < MOST {
        let found = found(written, &text, fault.span.start, &mut effort)?;
        let mask = Mask::of(&found, written, &fault);
        // What was masked before and is hidden again is one place.
        masks.retain(|old| old.range.start >= mask.range.end || old.range.end <= mask.range.start);
        masks.push(mask);
        text = found.text;
        let source = written.with_text(text.clone());
        match syntax::whole(&source, "") {
            Ok(_) => return Some(Masked { source, masks }),
            Err(next) => fault = next.iter().next()?.clone(),
        }
    }
    None
}

/// That a bracket was not opened: what ron says of such a text is of where it stopped. Of one that
/// was not closed the place is told where it was opened.
fn missing(written: &Source, found: &Found) -> Option<Fault> {
    let bracket = Some(&found.text[found.range.clone()]).filter(|put| "([{".contains(*put))?;
    let message = format!("the bracket `{bracket}` seems to be missing here");
    let help = "all is shown as if it stood here; write it, or where it belongs";
    let faults = written.fault(Blame::new(found.range.clone(), message, help));
    faults.iter().next().cloned()
}

/// A fault, with its line and column as they are in the text as it is written.
pub(super) fn rewritten(written: &Source, fault: &Fault) -> Fault {
    let help = fault.help.as_deref().unwrap_or_default();
    let blame = Blame::new(fault.span.clone(), fault.message.clone(), help);
    let faults = written.fault(blame);
    faults.iter().next().unwrap_or(fault).clone()
}

/// A text with one more mask.
#[derive(Debug)]
struct Found {
    text: String,
    range: Range<usize>,
    fill: Fill,
}

impl Found {
    /// The text with a word in place of a part of it, or nothing.
    fn of(text: &str, range: Range<usize>, fill: Fill) -> Option<Self> {
        let long = range.len();
        let blank = match fill {
            Fill::Word => format!("F{}", " ".repeat(long.checked_sub(1)?)),
            Fill::Item => format!("F{},", " ".repeat(long.checked_sub(2)?)),
            Fill::Blank | Fill::Bracket => " ".repeat(long),
        };
        let mut filled = text.to_owned();
        filled.replace_range(range.clone(), &blank);
        Some(Self {
            text: filled,
            range,
            fill,
        })
    }
}

/// What is put in place of a part of the text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Fill {
    /// A word: a value.
    Word,
    /// A word, and a comma at the end: a value of a list.
    Item,
    /// Nothing.
    Blank,
    /// A bracket where a blank was.
    Bracket,
}

/// One more mask for a text in which something at a place cannot be read.
fn found(written: &Source, text: &str, at: usize, effort: &mut usize) -> Option<Found> {
    let moves_on = |found: &Found| {
        // A word among fields would be the next mistake.
        if found.fill == Fill::Word && !chunks::is_alike(&found.text, found.range.start) {
            return false;
        }
        let source = written.with_text(found.text.clone());
        match syntax::whole(&source, "") {
            Ok(_) => true,
            Err(faults) => {
                let end = match found.fill {
                    // A comma or the end of the bracket must be able to follow the word.
                    Fill::Word => skipped(&found.text, found.range.end) + 1,
                    Fill::Item | Fill::Blank | Fill::Bracket => found.range.end,
                };
                let next = faults.iter().next();
                next.is_some_and(|next| next.span.start >= end)
            }
        }
    };
    let fits = brackets::flaw(text).is_none();
    let around = if fits {
        chunks::around(text, at)
    } else {
        Vec::new()
    };
    let chunk = around.into_iter().find(|found| {
        *effort = effort.saturating_sub(text.len());
        *effort > 0 && moves_on(found)
    });
    // What is left must still be one value: that a line opens the whole is no reason to hide it.
    let is_whole = |found: &Found| {
        let source = written.with_text(found.text.clone());
        chunks::kind_around(&found.text, found.range.start) == Some(true)
            || syntax::whole(&source, "").is_ok()
    };
    let is_little = |found: &Found| {
        brackets::flaw(&found.text).is_none()
            && text[found.range.clone()].lines().count() <= LITTLE
            && is_whole(found)
    };
    chunk.or_else(|| {
        let hidden = lines::without(text, at, effort);
        if fits || hidden.as_ref().is_some_and(is_little) {
            return hidden;
        }
        forgotten::restored(text).or(hidden)
    })
}
