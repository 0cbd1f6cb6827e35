//! The one doorway through which files are written.
//!
//! It knows how to make a file that is only the user's own, how to replace one without a moment at
//! which neither old nor new is there, and how to make sure that a name survives a power cut. What
//! is in the files is not known here.
#![expect(
    clippy::disallowed_methods,
    reason = "this is where the program writes to the disk, and nowhere else"
)]

use std::fs::{self, DirBuilder, File, OpenOptions};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// Makes a folder that only the user may enter (mode 0700), and those above it.
///
/// # Errors
/// What the system says; a folder that is there already is none.
pub fn make_folder(path: &Path) -> io::Result<()> {
    let mut builder = DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(path)
}

/// Replaces a file by another, whole: either the old or the new content is there, whatever
/// happens in between. Mode 0600.
///
/// # Errors
/// What the system says; the old content is then untouched.
pub fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let beside = beside(path)?;
    let written = write_whole(&beside, bytes).and_then(|()| fs::rename(&beside, path));
    if written.is_err() {
        let _ = fs::remove_file(&beside);
    }
    written?;
    // Not every place can make a name safe; the file is there all the same.
    let _ = sync_folder_of(path);
    Ok(())
}

/// Makes a file of the user's own, such as a session, that was not there. Its mode is the usual
/// one: it may be meant for others.
///
/// # Errors
/// What the system says; `AlreadyExists` where the name is taken.
pub fn write_new(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
    let written = file.write_all(bytes).and_then(|()| file.sync_all());
    if written.is_err() {
        let _ = fs::remove_file(path);
    }
    written
}

fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file =
        private(OpenOptions::new().write(true).create(true).truncate(true)).open(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

fn beside(path: &Path) -> io::Result<PathBuf> {
    let name = path.file_name().ok_or(io::ErrorKind::InvalidInput)?;
    let mut hidden = std::ffi::OsString::from(".");
    hidden.push(name);
    hidden.push(format!(".{}.new", std::process::id()));
    Ok(path.with_file_name(hidden))
}

/// Makes a file that was not there, for reading and for writing at its end. Mode 0600.
///
/// # Errors
/// What the system says; `AlreadyExists` where the name is taken.
pub(super) fn create_new(path: &Path) -> io::Result<File> {
    private(OpenOptions::new().read(true).append(true).create_new(true)).open(path)
}

/// Opens a regular file for reading and for writing at its end.
pub(super) fn open_for_more(path: &Path) -> io::Result<File> {
    regular(path)?;
    OpenOptions::new().read(true).append(true).open(path)
}

/// Opens a file for reading and for writing in place; makes it if need be. Mode 0600.
pub(super) fn open_in_place(path: &Path) -> io::Result<File> {
    private(
        OpenOptions::new()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false),
    )
    .open(path)
}

/// Removes a file for good.
pub(super) fn remove(path: &Path) -> io::Result<()> {
    fs::remove_file(path)?;
    let _ = sync_folder_of(path);
    Ok(())
}

/// All that is in a regular file of at most so many bytes. Anything else may wait for ever, or never
/// end.
///
/// # Errors
/// What the system says, or that it is no such file.
pub(super) fn read_regular(path: &Path, most: u64) -> io::Result<Vec<u8>> {
    regular(path)?;
    read_at_most(&mut File::open(path)?, most)
}

/// All that an open file has, if it is no more than so many bytes.
pub(super) fn read_at_most(file: &mut File, most: u64) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    file.take(most + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most {
        let mib = most / (1 << 20);
        let why = format!("it is larger than {mib} MiB, and so no file of ours");
        return Err(io::Error::new(io::ErrorKind::InvalidData, why));
    }
    Ok(bytes)
}

fn regular(path: &Path) -> io::Result<()> {
    if fs::metadata(path)?.is_file() {
        return Ok(());
    }
    let why = "it is a folder, a pipe or a device, and no file";
    Err(io::Error::new(io::ErrorKind::InvalidInput, why))
}

/// Makes sure that the names in the folder of this file survive a power cut.
///
/// # Errors
/// What the system says.
pub(super) fn sync_folder_of(path: &Path) -> io::Result<()> {
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    if cfg!(unix) {
        File::open(folder.unwrap_or(Path::new(".")))?.sync_all()?;
    }
    Ok(())
}

fn private(options: &mut OpenOptions) -> &mut OpenOptions {
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(options, 0o600);
    options
}
