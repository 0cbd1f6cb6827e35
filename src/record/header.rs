//! The first line of a record: what was planned, when it began, and how the rest is written.
//!
//! The promise to other versions: within one major version of the format fields are only added,
//! and readers pass over what they do not know. A new kind of fact or entry is a new minor
//! version; a new word in the plan or a changed meaning is a new major one. The seal of the first
//! line (its checksum) never changes, so that every version can tell a newer record from a damaged
//! one.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::plan::Written;
use super::wall::{self, Wall};
use crate::session::{Load, Session};

/// The version of the record's format: `major.minor`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(into = "String", try_from = "String")]
pub struct Version {
    /// Raised where an older program could not read the record any more.
    pub major: u32,
    /// Raised where something was added that older programs pass over.
    pub minor: u32,
}

impl Version {
    /// What this program writes.
    pub const NOW: Self = Self { major: 2, minor: 0 };
}

impl fmt::Display for Version {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.major, self.minor)
    }
}

impl From<Version> for String {
    fn from(version: Version) -> Self {
        version.to_string()
    }
}

/// The text is not `major.minor`.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a version of the format is written `major.minor`, not `{0}`")]
pub struct NoVersion(String);

impl TryFrom<String> for Version {
    type Error = NoVersion;

    fn try_from(text: String) -> Result<Self, NoVersion> {
        text.parse()
    }
}

impl FromStr for Version {
    type Err = NoVersion;

    fn from_str(text: &str) -> Result<Self, NoVersion> {
        let (major, minor) = text
            .split_once('.')
            .and_then(|(major, minor)| Some((major.parse().ok()?, minor.parse().ok()?)))
            .ok_or_else(|| NoVersion(text.to_owned()))?;
        Ok(Self { major, minor })
    }
}

/// What the end of a slot is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SlotKind {
    /// An hour on the clock on the wall, however that clock is set.
    Hour,
    /// So long after the start, whatever the clock on the wall shows.
    Length,
}

/// The first line of a record.
#[derive(Clone, Debug, PartialEq)]
pub struct Header {
    /// The version of the format.
    pub version: Version,
    /// The version of the program that wrote it.
    pub program: String,
    /// When the record was begun, to the millisecond.
    pub started: Wall,
    /// When the slot ends, if it was known at the start.
    pub slot_end: Option<Wall>,
    /// What that end is; not known of records of other versions.
    pub slot_kind: Option<SlotKind>,
    /// What someone in the room must spare tonight.
    pub limits: Vec<Load>,
    /// The class as it was planned.
    pub session: Session,
    /// Fields of other versions and other uses; kept as they are.
    pub more: Map<String, Value>,
}

#[derive(Serialize, Deserialize)]
struct WrittenHeader {
    matside_record: Version,
    n: u64,
    program: String,
    #[serde(with = "wall")]
    started: Wall,
    #[serde(default, with = "wall::maybe", skip_serializing_if = "Option::is_none")]
    slot_end: Option<Wall>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    slot_kind: Option<SlotKind>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    limits: Vec<Load>,
    plan: Written,
    #[serde(flatten)]
    more: Map<String, Value>,
}

/// No more than the version: what can be read of any record.
#[derive(Deserialize)]
pub(super) struct VersionOnly {
    pub(super) matside_record: Version,
}

impl Header {
    /// The header of a record begun now, by this program.
    #[must_use]
    pub fn new(session: Session, started: Wall) -> Self {
        Self {
            version: Version::NOW,
            program: env!("CARGO_PKG_VERSION").to_owned(),
            started: wall::to_millis(started),
            slot_end: None,
            slot_kind: None,
            limits: session.limits.clone(),
            session,
            more: Map::new(),
        }
    }

    /// The same, with the end of the slot by the clock on the wall.
    #[must_use]
    pub fn ends_at(mut self, slot_end: Wall) -> Self {
        self.slot_end = Some(wall::to_millis(slot_end));
        self
    }

    /// The same, with what the end of the slot is.
    #[must_use]
    pub const fn slot_kind(mut self, kind: SlotKind) -> Self {
        self.slot_kind = Some(kind);
        self
    }

    /// The same, with what someone in the room must spare tonight.
    #[must_use]
    pub fn limits(mut self, limits: Vec<Load>) -> Self {
        self.limits = limits;
        self
    }

    /// The header as the first line of a record, with its newline.
    #[must_use]
    pub fn line(&self) -> Vec<u8> {
        let written = WrittenHeader {
            matside_record: self.version,
            n: 0,
            program: self.program.clone(),
            started: self.started,
            slot_end: self.slot_end,
            slot_kind: self.slot_kind,
            limits: self.limits.clone(),
            plan: Written::from(&self.session),
            more: self.more.clone(),
        };
        super::entry::sealed_json(&written)
    }

    pub(super) fn read(line: &[u8]) -> Result<Self, serde_json::Error> {
        let mut written: WrittenHeader = serde_json::from_slice(line)?;
        written.more.remove("crc");
        Ok(Self {
            version: written.matside_record,
            program: written.program,
            started: written.started,
            slot_end: written.slot_end,
            slot_kind: written.slot_kind,
            limits: written.limits,
            session: Session::try_from(written.plan)
                .map_err(<serde_json::Error as serde::de::Error>::custom)?,
            more: written.more,
        })
    }
}
