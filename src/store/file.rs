//! Record files: one writer each, by a lock that goes with the process.
//!
//! The lock is on the record file itself, so there is no lock file that could be left behind: the
//! system gives it up when the program ends, however it ends.

use std::fs::{File, TryLockError};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use super::disk;
use super::fault::StoreFault;
use super::journal::Medium;

/// A record file that this program alone may write.
#[derive(Debug)]
pub struct RecordFile {
    file: File,
    path: PathBuf,
}

impl RecordFile {
    /// Makes a record file that was not there.
    pub(super) fn create(path: &Path) -> io::Result<Self> {
        let file = disk::create_new(path)?;
        disk::sync_folder_of(path)?;
        file.try_lock()?;
        let path = path.to_owned();
        Ok(Self { file, path })
    }

    /// Opens a record file to write on in it.
    ///
    /// # Errors
    /// [`StoreFault::InUse`] where another program writes it; else what the system says.
    pub(super) fn open(path: &Path, name: &str) -> Result<Self, StoreFault> {
        let file = disk::open_for_more(path).map_err(StoreFault::disk("opened", path))?;
        match file.try_lock() {
            Ok(()) => Ok(Self {
                file,
                path: path.to_owned(),
            }),
            Err(TryLockError::WouldBlock) => Err(StoreFault::InUse {
                name: name.to_owned(),
            }),
            Err(TryLockError::Error(why)) => Err(StoreFault::disk("locked", path)(why)),
        }
    }

    /// All that is in it.
    pub(super) fn read(&mut self) -> io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        self.file.read_to_end(&mut bytes)?;
        Ok(bytes)
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
