//! Record files: one writer each, by a lock that goes with the process.
//!
//! The lock is on the record file itself, so there is no lock file that could be left behind: the
//! system gives it up when the program ends, however it ends.

use std::fs::{File, TryLockError};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::disk;
use super::fault::StoreFault;
use super::journal::Medium;
use super::lack::Lack;

/// No record is larger: a class of twelve hours takes some tens of megabytes at most.
pub(super) const LARGEST: u64 = 256 << 20;

/// A record file that this program alone may write.
#[derive(Debug)]
pub struct RecordFile {
    file: File,
    path: PathBuf,
    lacks: Vec<Lack>,
}

impl RecordFile {
    /// Makes a record file that was not there.
    pub(super) fn create(path: &Path) -> io::Result<Self> {
        Self::create_with(path, disk::sync_folder_of, File::try_lock)
    }

    /// The same with these protections, each of them tried and none of them needed.
    fn create_with(
        path: &Path,
        sync_folder: impl FnOnce(&Path) -> io::Result<()>,
        lock: impl FnOnce(&File) -> Result<(), TryLockError>,
    ) -> io::Result<Self> {
        let file = disk::create_new(path)?;
        let mut lacks = Vec::new();
        if sync_folder(path).is_err() {
            lacks.push(Lack::FolderSync);
        }
        if lock(&file).is_err() {
            lacks.push(Lack::Lock);
        }
        let path = path.to_owned();
        Ok(Self { file, path, lacks })
    }

    /// Opens a record file to write on in it.
    ///
    /// # Errors
    /// [`StoreFault::InUse`] where another program writes it; else what the system says.
    pub(super) fn open(path: &Path, name: &str) -> Result<Self, StoreFault> {
        Self::open_with(path, name, File::try_lock)
    }

    fn open_with(
        path: &Path,
        name: &str,
        lock: impl FnOnce(&File) -> Result<(), TryLockError>,
    ) -> Result<Self, StoreFault> {
        let file = disk::open_for_more(path).map_err(StoreFault::disk("opened", path))?;
        let lacks = match lock(&file) {
            Ok(()) => Vec::new(),
            Err(TryLockError::WouldBlock) => {
                let name = name.to_owned();
                return Err(StoreFault::InUse { name });
            }
            Err(TryLockError::Error(_)) => vec![Lack::Lock],
        };
        let path = path.to_owned();
        Ok(Self { file, path, lacks })
    }

    /// All that is in it.
    pub(super) fn read(&mut self) -> io::Result<Vec<u8>> {
        disk::read_at_most(&mut self.file, LARGEST)
    }

    /// Cuts off what is behind the first `whole` bytes.
    pub(super) fn cut_to(&mut self, whole: usize) -> io::Result<()> {
        self.file.set_len(whole as u64)?;
        self.file.sync_all()
    }
}

impl Medium for RecordFile {
    fn append(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.file.write_all(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        self.file.sync_data()?;
        self.is_there()
    }

    fn lacks(&self) -> &[Lack] {
        &self.lacks
    }

    /// A file whose name was removed can be written for ever, to nobody's use.
    fn is_there(&mut self) -> io::Result<()> {
        let gone = || io::Error::new(io::ErrorKind::NotFound, "the record was removed");
        #[cfg(unix)]
        if std::os::unix::fs::MetadataExt::nlink(&self.file.metadata()?) == 0 {
            return Err(gone());
        }
        if self.path.try_exists()? {
            Ok(())
        } else {
            Err(gone())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Journal;

    fn refused(_: &File) -> Result<(), TryLockError> {
        Err(TryLockError::Error(io::ErrorKind::Unsupported.into()))
    }

    fn no_sync(_: &Path) -> io::Result<()> {
        Err(io::ErrorKind::InvalidInput.into())
    }

    /// A place that can do neither records all the same, and says what it lacks.
    #[test]
    fn protections_are_tried_and_never_needed() {
        let folder = tempfile::tempdir().expect("a folder");
        let at = |name: &str| folder.path().join(name);
        let made = RecordFile::create_with(&at("a"), no_sync, refused).expect("made");
        assert_eq!(made.lacks(), [Lack::FolderSync, Lack::Lock]);
        let made = RecordFile::create_with(&at("b"), no_sync, File::try_lock).expect("made");
        assert_eq!(made.lacks(), [Lack::FolderSync]);
        let mut made = RecordFile::create(&at("c")).expect("made");
        assert_eq!(made.lacks(), []);
        made.append(b"line")
            .and_then(|()| made.sync())
            .expect("written");
        assert_eq!(disk::read_regular(&at("c"), 10).expect("read"), b"line");
        assert!(matches!(
            RecordFile::open(&at("c"), "c"),
            Err(StoreFault::InUse { .. })
        ));
        drop(made);
        let opened = RecordFile::open_with(&at("c"), "c", refused).expect("opened");
        assert_eq!(opened.lacks(), [Lack::Lock]);
        assert!(Journal::go_on(opened, 1).look().is_ok());
    }

    /// What could wait for ever or never end is not opened.
    #[cfg(unix)]
    #[test]
    fn only_regular_files_of_a_bounded_size_are_read() {
        let folder = tempfile::tempdir().expect("a folder");
        let pipe = folder.path().join("pipe.jsonl");
        let made = std::process::Command::new("mkfifo").arg(&pipe).status();
        assert!(made.expect("mkfifo is there").success());
        for path in [&pipe, Path::new("/dev/zero"), folder.path()] {
            assert!(disk::read_regular(path, LARGEST).is_err(), "{path:?}");
            assert!(RecordFile::open(path, "x").is_err(), "{path:?}");
        }
        let large = folder.path().join("large");
        let mut file = disk::create_new(&large).expect("made");
        io::Write::write_all(&mut file, &[b'.'; 101]).expect("written");
        assert!(disk::read_regular(&large, 100).is_err());
        assert_eq!(disk::read_regular(&large, 101).expect("read").len(), 101);
    }
}
