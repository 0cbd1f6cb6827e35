//! Folders of a test: for the records, the settings, and the sessions it teaches.

use std::path::{Path, PathBuf};

use tempfile::TempDir;

/// Folders that go with the test.
pub(crate) struct Folders {
    root: TempDir,
}

impl Folders {
    pub(crate) fn new() -> Self {
        Self {
            root: tempfile::tempdir().expect("a folder for the test"),
        }
    }

    pub(crate) fn root(&self) -> &Path {
        self.root.path()
    }

    /// `MATSIDE_DATA`.
    pub(crate) fn data(&self) -> PathBuf {
        self.root().join("data")
    }

    /// `MATSIDE_CONFIG`.
    pub(crate) fn config(&self) -> PathBuf {
        self.root().join("config")
    }

    /// Where the records of classes are.
    pub(crate) fn records(&self) -> PathBuf {
        self.data().join("records")
    }

    /// Writes a session of these parts, and gives its path.
    pub(crate) fn session(&self, title: &str, parts: &str) -> PathBuf {
        self.counted_in(title, 3, parts)
    }

    /// The same with so many seconds of count-in.
    pub(crate) fn counted_in(&self, title: &str, count: u32, parts: &str) -> PathBuf {
        let name = title.to_lowercase().replace(' ', "-");
        let path = self.root().join(name).with_extension("ron");
        let text = format!(
            "Session(title: \"{title}\", cueing: Cueing(count: {count}), parts: [{parts}])\n"
        );
        write(&path, &text);
        path
    }
}

/// Writes a file for a test.
#[expect(
    clippy::disallowed_methods,
    reason = "files of a test in its own folder"
)]
pub(crate) fn write(path: &Path, text: &str) {
    std::fs::write(path, text).expect("the folder of the test can be written");
}

/// Makes a file for a test.
#[expect(
    clippy::disallowed_methods,
    reason = "files of a test in its own folder"
)]
pub(crate) fn create(path: &Path) -> std::fs::File {
    std::fs::File::create(path).expect("the folder of the test can be written")
}

/// Makes a folder for a test, and those above it.
#[expect(
    clippy::disallowed_methods,
    reason = "files of a test in its own folder"
)]
pub(crate) fn make_folder(path: &Path) {
    std::fs::create_dir_all(path).expect("the folder of the test can be written");
}

/// Removes a file of a test.
#[expect(
    clippy::disallowed_methods,
    reason = "files of a test in its own folder"
)]
pub(crate) fn remove(path: &Path) {
    std::fs::remove_file(path).expect("it is there");
}
