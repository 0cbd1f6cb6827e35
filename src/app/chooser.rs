//! Choosing a session: those of the working folder, of the configured folders, and the built-in one.
//!
//! A file with faults stands in the list with its fault. It is never hidden, and never half read.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::clock;
use super::errand::{Errand, PATIENCE};
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

/// A session that can be taught, and the file it came from.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub(super) session: Arc<Session>,
    entry: Entry,
}

/// What is being looked for on the disk, while the list is shown.
pub(super) struct Looking {
    sessions: Option<Errand<Choice>>,
    taught: Option<Errand<BTreeMap<String, String>>>,
    choice: Choice,
}

impl Looking {
    /// Sends for every session of these folders, and for when each was last taught. Only the built-in
    /// one is there at once.
    pub(super) fn of(
        shell: &Shell,
        folders: Vec<PathBuf>,
        builtin: &Arc<Session>,
        library: &Library,
        shelf: Option<&Shelf>,
    ) -> Self {
        let choice = Choice::of(&[], builtin, library);
        let (builtin, library) = (builtin.clone(), library.clone());
        let sessions = move || Choice::of(&folders, &builtin, &library);
        let shelf = shelf.cloned();
        Self {
            sessions: Some(Errand::send(shell.back(), sessions)),
            taught: Some(Errand::send(shell.back(), move || {
                last_taught(shelf.as_ref())
            })),
            choice,
        }
    }

    /// Takes what has come back.
    fn look(&mut self) {
        if let Some(back) = self.sessions.as_ref().and_then(Errand::look) {
            self.sessions = None;
            self.choice = back.unwrap_or(std::mem::take(&mut self.choice));
        }
        if self.sessions.is_some() {
            return;
        }
        if let Some(back) = self.taught.as_ref().and_then(Errand::look) {
            self.taught = None;
            self.choice.date(&back.unwrap_or_default());
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
pub(super) struct Choice {
    found: Vec<Found>,
    broken: Vec<BrokenFile>,
}

impl Choice {
    /// Reads every session of these folders, and the built-in one.
    pub(super) fn of(folders: &[PathBuf], builtin: &Arc<Session>, library: &Library) -> Self {
        let mut choice = Self::default();
        for path in folders
            .iter()
            .flat_map(|folder| session_files(folder).unwrap_or_default())
        {
            choice.take(&path, library);
        }
        let same = |found: &Found| found.session == *builtin;
        if !choice.found.iter().any(same) {
            choice.found.push(found(builtin.clone(), String::new()));
        }
        choice
            .found
            .sort_by(|a, b| a.entry.title.cmp(&b.entry.title));
        choice
    }

    /// Sets when each title was last taught.
    fn date(&mut self, taught: &BTreeMap<String, String>) {
        for found in &mut self.found {
            let last = taught.get(&found.session.title);
            found.entry.last = last.cloned().unwrap_or_default();
        }
    }

    fn take(&mut self, path: &Path, library: &Library) {
        let name = path.display().to_string();
        let fault = match read_source(path) {
            Err(error) => error.to_string(),
            Ok(bytes) => match Session::read_bytes(&name, &bytes, library) {
                Ok(session) => {
                    let found = found(Arc::new(session), name);
                    return self.found.push(found);
                }
                Err(faults) => faults.iter().next().map_or_else(String::new, |fault| {
                    format!("line {}: {}", fault.line, fault.message)
                }),
            },
        };
        self.broken.push(BrokenFile { file: name, fault });
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

fn found(session: Arc<Session>, file: String) -> Found {
    let timeline = Timeline::of(&session);
    let about = if timeline.is_estimated() { "~" } else { "" };
    let entry = Entry {
        title: session.title.clone(),
        length: format!("{about}{}", timeline.total().ceil_secs()),
        ribbon: Live::new(session.clone()).view(Moment::ZERO).ribbon,
        equipment: session.equipment.join(", "),
        last: String::new(),
        file,
    };
    Found { session, entry }
}

impl Painted for Chooser {
    fn paint(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        self.draw(area, buf, theme);
    }
}

/// Shows the list until a session is chosen; nothing where the program is left.
pub(super) fn choose(shell: &mut Shell, looking: &mut Looking) -> Option<Arc<Session>> {
    let (mut filter, mut chosen, mut last) = (String::new(), 0_usize, None);
    shell.begin_waiting();
    while !shell.is_leaving() {
        looking.look();
        let is_late = shell.waited(PATIENCE);
        let choice = looking.choice.clone();
        let matching = choice.matching(&filter);
        chosen = chosen.min(matching.len().saturating_sub(1));
        let page = Chooser {
            entries: matching.iter().map(|found| found.entry.clone()).collect(),
            chosen,
            filter: filter.clone(),
            broken: choice.broken.clone(),
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
                    if filter.is_empty() {
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
                filter.push_str(text.trim());
                continue;
            }
            None => continue,
        };
        match stroke.key.name().as_str() {
            "enter" if looking.sessions.is_some() && !is_late => {}
            "enter" => {
                if let Some(found) = matching.get(chosen) {
                    return Some(found.session.clone());
                }
            }
            "esc" if filter.is_empty() => return None,
            "ctrl-c" => return None,
            "esc" => filter.clear(),
            "up" => chosen = chosen.saturating_sub(1),
            "down" => chosen += 1,
            "pageup" => chosen = chosen.saturating_sub(5),
            "pagedown" => chosen += 5,
            "home" => chosen = 0,
            "end" => chosen = usize::MAX,
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
        let choice = Choice::of(&folders, &builtin, &library);
        assert_eq!(choice.broken.len(), 1);
        assert!(choice.broken[0].file.ends_with("torn.ron"));
        assert!(choice.broken[0].fault.starts_with("line "));
        for (filter, expected) in [
            ("", &["Ebb", "Tide Line"][..]),
            ("TIDE", &["Tide Line"]),
            ("band ebb", &["Ebb"]),
            ("mat ebb", &[]),
        ] {
            assert_eq!(titles(&choice.matching(filter)), expected, "{filter}");
        }
        let lengths: Vec<&str> = choice
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
        let choice = Choice::of(&[folder.path().to_owned()], &builtin, &library);
        assert_eq!(titles(&choice.matching("")), ["Tide Line"]);
    }
}
