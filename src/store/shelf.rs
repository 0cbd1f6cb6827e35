//! The shelf: the folder of records, and everything that is done with a whole record.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::disk;
use super::fault::StoreFault;
use super::file::{self, RecordFile};
use super::journal::{Journal, Medium, NotRecording};
use super::name::{self, name_of};
use super::pulse::{PulseFile, last_pulse};
use super::recorder::Recorder;
use crate::record::{self, Body, Header, Note, Pulse, Recovered, Wall};

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
        let (name, journal, pulse) = self.begun(header)?;
        let recorder = Recorder::start(journal, Some(pulse));
        Ok(Begun { name, recorder })
    }

    /// Begins a record in the background: the disk may take its time.
    #[must_use]
    pub fn begin_in_background(&self, header: Header) -> Recorder {
        let shelf = self.clone();
        Recorder::beginning(move || shelf.begun(&header))
    }

    fn begun(
        &self,
        header: &Header,
    ) -> Result<(String, Journal<RecordFile>, PulseFile), StoreFault> {
        disk::make_folder(&self.folder).map_err(StoreFault::disk("made", &self.folder))?;
        self.tighten();
        let (name, file) = self.new_file(&name_of(header))?;
        let path = self.path(&name);
        let journal = first_line(file, &path, header)?;
        let pulse = PulseFile::open(&self.pulse_path(&name));
        Ok((name, journal, pulse))
    }

    /// A folder that was made by other means is closed to others; where that cannot be done, the
    /// records in it are closed all the same.
    fn tighten(&self) {
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = fs::metadata(&self.folder).map(|facts| facts.permissions().mode());
            if mode.is_ok_and(|mode| mode & 0o077 != 0) {
                let _ = fs::set_permissions(&self.folder, fs::Permissions::from_mode(0o700));
            }
        }
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

    /// Goes on with the record of a class whose end is taken back.
    ///
    /// # Errors
    /// The record cannot be read or written, or is being written.
    pub fn go_on(&self, name: &str) -> Result<Recorder, StoreFault> {
        let (file, record) = self.open(name)?;
        let journal = Journal::go_on(file, record.next_n());
        let pulse = PulseFile::open(&self.pulse_path(name));
        Ok(Recorder::start(journal, Some(pulse)))
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
        self.understand(name, &self.bytes(name)?)
    }

    /// Reads a record up to its first damage, with what stopped it; nothing is changed.
    ///
    /// # Errors
    /// Not even its first line can be read, and why.
    pub fn read_as_far(
        &self,
        name: &str,
    ) -> Result<(Recovered, Option<record::Fault>), StoreFault> {
        let bytes = self.bytes(name)?;
        let name = name.to_owned();
        record::read_as_far(&bytes).map_err(|fault| StoreFault::Record { name, fault })
    }

    /// Of an ordinary file: a pipe would wait for ever.
    fn bytes(&self, name: &str) -> Result<Vec<u8>, StoreFault> {
        let path = self.path(name);
        let facts = fs::metadata(&path).map_err(StoreFault::disk("read", &path))?;
        if !facts.is_file() {
            let name = name.to_owned();
            return Err(StoreFault::Special { name });
        }
        disk::read_regular(&path, file::LARGEST).map_err(StoreFault::disk("read", &path))
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

    /// The file of a record.
    #[must_use]
    pub fn path(&self, name: &str) -> PathBuf {
        let path = self.folder.join(format!("{name}.{}", name::RECORD));
        if name.contains('\\') && !path.exists() {
            return self.odd_path(name).unwrap_or(path);
        }
        path
    }

    /// The file whose name is shown with escapes.
    fn odd_path(&self, name: &str) -> Option<PathBuf> {
        let entries = fs::read_dir(&self.folder).ok()?;
        let mut paths = entries.filter_map(|entry| Some(entry.ok()?.path()));
        paths.find(|path| {
            let is_record = path.extension().is_some_and(|end| end == name::RECORD);
            is_record
                && path
                    .file_stem()
                    .is_some_and(|stem| name::shown(stem) == name)
        })
    }

    pub(super) fn pulse_path(&self, name: &str) -> PathBuf {
        self.path(name).with_extension(name::PULSE)
    }

    /// Tries whether a file can be kept there, while what is wrong can still be mended.
    ///
    /// # Errors
    /// It cannot, and why.
    pub fn check(&self) -> Result<(), StoreFault> {
        disk::make_folder(&self.folder).map_err(StoreFault::disk("made", &self.folder))?;
        let file = self.folder.join("check.tmp");
        disk::replace(&file, b"a trial\n").map_err(StoreFault::disk("written", &file))?;
        disk::remove(&file).map_err(StoreFault::disk("removed", &file))
    }

    /// The folder.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }
}

/// Begins a record in its file. Where that cannot be done nothing half begun is left.
fn first_line<M: Medium>(
    medium: M,
    path: &Path,
    header: &Header,
) -> Result<Journal<M>, StoreFault> {
    Journal::begin(medium, header).map_err(|why| {
        let _ = disk::remove(path);
        not_written(path, &why)
    })
}

fn not_written(path: &Path, why: &NotRecording) -> StoreFault {
    StoreFault::disk("written", path)(io::Error::other(why.why.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::{Library, Session};

    /// A file that takes so many bytes, and then may not be made safe.
    struct Failing {
        file: fs::File,
        takes: usize,
    }

    impl Medium for Failing {
        fn append(&mut self, bytes: &[u8]) -> io::Result<()> {
            use io::Write as _;
            self.file.write_all(&bytes[..self.takes.min(bytes.len())])?;
            if self.takes < bytes.len() {
                return Err(io::ErrorKind::StorageFull.into());
            }
            Ok(())
        }

        fn sync(&mut self) -> io::Result<()> {
            Err(io::ErrorKind::StorageFull.into())
        }
    }

    /// However much of its first line was written, a record that could not be begun is not there.
    #[test]
    fn a_record_that_cannot_be_begun_leaves_nothing() {
        let class = r#"(title: "Tide", parts: [Talk(time: 600, say: "Welcome.")])"#;
        let session = Session::read("tide", class, &Library::builtin()).unwrap();
        let wall = chrono::DateTime::parse_from_rfc3339("2026-03-04T18:00:00+01:00").unwrap();
        let header = Header::new(session, wall);
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("tide.jsonl");
        for takes in [0, 1, 17, 100, usize::MAX] {
            let file = fs::File::create_new(&path).unwrap();
            let begun = first_line(Failing { file, takes }, &path, &header);
            let said = begun.map(drop).unwrap_err().to_string();
            assert!(said.contains("the disk is full"), "{said}");
            assert!(!path.exists(), "{takes} bytes are left");
        }
    }
}
