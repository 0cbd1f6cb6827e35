//! Choosing a session: those of the working folder, of the configured folders, and the built-in one.
//!
//! A file with faults stands in the list with its fault. It is never hidden, and never half read. What
//! is chosen is read once more: it is taught as its file is now, not as it was when the list was made.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::clock;
use super::errand::{Came, Errand, PATIENCE};
use super::footer;
use super::hands::Nature;
use super::shell::{Painted, Shell, Told};
use super::strokes::Stroke;
use crate::live::Live;
use crate::plan::Timeline;
use crate::screen::Theme;
use crate::screen::pages::{BrokenFile, Chooser, Entry, Page as _};
use crate::session::{Library, Session};
use crate::store::{Shelf, read_source, session_files};
use crate::time::Moment;

/// A session that can be taught, and the file it came from; the built-in one came from none.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub(super) session: Arc<Session>,
    path: Option<PathBuf>,
    entry: Entry,
}

/// Where sessions and records are looked for.
pub(super) struct Places {
    pub(super) folders: Vec<PathBuf>,
    pub(super) builtin: Arc<Session>,
    pub(super) library: Library,
    pub(super) shelf: Option<Shelf>,
}

/// What is being looked for on the disk, while the list is shown.
pub(super) struct Looking {
    places: Arc<Places>,
    sessions: Option<Errand<Offer>>,
    taught: Option<Errand<BTreeMap<String, String>>>,
    offer: Offer,
    filter: String,
    chosen: usize,
    /// What was chosen before, to stand on it again.
    before: Option<Entry>,
}

/// What came of choosing.
enum Choice {
    Teach(Arc<Session>),
    /// It has a fault by now, and stands in the list with it.
    Broken,
    Leave,
}

impl Looking {
    /// Sends for every session of these places, and for when each was last taught. Only the built-in
    /// one is there at once.
    pub(super) fn of(shell: &Shell, places: Places) -> Self {
        let mut looking = Self {
            offer: Offer::of(&[], &places.builtin, &places.library),
            places: Arc::new(places),
            sessions: None,
            taught: None,
            filter: String::new(),
            chosen: 0,
            before: None,
        };
        looking.again(shell);
        looking
    }

    /// Sends for them once more: files come, change and go while a class is looked at.
    fn again(&mut self, shell: &Shell) {
        let places = self.places.clone();
        self.sessions = Some(Errand::send(shell.back(), move || {
            Offer::of(&places.folders, &places.builtin, &places.library)
        }));
        let places = self.places.clone();
        self.taught = Some(Errand::send(shell.back(), move || {
            last_taught(places.shelf.as_ref())
        }));
    }

    /// The line that is chosen: the one of before, once it is there again.
    fn stand(&mut self) {
        let matching = self.offer.matching(&self.filter);
        // A file stays itself when its title is changed; the built-in class has none.
        let same = |found: &&Found, before: &Entry| found.entry.file == before.file;
        let before = self.before.take_if(|_| self.sessions.is_none());
        let again =
            before.and_then(|before| matching.iter().position(|found| same(found, &before)));
        let last = matching.len().saturating_sub(1);
        self.chosen = again.unwrap_or(self.chosen).min(last);
    }

    /// Reads what is chosen as it is now. Where the disk does not answer, it is taught as it was read.
    fn take(&mut self, shell: &mut Shell) -> Option<Choice> {
        let found = (*self.offer.matching(&self.filter).get(self.chosen)?).clone();
        self.before = Some(found.entry);
        let Some(path) = found.path else {
            return Some(Choice::Teach(found.session));
        };
        let places = self.places.clone();
        let reading = Errand::send(shell.back(), move || read(&path, &places.library));
        let came = reading.wait(shell, "Reading the session.");
        Some(match came {
            Came::Back(Ok(now)) => Choice::Teach(now.session),
            Came::Back(Err(broken)) => {
                shell.say(format!("{}: {}", broken.file, broken.fault));
                self.again(shell);
                Choice::Broken
            }
            Came::Without => Choice::Teach(found.session),
            Came::Leave => Choice::Leave,
        })
    }

    /// Takes what has come back.
    fn look(&mut self) {
        if let Some(back) = self.sessions.as_ref().and_then(Errand::look) {
            self.sessions = None;
            self.offer = back.unwrap_or(std::mem::take(&mut self.offer));
        }
        if self.sessions.is_some() {
            return;
        }
        if let Some(back) = self.taught.as_ref().and_then(Errand::look) {
            self.taught = None;
            self.offer.date(&back.unwrap_or_default());
        }
    }

    /// What has not come back for too long.
    fn late(&self) -> &'static str {
        match (&self.sessions, &self.taught) {
            (Some(_), _) => "a folder of sessions does not answer yet",
            (None, Some(_)) => "the records do not answer yet",
            (None, None) => "",
        }
    }
}

/// What is there to choose from.
#[derive(Clone, Debug, Default)]
pub(super) struct Offer {
    found: Vec<Found>,
    broken: Vec<BrokenFile>,
}

impl Offer {
    /// Reads every session of these folders, and the built-in one.
    pub(super) fn of(folders: &[PathBuf], builtin: &Arc<Session>, library: &Library) -> Self {
        let mut offer = Self::default();
        for path in folders
            .iter()
            .flat_map(|folder| session_files(folder).unwrap_or_default())
        {
            match read(&path, library) {
                Ok(found) => offer.found.push(found),
                Err(broken) => offer.broken.push(broken),
            }
        }
        let same = |found: &Found| found.session == *builtin;
        if !offer.found.iter().any(same) {
            offer.found.push(found(builtin.clone(), None));
        }
        offer
            .found
            .sort_by(|a, b| a.entry.title.cmp(&b.entry.title));
        offer
    }

    /// Sets when each title was last taught.
    fn date(&mut self, taught: &BTreeMap<String, String>) {
        for found in &mut self.found {
            let last = taught.get(&found.session.title);
            found.entry.last = last.cloned().unwrap_or_default();
        }
    }

    /// Those whose title, file or equipment has every word of the filter.
    fn matching(&self, filter: &str) -> Vec<&Found> {
        let words: Vec<String> = filter.split_whitespace().map(str::to_lowercase).collect();
        let fits = |found: &&Found| {
            let entry = &found.entry;
            let text = format!("{} {} {}", entry.title, entry.file, entry.equipment).to_lowercase();
            words.iter().all(|word| text.contains(word.as_str()))
        };
        self.found.iter().filter(fits).collect()
    }
}

/// When each title was last taught, as it is shown.
fn last_taught(shelf: Option<&Shelf>) -> BTreeMap<String, String> {
    let listing = shelf.and_then(|shelf| shelf.listing().ok());
    let classes = listing.map(|listing| listing.classes).unwrap_or_default();
    classes
        .into_iter()
        .map(|class| {
            let day = class.summary.started.format("%-d %b %Y").to_string();
            (class.summary.title, day)
        })
        .collect()
}

/// A session, or its first fault.
fn read(path: &Path, library: &Library) -> Result<Found, BrokenFile> {
    let file = path.display().to_string();
    let fault = match read_source(path) {
        Err(error) => error.to_string(),
        Ok(bytes) => match Session::read_bytes(&file, &bytes, library) {
            Ok(session) => return Ok(found(Arc::new(session), Some(path.to_owned()))),
            Err(faults) => faults.iter().next().map_or_else(String::new, |fault| {
                format!("line {}: {}", fault.line, fault.message)
            }),
        },
    };
    Err(BrokenFile { file, fault })
}

fn found(session: Arc<Session>, path: Option<PathBuf>) -> Found {
    let timeline = Timeline::of(&session);
    let about = if timeline.is_estimated() { "~" } else { "" };
    let file = path.as_ref().map(|path| path.display().to_string());
    let entry = Entry {
        title: session.title.clone(),
        length: format!("{about}{}", timeline.total().ceil_secs()),
        ribbon: Live::new(session.clone()).view(Moment::ZERO).ribbon,
        equipment: session.equipment.join(", "),
        last: String::new(),
        file: file.unwrap_or_default(),
    };
    Found {
        session,
        path,
        entry,
    }
}

impl Painted for Chooser {
    fn paint(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        self.draw(area, buf, theme);
    }
}

/// Shows the list until a session is chosen; nothing where the program is left. It is looked for anew
/// where the list is come back to.
pub(super) fn choose(shell: &mut Shell, looking: &mut Looking) -> Option<Arc<Session>> {
    if looking.before.is_some() {
        looking.again(shell);
    }
    let mut last = None;
    shell.begin_waiting();
    while !shell.is_leaving() {
        looking.look();
        let is_late = shell.waited(PATIENCE);
        looking.stand();
        let matching = looking.offer.matching(&looking.filter);
        let page = Chooser {
            entries: matching.iter().map(|found| found.entry.clone()).collect(),
            chosen: looking.chosen,
            filter: looking.filter.clone(),
            broken: looking.offer.broken.clone(),
            notice: match shell.word() {
                Some(word) => word.to_owned(),
                None if is_late => looking.late().to_owned(),
                None => String::new(),
            },
            clock: clock::wall().format("%H:%M").to_string(),
            hints: footer::of_page(&[
                ("enter", "choose"),
                ("↑ ↓", "move"),
                ("type", "narrow the list"),
                (
                    "esc",
                    if looking.filter.is_empty() {
                        "leave"
                    } else {
                        "whole list"
                    },
                ),
            ]),
        };
        // A list that is about to change is not shown: the key would choose another line of it.
        if looking.sessions.is_none() || is_late {
            shell.show(&page, &mut last);
        }
        let stroke = match shell.next(super::waits::LOOK, nature) {
            Some(Told::Key(stroke)) => stroke,
            Some(Told::Paste(text)) => {
                looking.filter.push_str(text.trim());
                continue;
            }
            None => continue,
        };
        let Looking { filter, chosen, .. } = looking;
        match stroke.key.name().as_str() {
            "enter" if looking.sessions.is_some() && !is_late => {}
            "enter" => match looking.take(shell) {
                Some(Choice::Teach(session)) => return Some(session),
                Some(Choice::Leave) => return None,
                Some(Choice::Broken) | None => last = None,
            },
            "esc" if filter.is_empty() => return None,
            "ctrl-c" => return None,
            "esc" => filter.clear(),
            "up" => *chosen = chosen.saturating_sub(1),
            "down" => *chosen += 1,
            "pageup" => *chosen = chosen.saturating_sub(5),
            "pagedown" => *chosen += 5,
            "home" => *chosen = 0,
            "end" => *chosen = usize::MAX,
            "backspace" => {
                filter.pop();
            }
            _ => match stroke.key.letter() {
                Some(letter) => filter.push(letter),
                None => shell.say_unbound(stroke.key),
            },
        }
    }
    None
}

/// Every key writes or moves but those that leave the list.
pub(super) fn nature(stroke: Stroke) -> Nature {
    match stroke.key.name().as_str() {
        "enter" | "esc" | "ctrl-c" => Nature::Turn,
        _ => Nature::Flow,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::write_new;

    const TIDE: &str =
        r#"(title: "Tide Line", equipment: ["mat"], parts: [Talk(time: 30, say: "Hi.")])"#;
    const EBB: &str = r#"(title: "Ebb", equipment: ["Band"], parts: [Talk(time: 90, say: "Hi.")])"#;

    fn titles(found: &[&Found]) -> Vec<String> {
        let titles = found.iter().map(|found| found.entry.title.clone());
        titles.collect()
    }

    #[test]
    fn a_file_with_faults_is_listed_with_its_fault_and_the_rest_can_be_filtered() {
        let folder = tempfile::tempdir().expect("a folder");
        let files = [
            ("tide.ron", TIDE),
            ("torn.ron", "(title: \"Torn\","),
            ("notes.txt", "no session"),
        ];
        for (name, text) in files {
            write_new(&folder.path().join(name), text.as_bytes()).expect("written");
        }
        let library = Library::builtin();
        let builtin = Arc::new(Session::read("ebb", EBB, &library).expect("a class"));
        let folders = [folder.path().to_owned(), folder.path().join("none")];
        let offer = Offer::of(&folders, &builtin, &library);
        assert_eq!(offer.broken.len(), 1);
        assert!(offer.broken[0].file.ends_with("torn.ron"));
        assert!(offer.broken[0].fault.starts_with("line "));
        for (filter, expected) in [
            ("", &["Ebb", "Tide Line"][..]),
            ("TIDE", &["Tide Line"]),
            ("band ebb", &["Ebb"]),
            ("mat ebb", &[]),
        ] {
            assert_eq!(titles(&offer.matching(filter)), expected, "{filter}");
        }
        let lengths: Vec<&str> = offer
            .found
            .iter()
            .map(|f| f.entry.length.as_str())
            .collect();
        assert_eq!(lengths, ["1:30", "0:30"]);
    }

    /// The built-in class may lie in the folder as a file as well; it is one class.
    #[test]
    fn the_built_in_class_stands_once() {
        let folder = tempfile::tempdir().expect("a folder");
        write_new(&folder.path().join("tide.ron"), TIDE.as_bytes()).expect("written");
        let library = Library::builtin();
        let builtin = Arc::new(Session::read("built in", TIDE, &library).expect("a class"));
        let offer = Offer::of(&[folder.path().to_owned()], &builtin, &library);
        assert_eq!(titles(&offer.matching("")), ["Tide Line"]);
    }
}
