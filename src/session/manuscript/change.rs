//! What can be done to a plan, and why it may be refused.

use std::ops::Range;
use std::sync::Arc;

use super::super::branch::Branch;
use super::super::readable::Readable;
use super::super::source::{Source, clipped};
use super::super::syntax;
use super::super::trivia::{line_break, line_end, line_start};
use super::state::State;
use crate::session::edit::{Edits, Path, Step};
use crate::session::fault::{Fault, Faults};

/// A change of a plan. Paths are those of the text before it.
///
/// Comments on the lines above a value, or behind it in its line, go where it goes; those above the
/// first of a list say something of the whole, and stay.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// Puts a value into a list: it is then at `at`, which ends in [`Step::Item`], and what was
    /// there comes behind it.
    Insert {
        /// Where.
        at: Path,
        /// One value, with comments above or behind it if there are some.
        text: String,
    },
    /// Takes a value out of its list.
    Delete(Path),
    /// Puts a value a second time into its list, right behind itself.
    Copy(Path),
    /// Takes a value out and puts it into a list, the same or another.
    Move {
        /// Where it is.
        from: Path,
        /// Where it is then. The last step is counted in the list without it, the others in the
        /// text before.
        to: Path,
    },
    /// Writes another value where one is.
    Set {
        /// Where.
        at: Path,
        /// The value.
        text: String,
    },
    /// Writes a field of a group, at its usual place where it isn't there. A move's id alone
    /// becomes a `Use` that has it.
    Put {
        /// Where the group is.
        at: Path,
        /// The field.
        field: &'static str,
        /// Its value.
        text: String,
    },
    /// Takes a field out of a group; where it isn't there nothing happens.
    Unset {
        /// Where the group is.
        at: Path,
        /// The field.
        field: &'static str,
    },
    /// Writes other lines in the place of some: how a faulty row is mended.
    Lines {
        /// Which lines, counted from 1, the last not among them.
        lines: Range<usize>,
        /// What they are then; nothing takes them away.
        text: String,
    },
    /// Takes bytes of the text away, with their lines where nothing else is said on them: how a row
    /// that is no value goes.
    Cut(Range<usize>),
    /// Takes another text altogether, faults or not.
    Replace(String),
}

/// Why a change was not made.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// Nothing is there, or nothing that could be changed so.
    #[error("there is nothing here that can be changed so")]
    NoPlace,
    /// Nothing was to be written, where there must be something.
    #[error("nothing was written")]
    Nothing,
    /// What was to be written is no single value.
    #[error("`{text}` is no single value: {}", first_of(faults))]
    NoValue {
        /// What was to be written, clipped.
        text: String,
        /// What is wrong with it.
        faults: Faults,
    },
    /// A value cannot be moved into itself.
    #[error("this cannot be moved into itself")]
    IntoItself,
    /// The text would have more faults than before.
    #[error("{}", in_a_line(new))]
    MoreFaults {
        /// The first fault that was not there before.
        new: Box<Fault>,
        /// All faults that the text would have.
        faults: Vec<Fault>,
    },
}

impl Refused {
    /// Why a text is refused that has more faults than the one before it.
    pub(super) fn more_faults(before: &State, after: State) -> Self {
        let is_known = |new: &&Fault| {
            let mut known = before.faults.iter();
            !known.any(|old| old.message == new.message && old.line_text == new.line_text)
        };
        let new = after.faults.iter().find(is_known).or(after.faults.first());
        match new {
            Some(new) => Self::MoreFaults {
                new: Box::new(new.clone()),
                faults: after.faults,
            },
            None => Self::NoPlace,
        }
    }

    /// The faults that the text would have, where they are why.
    #[must_use]
    pub fn faults(&self) -> &[Fault] {
        match self {
            Self::MoreFaults { faults, .. } => faults,
            _ => &[],
        }
    }
}

fn first_of(faults: &Faults) -> String {
    faults.iter().next().map(in_a_line).unwrap_or_default()
}

fn in_a_line(fault: &Fault) -> String {
    match &fault.help {
        Some(help) => format!("{}; {help}", fault.message),
        None => fault.message.clone(),
    }
}

/// A text after a change.
pub(super) struct Made {
    pub(super) text: String,
    /// Where what was changed stands in it.
    pub(super) stands: Option<Path>,
    /// How many values it has more, or fewer, where that is meant.
    pub(super) more: Option<isize>,
}

impl Made {
    const fn as_a_whole(text: String) -> Self {
        Self {
            text,
            stands: None,
            more: None,
        }
    }
}

impl Change {
    /// What is done, as a participle.
    pub(super) const fn deed(&self) -> &'static str {
        match self {
            Self::Insert { .. } => "put in",
            Self::Delete(_) | Self::Cut(_) => "taken out",
            Self::Copy(_) => "copied",
            Self::Move { .. } => "moved",
            Self::Set { .. } | Self::Put { .. } | Self::Unset { .. } => "changed",
            Self::Lines { .. } => "written anew",
            Self::Replace(_) => "replaced",
        }
    }

    /// A text after the change; without what it is taken apart into, only whole lines can be
    /// changed.
    pub(super) fn made_in(self, text: &str, base: Option<&Arc<Readable>>) -> Result<Made, Refused> {
        let mut more = None;
        match self {
            Self::Replace(text) => return Ok(Made::as_a_whole(text)),
            Self::Lines { lines, text: new } => {
                let text = with_lines(text, lines, &new).ok_or(Refused::NoPlace)?;
                return Ok(Made::as_a_whole(text));
            }
            Self::Cut(range) => {
                let text = without_bytes(text, range).ok_or(Refused::NoPlace)?;
                return Ok(Made::as_a_whole(text));
            }
            Self::Insert { ref text, .. } => more = Some(a_value(text)?.cast_signed()),
            Self::Set { ref text, .. } | Self::Put { ref text, .. } => {
                a_value(text)?;
            }
            Self::Move { ref from, ref to } if to.len() > from.len() && to.starts_with(from) => {
                return Err(Refused::IntoItself);
            }
            _ => {}
        }
        let base = base.ok_or(Refused::NoPlace)?;
        let count = |path: &Path| base.at(path).map(|at| at.count().cast_signed());
        match &self {
            Self::Delete(path) => more = count(path).map(isize::wrapping_neg),
            Self::Copy(path) => more = count(path),
            Self::Move { .. } => more = Some(0),
            _ => {}
        }
        let mut edits = Edits::over(base.clone());
        let (done, stands) = match self {
            Self::Insert { at, text } => (edits.insert(&at, &text), Some(at)),
            Self::Delete(path) => (edits.remove(&path), None),
            Self::Copy(path) => (edits.copy(&path), next(path)),
            Self::Move { from, to } => (edits.move_to(&from, &to), Some(without(&from, to))),
            Self::Set { at, text } => (edits.set(&at, &text), Some(at)),
            Self::Put { at, field, text } => (edits.set_field(&at, field, &text), Some(at)),
            Self::Unset { at, field } => (edits.unset_field(&at, field), Some(at)),
            Self::Lines { .. } | Self::Cut(_) | Self::Replace(_) => (false, None),
        };
        let text = Some(edits).filter(|_| done).and_then(Edits::finish);
        Ok(Made {
            text: text.ok_or(Refused::NoPlace)?,
            stands,
            more,
        })
    }
}

/// How many values a text is that must be one, with all in it, whatever is said around it.
fn a_value(text: &str) -> Result<usize, Refused> {
    if text.trim().is_empty() {
        return Err(Refused::Nothing);
    }
    let read = Source::of("", text).and_then(|source| {
        let whole = syntax::whole(&source, "")?;
        Ok(Branch::of(&source, whole).count())
    });
    read.map_err(|faults| Refused::NoValue {
        text: clipped(text.trim()),
        faults,
    })
}

/// The place behind one in its list.
fn next(mut path: Path) -> Option<Path> {
    match path.last_mut() {
        Some(Step::Item(n)) => *n += 1,
        _ => return None,
    }
    Some(path)
}

/// A path once what was at another is gone from there. The last step does not count it anyhow.
fn without(gone: &[Step], mut path: Path) -> Path {
    if let Some((Step::Item(gone), list)) = gone.split_last()
        && path.len() > list.len() + 1
        && path.starts_with(list)
        && let Step::Item(n) = &mut path[list.len()]
        && *n > *gone
    {
        *n -= 1;
    }
    path
}

/// A text without some of its bytes, if they are there, and without their lines where nothing else
/// is said on them.
fn without_bytes(text: &str, range: Range<usize>) -> Option<String> {
    text.get(range.clone())?;
    let (start, end) = (line_start(text, range.start), line_end(text, range.end));
    let is_bare = |rest: &str| rest.trim_matches([' ', '\t', ',']).is_empty();
    let is_alone = is_bare(&text[start..range.start])
        && (is_bare(&text[range.end..end]) || text[range.end..end].trim_start().starts_with("//"));
    let (from, to) = if is_alone {
        let next = text[end..]
            .find('\n')
            .map_or(text.len(), |long| end + long + 1);
        (start, next)
    } else {
        (range.start, range.end)
    };
    Some([&text[..from], &text[to..]].concat())
}

/// A text with other lines in the place of some, if they are there.
fn with_lines(text: &str, lines: Range<usize>, new: &str) -> Option<String> {
    let mut starts = vec![0];
    starts.extend(text.match_indices('\n').map(|(at, _)| at + 1));
    let place = |line: usize| starts.get(line.checked_sub(1)?).copied();
    let from = place(lines.start)?;
    let to = place(lines.end).unwrap_or(text.len()).max(from);
    let line_break = line_break(text);
    let new = new.replace("\r\n", "\n").replace('\n', line_break);
    let end = if new.is_empty() || new.ends_with('\n') || to == text.len() && !text.ends_with('\n')
    {
        ""
    } else {
        line_break
    };
    Some([&text[..from], &new, end, &text[to..]].concat())
}
