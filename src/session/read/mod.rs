//! From well-formed values to a session: every rule of the file, and every fault at once.
//!
//! Each reading function takes a value and gives what it means, or nothing after it has told why;
//! callers read on with the next value in either case, so that faults which do not follow from
//! one another are all told. Nothing is half-read in the end: one fault, and there is no session.
//! This part refuses to know how a text is taken apart (`tree`) and how a fault is shown (`fault`).

mod block;
mod bounds;
mod by_round;
mod class;
mod extent;
mod fields;
mod moves;
mod parts;
mod picks;
mod stand_ins;
mod together;
mod turns;
mod values;
mod words;

#[cfg(test)]
mod tests;

use std::ops::Range;

use super::fault::Faults;
use super::source::{Blame, Source};
use super::syntax;
use super::tree::{Node, Raw};

pub use bounds::OutOfBounds;
pub(super) use class::session;
pub(crate) use fields::Fields;
pub(super) use moves::library;
pub(crate) use words::{Word, like as nearest};

/// Faults that are kept with their text; more are only counted, so that memory stays bounded.
const KEPT: usize = 1000;
/// Faults for which a like name is looked for; a report shows no more.
const ADVISED: usize = 50;

/// Reads a file of another kind by the same rules and with the same faults. `what` says how such
/// a file is written, for whoever left it empty.
pub(super) fn other<T>(
    source: &Source,
    what: &str,
    read: impl for<'s> FnOnce(&mut Reader<'s>, &Node<'s>) -> Option<T>,
) -> Result<T, Faults> {
    let mut reader = Reader::new(source);
    let root = reader.node(syntax::whole(source, what)?);
    let value = read(&mut reader, &root);
    reader.finish(value)
}

/// How files of moves and classes are written, for whoever left one empty.
const CLASS: &str =
    "a session is `Session(..)`, a library `[Move(..), ..]`; `matside new NAME` writes a session";

/// The faults found so far, and the text they are in.
pub(crate) struct Reader<'s> {
    source: &'s Source,
    blames: Vec<Blame>,
    more: usize,
    /// The options that are other moves, to be looked up once all moves are read.
    stand_ins: Vec<stand_ins::Named>,
}

impl<'s> Reader<'s> {
    const fn new(source: &'s Source) -> Self {
        Self {
            source,
            blames: Vec::new(),
            more: 0,
            stand_ins: Vec::new(),
        }
    }

    pub(crate) fn node(&self, raw: Raw<'s>) -> Node<'s> {
        Node::of(self.source, raw)
    }

    /// Notes a fault at a place, with what to do about it or an empty text.
    pub(crate) fn fault(&mut self, range: Range<usize>, message: impl Into<String>, help: &str) {
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
