//! Session files: which files of a folder are some, and which only lie beside them.

use std::ffi::OsStr;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// The session files of a folder, in order of their names. All of them: a class that is left out
/// silently is not found when it is needed.
///
/// # Errors
/// The folder cannot be read; one that is not there is an empty one.
pub fn session_files(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let entries = match fs::read_dir(folder) {
        Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        entries => entries?,
    };
    let mut files: Vec<PathBuf> = entries
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.file_name().is_some_and(is_session))
        .filter(|path| !path.is_dir())
        .collect();
    files.sort();
    Ok(files)
}

/// Whether a file is a session by its name: it ends in `.ron` in any letters, and is none of the
/// hidden files that editors and systems leave beside the real ones.
#[must_use]
pub fn is_session(name: &OsStr) -> bool {
    let name = name.to_string_lossy();
    let beside = name.starts_with(['.', '~', '#']);
    let ending = name.char_indices().rev().nth(3).map(|(at, _)| &name[at..]);
    !beside && name.len() > 4 && ending.is_some_and(|end| end.eq_ignore_ascii_case(".ron"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::write_new;

    /// Names from memory, as editors, shared folders and systems leave them.
    #[test]
    fn every_session_is_found_and_nothing_that_only_lies_beside_it() {
        let folder = tempfile::tempdir().expect("a folder");
        let put = |name: &str| write_new(&folder.path().join(name), b"()").expect("written");
        let mut sessions: Vec<String> = (0..520).map(|n| format!("class-{n:03}.ron")).collect();
        for name in [
            "TIDE.RON",
            "Ebb.Ron",
            "two.dots.ron",
            "a b.ron",
            "\u{e9}quilibre.ron",
        ] {
            sessions.push(name.to_owned());
        }
        for name in &sessions {
            put(name);
        }
        for beside in [
            ".hidden.ron",
            "._tide.ron",
            ".tide.ron.swp",
            ".#tide.ron",
            "#tide.ron#",
            "tide.ron~",
            "~$tide.ron",
            "~tide.ron",
            "tide.ron.bak",
            "tide.ron.orig",
            "tide.ron.tmp",
            "4913",
            ".DS_Store",
            "Thumbs.db",
            "desktop.ini",
            ".ron",
            "ron",
            "tide.txt",
            "tide.ron.part",
        ] {
            put(beside);
        }
        fs::create_dir(folder.path().join("folder.ron")).expect("made");
        sessions.sort();
        let found = session_files(folder.path()).expect("read");
        let names: Vec<String> = found
            .iter()
            .filter_map(|path| Some(path.file_name()?.to_str()?.to_owned()))
            .collect();
        assert_eq!(names, sessions);
        assert!(
            session_files(&folder.path().join("none"))
                .expect("none")
                .is_empty()
        );
    }
}
