//! What is on the shelf: all records with their pages, those that can be taken up, one by its name.

use std::fs;
use std::io;
use std::path::PathBuf;

use super::fault::StoreFault;
use super::file::RecordFile;
use super::index::{self, Look, Page};
use super::name;
use super::pulse::last_pulse;
use super::shelf::Shelf;
use crate::record::{Pulse, Summary};

/// A record on the shelf with its page.
#[derive(Clone, Debug, PartialEq)]
pub struct Shelved {
    /// The record's name.
    pub name: String,
    /// Its page.
    pub summary: Summary,
}

/// A class that was not brought to an end, and that nobody is teaching.
#[derive(Clone, Debug, PartialEq)]
pub struct Unfinished {
    /// The record's name.
    pub name: String,
    /// Its page up to the last fact.
    pub summary: Summary,
    /// Where it was last seen.
    pub pulse: Option<Pulse>,
}

/// All records.
#[derive(Debug, Default)]
pub struct Listing {
    /// Those that can be read, the earliest first.
    pub classes: Vec<Shelved>,
    /// Those that cannot, and why.
    pub unreadable: Vec<StoreFault>,
}

impl Shelf {
    /// The record whose name is this, or begins so, or is the only one that has these words in it.
    ///
    /// # Errors
    /// None or several are.
    pub fn find(&self, words: &str) -> Result<String, StoreFault> {
        let names = self.names()?;
        if names.iter().any(|(name, _)| name == words) {
            return Ok(words.to_owned());
        }
        let fitting = |fits: fn(&str, &str) -> bool| -> Vec<&String> {
            let all = names.iter().map(|(name, _)| name);
            all.filter(|name| fits(name, words)).collect()
        };
        let mut found = fitting(|name, words| name.starts_with(words));
        if found.is_empty() {
            found = fitting(|name, words| name.contains(words));
        }
        let name = words.to_owned();
        match found[..] {
            [one] => Ok(one.clone()),
            [] => Err(StoreFault::NoRecord { name }),
            _ => Err(StoreFault::Several {
                name,
                count: found.len(),
            }),
        }
    }

    /// All records with their pages.
    ///
    /// # Errors
    /// The folder cannot be read; one that is not there is an empty one.
    pub fn listing(&self) -> Result<Listing, StoreFault> {
        let mut known = index::load(self.folder());
        let cached = known.len();
        let mut fresh = 0;
        let mut pages = Vec::new();
        let mut unreadable = Vec::new();
        for (name, look) in self.names()? {
            match known.remove(&name).filter(|page| page.look == look) {
                Some(page) => pages.push(page),
                None => match self.read(&name) {
                    Ok(record) => {
                        fresh += 1;
                        let summary = Summary::of(&record);
                        pages.push(Page {
                            name,
                            look,
                            summary,
                        });
                    }
                    Err(fault) => unreadable.push(fault),
                },
            }
        }
        pages.sort_by(|a, b| (a.summary.started, &a.name).cmp(&(b.summary.started, &b.name)));
        if fresh > 0 || pages.len() != cached {
            index::save(self.folder(), &pages.iter().collect::<Vec<_>>());
        }
        let shelved = |Page { name, summary, .. }| Shelved { name, summary };
        Ok(Listing {
            classes: pages.into_iter().map(shelved).collect(),
            unreadable,
        })
    }

    /// The classes that could be taken up, the latest first.
    ///
    /// # Errors
    /// The folder cannot be read.
    pub fn unfinished(&self) -> Result<Vec<Unfinished>, StoreFault> {
        let listing = self.listing()?.classes.into_iter().rev();
        Ok(listing
            .filter(|class| class.summary.ending.is_none())
            .filter(|class| RecordFile::open(&self.path(&class.name), &class.name).is_ok())
            .map(|Shelved { name, summary }| Unfinished {
                pulse: last_pulse(&self.pulse_path(&name)).map(|(_, pulse)| pulse),
                name,
                summary,
            })
            .collect())
    }

    fn names(&self) -> Result<Vec<(String, Look)>, StoreFault> {
        let entries = match fs::read_dir(self.folder()) {
            Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
            entries => entries.map_err(StoreFault::disk("read", self.folder()))?,
        };
        Ok(entries
            .filter_map(|entry| {
                let entry = entry.ok()?;
                let path = PathBuf::from(entry.file_name());
                let is_record = path.extension().is_some_and(|end| end == name::RECORD);
                let name = path.file_stem()?.to_str()?.to_owned();
                let look = is_record.then(|| entry.metadata().ok()).flatten()?;
                Some((name, Look::of(&look)?))
            })
            .collect())
    }
}
