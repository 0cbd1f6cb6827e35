//! The pulse file beside a running record.
//!
//! It need not be safe against a killed program, since what was written is then with the system;
//! against a power cut it is made safe every fifth beat. A pulse that cannot be written is given
//! up without a word: the record is what counts, and it says so itself where it fails.

use std::fs::File;
use std::io::{self, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use super::disk;
use crate::record::Pulse;

/// How many beats lie between two syncs. The class beats twice a second.
const SYNC_EVERY: u64 = 5;

/// No pulse file is larger.
const LARGEST: u64 = 1 << 16;

/// The file of a pulse.
#[derive(Debug)]
pub struct PulseFile {
    file: Option<File>,
    path: PathBuf,
    beat: u64,
}

impl PulseFile {
    /// Opens it, or makes it; goes on counting where it stopped.
    pub(super) fn open(path: &Path) -> Self {
        let beat = last_pulse(path).map_or(0, |(beat, _)| beat + 1);
        Self {
            file: disk::open_in_place(path).ok(),
            path: path.to_owned(),
            beat,
        }
    }

    /// Writes where the class is.
    pub(super) fn beat(&mut self, pulse: Pulse) {
        let Some(file) = &mut self.file else { return };
        if write(file, pulse, self.beat).is_err() {
            self.file = None;
        }
        self.beat += 1;
    }

    /// The class is over and its record whole: the pulse is not needed any more.
    pub(super) fn remove(self) {
        drop(self.file);
        let _ = disk::remove(&self.path);
    }
}

fn write(file: &mut File, pulse: Pulse, beat: u64) -> io::Result<()> {
    let (to, bytes) = pulse.slot(beat);
    file.seek(SeekFrom::Start(to))?;
    file.write_all(&bytes)?;
    if beat.is_multiple_of(SYNC_EVERY) {
        file.sync_data()?;
    }
    Ok(())
}

/// The last pulse of the file that is whole, with its beat.
pub(super) fn last_pulse(path: &Path) -> Option<(u64, Pulse)> {
    Pulse::last(&disk::read_regular(path, LARGEST).ok()?)
}
