//! From well-formed values to a session: every rule of the file, and every fault at once.
//!
//! Each reading function takes a value and gives what it means, or nothing after it has told why;
//! callers read on with the next value in either case, so that faults which do not follow from
//! one another are all told. Nothing is half-read in the end: one fault, and there is no session.
//! This part refuses to know how a text is taken apart (`tree`) and how a fault is shown (`fault`).

mod block;
mod class;
mod extent;
mod fields;
mod moves;
mod parts;
mod turns;
mod values;
mod words;

#[cfg(test)]
mod tests;

use std::ops::Range;

use super::fault::Faults;
use super::source::{Blame, Source};
use super::tree::{Node, Raw};

pub(super) use class::session;
pub(super) use moves::library;

/// Faults that are kept with their text; more are only counted, so that memory stays bounded.
const KEPT: usize = 1000;
/// Faults for which a like name is looked for; a report shows no more.
const ADVISED: usize = 50;

/// The faults found so far, and the text they are in.
pub(super) struct Reader<'s> {
    source: &'s Source,
    blames: Vec<Blame>,
    more: usize,
}

impl<'s> Reader<'s> {
    const fn new(source: &'s Source) -> Self {
        Self {
            source,
            blames: Vec::new(),
            more: 0,
        }
    }

    fn node(&self, raw: Raw<'s>) -> Node<'s> {
        Node::of(self.source, raw)
    }

    /// Notes a fault at a place, with what to do about it or an empty text.
    fn fault(&mut self, range: Range<usize>, message: impl Into<String>, help: &str) {
        if self.blames.len() < KEPT {
            self.blames.push(Blame::new(range, message, help));
        } else {
            self.more += 1;
        }
    }

    /// Whether looking for like names is still worth its time.
    const fn advises(&self) -> bool {
        self.blames.len() < ADVISED
    }

    /// What was read, if nothing at all was wrong.
    fn finish<T>(mut self, read: Option<T>) -> Result<T, Faults> {
        match read {
            Some(read) if self.blames.is_empty() => Ok(read),
            _ => {
                if self.blames.is_empty() {
                    // Every `None` comes with a fault; this line is for the one that forgets.
                    self.fault(0..0, "this file cannot be read", "");
                }
                Err(self.source.faults(self.blames, self.more))
            }
        }
    }
}
