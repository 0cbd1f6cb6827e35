//! A large file that takes its time: it has its name only once it is whole.

use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};

use tempfile::{Builder, NamedTempFile};

use super::handed::Present;

/// A file that is being made beside the place it is meant for. Dropped before it is finished it is gone.
#[derive(Debug)]
pub struct Making {
    file: NamedTempFile,
    path: PathBuf,
    present: Present,
}

impl Making {
    /// Begins it. What is no ordinary file at that place is refused: a part of the file is written last.
    ///
    /// # Errors
    /// What the system says; `AlreadyExists` where a file is there and is to be kept.
    pub fn begin(path: &Path, present: Present) -> io::Result<Self> {
        match path.metadata() {
            Ok(there) if there.is_dir() => return Err(io::ErrorKind::IsADirectory.into()),
            Ok(there) if !there.is_file() => {
                let why = "it is a pipe or a device; give the name of a file";
                return Err(io::Error::new(io::ErrorKind::InvalidInput, why));
            }
            Ok(_) if present == Present::Kept => return Err(io::ErrorKind::AlreadyExists.into()),
            _ => {}
        }
        // A link is followed: the file behind it is the one that is meant.
        let path = path.canonicalize().unwrap_or_else(|_| path.to_owned());
        let folder = path
            .parent()
            .filter(|folder| !folder.as_os_str().is_empty());
        let mut builder = Builder::new();
        builder.prefix(".").suffix(".new");
        #[cfg(unix)]
        builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
        let file = builder.tempfile_in(folder.unwrap_or(Path::new(".")))?;
        Ok(Self {
            file,
            path,
            present,
        })
    }

    /// What it is written into.
    #[must_use]
    pub fn file(&self) -> &File {
        self.file.as_file()
    }

    /// Gives it its name.
    ///
    /// # Errors
    /// What the system says; `AlreadyExists` where another file has come there meanwhile.
    pub fn finish(self) -> io::Result<()> {
        self.file.as_file().sync_all()?;
        match self.present {
            Present::Kept => self.file.persist_noclobber(self.path)?,
            Present::Replaced => self.file.persist(self.path)?,
        };
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use std::io::Write;

    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let entries = std::fs::read_dir(folder).unwrap();
        let mut names: Vec<String> = entries
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn a_file_has_its_name_once_it_is_whole_and_leaves_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.wav");
        let making = Making::begin(&path, Present::Kept).unwrap();
        making.file().write_all(b"half").unwrap();
        assert!(!path.exists());
        drop(making);
        assert!(names(folder.path()).is_empty());
        let making = Making::begin(&path, Present::Kept).unwrap();
        making.file().write_all(b"whole").unwrap();
        making.finish().unwrap();
        assert_eq!(names(folder.path()), ["a.wav"]);
        let refused = Making::begin(&path, Present::Kept).unwrap_err();
        assert_eq!(refused.kind(), io::ErrorKind::AlreadyExists);
        let making = Making::begin(&path, Present::Replaced).unwrap();
        making.finish().unwrap();
        assert_eq!(std::fs::read(&path).unwrap(), b"");
    }
}
