//! A folder of things that can be made again, bounded in size: the oldest go first.

use std::fs;
use std::path::PathBuf;

use super::disk;

/// The largest thing that is kept.
const LARGEST: u64 = 16 << 20;

/// A folder that may be deleted at any moment. Its faults are nobody's business: what could not be kept
/// is made again.
#[derive(Clone, Debug)]
pub struct Cache {
    folder: PathBuf,
    most: u64,
}

impl Cache {
    /// A folder in which so many bytes may be kept; made when something is.
    #[must_use]
    pub const fn of(folder: PathBuf, most: u64) -> Self {
        Self { folder, most }
    }

    /// What is kept under a name.
    #[must_use]
    pub fn load(&self, name: &str) -> Option<Vec<u8>> {
        disk::read_regular(&self.folder.join(name), LARGEST).ok()
    }

    /// Whether something is kept under a name.
    #[must_use]
    pub fn has(&self, name: &str) -> bool {
        self.folder.join(name).is_file()
    }

    /// Keeps something under a name, and lets go of the oldest where there is too much.
    pub fn store(&self, name: &str, bytes: &[u8]) {
        let kept = disk::make_folder(&self.folder)
            .and_then(|()| disk::replace(&self.folder.join(name), bytes));
        if kept.is_ok() {
            self.make_room();
        }
    }

    fn make_room(&self) {
        let Ok(entries) = fs::read_dir(&self.folder) else {
            return;
        };
        let files = entries.filter_map(|entry| {
            let entry = entry.ok()?;
            let meta = entry.metadata().ok().filter(fs::Metadata::is_file)?;
            Some((meta.modified().ok(), meta.len(), entry.path()))
        });
        let mut files: Vec<_> = files.collect();
        let mut all: u64 = files.iter().map(|file| file.1).sum();
        files.sort();
        for (_, length, path) in files {
            if all <= self.most {
                return;
            }
            if disk::remove(&path).is_ok() {
                all -= length;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_oldest_go_where_there_is_too_much() {
        let folder = tempfile::tempdir().unwrap();
        let cache = Cache::of(folder.path().join("words"), 2_500);
        assert_eq!(cache.load("a"), None);
        for name in ["a", "b", "c", "d"] {
            cache.store(name, &[1; 1_000]);
            // A file system may keep times in whole milliseconds.
            let file = fs::File::open(folder.path().join("words").join(name)).unwrap();
            let age = std::time::Duration::from_secs(u64::from(name.as_bytes()[0]));
            file.set_modified(std::time::UNIX_EPOCH + age).unwrap();
        }
        let kept: Vec<bool> = ["a", "b", "c", "d"].map(|name| cache.has(name)).into();
        assert!(!kept[0] && !kept[1] && kept[3], "{kept:?}");
        assert_eq!(cache.load("d"), Some(vec![1; 1_000]));
    }
}
