//! A class as it was taught, as a session file: the moves, versions and times of that day.
//!
//! What was held is no class time, and is not in it. A work that was left early is a rest. A block
//! keeps its rounds as far as one block can hold them, else it becomes several; what is repeated stays
//! so where each time came out alike. What a file cannot say of the class its first lines do.

mod at_once;
mod block;
mod blocks;
mod grid;
mod lost;
mod part;
mod plan;
mod repeats;
mod rounds;
mod shared;
mod stretches;
mod turn;
mod works;

use std::collections::BTreeMap;
use std::fmt::Write as _;

use crate::live::Ending;
use crate::plan::Kind;
use crate::record::{Recovered, Taught, moves_in};
use crate::session::{Cueing, Library, Load, Ron, Session, Written, own_moves};
use crate::time::Span;

use lost::{Loss, Lost};
use plan::Plan;
use repeats::{Came, folded};
use stretches::{Stretch, stretches};

/// Why a class cannot be kept as a session.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotKept {
    /// The class ended before anything of it had run.
    #[error("nothing was taught in this class")]
    NothingTaught,
    /// What was taught is no class that a file may hold.
    #[error("what was taught makes no session: {0}")]
    NoSession(String),
}

/// The class of a record as the text of a session file, under its own title or another. Moves that
/// the library has as they were are named, the others stand in the file.
///
/// # Errors
/// [`NotKept`] says why there is none. A text that is given can be read.
pub fn kept(record: &Recovered, library: &Library, title: Option<&str>) -> Result<String, NotKept> {
    let taught = Taught::of(&record.header, record.facts_on_the_wall());
    let stretches = stretches(&taught);
    if stretches.is_empty() {
        return Err(NotKept::NothingTaught);
    }
    let session = &record.header.session;
    let title = title.unwrap_or(&session.title);
    let (class, lost) = class(record, &taught, &stretches, library, title);
    let text = format!(
        "{}{}{}",
        heading(record, &taught),
        lost.lines(),
        class.file()
    );
    match Session::read("the class", &text, library) {
        Ok(_) => Ok(text),
        Err(faults) => {
            let first = faults.iter().next().map(|fault| fault.message.clone());
            Err(NotKept::NoSession(first.unwrap_or_default()))
        }
    }
}

/// Where the file comes from, as a comment.
fn heading(record: &Recovered, taught: &Taught) -> String {
    let when = record.header.started.format("%A %-d %B %Y, %H:%M");
    let mut text = format!("// As it was taught on {when}.\n");
    let held: Span = taught.holds.iter().map(|hold| hold.lasted).sum();
    if !held.is_zero() {
        let _ = writeln!(text, "// It was held for {held} in all, which is left out.");
    }
    match taught.ended {
        Some((Ending::Completed, _)) => {}
        Some(_) => text.push_str("// It was ended before its end.\n"),
        None => text.push_str("// Its record has no end.\n"),
    }
    text
}

fn class(
    record: &Recovered,
    taught: &Taught,
    stretches: &[Stretch],
    library: &Library,
    title: &str,
) -> (Ron, Lost) {
    let session = &record.header.session;
    let known = moves_in(session, &taught.brought);
    let used: BTreeMap<&str, _> = (stretches.iter().flat_map(|one| &one.moves))
        .filter_map(|id| Some((id.as_str(), *known.get(id.as_str())?)))
        .collect();
    let (parts, lost) = parts(session, stretches);
    let limits = record.header.limits.iter().copied().map(Load::word);
    let class = Written::default()
        .with("title", Ron::text(title))
        .maybe("slot", session.slot.map(Ron::clock))
        .unless_empty("brief", Ron::text(&session.brief))
        .unless_empty("limits", Ron::words(limits))
        .maybe("people", session.people.map(Ron::word))
        .unless_empty("groups", Ron::texts(&session.groups))
        .unless_empty("equipment", Ron::texts(&session.equipment))
        .unless_empty("stock", stock(&session.stock))
        .unless_empty("cueing", cueing(&session.cueing))
        .unless_empty("moves", Ron::List(own_moves(used.into_values(), library)))
        .with("parts", Ron::List(parts))
        .group("Session");
    (class, lost)
}

fn stock(stock: &[(String, u32)]) -> Ron {
    let pairs = stock.iter();
    let pairs = pairs.map(|(thing, many)| Ron::Tuple("", vec![Ron::text(thing), Ron::word(many)]));
    Ron::List(pairs.collect())
}

/// What is not as it is where nothing is said. Times are whole milliseconds in a record, counts are
/// numbers.
fn cueing(cueing: &Cueing) -> Ron {
    let fields = |of: &Cueing| match serde_json::to_value(of) {
        Ok(serde_json::Value::Object(fields)) => fields,
        _ => serde_json::Map::new(),
    };
    let usual = fields(&Cueing::default());
    let mut written = Written::default();
    for (key, value) in fields(cueing) {
        let Some(number) = value.as_u64().filter(|_| usual.get(&key) != Some(&value)) else {
            continue;
        };
        let value = match key.as_str() {
            "words_per_minute" | "count" => Ron::word(number),
            _ => Ron::time(Span::from_millis(number)),
        };
        written = written.with(&key, value);
    }
    written.group("Cueing")
}

/// The parts of the class, one after the other, and what of it they cannot say.
fn parts(session: &Session, stretches: &[Stretch]) -> (Vec<Ron>, Lost) {
    let plan = Plan::of(session);
    let mut lost = Lost::default();
    let is_left = stretches.iter().any(|one| one.is_left);
    lost.note(is_left.then_some(Loss::Left));
    lost.note(missed(stretches, &plan).map(Loss::Mark));
    let mut came: Vec<Came> = Vec::new();
    let mut blocks: BTreeMap<usize, usize> = BTreeMap::new();
    for these in stretches.chunk_by(|a, b| together(a, b, &plan)) {
        let part = these[0].part;
        let rons = if plan.block(part).is_some() {
            let so_far = blocks.entry(part).or_default();
            blocks::of(these, &plan, so_far, &mut lost)
        } else {
            let counted = |one: &Stretch| plan.is_untimed(one) && !plan.is_as_planned(one);
            lost.note(these.iter().any(counted).then_some(Loss::Steps));
            vec![part::part(these, &plan)]
        };
        match came.last_mut().filter(|(last, _)| *last == part) {
            Some((_, all)) => all.extend(rons),
            None => came.push((part, rons)),
        }
    }
    let (parts, written_out) = folded(&session.parts, &came);
    lost.note(written_out.then_some(Loss::Repeat));
    (parts, lost)
}

/// Whether two stretches are of one part of the file.
fn together(a: &Stretch, b: &Stretch, plan: &Plan) -> bool {
    let is_step = |kind: Kind| matches!(kind, Kind::WarmUp | Kind::CoolDown);
    let steps = is_step(a.kind) && a.kind == b.kind;
    a.part == b.part && (plan.block(a.part).is_some() || steps)
}

/// The first mark up to which a part was to last and did not.
fn missed(stretches: &[Stretch], plan: &Plan) -> Option<Span> {
    let is_met = |part: usize, mark: Span| {
        let mut its = stretches.iter().filter(|one| one.part == part);
        its.any(|one| one.end == mark)
    };
    stretches.iter().find_map(|one| {
        let mark = plan.mark(one.part)?;
        (!is_met(one.part, mark)).then_some(mark)
    })
}
