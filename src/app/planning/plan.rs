//! A plan on its page: its text, its lines, which of them is chosen, and what lies over them. No file, no
//! clock and no terminal is known here: what needs one is told as a wish.

use std::sync::Arc;

use super::asking::{Ask, Question};
use super::becomes::Becomes;
use super::finding::{Find, Scene, Taught};
use super::form::Form;
use super::lines::{Line, lines};
use super::previews;
use super::reading::Reading;
use super::typed::{self, Takes};
use crate::advice::{BlockWish, LastTaught, Wishes};
use crate::session::edit::{Path, Step};
use crate::session::manuscript::{Change, Manuscript};
use crate::session::{Library, Load, Session};
use crate::time::Offset;

/// What a key wants of the world outside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Wish {
    /// The plan saved.
    Save,
    /// The plan saved under a name.
    SaveAs(String),
    /// The plan saved, and the page left.
    SaveAndLeave,
    /// The page left; whether what was not saved is kept aside.
    Leave(bool),
    /// The person's own editor at this line.
    Editor(usize),
    /// The class rehearsed from here, so many times as fast as the clock.
    Rehearse(Offset, u32),
    /// The sheet written to a file.
    Sheet(String),
    /// A block of this shape drafted, which takes a moment.
    Draft(String),
    /// A plan that was left over is taken up.
    TakenUp,
    /// A plan that was left over stays where it is.
    LeftAside,
    /// A plan that was left over is thrown away.
    ThrownAway,
}

/// What lies over the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Over {
    /// Nothing.
    None,
    /// The fields of the chosen line.
    Form(Form),
    /// A move is looked for.
    Find(Find),
    /// Something is asked.
    Ask(Ask),
    /// Something to read, which may be taken.
    Read(Reading),
    /// The limits of the room.
    Limits(usize),
    /// The keys, so many screenfuls on.
    Keys(usize),
}

/// What was just done, or why it was not.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Word {
    pub(super) text: String,
    pub(super) is_refused: bool,
}

/// A plan on its page.
pub(super) struct Plan {
    pub(super) manuscript: Manuscript,
    pub(super) library: Library,
    /// The same with the moves that the class brings along.
    pub(super) known: Library,
    pub(super) taught: Taught,
    /// What is to be spared, as the file says it; nothing where that cannot be read.
    limits: Option<Vec<Load>>,
    /// What everyone has at hand, as the file says it.
    things: Vec<String>,
    pub(super) lines: Vec<Line>,
    pub(super) becomes: Option<Becomes>,
    pub(super) chosen: usize,
    pub(super) over: Over,
    pub(super) word: Word,
    /// Whether the file has a name.
    pub(super) is_named: bool,
    /// What somebody else has put into the file and was settled just now.
    pub(super) settled: Option<String>,
}

impl Plan {
    pub(super) fn new(manuscript: Manuscript, library: &Library, is_named: bool) -> Self {
        let mut plan = Self {
            manuscript,
            library: library.clone(),
            known: library.clone(),
            taught: Taught::new(),
            limits: None,
            things: Vec::new(),
            lines: Vec::new(),
            becomes: None,
            chosen: 0,
            over: Over::None,
            word: Word::default(),
            is_named,
            settled: None,
        };
        plan.refresh();
        plan
    }

    /// The class as it can be read now.
    pub(super) fn session(&self) -> Option<&Session> {
        self.manuscript.reading().ok()
    }

    /// The library with the moves that the class brings along.
    pub(super) const fn known(&self) -> &Library {
        &self.known
    }

    /// The chosen line.
    pub(super) fn line(&self) -> Option<&Line> {
        self.lines.get(self.chosen)
    }

    /// Everything that follows from the text, anew.
    pub(super) fn refresh(&mut self) {
        let own = self.manuscript.value(&[Step::Field("moves")]);
        let own = own.and_then(|raw| self.library.read_more("moves", raw.as_bytes()).ok());
        self.known = match own {
            Some(own) => self.library.with(own),
            None => self.library.clone(),
        };
        self.limits = self.limits_of_the_file();
        self.things = self.things_of_the_file();
        self.lines = lines(&self.manuscript, &self.known);
        self.chosen = self.chosen.min(self.lines.len().saturating_sub(1));
        self.becomes = self
            .session()
            .map(|session| Becomes::of(session, &self.known));
    }

    /// What is to be spared, by the text itself: what could last be read may say something else.
    fn limits_of_the_file(&self) -> Option<Vec<Load>> {
        if let Some(session) = self.session() {
            return Some(session.limits.clone());
        }
        let Some(raw) = self.manuscript.value(&[Step::Field("limits")]) else {
            // It may stand where nobody can tell it apart.
            return (!self.manuscript.text().contains("limits")).then(Vec::new);
        };
        let known = |raw: &String| Load::ALL.iter().copied().find(|load| load.word() == raw);
        typed::items(raw)?.iter().map(known).collect()
    }

    fn things_of_the_file(&self) -> Vec<String> {
        if let Some(session) = self.session() {
            return session.equipment.clone();
        }
        let raw = self.manuscript.value(&[Step::Field("equipment")]);
        let all = raw.and_then(typed::items).unwrap_or_default();
        let all = all.iter();
        all.map(|raw| typed::shown(Takes::Text, raw)).collect()
    }

    /// Where the chosen line begins, if it comes at some time.
    pub(super) fn start(&self) -> Option<Offset> {
        self.becomes.as_ref()?.start(self.line()?)
    }

    pub(super) fn say(&mut self, text: impl Into<String>) {
        self.word = Word {
            text: text.into(),
            is_refused: false,
        };
    }

    pub(super) fn refuse(&mut self, why: impl Into<String>) {
        self.word = Word {
            text: why.into(),
            is_refused: true,
        };
    }

    /// Makes changes as one, and chooses the line of what was changed; tells whether they were made.
    pub(super) fn change(&mut self, changes: Vec<Change>) -> bool {
        match self.manuscript.apply_all(changes) {
            Ok(stands) => {
                self.refresh();
                if let Some(at) = stands {
                    self.choose_at(&at);
                }
                true
            }
            Err(refused) => {
                self.refuse(refused.to_string());
                false
            }
        }
    }

    /// Makes a change and says so.
    pub(super) fn change_and_say(&mut self, changes: Vec<Change>, word: &str) {
        if self.change(changes) {
            self.say(word);
        }
    }

    /// Chooses the line at a place of the file, or the one around it.
    pub(super) fn choose_at(&mut self, at: &[Step]) {
        let is_around = |line: &&Line| {
            line.path
                .as_deref()
                .is_some_and(|path| at.starts_with(path))
        };
        let all = self.lines.iter().enumerate();
        let around = all.filter(|(_, line)| is_around(line));
        let deepest = around.max_by_key(|(_, line)| line.path.as_ref().map_or(0, Path::len));
        if let Some((n, _)) = deepest {
            self.chosen = n;
        }
    }

    /// Chooses the line that was chosen before somebody else changed the file: the one like it that
    /// is nearest, else whatever is in its place.
    fn choose_again(&mut self, before: &Line) {
        let is_it = |line: &Line| line.kind == before.kind && line.name == before.name;
        let is_there = |line: &Line| is_it(line) && line.path == before.path;
        let all = || self.lines.iter().enumerate();
        let alike = all().filter(|(_, line)| is_it(line));
        let nearest = alike.min_by_key(|(n, _)| n.abs_diff(self.chosen));
        let same = all().find(|(_, line)| is_there(line));
        match same.or(nearest).map(|(n, _)| n) {
            Some(n) => self.chosen = n,
            None => self.choose_at(&before.path.clone().unwrap_or_default()),
        }
    }

    /// Chooses the line that has a line of the file.
    pub(super) fn choose_line(&mut self, of_file: usize) {
        self.chosen = self
            .manuscript
            .row_at_line(of_file)
            .min(self.lines.len().saturating_sub(1));
    }

    /// What there is to know of the class where a move is looked for.
    pub(super) fn scene(&self) -> Scene<'_> {
        Scene {
            library: &self.known,
            limits: self.limits.as_deref(),
            things: &self.things,
            taught: &self.taught,
        }
    }

    /// The search as it is drawn.
    pub(super) fn found(&self, find: &Find) -> crate::screen::pages::FindPage {
        find.page(self.scene())
    }

    /// Writes pasted text where something is typed; tells whether something is.
    pub(super) fn paste(&mut self, text: &str) -> bool {
        match &mut self.over {
            Over::Find(find) => find.write(text),
            Over::Ask(ask) if ask.is_typing() => ask.write(text),
            Over::Form(form) => return form.write(text),
            _ => return false,
        }
        true
    }

    /// Asks something.
    pub(super) fn ask(&mut self, question: Question) {
        self.over = Over::Ask(Ask::new(question));
    }

    /// Asks for a name of the file.
    pub(super) fn name(&mut self) {
        let name = format!("{}.ron", self.file_name());
        self.over = Over::Ask(Ask::typing(Question::Name, name));
    }

    /// The title as a file may be called.
    pub(super) fn file_name(&self) -> String {
        let title = self
            .manuscript
            .last_good()
            .map(|session| session.title.to_lowercase());
        let title = title.unwrap_or_default();
        let words = title.split(|c: char| !c.is_alphanumeric());
        let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
        if words.is_empty() {
            "class".to_owned()
        } else {
            words.join("-")
        }
    }

    /// What the class itself says of what is wished, and what was taught.
    pub(super) fn wishes(&self, session: &Session) -> Wishes {
        let last = self.taught.values().min().copied();
        let taught = self.taught.iter().map(|(id, days)| LastTaught {
            id: id.clone(),
            days: *days,
            in_last_class: Some(*days) == last,
        });
        Wishes {
            taught: taught.collect(),
            ..Wishes::of(session)
        }
    }

    /// What a block of this shape is drafted from.
    ///
    /// # Errors
    /// The shape is none, or the class cannot be read.
    pub(super) fn to_draft(&self, shape: &str) -> Result<(Session, BlockWish, Wishes), String> {
        let wish: BlockWish = shape.parse()?;
        let session = self
            .session()
            .ok_or("what cannot be read has to be mended first")?;
        Ok((session.clone(), wish, self.wishes(session)))
    }

    /// Shows a drafted block, which may be taken or left, behind the chosen part.
    pub(super) fn drafted(&mut self, text: &str) {
        let Some(line) = self.line() else { return };
        match previews::drafted(&self.manuscript, line, &self.known, text) {
            Ok(reading) => self.over = Over::Read(reading),
            Err(why) => self.refuse(why),
        }
    }

    /// The limits of the room as the file has them; nothing where they cannot be read.
    pub(super) fn limits(&self) -> Option<&[Load]> {
        self.limits.as_deref()
    }

    /// Takes what the person's own editor left.
    pub(super) fn came_back(&mut self, text: String, line: usize, is_done: bool) {
        if text == self.manuscript.text() {
            return self.say("the editor changed nothing");
        }
        if self.change(vec![Change::Replace(text)]) {
            self.choose_line(line);
            let faults = self.manuscript.faults().len();
            match faults {
                0 if is_done => self.say("taken from your editor; u takes it back"),
                0 => self.say("taken, though your editor told of a failure; u takes it back"),
                1 => self.refuse("taken from your editor, with 1 fault"),
                faults => self.refuse(format!("taken from your editor, with {faults} faults")),
            }
        }
    }

    pub(super) fn settle(&mut self, theirs: &str, text: String) {
        let before = self.line().cloned();
        self.manuscript.settle(theirs, text);
        self.settled = Some(theirs.to_owned());
        self.refresh();
        if let Some(before) = before {
            self.choose_again(&before);
        }
        self.say("settled; s saves it, u takes it back");
    }

    /// The class as it would be taught, where it can be read.
    pub(super) fn class(&self) -> Option<Arc<Session>> {
        self.session().cloned().map(Arc::new)
    }
}
