//! Handing a result to a place that somebody named: nothing that is there is replaced unasked.
//!
//! Links are followed, and the mode of what is there is kept. What is no ordinary file (a pipe, a
//! device) is written into: replacing it would take it away from everybody else.
#![expect(
    clippy::disallowed_methods,
    reason = "a doorway to the disk, beside `disk`, for files that are no records"
)]

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

use super::disk;

/// How many files this run has written beside others.
static NTH: AtomicU32 = AtomicU32::new(0);

/// What becomes of an ordinary file that is there already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Present {
    /// It stays, and nothing is written.
    Kept,
    /// It gets the new content, and keeps its mode.
    Replaced,
}

/// Writes a result to a named place.
///
/// # Errors
/// What the system says; `AlreadyExists` where a file is there and is to be kept.
pub fn hand_over(path: &Path, bytes: &[u8], present: Present) -> io::Result<()> {
    match fs::metadata(path) {
        Ok(facts) if facts.is_dir() => Err(io::ErrorKind::IsADirectory.into()),
        Ok(facts) if !facts.is_file() => into(path, bytes),
        Ok(_) if present == Present::Kept => Err(io::ErrorKind::AlreadyExists.into()),
        Ok(facts) => instead_of(&fs::canonicalize(path)?, &facts, bytes),
        Err(why) if why.kind() == io::ErrorKind::NotFound && fs::symlink_metadata(path).is_ok() => {
            whole(File::create(path)?, bytes)
        }
        Err(why) if why.kind() == io::ErrorKind::NotFound => disk::write_new(path, bytes),
        Err(why) => Err(why),
    }
}

/// Into a pipe or a device. A reader that has had enough is no failure.
fn into(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut open = OpenOptions::new().write(true).open(path)?;
    match open.write_all(bytes).and_then(|()| open.flush()) {
        Err(why) if why.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        done => done,
    }
}

/// In place of an ordinary file, whole: old or new is there whatever happens. Where the file has
/// other names, or its folder takes no new file, it is written on in place, so that it stays one.
fn instead_of(path: &Path, facts: &fs::Metadata, bytes: &[u8]) -> io::Result<()> {
    // What may not be written is not replaced either, though its folder would allow it.
    let there = OpenOptions::new().write(true).open(path)?;
    let beside = beside(path)?;
    let made = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(&beside);
    if let Err(why) = &made
        && is_full(why)
    {
        return Err(io::Error::new(why.kind(), why.to_string()));
    }
    let Some(made) = made.ok().filter(|made| is_alike(made, facts)) else {
        let _ = fs::remove_file(&beside);
        there.set_len(0)?;
        return whole(there, bytes);
    };
    let written = whole(made, bytes)
        .and_then(|()| fs::set_permissions(&beside, facts.permissions()))
        .and_then(|()| fs::rename(&beside, path));
    if written.is_err() {
        let _ = fs::remove_file(&beside);
    }
    written?;
    // Not every place can make a name safe; the file is there all the same.
    let _ = disk::sync_folder_of(path);
    Ok(())
}

/// Whether there is no room: then what is there must not be emptied to be written anew.
fn is_full(why: &io::Error) -> bool {
    matches!(
        why.kind(),
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded
    )
}

/// Whether a new file can stand for the old one: the same owner, and no other names to lose.
#[cfg(unix)]
fn is_alike(made: &File, old: &fs::Metadata) -> bool {
    use std::os::unix::fs::MetadataExt as _;
    let owned = |facts: &fs::Metadata| (facts.uid(), facts.gid());
    old.nlink() == 1 && made.metadata().is_ok_and(|new| owned(&new) == owned(old))
}

#[cfg(not(unix))]
const fn is_alike(_: &File, _: &fs::Metadata) -> bool {
    true
}

fn whole(mut file: File, bytes: &[u8]) -> io::Result<()> {
    file.write_all(bytes)?;
    file.sync_all()
}

fn beside(path: &Path) -> io::Result<PathBuf> {
    let mut name = std::ffi::OsString::from(".");
    name.push(path.file_name().ok_or(io::ErrorKind::InvalidInput)?);
    // Another saving of this run may still wait for its disk.
    let nth = NTH.fetch_add(1, Ordering::Relaxed);
    name.push(format!(".{}.{nth}.new", std::process::id()));
    Ok(path.with_file_name(name))
}

#[cfg(all(test, unix))]
mod tests {
    use std::os::unix::fs::{FileTypeExt as _, PermissionsExt as _, symlink};

    use super::Present::{Kept, Replaced};
    use super::*;

    fn read(path: &Path) -> String {
        fs::read_to_string(path).expect("there")
    }

    fn mode(path: &Path) -> u32 {
        fs::metadata(path).expect("there").permissions().mode() & 0o777
    }

    /// Ten kinds of things that may have the name already.
    #[test]
    fn whatever_is_there_stays_what_it_is() {
        let folder = tempfile::tempdir().expect("a folder");
        let at = |name: &str| folder.path().join(name);
        let is = |path: &Path, present| hand_over(path, b"new", present).map_err(|e| e.kind());
        let taken = Err(io::ErrorKind::AlreadyExists);

        assert_eq!(is(&at("none"), Kept), Ok(()));
        assert_eq!(read(&at("none")), "new");

        for (name, bits) in [
            ("plain", 0o644),
            ("shared", 0o664),
            ("own", 0o600),
            ("run", 0o755),
        ] {
            fs::write(at(name), "old").expect("written");
            fs::set_permissions(at(name), fs::Permissions::from_mode(bits)).expect("set");
            assert_eq!(is(&at(name), Kept), taken, "{name}");
            assert_eq!(read(&at(name)), "old", "{name}");
            assert_eq!(is(&at(name), Replaced), Ok(()), "{name}");
            assert_eq!((read(&at(name)).as_str(), mode(&at(name))), ("new", bits));
        }

        fs::write(at("target"), "old").expect("written");
        symlink("target", at("link")).expect("linked");
        symlink("link", at("link-to-link")).expect("linked");
        for name in ["link", "link-to-link"] {
            assert_eq!(is(&at(name), Kept), taken);
            assert_eq!(is(&at(name), Replaced), Ok(()));
            assert!(fs::symlink_metadata(at(name)).expect("there").is_symlink());
            assert_eq!(read(&at("target")), "new");
            fs::write(at("target"), "old").expect("written");
        }
        symlink("later", at("dangling")).expect("linked");
        assert_eq!(is(&at("dangling"), Kept), Ok(()));
        assert_eq!(read(&at("later")), "new");

        fs::hard_link(at("target"), at("other-name")).expect("linked");
        assert_eq!(is(&at("target"), Replaced), Ok(()));
        assert_eq!(read(&at("other-name")), "new", "still one file");

        assert_eq!(
            is(folder.path(), Replaced),
            Err(io::ErrorKind::IsADirectory)
        );
        let mut all: Vec<_> = fs::read_dir(folder.path()).expect("a folder").collect();
        all.retain(|one| one.as_ref().is_ok_and(|one| one.path().ends_with(".new")));
        assert!(all.is_empty(), "nothing is left behind");
    }

    #[test]
    fn what_is_no_ordinary_file_is_written_into() {
        let folder = tempfile::tempdir().expect("a folder");
        let pipe = folder.path().join("pipe");
        let made = std::process::Command::new("mkfifo").arg(&pipe).status();
        assert!(made.expect("mkfifo is there").success());
        for present in [Kept, Replaced] {
            let to = pipe.clone();
            let reader = std::thread::spawn(move || read(&to));
            hand_over(&pipe, b"new", present).expect("written");
            assert_eq!(reader.join().expect("read"), "new");
            hand_over(Path::new("/dev/null"), b"new", present).expect("written");
        }
        let full = hand_over(Path::new("/dev/full"), b"new", Replaced);
        assert_eq!(full.map_err(|e| e.kind()), Err(io::ErrorKind::StorageFull));
        assert!(
            fs::symlink_metadata(&pipe)
                .expect("there")
                .file_type()
                .is_fifo()
        );
    }
}
