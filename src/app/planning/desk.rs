//! The desk at which a plan is made: its file, the copy that is kept aside, the editor, and the loop
//! from key to page.

use std::fmt::Write as _;
use std::path::PathBuf;
use std::sync::Arc;

use super::asking::Question;
use super::drawn::drawn;
use super::finding::Taught;
use super::plan::{Over, Plan};
use super::press::press;
use crate::app::clock;
use crate::app::errand::Errand;
use crate::app::hands::Nature;
use crate::app::run::PlanAsked;
use crate::app::shell::{NO_PASTE, Shell, Told};
use crate::app::strokes::Stroke;
use crate::app::waits::{FINISH, LOOK};
use crate::record::History;
use crate::session::manuscript::{Manuscript, Merged};
use crate::session::{Library, Session};
use crate::store::{Leftover, Meanwhile, PlanFile, Shelf, Unsaved, left_over};
use crate::time::Offset;

mod granted;

/// What a class is called in faults while its file has no name.
const UNNAMED: &str = "a new class";
/// What is told of a plan that was left so.
const KEPT: &str = "not saved, but kept aside: it is offered the next time\n";

/// How the page was left.
pub(in crate::app) enum Left {
    /// The program is left; what was done.
    Out(String),
    /// This class is to be rehearsed from here, so many times as fast as the clock.
    Rehearse(Arc<Session>, Offset, u32),
}

/// A plan with its file.
pub(in crate::app) struct Desk {
    plan: Plan,
    file: Option<PlanFile>,
    aside: Option<Unsaved>,
    /// Where copies are kept aside, if anywhere.
    folder: Option<PathBuf>,
    /// What lies aside now, as far as is known.
    kept: Option<String>,
    /// Why what is not saved is not kept aside, as it was last told.
    lack: Option<String>,
    /// Whether what lies aside is what an earlier run has left: it is forgotten once it is saved or
    /// thrown away, and not because it was taken back here.
    is_taken_up: bool,
    /// Whether it is left as soon as it has a name and is saved.
    leaves: bool,
    /// What earlier runs have left, the newest last.
    leftovers: Vec<Leftover>,
    looking: Option<Errand<Meanwhile>>,
    /// What was seen at the last look: who is still writing is not asked about.
    glimpsed: Meanwhile,
    /// What somebody else has put into the file and was not settled.
    passed_over: Option<Meanwhile>,
    taught: Option<Errand<Taught>>,
    /// What was done.
    told: String,
}

impl Desk {
    /// Opens a file, or begins one.
    pub(in crate::app) fn open(
        shell: &Shell,
        asked: &PlanAsked,
        library: &Library,
        shelf: Option<&Shelf>,
    ) -> Self {
        let opened = asked.file.as_deref().map(PlanFile::open).transpose();
        let (opened, fault) = match opened {
            Ok(opened) => (opened, None),
            Err(why) => (None, Some(why.to_string())),
        };
        let (file, there) = opened.unzip();
        let there = there.flatten();
        let is_new = there.is_none();
        let text = there.unwrap_or_else(|| asked.begun.clone());
        let manuscript = Manuscript::of(&name(file.as_ref()), &text, library);
        let mut plan = Plan::new(manuscript, library, file.is_some());
        if is_new {
            plan.say("a new class: p puts a part in, m a move, ? shows all keys");
        }
        if let Some(fault) = fault {
            plan.refuse(fault);
        }
        let taught = shelf.cloned().map(|shelf| {
            let today = clock::wall().date_naive();
            Errand::send(shell.back(), move || taught(&shelf, today))
        });
        let mut desk = Self {
            plan,
            file,
            aside: None,
            folder: asked.aside.clone(),
            kept: None,
            lack: None,
            is_taken_up: false,
            leaves: false,
            leftovers: Vec::new(),
            looking: None,
            glimpsed: Meanwhile::Same,
            passed_over: None,
            taught,
            told: String::new(),
        };
        desk.leftovers = desk.left();
        desk.begin_aside(None);
        desk.offer();
        desk
    }

    /// Where the plan is, or would be looked for again: one without a file wherever it was begun.
    fn place(&self) -> PathBuf {
        let path = self.file.as_ref().map(|file| file.path().to_owned());
        let folder = || self.folder.clone().unwrap_or_default();
        path.unwrap_or_else(|| folder().join(UNNAMED))
    }

    /// What earlier runs have left and the file does not have, the newest last.
    fn left(&self) -> Vec<Leftover> {
        let Some(folder) = &self.folder else {
            return Vec::new();
        };
        let mut left = Vec::new();
        for one in left_over(folder, &self.place()).into_iter().rev() {
            if one.text == self.plan.manuscript.text() {
                // It is in the file: nothing is lost with it.
                let _ = one.discard();
            } else {
                left.push(one);
            }
        }
        left
    }

    /// Keeps what is not saved aside from now on, in place of what was taken up.
    fn begin_aside(&mut self, taken: Option<&Leftover>) {
        let place = self.place();
        self.kept = None;
        self.is_taken_up = taken.is_some();
        self.aside = self.folder.as_deref().map(|folder| match taken {
            Some(taken) => Unsaved::going_on(folder, &place, taken),
            None => Unsaved::of(folder, &place),
        });
    }

    /// Offers what was left last.
    fn offer(&mut self) {
        if let Some(last) = self.leftovers.last() {
            let when = last.at.format("%-d %B, %H:%M");
            let mut what = format!("It is of {when}, and this file does not have it.");
            if last.saved.as_deref() != self.file.as_ref().and_then(PlanFile::seen) {
                what.push_str(" The file was changed since: taking it up goes over that, and u brings it back.");
            }
            self.plan.ask(Question::Leftover(what, last.text.clone()));
        }
    }

    /// Shows the page until it is left.
    pub(in crate::app) fn work(&mut self, shell: &mut Shell) -> Left {
        let mut last = None;
        while !shell.is_leaving() {
            self.look(shell);
            self.keep_aside();
            let mut page = drawn(&self.plan, &self.stands());
            page.tell(shell.word());
            shell.show(&page, &mut last);
            let (nature, plan) = (nature, &self.plan);
            let told = shell.next(LOOK, |stroke| nature(plan, stroke));
            let stroke = match told {
                Some(Told::Key(stroke)) => stroke,
                Some(Told::Paste(text)) => {
                    if !self.plan.paste(&text) {
                        shell.say(NO_PASTE);
                    }
                    continue;
                }
                None => continue,
            };
            let wish = press(&mut self.plan, stroke.key);
            self.heed();
            self.leaves &= wish.is_some() || matches!(self.plan.over, Over::Ask(_));
            if let Some(left) = wish.and_then(|wish| self.grant(shell, wish)) {
                return left;
            }
        }
        self.keep_aside();
        self.leave(true)
    }

    /// How the plan stands with its file.
    fn stands(&self) -> String {
        let name = self.file.as_ref().map(|file| {
            let name = file.path().file_name().unwrap_or_default();
            name.to_string_lossy().into_owned()
        });
        let name = name.unwrap_or_else(|| "no file yet".to_owned());
        let is_there = self.file.as_ref().is_some_and(PlanFile::is_there);
        if self.passed_over == Some(Meanwhile::Gone) {
            return format!("{name} · gone, not saved");
        }
        match (self.plan.manuscript.is_changed(), is_there) {
            (true, _) => format!("{name} · not saved"),
            (false, true) => format!("{name} · saved"),
            (false, false) => format!("{name} · new"),
        }
    }

    /// What came back, and whether somebody else has changed the file.
    fn look(&mut self, shell: &mut Shell) {
        if let Some(Ok(taught)) = self.taught.as_ref().and_then(Errand::look) {
            self.plan.taught = taught;
            self.taught = None;
        }
        let came = self.looking.as_ref().and_then(Errand::look);
        if let Some(came) = came {
            self.looking = None;
            let was_list = self.plan.over == Over::None;
            if let Ok(came) = came {
                self.saw(came);
            }
            if was_list && self.plan.over != Over::None {
                shell.came_unasked();
            }
        }
        // Now and then, and never as fast as it comes back.
        if self.looking.is_none()
            && shell.waited(LOOK)
            && let Some(file) = self.file.clone()
        {
            shell.begin_waiting();
            self.looking = Some(Errand::send(shell.back(), move || file.look()));
        }
    }

    /// What was seen in the file twice alike is asked about, once, where nothing else is being done.
    fn saw(&mut self, seen: Meanwhile) {
        if seen != self.glimpsed {
            self.glimpsed = seen;
            return;
        }
        let is_known = self.passed_over.as_ref() == Some(&seen);
        if is_known || self.plan.over != Over::None {
            return;
        }
        match &seen {
            Meanwhile::Same => {
                self.plan.manuscript.set_gone(false);
                self.passed_over = None;
                return;
            }
            Meanwhile::Changed(theirs) => self.ask_about(theirs),
            Meanwhile::Gone => {
                self.plan.manuscript.set_gone(true);
                self.plan.refuse("the file is gone; s makes it again");
            }
            Meanwhile::Unread(why) => self.plan.refuse(why.clone()),
        }
        self.passed_over = Some(seen);
    }

    /// Asks what is to come of a text that somebody else has put into the file.
    fn ask_about(&mut self, theirs: &str) {
        // It may have been looked at before it was saved here.
        if Some(theirs) == self.file.as_ref().and_then(PlanFile::seen) {
            return;
        }
        let merged = self.plan.manuscript.merge(theirs);
        if merged == Merged::Same {
            let text = self.plan.manuscript.text().to_owned();
            self.plan.manuscript.settle(theirs, text);
            self.plan.settled = Some(theirs.to_owned());
            return self.heed();
        }
        self.plan.ask(Question::Foreign(theirs.to_owned(), merged));
    }

    /// Takes note of what was settled.
    fn heed(&mut self) {
        if let Some(theirs) = self.plan.settled.take() {
            if let Some(file) = &mut self.file {
                file.heeded(&theirs);
            }
            self.passed_over = None;
        }
    }

    /// Has what is not saved kept aside, or forgotten once it is saved.
    fn keep_aside(&mut self) {
        let Some(aside) = &self.aside else { return };
        let lack = aside.lack();
        if lack.is_some() {
            // It may be taken now.
            self.kept = None;
        }
        let manuscript = &self.plan.manuscript;
        let text = manuscript.text();
        if manuscript.is_changed() {
            if self.kept.as_deref() != Some(text) {
                let saved = self.file.as_ref().and_then(PlanFile::seen);
                aside.keep(text, saved, clock::wall());
                self.kept = Some(text.to_owned());
            }
        } else if self.kept.is_some() && !self.is_taken_up {
            aside.forget();
            self.kept = None;
        }
        if let Some(why) = lack.as_ref().filter(|_| lack != self.lack) {
            self.plan
                .refuse(format!("what is not saved is not kept aside: {why}"));
        }
        self.lack = lack;
    }

    /// Leaves; what is not saved is kept aside or forgotten.
    fn leave(&mut self, keeps: bool) -> Left {
        let is_changed = self.plan.manuscript.is_changed();
        if keeps && is_changed {
            match self.kept_for_good() {
                Ok(()) => self.told.push_str(KEPT),
                Err(why) => {
                    let _ = writeln!(self.told, "not saved, and not kept aside: {why}");
                }
            }
        } else if self.is_taken_up && !is_changed {
            self.told.push_str(KEPT);
        } else if let Some(aside) = self.aside.take() {
            aside.forget();
            let _ = aside.finish(FINISH);
        }
        Left::Out(std::mem::take(&mut self.told))
    }

    /// Has the text kept aside as it is now, and waits until it is. Nothing is kept behind it.
    fn kept_for_good(&mut self) -> Result<(), String> {
        let aside = self.aside.take().ok_or("there is no folder for it")?;
        let saved = self.file.as_ref().and_then(PlanFile::seen);
        aside.keep(self.plan.manuscript.text(), saved, clock::wall());
        aside.finish(FINISH)
    }
}

/// The name of a file in faults.
fn name(file: Option<&PlanFile>) -> String {
    file.map_or_else(
        || UNNAMED.to_owned(),
        |file| file.path().display().to_string(),
    )
}

/// How many days ago each move was last taught.
fn taught(shelf: &Shelf, today: chrono::NaiveDate) -> Taught {
    let listing = shelf.listing().ok();
    let classes = listing.map(|listing| listing.classes).unwrap_or_default();
    let history = History::of(classes.iter().map(|class| &class.summary));
    let days = |last: chrono::NaiveDate| u32::try_from((today - last).num_days()).unwrap_or(0);
    let moves = history.moves.into_iter();
    moves.map(|of| (of.id, days(of.last))).collect()
}

/// What a key is, by what lies over the list: what writes or moves a mark is one thing, what cannot
/// well be done twice by mistake another.
fn nature(plan: &Plan, stroke: Stroke) -> Nature {
    let key = stroke.key;
    let moves = [
        "up",
        "down",
        "left",
        "right",
        "pageup",
        "pagedown",
        "home",
        "end",
        "backspace",
        "delete",
    ];
    let name = key.name();
    let is_move = moves.contains(&name.as_str());
    let types = match &plan.over {
        Over::None => key.letter().is_some_and(|letter| letter.is_ascii_digit()),
        Over::Form(_) | Over::Find(_) => key.letter().is_some(),
        Over::Ask(ask) => ask.is_typing() && key.letter().is_some(),
        Over::Read(_) => name == "space",
        Over::Limits(_) | Over::Keys(_) => false,
    };
    match name.as_str() {
        _ if types || is_move && !(plan.over == Over::None && name == "delete") => Nature::Flow,
        "tab" | "u" | "r" | "," | "." | "c" | "x" | "delete" | "g" => Nature::Step,
        "enter" if matches!(plan.over, Over::Find(_)) => Nature::Step,
        _ if matches!(plan.over, Over::Limits(_)) => Nature::Step,
        _ => Nature::Turn,
    }
}
