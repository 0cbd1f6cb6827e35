//! What a class left on the disk, read back with the program's own reader.

use std::path::{Path, PathBuf};

use matside::live::Live;
use matside::record::{Recovered, read};

use crate::folders::Folders;

/// The files of the folder with this ending.
pub(crate) fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    let paths = entries.map(|entry| entry.expect("a folder that can be read").path());
    let mut found: Vec<PathBuf> = paths
        .filter(|path| path.extension().is_some_and(|other| other == ending))
        .collect();
    found.sort();
    found
}

/// The one record there is.
pub(crate) fn only(folders: &Folders) -> Recovered {
    let files = files(&folders.records(), "jsonl");
    assert_eq!(files.len(), 1, "one record: {files:?}");
    of(&files[0])
}

/// The record in a file, which must be whole.
pub(crate) fn of(path: &Path) -> Recovered {
    let bytes = std::fs::read(path).expect("the record is there");
    match read(&bytes) {
        Ok(record) => record,
        Err(fault) => panic!("{fault}:\n{}", String::from_utf8_lossy(&bytes)),
    }
}

/// The class as the record has it.
pub(crate) fn replayed(record: &Recovered) -> Live {
    let session = std::sync::Arc::new(record.header.session.clone());
    Live::replay(session, record.facts())
}
