//! The index: the pages of all records in one file, so that a list need not read every record.
//!
//! It is a cache and nothing more. A page counts only while its record has the length and the time
//! of change that it had when the page was made; an index that is damaged, missing or of another
//! version is made anew.

use std::collections::HashMap;
use std::fs;
use std::path::Path;
use std::time::{Duration, UNIX_EPOCH};

use chrono::DateTime;
use serde::{Deserialize, Serialize};

use super::disk;
use crate::record::{Summary, Wall};

/// The index's name in the folder of records.
const FILE: &str = "index.cache";

/// Raised with every change to what a page holds or how it is computed.
const VERSION: u32 = 4;

/// How a record's file looked when its page was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Look {
    len: u64,
    changed_ns: i128,
}

impl Look {
    /// A clock that was wrong may have given the file a date before 1970.
    pub(super) fn of(file: &fs::Metadata) -> Self {
        let nanos = |span: Duration| i128::try_from(span.as_nanos()).unwrap_or(i128::MAX);
        let changed = file.modified().map_or(0, |at| {
            at.duration_since(UNIX_EPOCH)
                .map_or_else(|before| -nanos(before.duration()), nanos)
        });
        Self {
            len: file.len(),
            changed_ns: changed,
        }
    }

    /// How long the file is.
    pub(super) const fn len(&self) -> u64 {
        self.len
    }

    /// When it was changed last, where a calendar has such a day.
    pub(super) fn changed(&self) -> Option<Wall> {
        let nanos = i64::try_from(self.changed_ns).ok()?;
        Some(DateTime::from_timestamp_nanos(nanos).fixed_offset())
    }
}

/// No index is larger; a larger one is made anew.
const LARGEST: u64 = 64 << 20;

/// A record in the index: its page, and how its file looked when that was made.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct Indexed {
    pub(super) name: String,
    pub(super) look: Look,
    pub(super) summary: Summary,
}

/// The pages by the records' names; none where the index cannot be used.
pub(super) fn load(folder: &Path) -> HashMap<String, Indexed> {
    let bytes = disk::read_regular(&folder.join(FILE), LARGEST).unwrap_or_default();
    whole(&bytes)
        .and_then(|pages| serde_json::from_slice::<Vec<Indexed>>(pages).ok())
        .unwrap_or_default()
        .into_iter()
        .map(|page| (page.name.clone(), page))
        .collect()
}

/// Writes the index; where that fails the next list is slower, and that is all.
pub(super) fn save(folder: &Path, pages: &[&Indexed]) {
    if let Ok(json) = serde_json::to_vec(pages) {
        let _ = disk::replace(
            &folder.join(FILE),
            &[first_line(&json).as_bytes(), &json].concat(),
        );
    }
}

fn first_line(pages: &[u8]) -> String {
    let program = env!("CARGO_PKG_VERSION");
    format!("index {VERSION} {program} {:08x}\n", crc32fast::hash(pages))
}

fn whole(bytes: &[u8]) -> Option<&[u8]> {
    let end = bytes.iter().position(|&byte| byte == b'\n')? + 1;
    let (first, pages) = bytes.split_at(end);
    (first == first_line(pages).as_bytes()).then_some(pages)
}
