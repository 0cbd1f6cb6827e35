//! What can be written of a line: its fields as the file has them, and the changes that write them.

use crate::session::edit::{Path, Step};
use crate::session::manuscript::{Change, Manuscript, RowKind as Kind};
use crate::session::{Library, Pick};
use crate::time::Span;

use super::lines::{Line, field, to};
use super::patterns::{self, PATTERNS};
use super::put::put;
use super::typed::{Takes, YES, shown, written};

/// A field of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Field {
    /// What it is.
    pub(super) label: &'static str,
    /// What may be typed in it.
    pub(super) takes: Takes,
    /// Where it stands, or would.
    pub(super) at: At,
    /// What stands in it, as it is typed.
    pub(super) text: String,
    /// What holds while nothing stands in it.
    pub(super) usual: String,
    /// How far an arrow goes.
    pub(super) step: Span,
}

/// Where a field stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum At {
    /// A value that is always there.
    Value(Path),
    /// A field of a group, which may not be there.
    Named(Path, &'static str),
    /// A field of a group inside a field, neither of which may be there: the outer one is written as
    /// this.
    Inside(Path, &'static str, &'static str, &'static str),
    /// The pattern of a block.
    Pattern,
    /// The works of a block whose rounds are all alike.
    Works(Path),
    /// Which version of a move.
    Version(Path),
}

/// How far an arrow goes.
const STEP: Span = Span::from_secs(5);
/// How far it goes for the whole class.
const SLOT_STEP: Span = Span::from_secs(60);

const ORDER: Takes = Takes::Choice(&[
    ("round by round", ""),
    ("move by move", "ByMove"),
    ("stations, all at once", "Stations"),
]);
const ROTATE: Takes = Takes::Choice(&[("go on at each swap", ""), ("stay", "false")]);
const ENDS: Takes = Takes::Choice(&[("by the clock", ""), ("by key", "ByKey")]);

/// The fields of a line, the one that the arrows of the list turn first.
pub(super) fn fields(of: &Manuscript, line: &Line) -> Vec<Field> {
    let Some(path) = line.path.as_deref() else {
        return Vec::new();
    };
    let at = Group { of, path };
    match line.kind {
        Kind::Class => class(&at),
        Kind::Talk => vec![at.time(), at.say()],
        Kind::Ready => vec![at.time()],
        Kind::Recover => vec![
            at.time(),
            at.say(),
            at.named("moving", "move", Takes::Move, ""),
        ],
        Kind::Free => vec![
            at.time(),
            at.named("title", "title", Takes::Text, ""),
            at.say(),
        ],
        Kind::Block => block(&at),
        Kind::Repeat => repeat(&at),
        Kind::Together => together(&at),
        Kind::Step | Kind::Move | Kind::Station => turn(of, line, path),
        Kind::OwnMove => vec![
            at.named("name", "name", Takes::Text, ""),
            at.named("how to start", "setup", Takes::Text, ""),
            at.named("breath", "breath", Takes::Text, ""),
        ],
        Kind::WarmUp | Kind::CoolDown | Kind::Faulty => Vec::new(),
    }
}

/// A group of the file whose fields are told.
struct Group<'a> {
    of: &'a Manuscript,
    path: &'a [Step],
}

impl Group<'_> {
    fn named(
        &self,
        label: &'static str,
        name: &'static str,
        takes: Takes,
        usual: impl Into<String>,
    ) -> Field {
        let raw = self.of.value(&field(self.path, name));
        Field {
            label,
            takes,
            at: At::Named(self.path.to_vec(), name),
            text: raw.map_or_else(|| nothing(takes), |raw| shown(takes, raw)),
            usual: usual.into(),
            step: STEP,
        }
    }

    fn time(&self) -> Field {
        self.named("time", "time", Takes::Lasting, "")
    }

    fn say(&self) -> Field {
        self.named("say", "say", Takes::Text, "")
    }

    /// A field of a group inside a field.
    fn inside(
        &self,
        label: &'static str,
        (outer, group): (&'static str, &'static str),
        name: &'static str,
        takes: Takes,
        usual: &str,
    ) -> Field {
        let raw = self.of.value(&field(&field(self.path, outer), name));
        Field {
            label,
            takes,
            at: At::Inside(self.path.to_vec(), outer, group, name),
            text: raw.map_or_else(String::new, |raw| shown(takes, raw)),
            usual: usual.to_owned(),
            step: STEP,
        }
    }
}

/// What is shown of a choice where the file says nothing.
fn nothing(takes: Takes) -> String {
    match takes {
        Takes::Choice(all) => all.iter().find(|(_, file)| file.is_empty()),
        _ => None,
    }
    .map_or_else(String::new, |(shown, _)| (*shown).to_owned())
}

fn class(at: &Group) -> Vec<Field> {
    let cueing =
        |label, name, takes, usual| at.inside(label, ("cueing", "Cueing"), name, takes, usual);
    let mut slot = at.named("slot", "slot", Takes::Slot, "open");
    slot.step = SLOT_STEP;
    vec![
        slot,
        at.named("title", "title", Takes::Text, ""),
        at.named("before class", "brief", Takes::Text, ""),
        at.named("limits", "limits", Takes::Limits, "none"),
        at.named("bring", "equipment", Takes::Names, "nothing"),
        at.named("how many of it", "stock", Takes::Stock, ""),
        at.named("people", "people", Takes::Count, ""),
        at.named("groups", "groups", Takes::Names, ""),
        cueing("words a minute", "words_per_minute", Takes::Count, "140"),
        cueing("beeps", "count", Takes::Count, "3"),
        cueing("seconds left at", "warn", Takes::Time, "10"),
        cueing("told ahead by", "lead", Takes::Time, "4"),
        cueing("down or up takes", "change", Takes::Time, "5"),
    ]
}

fn block(at: &Group) -> Vec<Field> {
    let pattern = field(at.path, "pattern");
    let inner = Group {
        of: at.of,
        path: &pattern,
    };
    let kind = at.of.name_of(&pattern).unwrap_or_default().to_owned();
    let mut fields = patterns::fields(&kind)
        .iter()
        .map(|(label, name, takes, usual)| inner.named(label, name, *takes, *usual))
        .collect::<Vec<_>>();
    if kind == "Same" {
        // Where several are typed, the rounds are no longer alike.
        for work in fields.iter_mut().filter(|field| field.label == "work") {
            work.at = At::Works(at.path.to_vec());
            work.takes = Takes::Times;
        }
    }
    let known = PATTERNS.iter().find(|(_, name)| *name == kind);
    fields.push(Field {
        label: "pattern",
        takes: Takes::Pattern,
        at: At::Pattern,
        text: known.map_or(kind.clone(), |(shown, _)| (*shown).to_owned()),
        usual: String::new(),
        step: STEP,
    });
    fields.push(at.named("title", "title", Takes::Text, ""));
    let is_window = kind == "Amrap";
    if !is_window && kind != "Emom" {
        fields.push(at.named("recovery", "recovery", Takes::Time, ""));
        fields.push(at.named("order", "order", ORDER, ""));
        fields.push(at.named("rest at the end", "last_rest", YES, ""));
    }
    if !is_window {
        fields.push(at.named("moving in rests", "between", Takes::Move, ""));
    }
    fields
}

fn repeat(at: &Group) -> Vec<Field> {
    vec![
        at.named("times", "times", Takes::Count, ""),
        at.inside(
            "recovery between",
            ("between", "Recover"),
            "time",
            Takes::Time,
            "",
        ),
        at.inside("said in it", ("between", "Recover"), "say", Takes::Text, ""),
    ]
}

fn together(at: &Group) -> Vec<Field> {
    let (work, rest) = of_the_block(at.of, at.path);
    vec![
        at.named("work", "work", Takes::Time, work),
        at.named("swap", "swap", Takes::Time, rest.clone()),
        at.named("rest after", "rest", Takes::Time, rest),
        at.named("people", "rotate", ROTATE, ""),
        at.named("ends", "ends", ENDS, ""),
    ]
}

/// What can be written of a move where it is used.
fn turn(of: &Manuscript, line: &Line, path: &[Step]) -> Vec<Field> {
    let Some(turn) = line.turn.as_deref() else {
        return Vec::new();
    };
    let at = Group { of, path: turn };
    let (work, rest) = of_the_block(of, path);
    let mut fields = Vec::new();
    let time = to(path, Step::Item(1));
    match line.kind {
        Kind::Step => {
            if let Some(raw) = of.value(&time) {
                fields.push(Field {
                    label: "time",
                    takes: Takes::Time,
                    text: shown(Takes::Time, raw),
                    at: At::Value(time),
                    usual: String::new(),
                    step: STEP,
                });
            }
        }
        Kind::Move if work.is_empty() => {}
        Kind::Move => {
            fields.push(at.named("work", "work", Takes::Times, work));
            fields.push(at.named("rest", "rest", Takes::Times, rest));
        }
        _ => {}
    }
    fields.push(at.named("how many", "reps", Takes::Counts, ""));
    fields.push(Field {
        label: "version",
        takes: Takes::Version,
        at: At::Version(turn.to_vec()),
        text: version(of, turn),
        usual: "the move itself".to_owned(),
        step: STEP,
    });
    fields.push(at.named("effort, 0 to 10", "effort", Takes::Counts, ""));
    fields.push(at.named("a word to say", "note", Takes::Texts, ""));
    fields.push(at.named("a word to see", "aside", Takes::Texts, ""));
    fields
}

/// The work and the rest of the block in which something stands.
fn of_the_block(of: &Manuscript, path: &[Step]) -> (String, String) {
    let is_moves = |step: &Step| *step == Step::Field("moves");
    let Some(at) = path.iter().position(is_moves) else {
        return (String::new(), String::new());
    };
    let pattern = field(&path[..at], "pattern");
    let said = |name| {
        let raw = of.value(&field(&pattern, name));
        raw.map_or_else(String::new, |raw| shown(Takes::Times, raw))
    };
    (said("work"), said("rest"))
}

const LISTS: [&str; 3] = ["easier", "harder", "instead"];

/// The version that is meant, as it is typed: `easier 1`.
fn version(of: &Manuscript, turn: &[Step]) -> String {
    let said = LISTS.iter().find_map(|list| {
        let raw = of.value(&field(turn, list))?;
        Some(format!("{list} {}", shown(Takes::Counts, raw)))
    });
    said.unwrap_or_default()
}

/// The versions of a move in the order in which an arrow turns them, the move itself first.
pub(super) fn versions(library: &Library, id: &str) -> Vec<(String, String)> {
    let mut all = vec![(String::new(), "the move itself".to_owned())];
    let of = library.named(id);
    for (pick, option) in of.iter().flat_map(|of| of.options()) {
        let typed = match pick {
            Pick::Easier(n) => format!("easier {}", n + 1),
            Pick::Harder(n) => format!("harder {}", n + 1),
            Pick::Instead(n) => format!("instead {}", n + 1),
        };
        all.push((typed, option.call.clone()));
    }
    all
}

/// The changes that write what is typed in a field.
///
/// # Errors
/// Why it is nothing that could be written.
pub(super) fn changes(
    of: &Manuscript,
    field_at: &Field,
    typed: &str,
) -> Result<Vec<Change>, String> {
    if let At::Version(turn) = &field_at.at {
        return versioned(turn, typed);
    }
    let text = written(field_at.takes, typed)?;
    Ok(match (&field_at.at, text) {
        (At::Value(_), None) => return Err(format!("{} must be there", field_at.label)),
        (At::Value(at), Some(text)) => vec![Change::Set {
            at: at.clone(),
            text,
        }],
        (At::Works(block), Some(text)) if text.starts_with('[') => {
            patterns::no_longer_alike(of, block, &text)
        }
        (At::Works(block), text) => vec![put(field(block, "pattern"), "work", text)],
        (At::Named(at, name), text) => vec![put(at.clone(), name, text)],
        (At::Inside(at, outer, group, name), text) => {
            let inner = field(at, outer);
            match text {
                Some(text) if of.value(&inner).is_none() => {
                    // A recovery must have its time.
                    let text = if *group == "Recover" && *name != "time" {
                        format!("{group}(time: 60, {name}: {text})")
                    } else {
                        format!("{group}({name}: {text})")
                    };
                    vec![put(at.clone(), outer, Some(text))]
                }
                None if *group == "Recover" && *name == "time" => {
                    vec![put(at.clone(), outer, None)]
                }
                text => vec![put(inner, name, text)],
            }
        }
        (At::Pattern | At::Version(_), _) => Vec::new(),
    })
}

fn versioned(turn: &[Step], typed: &str) -> Result<Vec<Change>, String> {
    let (list, which) = typed.trim().split_once(' ').unwrap_or((typed.trim(), "1"));
    let known = LISTS.iter().find(|known| **known == list);
    let mut changes: Vec<Change> = LISTS
        .iter()
        .filter(|other| Some(**other) != known.copied())
        .map(|list| put(turn.to_vec(), list, None))
        .collect();
    match known {
        None if !list.is_empty() => {
            return Err("a version is such as easier 1, harder 2, instead 1".to_owned());
        }
        None => {}
        Some(list) => changes.push(put(turn.to_vec(), list, written(Takes::Counts, which)?)),
    }
    Ok(changes)
}
