//! The shelf: the folder of records, and everything that is done with a whole record.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::disk;
use super::fault::StoreFault;
use super::file::RecordFile;
use super::index::{self, Look, Page};
use super::journal::{Journal, NotRecording};
use super::name::{self, name_of};
use super::pulse::{PulseFile, last_pulse};
use super::recorder::Recorder;
use crate::record::{self, Body, Header, Note, Pulse, Recovered, Summary, Wall};

/// The folder of records.
#[derive(Clone, Debug)]
pub struct Shelf {
    folder: PathBuf,
}

/// A record that was begun.
#[derive(Debug)]
pub struct Begun {
    /// Its name.
    pub name: String,
    /// What writes it.
    pub recorder: Recorder,
}

/// A record that is written on after its program had ended.
#[derive(Debug)]
pub struct TakenUp {
    /// What is in it.
    pub record: Recovered,
    /// Where the class was last seen, if that was later than the last fact.
    pub pulse: Option<Pulse>,
    /// What writes it from here.
    pub recorder: Recorder,
}

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
    /// The shelf in this folder, which need not be there yet.
    #[must_use]
    pub fn at(folder: impl Into<PathBuf>) -> Self {
        let folder = folder.into();
        Self { folder }
    }

    /// Begins a record.
    ///
    /// # Errors
    /// It cannot be begun, and why. A class can go on with [`Recorder::none`].
    pub fn begin(&self, header: &Header) -> Result<Begun, StoreFault> {
        disk::make_folder(&self.folder).map_err(StoreFault::disk("made", &self.folder))?;
        let (name, file) = self.new_file(&name_of(header))?;
        let path = self.path(&name);
        let journal = Journal::begin(file, header).map_err(|why| {
            let _ = disk::remove(&path);
            not_written(&path, &why)
        })?;
        let pulse = PulseFile::open(&self.pulse_path(&name));
        Ok(Begun {
            name,
            recorder: Recorder::start(journal, Some(pulse)),
        })
    }

    fn new_file(&self, wanted: &str) -> Result<(String, RecordFile), StoreFault> {
        let mut name = wanted.to_owned();
        let mut number = 1;
        loop {
            let path = self.path(&name);
            match RecordFile::create(&path) {
                Err(why) if why.kind() == io::ErrorKind::AlreadyExists && number < 1000 => {
                    number += 1;
                    name = format!("{wanted}-{number}");
                }
                done => {
                    let file = done.map_err(StoreFault::disk("made", &path))?;
                    return Ok((name, file));
                }
            }
        }
    }

    /// Takes a class up where it was left. A torn last line is cut off.
    ///
    /// # Errors
    /// The record cannot be read or written, is being written, or its class has ended.
    pub fn take_up(&self, name: &str) -> Result<TakenUp, StoreFault> {
        let (file, record) = self.open(name)?;
        if record.is_ended() {
            let name = name.to_owned();
            return Err(StoreFault::Ended { name });
        }
        if record.passed_over() > 0 {
            let name = name.to_owned();
            return Err(StoreFault::Unknown { name });
        }
        let path = self.pulse_path(name);
        let last = record.facts().next_back().map(|fact| fact.at);
        let pulse = last_pulse(&path)
            .map(|(_, pulse)| pulse)
            .filter(|pulse| last.is_none_or(|last| last < pulse.at));
        let journal = Journal::go_on(file, record.next_n());
        Ok(TakenUp {
            record,
            pulse,
            recorder: Recorder::start(journal, Some(PulseFile::open(&path))),
        })
    }

    /// Opens a record to write on in it, cut to its whole lines.
    fn open(&self, name: &str) -> Result<(RecordFile, Recovered), StoreFault> {
        let path = self.path(name);
        let mut file = RecordFile::open(&path, name)?;
        let bytes = file.read().map_err(StoreFault::disk("read", &path))?;
        let record = self.understand(name, &bytes)?;
        if record.torn.is_some() {
            file.cut_to(record.whole)
                .map_err(StoreFault::disk("written", &path))?;
        }
        Ok((file, record))
    }

    /// Reads a record; nothing is changed.
    ///
    /// # Errors
    /// It cannot be read, and why.
    pub fn read(&self, name: &str) -> Result<Recovered, StoreFault> {
        let path = self.path(name);
        let bytes = fs::read(&path).map_err(StoreFault::disk("read", &path))?;
        self.understand(name, &bytes)
    }

    #[expect(clippy::unused_self, reason = "reads as a step of the shelf's methods")]
    fn understand(&self, name: &str, bytes: &[u8]) -> Result<Recovered, StoreFault> {
        let name = name.to_owned();
        record::read(bytes).map_err(|fault| StoreFault::Record { name, fault })
    }

    /// Adds a note, which takes the place of the one before.
    ///
    /// # Errors
    /// The record cannot be read or written, and why.
    pub fn note(&self, name: &str, wall: Wall, note: Note) -> Result<(), StoreFault> {
        let (file, record) = self.open(name)?;
        let mut journal = Journal::go_on(file, record.next_n());
        journal.append(wall, Body::Note(note)).map_err(|why| {
            let _ = journal.into_medium().cut_to(record.whole);
            not_written(&self.path(name), &why)
        })?;
        Ok(())
    }

    /// Removes a record for good.
    ///
    /// # Errors
    /// It cannot be removed, or its class is being taught.
    pub fn delete(&self, name: &str) -> Result<(), StoreFault> {
        let path = self.path(name);
        let _writer = RecordFile::open(&path, name)?;
        disk::remove(&path).map_err(StoreFault::disk("removed", &path))?;
        let _ = disk::remove(&self.pulse_path(name));
        Ok(())
    }

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
        let mut known = index::load(&self.folder);
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
            index::save(&self.folder, &pages.iter().collect::<Vec<_>>());
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
        let entries = match fs::read_dir(&self.folder) {
            Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
            entries => entries.map_err(StoreFault::disk("read", &self.folder))?,
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

    /// The file of a record.
    #[must_use]
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.join(format!("{name}.{}", name::RECORD))
    }

    fn pulse_path(&self, name: &str) -> PathBuf {
        self.folder.join(format!("{name}.{}", name::PULSE))
    }

    /// The folder.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }
}

fn not_written(path: &Path, why: &NotRecording) -> StoreFault {
    StoreFault::disk("written", path)(io::Error::other(why.why.to_string()))
}
