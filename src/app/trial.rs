//! Whether a class could be recorded: tried before it, on a thread of its own, and again as long as
//! it could not.

use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::thread;

use crate::store::{NotRecording, Shelf};

/// A trial of the folder of records.
pub(super) struct Trial {
    shelf: Option<Shelf>,
    told: Option<Receiver<String>>,
    words: String,
}

impl Trial {
    /// Begins to try.
    pub(super) fn of(shelf: Option<&Shelf>) -> Self {
        let mut out = Self {
            shelf: shelf.cloned(),
            told: None,
            words: String::new(),
        };
        out.begin();
        out
    }

    /// Of a class that is not recorded.
    pub(super) const fn none() -> Self {
        Self {
            shelf: None,
            told: None,
            words: String::new(),
        }
    }

    fn begin(&mut self) {
        let Some(shelf) = self.shelf.clone() else {
            self.words = words(&no_place().why);
            return;
        };
        let (tell, told) = channel();
        let run = move || {
            let fault = shelf.check().err();
            // Nobody listens any more where the page was left.
            let _ = tell.send(fault.map_or_else(String::new, |fault| words(&fault.to_string())));
        };
        let is_begun = thread::Builder::new().spawn(run).is_ok();
        self.told = is_begun.then_some(told);
    }

    /// What is wrong, as far as it is known; empty where nothing is.
    pub(super) fn trouble(&mut self) -> String {
        match self.told.as_ref().map(Receiver::try_recv) {
            Some(Ok(words)) => {
                self.words = words;
                self.told = None;
                if !self.words.is_empty() {
                    self.begin();
                }
            }
            Some(Err(TryRecvError::Disconnected)) => self.told = None,
            Some(Err(TryRecvError::Empty)) | None => {}
        }
        self.words.clone()
    }
}

/// Why nothing is recorded where no folder is known.
pub(super) fn no_place() -> NotRecording {
    NotRecording::since("there is no folder for records: set MATSIDE_DATA or HOME")
}

fn words(why: &str) -> String {
    format!("This class would not be recorded: {why}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Looks until it has been told, without a sleep: the thread is at work meanwhile.
    fn looked(trial: &mut Trial, is_done: impl Fn(&str) -> bool) -> String {
        for _ in 0..50_000_000 {
            let words = trial.trouble();
            if is_done(&words) {
                return words;
            }
            thread::yield_now();
        }
        panic!("never told: {:?}", trial.words);
    }

    #[test]
    fn a_folder_that_cannot_be_is_told_and_no_more_once_it_can() {
        let home = tempfile::tempdir().expect("a folder");
        let folder = home.path().join("records");
        let in_the_way = tempfile::Builder::new()
            .prefix("records")
            .tempfile_in(home.path());
        let in_the_way = in_the_way.expect("a file").into_temp_path();
        let blocked = in_the_way.join("of-classes");
        let mut trial = Trial::of(Some(&Shelf::at(&blocked)));
        let words = looked(&mut trial, |words| !words.is_empty());
        assert!(
            words.starts_with("This class would not be recorded: "),
            "{words}"
        );
        in_the_way.close().expect("removed");
        looked(&mut trial, str::is_empty);
        let mut fine = Trial::of(Some(&Shelf::at(&folder)));
        while fine.told.is_some() {
            assert_eq!(fine.trouble(), "");
        }
        assert_eq!(std::fs::read_dir(&folder).expect("made").count(), 0);
    }

    #[test]
    fn without_a_folder_it_is_said_at_once() {
        assert!(Trial::of(None).trouble().contains("MATSIDE_DATA"));
    }
}
