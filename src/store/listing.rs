//! What is on the shelf: all records with their pages, those that can be taken up, one by its name.

use std::fs;
use std::io;
use std::path::PathBuf;

use super::fault::StoreFault;
use super::file::RecordFile;
use super::index::{self, Indexed, Look};
use super::name;
use super::pulse::last_pulse;
use super::shelf::Shelf;
use crate::record::{Pulse, Summary, Wall};

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

/// A record that cannot be read.
#[derive(Debug, thiserror::Error)]
#[error("{fault}")]
pub struct Unreadable {
    /// The record's name.
    pub name: String,
    /// When its class began, or where nothing tells that, when its file was changed last.
    pub when: Option<Wall>,
    /// Why.
    pub fault: StoreFault,
}

/// A record that is there a second time under another name, as shared folders leave one behind.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{name}` is a copy of `{of}`{}, and is not counted; delete the one you do not want", if *.is_longer { " with more in it" } else { "" })]
pub struct Copied {
    /// The copy's name.
    pub name: String,
    /// The name of the record that is counted.
    pub of: String,
    /// Whether more is in the copy.
    pub is_longer: bool,
}

/// All records.
#[derive(Debug, Default)]
pub struct Listing {
    /// Those that can be read, the earliest first.
    pub classes: Vec<Shelved>,
    /// Those that cannot, and why.
    pub unreadable: Vec<Unreadable>,
    /// Copies of others, which are in none of the two.
    pub copies: Vec<Copied>,
}

impl Listing {
    /// The record that cannot be read and is later than every one that can, if there is one: the
    /// last class is then not the last that was taught.
    #[must_use]
    pub fn unreadable_last(&self) -> Option<&Unreadable> {
        let last = self.classes.last().map(|class| class.summary.started);
        let latest = self.unreadable.iter().max_by_key(|one| one.when)?;
        (latest.when >= last).then_some(latest)
    }
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
        let mut found = fitting(|name, words| !words.is_empty() && name.starts_with(words));
        if found.is_empty() {
            found = fitting(|name, words| !words.is_empty() && name.contains(words));
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
                        pages.push(Indexed {
                            name,
                            look,
                            summary,
                        });
                    }
                    Err(fault) => unreadable.push(self.unreadable(name, look, fault)),
                },
            }
        }
        pages.sort_by(|a, b| (a.summary.started, &a.name).cmp(&(b.summary.started, &b.name)));
        unreadable.sort_by(|a, b| (a.when, &a.name).cmp(&(b.when, &b.name)));
        if fresh > 0 || pages.len() != cached {
            index::save(self.folder(), &pages.iter().collect::<Vec<_>>());
        }
        let (pages, copies) = without_copies(&pages);
        let shelved = |Indexed { name, summary, .. }| Shelved { name, summary };
        Ok(Listing {
            classes: pages.into_iter().map(shelved).collect(),
            unreadable,
            copies,
        })
    }

    fn unreadable(&self, name: String, look: Look, fault: StoreFault) -> Unreadable {
        let begun = self.read_as_far(&name).ok();
        let when = begun.map(|(record, _)| record.header.started);
        Unreadable {
            when: when.or_else(|| look.changed()),
            name,
            fault,
        }
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
        let mut names: Vec<(String, Look)> = entries
            .filter_map(|entry| {
                let entry = entry.ok()?;
                let file = PathBuf::from(entry.file_name());
                let is_record = file.extension().is_some_and(|end| end == name::RECORD);
                let name = name::shown(file.file_stem()?);
                // A link that leads nowhere is looked at as the link it is.
                let facts = fs::metadata(entry.path()).or_else(|_| entry.metadata());
                let facts = is_record.then(|| facts.ok()).flatten()?;
                Some((name, Look::of(&facts)))
            })
            .collect();
        names.sort_by(|a, b| a.0.cmp(&b.0));
        Ok(names)
    }
}

/// The pages without those of copies, which are told instead. They stand in order of time, so
/// those of one class stand together.
fn without_copies(pages: &[Indexed]) -> (Vec<Indexed>, Vec<Copied>) {
    let (mut kept, mut copies): (Vec<Indexed>, Vec<Copied>) = (Vec::new(), Vec::new());
    for group in pages.chunk_by(|a, b| a.summary.started == b.summary.started) {
        for page in group {
            let of = group.iter().find(|of| {
                of.summary.title == page.summary.title && name::is_copy(&page.name, &of.name)
            });
            match of {
                None => kept.push(page.clone()),
                Some(of) => copies.push(Copied {
                    name: page.name.clone(),
                    of: of.name.clone(),
                    is_longer: page.look.len() > of.look.len(),
                }),
            }
        }
    }
    (kept, copies)
}
