//! The lines of the page: each value of the file that somebody thinks of as a thing of its own, with
//! its name and its figures.

use crate::session::edit::{Path, Step};
use crate::session::manuscript::{Manuscript, Row, RowKind as Kind};
use crate::session::{Fault, Library};

use super::typed::{Takes, items, shown};

/// A line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Line {
    /// What it is.
    pub(super) kind: Kind,
    /// Where it stands; what cannot be told apart in a faulty file stands nowhere.
    pub(super) path: Option<Path>,
    /// Where its move stands, if it has one.
    pub(super) turn: Option<Path>,
    /// In how many others.
    pub(super) depth: usize,
    /// The lines of the file, the first counted from 1.
    pub(super) lines: std::ops::Range<usize>,
    /// What is wrong with it.
    pub(super) faults: Vec<Fault>,
    /// What it is called.
    pub(super) name: String,
    /// Its times, or how many.
    pub(super) figures: String,
    /// The id of its move.
    pub(super) id: Option<String>,
}

impl Line {
    /// The part of the class that it is of, counted from 0.
    pub(super) fn part(&self) -> Option<usize> {
        match self.path.as_deref()? {
            [Step::Field("parts"), Step::Item(part), ..] => Some(*part),
            _ => None,
        }
    }

    /// Its place in its list, counted from 0.
    pub(super) fn place(&self) -> Option<usize> {
        match self.path.as_deref()?.last()? {
            Step::Item(place) => Some(*place),
            Step::Field(_) => None,
        }
    }

    /// The list in which it stands.
    pub(super) fn list(&self) -> Option<Path> {
        let (_, list) = self.path.as_deref()?.split_last()?;
        Some(list.to_vec())
    }
}

/// A path with one step more.
pub(super) fn to(path: &[Step], step: Step) -> Path {
    let mut path = path.to_vec();
    path.push(step);
    path
}

/// A path to a field.
pub(super) fn field(path: &[Step], name: &'static str) -> Path {
    to(path, Step::Field(name))
}

/// The lines of a file.
pub(super) fn lines(of: &Manuscript, library: &Library) -> Vec<Line> {
    let rows = of.rows().iter();
    rows.map(|row| line(of, library, row)).collect()
}

fn line(of: &Manuscript, library: &Library, row: &Row) -> Line {
    let mut line = Line {
        kind: row.kind,
        path: row.path.clone(),
        turn: row.turn.clone(),
        depth: row.depth,
        lines: row.lines.clone(),
        faults: row.faults.clone(),
        name: String::new(),
        figures: String::new(),
        id: row.turn.as_deref().and_then(|turn| id(of, turn)),
    };
    line.name = name(of, library, &line);
    line.figures = figures(of, &line);
    line
}

/// The id of a move where it stands.
fn id(of: &Manuscript, turn: &[Step]) -> Option<String> {
    let named = field(turn, "move");
    let raw = of.value(&named).or_else(|| of.value(turn))?;
    Some(shown(Takes::Move, raw))
}

fn text(of: &Manuscript, path: &[Step], name: &'static str, takes: Takes) -> String {
    let raw = of.value(&field(path, name));
    raw.map_or_else(String::new, |raw| shown(takes, raw))
}

fn name(of: &Manuscript, library: &Library, line: &Line) -> String {
    let path = line.path.as_deref().unwrap_or_default();
    let say = || text(of, path, "say", Takes::Text);
    let after = |word: &str, more: &str| match more {
        "" => word.to_owned(),
        more => format!("{word}: {more}"),
    };
    match line.kind {
        Kind::Class => after("Class", &text(of, path, "title", Takes::Text)),
        Kind::Talk => after("Talk", &say()),
        Kind::Ready => "Get ready".to_owned(),
        Kind::WarmUp => "Warm-up".to_owned(),
        Kind::CoolDown => "Cool-down".to_owned(),
        Kind::Block => match text(of, path, "title", Takes::Text).as_str() {
            "" => "Block".to_owned(),
            title => title.to_owned(),
        },
        Kind::Recover => after("Recovery", &say()),
        Kind::Free => match text(of, path, "title", Takes::Text).as_str() {
            "" => after("Free", &say()),
            title => title.to_owned(),
        },
        Kind::Repeat => "Repeat".to_owned(),
        Kind::Together => "At once".to_owned(),
        Kind::OwnMove => after("Own move", &text(of, path, "name", Takes::Text)),
        Kind::Step | Kind::Move | Kind::Station => moves(of, library, line),
        Kind::Faulty => {
            let fault = line.faults.first();
            fault.map_or_else(
                || "cannot be read".to_owned(),
                |fault| fault.message.clone(),
            )
        }
    }
}

/// The name of a move, or of several that are taken in turn, with the version that is meant.
fn moves(of: &Manuscript, library: &Library, line: &Line) -> String {
    let turn = line.turn.as_deref().unwrap_or_default();
    let raw = of.value(&field(turn, "move")).unwrap_or_default();
    let ids = items(raw).map_or_else(
        || line.id.clone().into_iter().collect(),
        |ids| {
            ids.iter()
                .map(|id| shown(Takes::Move, id))
                .collect::<Vec<_>>()
        },
    );
    let named = |id: &String| {
        library
            .named(id)
            .map_or_else(|| id.clone(), |of| of.name.clone())
    };
    let mut name = ids.iter().map(named).collect::<Vec<_>>().join(", ");
    for list in ["easier", "harder", "instead"] {
        if let Some(raw) = of.value(&field(turn, list)) {
            name = format!("{name}, {list} {}", shown(Takes::Counts, raw));
        }
    }
    name
}

fn figures(of: &Manuscript, line: &Line) -> String {
    let path = line.path.as_deref().unwrap_or_default();
    let turn = line.turn.as_deref().unwrap_or_default();
    let reps = || match text(of, turn, "reps", Takes::Counts).as_str() {
        "" => String::new(),
        reps => format!("x {reps}"),
    };
    match line.kind {
        Kind::Class => text(of, path, "slot", Takes::Slot),
        Kind::Talk | Kind::Ready | Kind::Recover | Kind::Free => {
            text(of, path, "time", Takes::Lasting)
        }
        Kind::Repeat => match text(of, path, "times", Takes::Count).as_str() {
            "" => String::new(),
            times => format!("{times} times"),
        },
        Kind::Step => match of.value(&to(path, Step::Item(1))) {
            Some(time) => shown(Takes::Time, time),
            None => reps(),
        },
        Kind::Block => pattern(of, &field(path, "pattern")),
        Kind::Move => {
            let own = text(of, turn, "work", Takes::Times);
            let texts = [reps(), own];
            let said: Vec<String> = texts.into_iter().filter(|text| !text.is_empty()).collect();
            said.join(" · ")
        }
        Kind::Together => match text(of, path, "work", Takes::Time).as_str() {
            "" => String::new(),
            work => work.to_owned(),
        },
        Kind::Station => reps(),
        Kind::WarmUp | Kind::CoolDown | Kind::OwnMove | Kind::Faulty => String::new(),
    }
}

/// A pattern in a few figures.
fn pattern(of: &Manuscript, path: &[Step]) -> String {
    let of_it = |name, takes| text(of, path, name, takes);
    let (work, rest) = (of_it("work", Takes::Times), of_it("rest", Takes::Times));
    match of.name_of(path) {
        Some("Same") => format!("{} x {work} / {rest}", of_it("rounds", Takes::Count)),
        Some("Rounds") => format!("{work} / {rest}"),
        Some("Amrap") => format!("{} as many", of_it("time", Takes::Time)),
        Some("Reps") => format!("{} rounds counted / {rest}", of_it("rounds", Takes::Count)),
        Some("Emom") => {
            let each = of_it("every", Takes::Time);
            let each = if each.is_empty() {
                "1:00".to_owned()
            } else {
                each
            };
            let times = of_it("minutes", Takes::Count) + &of_it("times", Takes::Count);
            match work.as_str() {
                "" => format!("{times} x {each}"),
                work => format!("{times} x {each}, {work} work"),
            }
        }
        _ => String::new(),
    }
}

/// The place of the several at once in which a station stands, counted from 0.
pub(super) fn above(line: &Line) -> Option<usize> {
    let path = line.path.as_deref()?;
    let above = path.len().checked_sub(3)?;
    match path[above] {
        Step::Item(place) => Some(place),
        Step::Field(_) => None,
    }
}
