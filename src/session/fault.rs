//! What is wrong with a file: the place, the reason and the way out, and the plain report of it.
//!
//! It refuses to know how the faults were found and whether a terminal shows them: `cli` may
//! colour the report, but the words and their layout are these.

use std::fmt;
use std::ops::Range;

/// How many faults a report shows before it only counts the others.
const SHOWN: usize = 50;

/// One thing that is wrong with a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// The name of the file, as it was given.
    pub source: String,
    /// The line, counted from 1.
    pub line: usize,
    /// The column in characters, counted from 1.
    pub column: usize,
    /// The place in bytes from the start of the text, a byte order mark not counted.
    pub span: Range<usize>,
    /// What is wrong.
    pub message: String,
    /// What to do about it, where there is something to say.
    pub help: Option<String>,
    /// The line it stands in, made fit to be shown: no tabs, no control characters, clipped on
    /// both sides where it is very long.
    pub line_text: String,
    /// Columns of `line_text` before the place, and columns that the place takes.
    pub(super) caret: (usize, usize),
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (source, line, column) = (&self.source, self.line, self.column);
        write!(f, "{source}:{line}:{column}: {}", self.message)?;
        if !self.line_text.is_empty() {
            let (before, width) = self.caret;
            write!(f, "\n    {}", self.line_text)?;
            write!(f, "\n    {:before$}{:^<width$}", "", "")?;
        }
        match &self.help {
            Some(help) => write!(f, "\n  {help}"),
            None => Ok(()),
        }
    }
}

/// All faults of a file, sorted by place; at least one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Faults {
    list: Vec<Fault>,
    more: usize,
    /// Whether others may be hidden behind them, because the text could not be taken apart.
    hiding: bool,
}

impl Faults {
    /// The faults kept, in the order of their places, and how many were only counted.
    pub(super) const fn new(list: Vec<Fault>, more: usize) -> Self {
        Self {
            list,
            more,
            hiding: false,
        }
    }

    /// The same where the text could not be taken apart, so that nothing was read of it.
    pub(super) fn hiding(self) -> Self {
        Self {
            hiding: true,
            ..self
        }
    }

    /// The faults in the order of their places. A file full of faults has more than are kept;
    /// [`Faults::count`] counts them all.
    pub fn iter(&self) -> std::slice::Iter<'_, Fault> {
        self.list.iter()
    }

    /// How many faults there are, those that were not kept counted too.
    #[must_use]
    pub const fn count(&self) -> usize {
        self.list.len() + self.more
    }
}

impl<'a> IntoIterator for &'a Faults {
    type Item = &'a Fault;
    type IntoIter = std::slice::Iter<'a, Fault>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (n, fault) in self.list.iter().take(SHOWN).enumerate() {
            write!(f, "{}{fault}", if n == 0 { "" } else { "\n\n" })?;
        }
        match self.count().saturating_sub(SHOWN) {
            0 if self.hiding => f.write_str("\n\nmore may follow when this is mended"),
            0 => Ok(()),
            1 => write!(f, "\n\nand 1 more fault"),
            more => write!(f, "\n\nand {more} more faults"),
        }
    }
}

impl std::error::Error for Faults {}
