//! The fields of a line while they are written.

use super::fields::{Field, changes, fields, versions};
use super::lines::Line;
use super::typed::{Takes, stepped};
use crate::app::keys::Key;
use crate::screen::pages::{FormLine, FormView};
use crate::session::Library;
use crate::session::manuscript::{Change, Manuscript};

/// The most letters of a field.
const MOST_LETTERS: usize = 600;

/// The fields of a line, one of them chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Form {
    /// Which field.
    chosen: usize,
    /// What is being typed in it.
    typed: Option<String>,
    /// Which figure of a row of them.
    figure: Option<usize>,
    /// Whether the list is gone back to once it is written.
    is_short: bool,
    /// Whether the last change of the text turned the pattern in the chosen field.
    pub(super) is_turned: bool,
}

/// What a key did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Did {
    /// It was for the form.
    Form,
    /// The form closes.
    Close,
    /// These changes are to be made, and then this.
    Change(Vec<Change>, Then),
    /// The pattern of the block goes to the next, or the one before.
    Pattern(bool),
    /// What is typed cannot be written, and why.
    Refused(String),
    /// It does nothing.
    Nothing,
}

/// What comes once it is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Then {
    /// The field stays chosen.
    Stay,
    /// The next field is chosen, or the one before.
    Go(bool),
    /// The form closes.
    Close,
}

impl Form {
    pub(super) const fn new() -> Self {
        Self {
            chosen: 0,
            typed: None,
            figure: None,
            is_short: false,
            is_turned: false,
        }
    }

    /// A form whose first field is typed into, and which closes when that is written.
    pub(super) fn typing(letter: char) -> Self {
        Self {
            typed: Some(letter.to_string()),
            is_short: true,
            ..Self::new()
        }
    }

    /// Whether letters go into a field.
    pub(super) const fn is_typing(&self) -> bool {
        self.typed.is_some()
    }

    /// Writes what is typed or pasted; tells whether there is a field for it.
    pub(super) fn write(&mut self, text: &str) -> bool {
        let Some(typed) = &mut self.typed else {
            return false;
        };
        let left = MOST_LETTERS.saturating_sub(typed.chars().count());
        typed.extend(
            text.chars()
                .filter(|letter| !letter.is_control())
                .take(left),
        );
        true
    }

    /// What is chosen, by its label.
    pub(super) fn label(&self, of: &Manuscript, line: &Line) -> Option<&'static str> {
        fields(of, line).get(self.chosen).map(|field| field.label)
    }

    /// What was typed has been written; the field of this label stays chosen, wherever it is now. What
    /// was typed.
    pub(super) fn written(
        &mut self,
        label: Option<&str>,
        of: &Manuscript,
        line: &Line,
    ) -> Option<String> {
        self.is_turned = false;
        let typed = self.typed.take();
        self.stay(label, of, line);
        typed
    }

    /// The field of this label is chosen, wherever it is now.
    pub(super) fn stay(&mut self, label: Option<&str>, of: &Manuscript, line: &Line) {
        let fields = fields(of, line);
        let same = fields.iter().position(|field| Some(field.label) == label);
        self.chosen = same.unwrap_or(self.chosen);
    }

    /// Goes to the next field, or the one before.
    pub(super) fn pass(&mut self, is_down: bool, of: &Manuscript, line: &Line) {
        let last = fields(of, line).len().saturating_sub(1);
        self.go(if is_down {
            (self.chosen + 1).min(last)
        } else {
            self.chosen.saturating_sub(1)
        });
    }

    /// What a key does.
    pub(super) fn press(
        &mut self,
        key: Key,
        (of, line, library): (&Manuscript, &Line, &Library),
    ) -> Did {
        let fields = fields(of, line);
        self.chosen = self.chosen.min(fields.len().saturating_sub(1));
        let Some(field) = fields.get(self.chosen) else {
            return Did::Close;
        };
        match self.typed.clone() {
            Some(typed) => self.type_on(key, of, field, typed),
            None => self.choose(key, of, (line, library), &fields),
        }
    }

    fn type_on(&mut self, key: Key, of: &Manuscript, field: &Field, typed: String) -> Did {
        match key.name().as_str() {
            "esc" if self.is_short => return Did::Close,
            "esc" => self.typed = None,
            name @ ("enter" | "tab" | "down" | "up") => {
                let then = match name {
                    _ if self.is_short => Then::Close,
                    "enter" => Then::Stay,
                    name => Then::Go(name != "up"),
                };
                return match changes(of, field, &typed) {
                    Ok(changes) => Did::Change(changes, then),
                    Err(why) => Did::Refused(why),
                };
            }
            "backspace" => {
                let mut typed = typed;
                typed.pop();
                self.typed = Some(typed);
            }
            "delete" => self.typed = Some(String::new()),
            _ => match key.letter() {
                Some(letter) => {
                    self.write(&letter.to_string());
                }
                None => return Did::Nothing,
            },
        }
        Did::Form
    }

    fn choose(
        &mut self,
        key: Key,
        of: &Manuscript,
        (line, library): (&Line, &Library),
        fields: &[Field],
    ) -> Did {
        let field = &fields[self.chosen];
        let last = fields.len() - 1;
        match key.name().as_str() {
            "esc" => return Did::Close,
            "up" => self.go(self.chosen.saturating_sub(1)),
            "down" => self.go((self.chosen + 1).min(last)),
            "home" | "pageup" => self.go(0),
            "end" | "pagedown" => self.go(last),
            "tab" => self.figure = next_figure(field, self.figure),
            "left" | "right" => {
                let is_more = key.name() == "right";
                if field.takes == Takes::Pattern {
                    return Did::Pattern(is_more);
                }
                return match turned(field, (line, library), is_more, self.figure) {
                    Some(to) => changed(of, field, &to),
                    None => Did::Nothing,
                };
            }
            "enter" if !is_turned(field.takes) => self.typed = Some(field.text.clone()),
            "enter" => return Did::Refused("← and → turn it".to_owned()),
            "delete" | "backspace" if matches!(field.takes, Takes::Pattern) => return Did::Nothing,
            "delete" | "backspace" => return changed(of, field, ""),
            _ => match key.letter() {
                Some(letter) if field.takes.begins_with(letter) => {
                    self.typed = Some(letter.to_string());
                }
                Some(_) if field.takes.is_words() => {
                    return Did::Refused("enter begins to write".to_owned());
                }
                _ => return Did::Nothing,
            },
        }
        Did::Form
    }

    fn go(&mut self, to: usize) {
        self.chosen = to;
        self.is_turned = false;
        self.figure = None;
    }

    /// The form as it is drawn.
    pub(super) fn view(&self, of: &Manuscript, line: &Line, library: &Library) -> FormView {
        let fields = fields(of, line);
        let chosen = self.chosen.min(fields.len().saturating_sub(1));
        let lines = fields.iter().enumerate().map(|(n, field)| FormLine {
            label: field.label.to_owned(),
            text: match &self.typed {
                Some(typed) if n == chosen => typed.clone(),
                _ => field.text.clone(),
            },
            usual: field.usual.clone(),
            figure: self.figure.filter(|_| n == chosen),
        });
        let field = fields.get(chosen);
        FormView {
            title: line.name.clone(),
            lines: lines.collect(),
            chosen,
            is_typing: self.typed.is_some(),
            hint: field.map_or_else(String::new, |field| hint(field, line, library)),
        }
    }
}

/// What an arrow does to the first field of a line, without its form.
pub(super) fn arrow(
    (of, line, library): (&Manuscript, &Line, &Library),
    is_more: bool,
) -> Option<Did> {
    let fields = fields(of, line);
    let field = fields.first()?;
    if field.takes == Takes::Pattern {
        return Some(Did::Refused("enter opens the fields of it".to_owned()));
    }
    let to = turned(field, (line, library), is_more, None)?;
    Some(changed(of, field, &to))
}

/// Whether digits may be typed into the first field of a line.
pub(super) fn takes_digits(of: &Manuscript, line: &Line) -> bool {
    let fields = fields(of, line);
    fields.first().is_some_and(|field| !is_turned(field.takes))
}

fn changed(of: &Manuscript, field: &Field, to: &str) -> Did {
    match changes(of, field, to) {
        Ok(changes) => Did::Change(changes, Then::Stay),
        Err(why) => Did::Refused(why),
    }
}

/// Whether a field is turned by the arrows and never typed.
const fn is_turned(takes: Takes) -> bool {
    matches!(takes, Takes::Choice(_) | Takes::Pattern)
}

/// The next figure of a row of them; after the last, all of them again.
fn next_figure(field: &Field, figure: Option<usize>) -> Option<usize> {
    let count = field.text.split_whitespace().count();
    let is_row = field.takes.is_figures() && count > 1;
    let next = figure.map_or(0, |figure| figure + 1);
    (is_row && next < count).then_some(next)
}

/// What a field is one step further.
fn turned(
    field: &Field,
    (line, library): (&Line, &Library),
    is_more: bool,
    figure: Option<usize>,
) -> Option<String> {
    let among = |all: &[String]| {
        let now = all.iter().position(|one| *one == field.text).unwrap_or(0);
        let by = if is_more { 1 } else { all.len() - 1 };
        all.get((now + by) % all.len().max(1)).cloned()
    };
    match field.takes {
        Takes::Choice(all) => among(
            &all.iter()
                .map(|(shown, _)| (*shown).to_owned())
                .collect::<Vec<_>>(),
        ),
        Takes::Version => {
            let all = versions(library, line.id.as_deref()?);
            among(&all.into_iter().map(|(typed, _)| typed).collect::<Vec<_>>())
        }
        Takes::Pattern => None,
        takes if takes.is_words() => None,
        takes => {
            let from = if field.text.is_empty() {
                usual(field)
            } else {
                field.text.clone()
            };
            stepped(takes, &from, is_more, figure, field.step)
        }
    }
}

/// From what an arrow goes where nothing stands in a field.
fn usual(field: &Field) -> String {
    let is_figure = field
        .usual
        .starts_with(|first: char| first.is_ascii_digit());
    match field.takes {
        _ if is_figure => field.usual.clone(),
        Takes::Counts => "5".to_owned(),
        Takes::Count => "0".to_owned(),
        _ if field.step.secs_floor() >= 60 => "45:00".to_owned(),
        _ => "30".to_owned(),
    }
}

fn hint(field: &Field, line: &Line, library: &Library) -> String {
    if field.takes != Takes::Version {
        return field.takes.hint().to_owned();
    }
    let all = line
        .id
        .as_deref()
        .map_or_else(Vec::new, |id| versions(library, id));
    let now = all.iter().find(|(typed, _)| *typed == field.text);
    let call = now.map_or("another in each round", |(_, call)| call.as_str());
    format!("{call} · ← → the next version")
}
