//! From the bytes of a record to its entries, and what is done about damage.
//!
//! One thing is forgiven, and said: a last line that an interrupted write left torn. Damage before
//! it means that the record is not what was written, so nothing is guessed: the place is named and
//! the bytes are left as they are. This file never changes anything; whoever writes on after a
//! torn line cuts it off first ([`Recovered::whole`]).

use super::entry::{Body, Entry};
use super::header::{Header, Version, VersionOnly};
use super::line;
use super::note::Note;
use super::wall::Wall;
use crate::live::{Fact, What};

/// A record read back.
#[derive(Clone, Debug, PartialEq)]
pub struct Recovered {
    /// The first line.
    pub header: Header,
    /// The entries in order.
    pub entries: Vec<Entry>,
    /// How many bytes are whole: where writing may go on.
    pub whole: usize,
    /// The line that an interrupted write left, if there is one.
    pub torn: Option<Torn>,
}

/// A last line that is not whole, and was passed over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the last line (line {line}, {bytes} bytes) was not written to its end and is left out")]
pub struct Torn {
    /// Its number, counted from 1.
    pub line: usize,
    /// How many bytes of it are there.
    pub bytes: usize,
}

/// Why a record cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// The first line was never finished, so nothing of the class was recorded.
    #[error("there is nothing in this record: its first line was never written to the end")]
    Empty,
    /// Another kind of file.
    #[error("this is not the record of a class: line 1 does not begin like one")]
    Foreign,
    /// Written by a newer major version.
    #[error(
        "this record has format `{found}` and this program reads `{reads}`; a newer version of the program is needed"
    )]
    Newer {
        /// The record's version.
        found: Version,
        /// Ours.
        reads: Version,
    },
    /// A line before the last is not what was written.
    #[error(
        "the record is damaged in line {line}, from byte {byte} on: {what}; nothing was changed"
    )]
    Damaged {
        /// The line, counted from 1.
        line: usize,
        /// Where the line begins in the file, counted from 0.
        byte: usize,
        /// What is wrong with it.
        what: String,
    },
}

/// Reads a record.
///
/// # Errors
/// [`Fault`] tells why it cannot be read and where it is damaged.
pub fn read(bytes: &[u8]) -> Result<Recovered, Fault> {
    let (record, damage) = read_as_far(bytes)?;
    damage.map_or(Ok(record), Err)
}

/// Reads a record up to its first damage, for somebody who asked for that, with what stopped it.
/// Nothing behind the damage is looked at: what is lost there nobody knows.
///
/// # Errors
/// [`Fault`] where not even its first line can be read.
pub fn read_as_far(bytes: &[u8]) -> Result<(Recovered, Option<Fault>), Fault> {
    if !begins_like_ours(bytes) {
        return Err(Fault::Foreign);
    }
    let mut lines = Lines::of(bytes);
    let header = header_of(lines.next_whole()?.ok_or(Fault::Empty)?)?;
    let newer = header.version.minor > Version::NOW.minor;
    let (mut entries, mut whole) = (Vec::new(), lines.whole);
    let damage = loop {
        let next = match lines.next_whole() {
            Ok(None) => break None,
            Ok(Some(line)) => entry_of(&line, newer, entries.len() as u64 + 1),
            Err(damage) => Err(damage),
        };
        match next {
            Ok(entry) => entries.push(entry),
            Err(damage) => break Some(damage),
        }
        whole = lines.whole;
    };
    let record = Recovered {
        header,
        entries,
        whole,
        torn: lines.torn,
    };
    Ok((record, damage))
}

fn begins_like_ours(bytes: &[u8]) -> bool {
    const OURS: &[u8] = br#"{"matside_record":"#;
    let seen = bytes.len().min(OURS.len());
    bytes[..seen] == OURS[..seen]
}

impl Recovered {
    /// The facts in order.
    #[must_use]
    pub fn facts(&self) -> impl DoubleEndedIterator<Item = &Fact> {
        self.entries.iter().filter_map(|entry| match &entry.body {
            Body::Fact(fact) => Some(fact),
            _ => None,
        })
    }

    /// The facts in order, with the time on the wall.
    #[must_use]
    pub fn facts_on_the_wall(&self) -> impl DoubleEndedIterator<Item = (Wall, &Fact)> {
        self.entries.iter().filter_map(|entry| match &entry.body {
            Body::Fact(fact) => Some((entry.wall, fact)),
            _ => None,
        })
    }

    /// The note in force: the last one.
    #[must_use]
    pub fn note(&self) -> Option<&Note> {
        self.entries
            .iter()
            .rev()
            .find_map(|entry| match &entry.body {
                Body::Note(note) => Some(note),
                _ => None,
            })
    }

    /// Whether the class was brought to an end of any kind.
    #[must_use]
    pub fn is_ended(&self) -> bool {
        // An end that was taken back is none.
        let ends = |fact: &&Fact| matches!(fact.what, What::Ended(_) | What::Undid(_));
        let last = self.facts().rfind(ends);
        last.is_some_and(|fact| matches!(fact.what, What::Ended(_)))
    }

    /// How many entries of a newer minor version were passed over. Where there are any, the facts
    /// do not tell the whole, and the class should not be taken up by this program.
    #[must_use]
    pub fn passed_over(&self) -> usize {
        let unknown = |entry: &&Entry| matches!(entry.body, Body::Unknown(_));
        self.entries.iter().filter(unknown).count()
    }

    /// The number that the next entry gets.
    #[must_use]
    pub fn next_n(&self) -> u64 {
        self.entries.len() as u64 + 1
    }
}

struct Line<'a> {
    number: usize,
    byte: usize,
    bytes: &'a [u8],
}

impl Line<'_> {
    fn damaged(&self, what: impl Into<String>) -> Fault {
        Fault::Damaged {
            line: self.number,
            byte: self.byte,
            what: what.into(),
        }
    }
}

struct Lines<'a> {
    bytes: &'a [u8],
    number: usize,
    whole: usize,
    torn: Option<Torn>,
}

impl<'a> Lines<'a> {
    const fn of(bytes: &'a [u8]) -> Self {
        Self {
            bytes,
            number: 0,
            whole: 0,
            torn: None,
        }
    }

    /// The next line that is whole; none at the end, or where only a torn line is left.
    fn next_whole(&mut self) -> Result<Option<Line<'a>>, Fault> {
        let rest = &self.bytes[self.whole..];
        if rest.is_empty() || self.torn.is_some() {
            return Ok(None);
        }
        self.number += 1;
        let newline = rest.iter().position(|&byte| byte == b'\n');
        let line = Line {
            number: self.number,
            byte: self.whole,
            bytes: &rest[..newline.unwrap_or(rest.len())],
        };
        if newline.is_some() && line::is_whole(line.bytes) {
            self.whole += line.bytes.len() + 1;
            return Ok(Some(line));
        }
        let is_last = newline.is_none_or(|at| at + 1 == rest.len());
        if !is_last {
            return Err(line.damaged("its checksum does not fit"));
        }
        if line::begins_whole(line.bytes) {
            return Err(line.damaged("its end and the beginning of the next line are gone"));
        }
        self.torn = Some(Torn {
            line: self.number,
            bytes: rest.len(),
        });
        Ok(None)
    }
}

#[expect(clippy::needless_pass_by_value, reason = "the line is used up here")]
fn header_of(line: Line<'_>) -> Result<Header, Fault> {
    let VersionOnly {
        matside_record: found,
    } = serde_json::from_slice(line.bytes).map_err(|_| Fault::Foreign)?;
    if found.major > Version::NOW.major {
        let reads = Version::NOW;
        return Err(Fault::Newer { found, reads });
    }
    Header::read(line.bytes).map_err(|why| line.damaged(format!("it cannot be read: {why}")))
}

fn entry_of(line: &Line<'_>, newer: bool, expected: u64) -> Result<Entry, Fault> {
    let entry = Entry::read(line.bytes, newer)
        .map_err(|why| line.damaged(format!("it cannot be read: {why}")))?;
    if entry.n != expected {
        let what = format!("entry {} stands where {expected} belongs", entry.n);
        return Err(line.damaged(what));
    }
    Ok(entry)
}
