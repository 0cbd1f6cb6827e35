//! The text of a file and the places in it: bytes to text, offsets to lines and columns.
//!
//! It refuses what no text file of ours can be (too large, not UTF-8, with NUL bytes), so that
//! nothing after it has to. It knows nothing of what the text says.

use std::ops::Range;

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::fault::{Fault, Faults};

/// The largest file that is read: thousands of pages of class.
pub const LARGEST: usize = 4 * 1024 * 1024;
/// Characters of a line that are shown, and of a long line those before the place.
const WIDE: usize = 110;
const AROUND: usize = 60;

/// A fault that has not been given its line and column yet: one sweep does it for all.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Blame {
    pub(super) start: usize,
    pub(super) end: usize,
    pub(super) message: String,
    pub(super) help: Option<String>,
}

impl Blame {
    pub(super) fn new(range: Range<usize>, message: impl Into<String>, help: &str) -> Self {
        Self {
            start: range.start,
            end: range.end,
            message: message.into(),
            help: (!help.is_empty()).then(|| help.to_owned()),
        }
    }
}

/// A text that can be read, and the name to report it by.
#[derive(Debug)]
pub(super) struct Source {
    name: String,
    text: String,
}

impl Source {
    /// Takes bytes as text.
    pub(super) fn of_bytes(name: &str, bytes: &[u8]) -> Result<Self, Faults> {
        if bytes.len() > LARGEST {
            return Err(too_large(name, bytes.len()));
        }
        match str::from_utf8(bytes) {
            Ok(text) => Self::of(name, text),
            Err(error) => Err(not_utf8(name, bytes, error.valid_up_to())),
        }
    }

    /// Takes a text; a byte order mark at its start is dropped.
    pub(super) fn of(name: &str, text: &str) -> Result<Self, Faults> {
        if text.len() > LARGEST {
            return Err(too_large(name, text.len()));
        }
        // A comment in the last line must be closed by a line break for ron's raw values.
        let text = format!("{}\n", text.strip_prefix('\u{feff}').unwrap_or(text));
        let source = Self {
            name: name.to_owned(),
            text,
        };
        match source.text.find('\0') {
            Some(at) => Err(source.fault(Blame::new(
                at..at + 1,
                "there is a NUL byte here, which no text file has",
                "save the file as plain text in UTF-8",
            ))),
            None => Ok(source),
        }
    }

    /// The same file with another text, which ends in a line break as this one does.
    pub(super) fn with_text(&self, text: String) -> Self {
        Self {
            name: self.name.clone(),
            text,
        }
    }

    /// Whether there is nothing in it but white space and comments.
    pub(super) fn is_blank(&self) -> bool {
        ron::Deserializer::from_str(&self.text).is_ok_and(|ron| ron.remainder().is_empty())
    }

    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// Where a part of this text stands in it.
    pub(super) fn range_of(&self, part: &str) -> Range<usize> {
        let start = (part.as_ptr().addr()).saturating_sub(self.text.as_ptr().addr());
        debug_assert!(start + part.len() <= self.text.len(), "not a part of it");
        start..start + part.len()
    }

    /// The byte at a line and column, both counted from 1, the column in characters.
    pub(super) fn offset(&self, line: usize, column: usize) -> usize {
        let start = match line {
            0 | 1 => 0,
            _ => (self.text.match_indices('\n').nth(line - 2))
                .map_or(self.text.len(), |(i, _)| i + 1),
        };
        let rest = &self.text[start..];
        start + (rest.char_indices().nth(column.saturating_sub(1))).map_or(rest.len(), |(i, _)| i)
    }

    /// The line of a byte, counted from 1.
    pub(super) fn line(&self, at: usize) -> usize {
        1 + self.text[..at].matches('\n').count()
    }

    /// One fault as the whole list.
    pub(super) fn fault(&self, blame: Blame) -> Faults {
        self.faults(vec![blame], 0)
    }

    /// Sorts faults by place and finds their lines in one sweep over the text.
    pub(super) fn faults(&self, mut blames: Vec<Blame>, more: usize) -> Faults {
        blames.sort();
        blames.dedup();
        let mut sweep = Sweep::default();
        let list = blames
            .into_iter()
            .map(|blame| {
                sweep.advance(&self.text, blame.start);
                self.placed(blame, &sweep)
            })
            .collect();
        Faults::new(list, more)
    }

    fn placed(&self, blame: Blame, sweep: &Sweep) -> Fault {
        let span = blame.start..blame.end;
        let (line_text, caret) = window(&self.text, sweep.line_start, &span);
        Fault {
            source: self.name.clone(),
            line: sweep.breaks + 1,
            column: sweep.chars + 1,
            span,
            message: blame.message,
            help: blame.help,
            line_text,
            caret,
        }
    }
}

/// Whether a file holds nothing but white space and comments, so that it says nothing at all.
pub(crate) fn is_blank(bytes: &[u8]) -> bool {
    Source::of_bytes("", bytes).is_ok_and(|source| source.is_blank())
}

/// A place moving forward through the text.
#[derive(Default)]
struct Sweep {
    at: usize,
    line_start: usize,
    breaks: usize,
    chars: usize,
}

impl Sweep {
    fn advance(&mut self, text: &str, to: usize) {
        for (i, c) in text[self.at..to].char_indices() {
            self.chars += 1;
            if c == '\n' {
                self.breaks += 1;
                self.chars = 0;
                self.line_start = self.at + i + 1;
            }
        }
        self.at = to;
    }
}

/// The line around a place, with the columns before the place and those it takes.
fn window(text: &str, line_start: usize, span: &Range<usize>) -> (String, (usize, usize)) {
    let head = text[line_start..span.start].trim_start();
    let far = |n: usize| head.char_indices().rev().nth(n).map(|(i, _)| i);
    let before = match far(WIDE - 30).and_then(|_| far(AROUND)) {
        Some(from) => format!("...{}", shown(&head[from..])),
        None => shown(head),
    };
    let room = WIDE.saturating_sub(before.chars().count());
    let rest = &text[span.start..];
    // Only so far as it is shown: a line may be as long as a file.
    let stop = |(n, (_, c)): &(usize, (usize, char))| *n == room || matches!(c, '\n' | '\r');
    let (end, clipped) = (rest.char_indices().enumerate())
        .find(stop)
        .map_or((rest.len(), false), |(_, (i, c))| {
            (i, !matches!(c, '\n' | '\r'))
        });
    let tail = &rest[..end];
    let marked = (span.end - span.start).min(end);
    let width = tail
        .get(..marked)
        .map_or(1, |part| shown(part).width())
        .max(1);
    let after = format!("{}{}", shown(tail), if clipped { "..." } else { "" });
    let caret = (before.width(), width);
    ((before + &after).trim_end().to_owned(), caret)
}

/// A text with tabs as spaces and nothing that could move the cursor.
fn shown(text: &str) -> String {
    text.chars().fold(String::new(), |mut line, c| {
        match c {
            '\t' => line.push_str("    "),
            c if unshowable(c) => line.push('?'),
            c if c.width().is_none() => line.push('?'),
            c => line.push(c),
        }
        line
    })
}

/// Whether a character would tear a screen or a line: controls, line and paragraph separators,
/// and the marks that turn the direction of writing.
pub(super) fn unshowable(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{2028}' | '\u{2029}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// A word short enough to stand in a message.
pub(crate) fn clipped(word: &str) -> String {
    let shown: String = word
        .chars()
        .take(60)
        .map(|c| if unshowable(c) { '?' } else { c })
        .collect();
    if shown.len() < word.len() && word.chars().count() > 60 {
        shown + "..."
    } else {
        shown
    }
}

#[expect(clippy::cast_precision_loss, reason = "a size in MiB to one decimal")]
fn too_large(name: &str, bytes: usize) -> Faults {
    let source = Source {
        name: name.to_owned(),
        text: String::new(),
    };
    let mib = bytes as f64 / 1_048_576.0;
    source.fault(Blame::new(
        0..0,
        format!("the file has {mib:.1} MiB, more than the 4 MiB that are read"),
        "a class takes a few kilobytes: is this the right file?",
    ))
}

fn not_utf8(name: &str, bytes: &[u8], at: usize) -> Faults {
    let source = Source {
        name: name.to_owned(),
        text: String::from_utf8_lossy(bytes).into_owned(),
    };
    let message = match bytes {
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] => "the file is written in UTF-16".into(),
        _ => format!("the byte {:#04x} here is no UTF-8", bytes[at]),
    };
    source.fault(Blame::new(
        at..at + '\u{fffd}'.len_utf8(),
        message,
        "save the file as plain text in UTF-8",
    ))
}
