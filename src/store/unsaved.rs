//! What was not saved of a plan, kept beside it for the case that the program or the laptop ends.
//!
//! A thread writes it, so that a slow disk stops nobody, and writes the newest only. It is offered
//! when the same file is opened again, and never taken by itself. It lies in a folder of the
//! program's, private to the user, since the folder of the plan may be shared. Beside it lies a lock
//! for as long as it is somebody's: what another window keeps at this moment was not left by anybody.

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Receiver, SyncSender};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;

use serde::{Deserialize, Serialize};

use super::disk;
use super::fault::said;
use super::recorder::lock;
use crate::record::Wall;
use crate::session::LARGEST;

/// A text is written with escapes: twice, and with some room.
const MOST: u64 = 4 * LARGEST as u64;
/// The version of the file.
const VERSION: u32 = 1;

/// The place where what is not saved of one plan is kept while it is being made.
#[derive(Debug)]
pub struct Unsaved {
    to: Option<SyncSender<()>>,
    shared: Arc<Shared>,
    done: Receiver<()>,
    /// How the file of the plan is told.
    plan: String,
}

/// A text that was not saved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Leftover {
    /// The text.
    pub text: String,
    /// What was in the plan's own file when it was last saved; nothing where it was not there.
    pub saved: Option<String>,
    /// When it was kept.
    pub at: Wall,
    file: PathBuf,
}

#[derive(Debug, Serialize, Deserialize)]
struct Page {
    version: u32,
    plan: String,
    at: Wall,
    saved: Option<String>,
    text: String,
}

#[derive(Debug, Default)]
struct Shared {
    next: Mutex<Option<Next>>,
    lack: Mutex<Option<String>>,
}

/// What the thread is to do.
#[derive(Debug)]
enum Next {
    Keep(Page),
    Forget,
}

impl Unsaved {
    /// What is not saved of a plan goes into this folder. Nothing is written before something is
    /// kept, and what an earlier run has left stays.
    #[must_use]
    pub fn of(folder: &Path, plan: &Path) -> Self {
        Self::in_place(Place::of(folder, plan))
    }

    /// The same where the text of an earlier run was taken: what is kept takes its place, and it is
    /// forgotten with what is kept now.
    #[must_use]
    pub fn going_on(folder: &Path, plan: &Path, taken: &Leftover) -> Self {
        let mut place = Place::of(folder, plan);
        // Another window that has taken it since goes on with it, and this one begins its own.
        place.own = Own::locked(&taken.file).ok().flatten();
        Self::in_place(place)
    }

    fn in_place(mut place: Place) -> Self {
        let (to, jobs) = mpsc::sync_channel(1);
        let (tell, done) = mpsc::channel();
        let shared = Arc::new(Shared::default());
        let plan = place.plan.clone();
        let theirs = shared.clone();
        let started = thread::Builder::new()
            .name("unsaved".to_owned())
            .spawn(move || {
                for () in jobs {
                    let next = lock(&theirs.next).take();
                    if let Some(next) = next {
                        let done = place.does(next);
                        *lock(&theirs.lack) = done.err().map(|why| said(&why));
                    }
                }
                // Whoever waited may open the plan again at once.
                drop(place);
                let _ = tell.send(());
            });
        if let Err(why) = started {
            *lock(&shared.lack) = Some(format!("no thread for it: {why}"));
        }
        Self {
            to: Some(to),
            shared,
            done,
            plan,
        }
    }

    /// Keeps a text that was not saved, with the one that was last saved. Never waits; of several
    /// that are handed over faster than they are written the last is kept.
    pub fn keep(&self, text: &str, saved: Option<&str>, at: Wall) {
        self.next(Next::Keep(Page {
            version: VERSION,
            plan: self.plan.clone(),
            at,
            saved: saved.map(str::to_owned),
            text: text.to_owned(),
        }));
    }

    /// Everything is saved, or is meant to be forgotten: nothing is left over. Never waits.
    pub fn forget(&self) {
        self.next(Next::Forget);
    }

    /// Why what is not saved is not kept either, if it is so.
    #[must_use]
    pub fn lack(&self) -> Option<String> {
        lock(&self.shared.lack).clone()
    }

    /// Waits until the last that was handed over is done, at most so long. Then it is nobody's any
    /// more, and is offered to whoever opens the plan.
    ///
    /// # Errors
    /// Why it is not.
    pub fn finish(mut self, wait: Duration) -> Result<(), String> {
        drop(self.to.take());
        if self.done.recv_timeout(wait).is_err() {
            let lack = self.lack();
            return Err(lack.unwrap_or_else(|| "the disk did not take it in time".to_owned()));
        }
        self.lack().map_or(Ok(()), Err)
    }

    fn next(&self, next: Next) {
        *lock(&self.shared.next) = Some(next);
        if let Some(to) = &self.to {
            // A full queue: the thread has yet to take what is there, and finds this.
            let _ = to.try_send(());
        }
    }
}

/// The texts that earlier runs have left of a plan, the newest first.
#[must_use]
pub fn left_over(folder: &Path, plan: &Path) -> Vec<Leftover> {
    let place = Place::of(folder, plan);
    let Ok(entries) = fs::read_dir(folder) else {
        return Vec::new();
    };
    let files = entries.filter_map(|entry| Some(entry.ok()?.path()));
    let mut left: Vec<Leftover> = files.filter_map(|file| place.left(file)).collect();
    left.sort_by_key(|left| std::cmp::Reverse(left.at));
    left
}

impl Leftover {
    /// Throws it away for good.
    ///
    /// # Errors
    /// What the system says; one that is gone already is none.
    pub fn discard(self) -> io::Result<()> {
        let Some(own) = Own::locked(&self.file)? else {
            let why = "another window keeps it at this moment";
            return Err(io::Error::new(io::ErrorKind::WouldBlock, why));
        };
        own.remove()
    }
}

/// A file that is kept, and the lock that says whose it is.
#[derive(Debug)]
struct Own {
    file: PathBuf,
    lock: File,
}

impl Own {
    /// Takes a file, there or not; nothing where another run has it.
    fn locked(file: &Path) -> io::Result<Option<Self>> {
        let lock = disk::open_in_place(&lock_of(file))?;
        match lock.try_lock() {
            Err(fs::TryLockError::WouldBlock) => Ok(None),
            // A place that knows no locks knows no second window either.
            Ok(()) | Err(fs::TryLockError::Error(_)) => Ok(Some(Self {
                file: file.to_owned(),
                lock,
            })),
        }
    }

    /// The file is gone, and its lock with it.
    fn remove(self) -> io::Result<()> {
        let there = |done: io::Result<()>| match done {
            Err(why) if why.kind() == io::ErrorKind::NotFound => Ok(()),
            done => done,
        };
        there(disk::remove(&self.file))?;
        there(disk::remove(&lock_of(&self.file)))
    }
}

impl Drop for Own {
    /// A program that is being started at this moment may have the file open, too.
    fn drop(&mut self) {
        let _ = self.lock.unlock();
    }
}

fn lock_of(file: &Path) -> PathBuf {
    file.with_extension("lock")
}

/// Whether a run that goes on has this file.
fn is_taken(file: &Path) -> bool {
    let lock = disk::open_for_more(&lock_of(file));
    lock.is_ok_and(|lock| matches!(lock.try_lock_shared(), Err(fs::TryLockError::WouldBlock)))
}

/// Where the files of a plan are, and which of them is this run's own.
#[derive(Debug)]
struct Place {
    folder: PathBuf,
    /// The whole path of the plan's file.
    plan: String,
    /// How the names of its files begin.
    name: String,
    own: Option<Own>,
}

impl Place {
    fn of(folder: &Path, plan: &Path) -> Self {
        let whole = whole(plan);
        let told = whole.to_string_lossy().into_owned();
        let stem = whole
            .file_stem()
            .map(|stem| stem.to_string_lossy().into_owned());
        let stem: String = stem.unwrap_or_default().chars().take(40).collect();
        Self {
            folder: folder.to_owned(),
            name: format!("{stem}-{:08x}-", crc32fast::hash(told.as_bytes())),
            plan: told,
            own: None,
        }
    }

    fn does(&mut self, next: Next) -> io::Result<()> {
        match next {
            Next::Keep(page) => {
                let bytes = serde_json::to_vec(&page)?;
                disk::replace(self.own()?, &bytes)
            }
            Next::Forget => self.own.take().map_or(Ok(()), Own::remove),
        }
    }

    /// The file of this run: none that another run has left, or is writing.
    fn own(&mut self) -> io::Result<&Path> {
        if self.own.is_none() {
            disk::make_folder(&self.folder)?;
            let paths = (1_u32..).map(|n| self.folder.join(format!("{}{n}.json", self.name)));
            for path in paths {
                if path.exists() {
                    continue;
                }
                self.own = Own::locked(&path)?;
                // Another run may have begun and ended there since.
                if self.own.is_some() && !path.exists() {
                    break;
                }
            }
        }
        let own = self.own.as_ref().ok_or(io::ErrorKind::AlreadyExists)?;
        Ok(&own.file)
    }

    /// What a file of the folder has left of this plan. One that is cut off or of a newer version is
    /// left alone.
    fn left(&self, file: PathBuf) -> Option<Leftover> {
        let name = file.file_name()?.to_str()?;
        let is_page = file.extension().is_some_and(|kind| kind == "json");
        let is_one = name.starts_with(&self.name) && is_page;
        if !is_one || is_taken(&file) {
            return None;
        }
        let page: Page = serde_json::from_slice(&disk::read_regular(&file, MOST).ok()?).ok()?;
        (page.version == VERSION && page.plan == self.plan).then_some(Leftover {
            text: page.text,
            saved: page.saved,
            at: page.at,
            file,
        })
    }
}

/// The whole path of a file that may not be there yet, links followed.
fn whole(path: &Path) -> PathBuf {
    let there = || fs::canonicalize(path).ok();
    let beside = || {
        let folder = path
            .parent()
            .filter(|folder| !folder.as_os_str().is_empty());
        let folder = fs::canonicalize(folder.unwrap_or(Path::new("."))).ok()?;
        Some(folder.join(path.file_name()?))
    };
    let as_written = || std::path::absolute(path).ok();
    (there().or_else(beside).or_else(as_written)).unwrap_or_else(|| path.to_owned())
}

#[cfg(test)]
#[expect(clippy::disallowed_methods, reason = "a test damages files")]
mod tests {
    use super::*;

    fn at(second: u32) -> Wall {
        let text = format!("2026-03-02T18:29:{second:02}+01:00");
        Wall::parse_from_rfc3339(&text).expect("a moment")
    }

    fn texts(folder: &Path, plan: &Path) -> Vec<String> {
        left_over(folder, plan)
            .into_iter()
            .map(|left| left.text)
            .collect()
    }

    const WAIT: Duration = Duration::from_secs(60);

    #[test]
    fn what_was_not_saved_is_left_for_the_same_plan_until_it_is() {
        let home = tempfile::tempdir().expect("a folder");
        let folder = home.path().join("unsaved");
        let plan = home.path().join("ebb.ron");
        assert_eq!(texts(&folder, &plan), Vec::<String>::new());

        // A run that ends without saving.
        let run = Unsaved::of(&folder, &plan);
        run.keep("one", None, at(1));
        run.keep("two \"\u{e9}\"\r\n", Some("saved"), at(2));
        run.finish(WAIT).expect("kept");
        let left = left_over(&folder, &plan);
        assert_eq!(left.len(), 1);
        assert_eq!(
            (left[0].text.as_str(), left[0].at),
            ("two \"\u{e9}\"\r\n", at(2))
        );
        assert_eq!(left[0].saved.as_deref(), Some("saved"));
        assert!(texts(&folder, &home.path().join("flow.ron")).is_empty());
        // What a run keeps that goes on was not left by anybody.
        let first = Unsaved::going_on(&folder, &plan, &left[0]);
        assert!(texts(&folder, &plan).is_empty());
        assert!(left[0].clone().discard().is_err());
        let second = Unsaved::going_on(&folder, &plan, &left[0]);
        second.keep("beside it", None, at(2));
        second.forget();
        second.finish(WAIT).expect("forgotten");
        first.finish(WAIT).expect("kept");
        assert_eq!(left_over(&folder, &plan), left);

        // The next run keeps and saves its own, and what was left stays until it is taken.
        fs::write(&plan, "now it is there").expect("written");
        let run = Unsaved::of(&folder, &plan);
        run.keep("three", None, at(3));
        run.finish(WAIT).expect("kept");
        assert_eq!(texts(&folder, &plan), ["three", "two \"\u{e9}\"\r\n"]);
        let run = Unsaved::going_on(&folder, &plan, &left_over(&folder, &plan)[0]);
        run.keep("four", None, at(4));
        run.finish(WAIT).expect("kept");
        assert_eq!(texts(&folder, &plan), ["four", "two \"\u{e9}\"\r\n"]);
        let run = Unsaved::going_on(&folder, &plan, &left_over(&folder, &plan)[0]);
        run.keep("five", None, at(5));
        run.forget();
        run.finish(WAIT).expect("forgotten");
        assert_eq!(texts(&folder, &plan), ["two \"\u{e9}\"\r\n"]);
        left_over(&folder, &plan)
            .remove(0)
            .discard()
            .expect("thrown away");
        assert!(texts(&folder, &plan).is_empty());
        assert_eq!(fs::read_dir(&folder).expect("there").count(), 0);
    }

    #[test]
    fn a_file_that_is_cut_off_is_no_text_and_is_left_alone() {
        let home = tempfile::tempdir().expect("a folder");
        let plan = home.path().join("ebb.ron");
        let run = Unsaved::of(home.path(), &plan);
        run.keep("one", None, at(1));
        run.finish(WAIT).expect("kept");
        let file = left_over(home.path(), &plan).remove(0).file;
        let whole = fs::read(&file).expect("there");
        for cut in 0..whole.len() {
            fs::write(&file, &whole[..cut]).expect("written");
            assert!(texts(home.path(), &plan).is_empty(), "{cut}");
        }
        // And nothing goes over it.
        let run = Unsaved::of(home.path(), &plan);
        run.keep("two", None, at(2));
        run.finish(WAIT).expect("kept");
        assert_eq!(texts(home.path(), &plan), ["two"]);
        assert!(file.exists());
    }

    #[test]
    fn a_disk_that_refuses_is_told_and_stops_nobody() {
        let home = tempfile::tempdir().expect("a folder");
        let taken = home.path().join("taken");
        fs::write(&taken, "a file").expect("written");
        let run = Unsaved::of(&taken, &home.path().join("ebb.ron"));
        run.keep("one", None, at(1));
        let why = run.finish(WAIT).expect_err("a file is no folder");
        assert!(!why.is_empty());
    }
}
