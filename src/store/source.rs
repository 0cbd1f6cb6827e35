//! Reading a file that somebody named: bounded, and never stuck.
//!
//! A named pipe would wait for ever for its writer and a device may never end, so only regular
//! files are opened. It refuses to know what the bytes say.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use crate::session::LARGEST;

/// Why a file could not be read.
#[derive(Debug, thiserror::Error)]
pub enum SourceError {
    /// There is no such file.
    #[error("there is no file `{}`", .0.display())]
    Missing(PathBuf),
    /// It is a directory.
    #[error("`{}` is a folder, not a file", .0.display())]
    Folder(PathBuf),
    /// It is a pipe, a device or a socket.
    #[error("`{}` is no ordinary file", .0.display())]
    Special(PathBuf),
    /// It is larger than what is read.
    #[error("`{}` has {bytes} bytes, at most {LARGEST} are read", .path.display())]
    TooLarge {
        /// The file.
        path: PathBuf,
        /// Its size, as far as it is known.
        bytes: u64,
    },
    /// The system could not read it.
    #[error("`{}` cannot be read: {error}", .path.display())]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system says.
        #[source]
        error: io::Error,
    },
}

/// The kinds of failure that differ in the exit status.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SourceKind {
    /// Nothing there that could be read: `EX_NOINPUT`, 66.
    NoInput,
    /// There, but no data of ours: `EX_DATAERR`, 65.
    BadData,
    /// Reading failed: `EX_IOERR`, 74.
    Io,
}

impl SourceError {
    /// The kind of failure.
    #[must_use]
    pub fn kind(&self) -> SourceKind {
        match self {
            Self::Missing(_) | Self::Folder(_) | Self::Special(_) => SourceKind::NoInput,
            Self::TooLarge { .. } => SourceKind::BadData,
            Self::Io { error, .. } if error.kind() == io::ErrorKind::PermissionDenied => {
                SourceKind::NoInput
            }
            Self::Io { .. } => SourceKind::Io,
        }
    }
}

/// The bytes of a regular file of at most 4 MiB.
///
/// # Errors
/// [`SourceError`] where there is no such file, or it is not read.
pub fn read_source(path: &Path) -> Result<Vec<u8>, SourceError> {
    let failed = |error| failure(path, error);
    let facts = fs::metadata(path).map_err(failed)?;
    if facts.is_dir() {
        return Err(SourceError::Folder(path.to_owned()));
    }
    if !facts.is_file() {
        return Err(SourceError::Special(path.to_owned()));
    }
    let bound = LARGEST as u64;
    if facts.len() > bound {
        return Err(too_large(path, facts.len()));
    }
    // The file may grow between the two calls, and some files do not tell their length.
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(failed)?;
    file.take(bound + 1)
        .read_to_end(&mut bytes)
        .map_err(failed)?;
    if bytes.len() > LARGEST {
        return Err(too_large(path, bytes.len() as u64));
    }
    Ok(bytes)
}

fn failure(path: &Path, error: io::Error) -> SourceError {
    let path = path.to_owned();
    match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => SourceError::Missing(path),
        _ => SourceError::Io { path, error },
    }
}

fn too_large(path: &Path, bytes: u64) -> SourceError {
    SourceError::TooLarge {
        path: path.to_owned(),
        bytes,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    #[expect(
        clippy::disallowed_methods,
        reason = "a test prepares the files it reads"
    )]
    fn only_regular_files_of_a_bounded_size_are_read() {
        let folder = tempfile::tempdir().expect("a folder for tests");
        let at = |name: &str| folder.path().join(name);
        let kind = |path: &Path| read_source(path).map_err(|e| e.kind());
        fs::write(at("class.ron"), b"(\xff").expect("written");
        assert_eq!(kind(&at("class.ron")), Ok(b"(\xff".to_vec()));
        fs::write(at("empty.ron"), b"").expect("written");
        assert_eq!(kind(&at("empty.ron")), Ok(Vec::new()));
        assert_eq!(kind(&at("none.ron")), Err(SourceKind::NoInput));
        assert_eq!(
            kind(&at("class.ron").join("below")),
            Err(SourceKind::NoInput)
        );
        assert_eq!(kind(folder.path()), Err(SourceKind::NoInput));

        // A sparse file: refused by its length, nothing of it is read.
        let large = File::create(at("large.ron")).expect("created");
        large.set_len(1 << 40).expect("set");
        assert_eq!(kind(&at("large.ron")), Err(SourceKind::BadData));
        large.set_len(LARGEST as u64).expect("set");
        assert_eq!(kind(&at("large.ron")).map(|b| b.len()), Ok(LARGEST));
    }

    #[cfg(unix)]
    #[test]
    fn what_could_wait_or_never_end_is_not_opened() {
        let folder = tempfile::tempdir().expect("a folder for tests");
        let pipe = folder.path().join("pipe");
        let made = std::process::Command::new("mkfifo").arg(&pipe).status();
        assert!(made.expect("mkfifo is there").success());
        for path in [pipe.as_path(), Path::new("/dev/zero")] {
            let error = read_source(path).expect_err("a special file");
            assert!(matches!(error, SourceError::Special(_)), "{error}");
        }
    }
}
