//! An entry of a record: a fact or a note, with its number and the time on the wall.

use serde::{Deserialize, Serialize};

use super::line;
use super::note::Note;
use super::wall::{self, Wall};
use crate::live::{Fact, What};

/// One line of a record after the first.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its number; the first line is 0, and none is left out.
    pub n: u64,
    /// When it happened by the clock on the wall, to the millisecond.
    pub wall: Wall,
    /// What it says.
    pub body: Body,
}

/// What an entry says.
#[derive(Clone, Debug, PartialEq)]
pub enum Body {
    /// Something happened in the class.
    Fact(Fact),
    /// Something was added after it.
    Note(Note),
    /// Something that a newer minor version wrote: the line as it stands.
    Unknown(String),
}

impl Body {
    /// Whether it says that the class is over.
    #[must_use]
    pub const fn is_end(&self) -> bool {
        matches!(self, Self::Fact(fact) if matches!(fact.what, What::Ended(_)))
    }
}

impl From<Fact> for Body {
    fn from(fact: Fact) -> Self {
        Self::Fact(fact)
    }
}

impl From<Note> for Body {
    fn from(note: Note) -> Self {
        Self::Note(note)
    }
}

#[derive(Serialize)]
struct Written<'a> {
    n: u64,
    #[serde(with = "wall")]
    wall: Wall,
    #[serde(skip_serializing_if = "Option::is_none")]
    fact: Option<&'a Fact>,
    #[serde(skip_serializing_if = "Option::is_none")]
    note: Option<&'a Note>,
}

#[derive(Deserialize)]
struct Read {
    n: u64,
    #[serde(with = "wall")]
    wall: Wall,
    #[serde(default)]
    fact: Option<Fact>,
    #[serde(default)]
    note: Option<Note>,
}

/// What every entry of any minor version has.
#[derive(Deserialize)]
struct Bare {
    n: u64,
    #[serde(with = "wall")]
    wall: Wall,
}

impl Entry {
    /// The entry as a line of a record, with its newline.
    #[must_use]
    pub fn line(&self) -> Vec<u8> {
        let (fact, note) = match &self.body {
            Body::Fact(fact) => (Some(fact), None),
            Body::Note(note) => (None, Some(note)),
            Body::Unknown(line) => return [line.as_bytes(), b"\n"].concat(),
        };
        sealed_json(&Written {
            n: self.n,
            wall: self.wall,
            fact,
            note,
        })
    }

    /// Reads a line that is whole. With `newer` what cannot be understood is kept as it is.
    pub(super) fn read(line: &[u8], newer: bool) -> Result<Self, serde_json::Error> {
        match serde_json::from_slice::<Read>(line) {
            Ok(Read {
                n,
                wall,
                fact: Some(fact),
                note: None,
            }) => Ok(Self {
                n,
                wall,
                body: Body::Fact(fact),
            }),
            Ok(Read {
                n,
                wall,
                fact: None,
                note: Some(note),
            }) => Ok(Self {
                n,
                wall,
                body: Body::Note(note),
            }),
            Ok(_) if !newer => Err(<serde_json::Error as serde::de::Error>::custom(
                "neither a fact nor a note",
            )),
            Err(why) if !newer => Err(why),
            _ => Self::unknown(line),
        }
    }

    fn unknown(line: &[u8]) -> Result<Self, serde_json::Error> {
        let Bare { n, wall } = serde_json::from_slice(line)?;
        let text = String::from_utf8_lossy(line).into_owned();
        Ok(Self {
            n,
            wall,
            body: Body::Unknown(text),
        })
    }
}

/// The value as a line with checksum and newline.
pub(super) fn sealed_json<T: Serialize>(value: &T) -> Vec<u8> {
    line::sealed(serde_json::to_string(value).expect("a record's values have text keys only"))
}
