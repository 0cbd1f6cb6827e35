//! A text that can be looked at and changed place by place, whole or with faults.
//!
//! Where it cannot be taken apart, what is in the way is masked: the places of all the rest stay
//! those of the text as it is written. It refuses to know what a session is.

use std::ops::Range;

use super::branch::{Branch, Kind, Twig};
use super::fault::{Fault, Faults};
use super::mask::{self, Masked};
use super::path::Step;
use super::source::Source;
use super::syntax;

/// How a session file is written, for whoever left it empty.
const SESSION: &str = "a session is `Session(..)`";

/// The text of a file taken apart.
#[derive(Debug)]
pub(super) struct Readable {
    /// What was before the text and is no part of it: a byte order mark, or nothing.
    mark: &'static str,
    written: Source,
    masked: Option<Masked>,
    tree: Branch,
}

impl Readable {
    /// A text that can be taken apart.
    pub(super) fn of(name: &str, text: &str) -> Result<Self, Faults> {
        let written = Source::of(name, text)?;
        let tree = Branch::of(&written, syntax::whole(&written, SESSION)?);
        Ok(Self {
            mark: mark_of(text),
            written,
            masked: None,
            tree,
        })
    }

    /// A text that can be taken apart, or that can once what is in the way is masked.
    pub(super) fn tolerant(name: &str, text: &str) -> Result<Self, Faults> {
        let faults = match Self::of(name, text) {
            Ok(whole) => return Ok(whole),
            Err(faults) => faults,
        };
        let written = Source::of(name, text)?;
        let masked = mask::masked(&written, &faults).ok_or(faults)?;
        let mut tree = Branch::of(&masked.source, syntax::whole(&masked.source, SESSION)?);
        for mask in masked.masks.iter().filter(|mask| mask.has_word) {
            let start = mask.range.start;
            match &mask.value {
                Some(value) => tree.veil(start, value.end, Kind::Word),
                None => tree.veil(start, letter_end(written.text(), start), Kind::Veiled),
            }
        }
        Ok(Self {
            mark: mark_of(text),
            written,
            masked: Some(masked),
            tree,
        })
    }

    /// The text without a mark before it, and with a line break behind it that is not its own.
    pub(super) fn text(&self) -> &str {
        self.written.text()
    }

    /// The text by which it is taken apart: as long as the text, and the same but for what is masked.
    pub(super) fn layout(&self) -> &str {
        let masked = self.masked.as_ref();
        masked.map_or(&self.written, |masked| &masked.source).text()
    }

    /// The text as it is written.
    pub(super) const fn written(&self) -> &Source {
        &self.written
    }

    /// What had to be masked, where something had to be.
    pub(super) const fn masked(&self) -> Option<&Masked> {
        self.masked.as_ref()
    }

    /// The value that the text is.
    pub(super) const fn tree(&self) -> &Branch {
        &self.tree
    }

    /// The value at a path, if there is one.
    pub(super) fn at(&self, path: &[Step]) -> Option<&Branch> {
        path.iter().try_fold(&self.tree, |branch, step| {
            let twig = match (step, branch.kind) {
                (Step::Field(name), Kind::Fields) => self.field(branch, name)?,
                (Step::Item(n), Kind::List | Kind::Tuple) => branch.inside.get(*n)?,
                _ => return None,
            };
            Some(&twig.value)
        })
    }

    /// A field of a group.
    pub(super) fn field<'t>(&self, group: &'t Branch, name: &str) -> Option<&'t Twig> {
        let is_it = |twig: &&Twig| self.key(twig) == Some(name);
        group.inside.iter().find(is_it)
    }

    /// The name of a field.
    pub(super) fn key(&self, twig: &Twig) -> Option<&str> {
        Some(&self.text()[twig.key.clone()?])
    }

    /// The name before the bracket of a value, or the word that it is.
    pub(super) fn name(&self, of: &Branch) -> Option<&str> {
        Some(&self.text()[of.name.clone()?])
    }

    /// The text as it is to lie in its file, with other text in some places of it. What is put in
    /// at a place comes before what stands there. Nothing where two of the places overlap.
    pub(super) fn spliced(&self, mut splices: Vec<(Range<usize>, String)>) -> Option<String> {
        splices.sort_by_key(|(range, _)| (range.start, range.end));
        // The reader puts a line break behind the text, which is not part of it.
        let text = &self.text()[..self.text().len() - 1];
        let mut out = self.mark.to_owned();
        let mut from = 0;
        for (range, new) in &splices {
            out.push_str(text.get(from..range.start)?);
            out.push_str(new);
            from = range.end;
        }
        out.push_str(text.get(from..)?);
        Some(out)
    }

    /// The places of a range in the text as it lies in its file.
    pub(super) fn in_file(&self, range: &Range<usize>) -> Range<usize> {
        self.mark.len() + range.start..self.mark.len() + range.end
    }

    /// A fault of the masked text, with the line as it is written.
    pub(super) fn rewritten(&self, fault: &Fault) -> Fault {
        mask::rewritten(&self.written, fault)
    }
}

/// Where the letter at a place ends.
fn letter_end(text: &str, at: usize) -> usize {
    at + text[at..].chars().next().map_or(0, char::len_utf8)
}

fn mark_of(text: &str) -> &'static str {
    if text.starts_with('\u{feff}') {
        "\u{feff}"
    } else {
        ""
    }
}
