//! Questions, and lists of which one thing is taken.

use super::adding::PARTS;
use crate::advice::Alternative;
use crate::app::footer;
use crate::app::keys::Key;
use crate::screen::pages::{AskPage, Choice, Field};
use crate::session::manuscript::{Clashes, Merged, Take};

/// What is asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Question {
    /// Which part is put in.
    Part,
    /// How fast a rehearsal goes.
    Pace,
    /// How much of the slot the class is to fill.
    Fill,
    /// What becomes of what was not saved.
    Leave,
    /// What the file is to be called.
    Name,
    /// What the sheet is to be called.
    Sheet,
    /// Which shape a drafted block is to have.
    Shape,
    /// What becomes of a plan that was not saved the last time: what there is to know, and its text.
    Leftover(String, String),
    /// What somebody else made of the file, and what comes of both.
    Foreign(String, Merged),
    /// The same where they clash: one place after another, with what was answered so far.
    Clash(String, Box<Clashes>, Vec<Take>),
    /// One of these is gone to: a title, what there is to say, and the line.
    Places(String, Vec<(String, String, usize)>),
    /// One of these is taken in place of the chosen move.
    Moves(String, Vec<Alternative>),
}

/// A question as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Ask {
    pub(super) question: Question,
    chosen: usize,
    /// What is typed, where something is.
    typed: String,
}

/// What a key did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Did {
    /// It was for the page.
    Page,
    /// The page closes, and nothing is done.
    Close,
    /// This answer was given.
    Answer(usize),
    /// This was typed.
    Typed(String),
    /// It does nothing.
    Nothing,
}

impl Ask {
    pub(super) const fn new(question: Question) -> Self {
        Self {
            question,
            chosen: 0,
            typed: String::new(),
        }
    }

    /// A question that is answered by typing, with what may stand.
    pub(super) const fn typing(question: Question, typed: String) -> Self {
        Self {
            question,
            chosen: 0,
            typed,
        }
    }

    /// Whether letters are typed.
    pub(super) const fn is_typing(&self) -> bool {
        matches!(
            self.question,
            Question::Name | Question::Sheet | Question::Shape
        )
    }

    /// Writes what is typed or pasted.
    pub(super) fn write(&mut self, text: &str) {
        let letters = text.chars().filter(|letter| !letter.is_control());
        self.typed.extend(letters.take(200));
    }

    /// What a key does.
    pub(super) fn press(&mut self, key: Key) -> Did {
        let last = self.choices().len().saturating_sub(1);
        match key.name().as_str() {
            "esc" => return Did::Close,
            "enter" if self.is_typing() => {
                let typed = self.typed.trim().to_owned();
                return if typed.is_empty() {
                    Did::Page
                } else {
                    Did::Typed(typed)
                };
            }
            "backspace" if self.is_typing() => {
                self.typed.pop();
            }
            "enter" if self.choices().is_empty() => return Did::Close,
            "enter" => return Did::Answer(self.chosen.min(last)),
            "up" | "left" => self.chosen = self.chosen.saturating_sub(1),
            "down" | "right" | "tab" => self.chosen = (self.chosen + 1).min(last),
            "pageup" | "home" => self.chosen = 0,
            "pagedown" | "end" => self.chosen = last,
            _ => match key.letter() {
                Some(letter) if self.is_typing() => self.write(&letter.to_string()),
                _ => return Did::Nothing,
            },
        }
        Did::Page
    }

    fn choices(&self) -> Vec<Choice> {
        let pairs = |all: &[(&str, &str)]| -> Vec<Choice> {
            let all = all.iter();
            all.map(|(title, about)| choice(title, about)).collect()
        };
        match &self.question {
            Question::Part => PARTS
                .iter()
                .map(|part| choice(part.name, part.about))
                .collect(),
            Question::Pace => pairs(&[
                ("in real time", "with its signals, from the chosen line"),
                ("ten times as fast", "without signals"),
                ("sixty times as fast", "a minute a second"),
            ]),
            Question::Fill => pairs(&[
                ("all but two minutes", "they clear the room"),
                ("all of it", "to the second"),
                (
                    "all but five minutes",
                    "where another group waits, or much is put away",
                ),
            ]),
            Question::Leave => pairs(&[
                ("save, and leave", "the file has all of it then"),
                (
                    "leave, and keep it aside",
                    "it is offered when this file is planned again",
                ),
                ("leave without it", "what was not saved is gone"),
            ]),
            Question::Name | Question::Sheet | Question::Shape => Vec::new(),
            Question::Leftover(..) => pairs(&[
                (
                    "take it up",
                    "u takes it back; the file stays as it is until you save",
                ),
                ("leave it aside", "it is offered again the next time"),
                ("throw it away", "the file as it is"),
            ]),
            Question::Foreign(theirs, merged) => {
                let first = match merged {
                    Merged::Both(_) => Some(("one place after another", "both changed the same")),
                    _ if is_theirs_alone(theirs, merged) => None,
                    _ => Some(("take both", "the changes do not touch one another")),
                };
                let first = first.map(|(title, about)| choice(title, about)).into_iter();
                let others = [
                    ("take theirs", "u brings back what was here"),
                    ("keep this", "saving writes over what they did"),
                ];
                first.chain(pairs(&others)).collect()
            }
            Question::Clash(_, clashes, takes) => match clashes.iter().nth(takes.len()) {
                Some(clash) => vec![
                    choice("this", &clipped(&clash.ours)),
                    choice("theirs", &clipped(&clash.theirs)),
                    choice("both, one behind the other", ""),
                ],
                None => Vec::new(),
            },
            Question::Places(_, places) => {
                let all = places.iter();
                all.map(|(title, about, _)| choice(title, about)).collect()
            }
            Question::Moves(_, moves) => {
                let all = moves.iter();
                all.map(|of| choice(&of.name, &of.why)).collect()
            }
        }
    }

    /// The page as it is drawn.
    pub(super) fn page(&self) -> AskPage {
        let (title, what): (String, String) = match &self.question {
            Question::Part => ("What comes behind it?".into(), String::new()),
            Question::Pace => (
                "Rehearse from here".into(),
                "Nothing is recorded. Ending it comes back to the plan.".into(),
            ),
            Question::Fill => (
                "How much of the slot is the class to fill?".into(),
                "What would change is shown before anything does.".into(),
            ),
            Question::Leave => ("There is something that is not saved".into(), String::new()),
            Question::Name => (
                "Save it as".into(),
                "The file is made; one that is there stays as it is.".into(),
            ),
            Question::Sheet => (
                "The sheet as a page to print".into(),
                "One file for a browser; one that is there stays as it is.".into(),
            ),
            Question::Shape => (
                "A drafted block".into(),
                "Such as: 4 moves 3x40/20 floor, 6 stations 2x45/15, 4 moves emom 12x40, 4 moves amrap 8:00. A draft is no advice: you decide.".into(),
            ),
            Question::Leftover(what, _) => ("A plan that was not saved".into(), what.clone()),
            Question::Foreign(..) => (
                "The file was changed meanwhile".into(),
                "Somebody else, or another program, has saved it.".into(),
            ),
            Question::Clash(_, clashes, takes) => {
                let (nth, of) = (takes.len() + 1, clashes.iter().count());
                let line = clashes
                    .iter()
                    .nth(takes.len())
                    .map_or(0, |clash| clash.line);
                (
                    format!("Which of the two? {nth} of {of}"),
                    format!("Both changed the same place, at line {line}. Esc settles nothing."),
                )
            }
            Question::Places(title, all) if all.is_empty() => (
                title.clone(),
                "Nothing. Silence means that nothing was found.".into(),
            ),
            Question::Places(title, _) => (title.clone(), String::new()),
            Question::Moves(title, all) if all.is_empty() => {
                (title.clone(), "The library has none that suits.".into())
            }
            Question::Moves(title, _) => (
                title.clone(),
                "Suggestions from what the plan says: you decide.".into(),
            ),
        };
        let is_typing = self.is_typing();
        AskPage {
            title,
            what,
            field: is_typing.then(|| Field {
                label: match self.question {
                    Question::Shape => "shape".to_owned(),
                    _ => "file".to_owned(),
                },
                text: self.typed.clone(),
                is_focused: true,
                hint: String::new(),
            }),
            choices: self.choices(),
            chosen: self.chosen,
            hints: match &self.question {
                _ if is_typing => footer::of_page(&[("enter", "write it"), ("esc", "back")]),
                Question::Places(..) => {
                    footer::of_page(&[("enter", "go there"), ("↑ ↓", "choose"), ("esc", "back")])
                }
                _ => footer::of_page(&[("enter", "this"), ("↑ ↓", "choose"), ("esc", "back")]),
            },
        }
    }
}

/// Whether nothing was changed here, so that what comes of both is theirs.
pub(super) fn is_theirs_alone(theirs: &str, merged: &Merged) -> bool {
    matches!(merged, Merged::Clean(text) if text == theirs)
}

fn choice(title: &str, about: &str) -> Choice {
    Choice {
        title: title.to_owned(),
        about: about.to_owned(),
    }
}

/// Lines of a file as an answer shows them.
fn clipped(text: &str) -> String {
    match text.trim() {
        "" => "nothing".to_owned(),
        text => text.split_whitespace().collect::<Vec<_>>().join(" "),
    }
}
