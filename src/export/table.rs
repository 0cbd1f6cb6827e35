//! Records as tables for other programs: CSV by RFC 4180, and JSON.
//!
//! Times are seconds with their decimals; words are those of the session file.

use serde_json::{Value, json};

use crate::live::Ending;
use crate::record::{Amounts, MoveDone, Summary, wall};
use crate::time::Span;

/// A class with the name of its record.
pub type Named<'a> = (&'a str, &'a Summary);

/// The version of the tables and of the JSON: raised where a column or field changes its meaning or
/// goes. New ones come at the end, and readers pass over what they do not know.
const FORMAT: &str = "matside-records-1";

const CLASS_COLUMNS: [&str; 25] = [
    "record",
    "title",
    "started",
    "ending",
    "planned_s",
    "taught_s",
    "planned_work_s",
    "work_s",
    "planned_works",
    "works",
    "left_out",
    "planned_rounds",
    "rounds",
    "skips",
    "holds",
    "held_s",
    "late_s",
    "marks",
    "rating",
    "rating_scale",
    "session_load",
    "people",
    "words",
    "sound_lost",
    "format",
];

const MOVE_COLUMNS: [&str; 13] = [
    "record",
    "title",
    "started",
    "move",
    "name",
    "times",
    "work_s",
    "gentle_s",
    "regions",
    "muscles",
    "format",
    "first_side_s",
    "second_side_s",
];

/// The fields of the JSON; `late_s` and the like are null where nothing is known.
const FIELDS: [&str; 25] = [
    "format",
    "record",
    "title",
    "started",
    "ending",
    "limits",
    "planned",
    "taught",
    "by_kind_s",
    "by_region_s",
    "by_muscle_s",
    "left_out",
    "changes",
    "options",
    "holds",
    "held_s",
    "late_s",
    "marks",
    "moves",
    "sound_lost",
    "rating",
    "rating_scale",
    "session_load",
    "people",
    "words",
];

/// What the tables and the JSON hold, for the pages of help.
#[must_use]
pub fn columns() -> String {
    format!(
        "Columns and fields:\n  --csv: {}\n  --moves: {}\n  --json: {}\n\n\
         What ends in _s is seconds, late_s those after the slot's end. ending is completed, stopped, \
         broken (it broke off and was closed) or unfinished. first_side_s and second_side_s are the \
         time of a one-sided move before and after the change of sides, where it was timed. format is {FORMAT}: another number \
         where a name goes or means something else; new names come at the end. In a table a text that \
         begins like a formula has ' before it.",
        CLASS_COLUMNS.join(", "),
        MOVE_COLUMNS.join(", "),
        FIELDS.join(", "),
    )
}

/// One row a class.
#[must_use]
pub fn classes_csv(classes: &[Named<'_>]) -> String {
    let rows = classes.iter().map(|(name, class)| class_row(name, class));
    csv(&CLASS_COLUMNS, rows)
}

/// One row a move of a class.
#[must_use]
pub fn moves_csv(classes: &[Named<'_>]) -> String {
    let rows = classes
        .iter()
        .flat_map(|(name, class)| class.moves.iter().map(|done| move_row(name, class, done)));
    csv(&MOVE_COLUMNS, rows)
}

fn class_row(name: &str, class: &Summary) -> Vec<String> {
    let note = class.note.clone().unwrap_or_default();
    vec![
        plain_text(name),
        plain_text(&class.title),
        wall::rfc3339(class.started),
        ending(class).to_owned(),
        secs(class.planned.run),
        secs(class.taught.run),
        secs(class.planned.work),
        secs(class.taught.work),
        class.planned.works.to_string(),
        class.taught.works.to_string(),
        class.works_left_out.to_string(),
        class.planned.rounds.to_string(),
        class.taught.rounds.to_string(),
        class.changes.skips.to_string(),
        class.holds.len().to_string(),
        secs(class.held),
        class
            .late_ms
            .map(late_secs)
            .map_or_else(String::new, |late| late.to_string()),
        class.marks.len().to_string(),
        note.rating
            .map_or_else(String::new, |rating| rating.value().to_string()),
        note.scale.unwrap_or_default(),
        class
            .load()
            .map_or_else(String::new, |load| format!("{load:.1}")),
        note.people
            .map_or_else(String::new, |people| people.to_string()),
        plain_text(&note.words),
        class.sound_lost.to_string(),
        FORMAT.to_owned(),
    ]
}

fn move_row(name: &str, class: &Summary, done: &MoveDone) -> Vec<String> {
    vec![
        plain_text(name),
        plain_text(&class.title),
        wall::rfc3339(class.started),
        plain_text(&done.id),
        plain_text(&done.name),
        done.times.to_string(),
        secs(done.work),
        secs(done.gentle),
        words(done.regions.iter().map(|region| region.word())),
        words(done.muscles.iter().map(|muscle| muscle.word())),
        FORMAT.to_owned(),
        side(done, done.first_side).map_or_else(String::new, secs),
        side(done, done.second_side).map_or_else(String::new, secs),
    ]
}

/// The time of a side, where the move has any.
fn side(done: &MoveDone, time: Span) -> Option<Span> {
    let has_none = done.first_side.is_zero() && done.second_side.is_zero();
    (!has_none).then_some(time)
}

fn words<'a>(words: impl Iterator<Item = &'a str>) -> String {
    words.collect::<Vec<_>>().join(" ")
}

fn secs(span: Span) -> String {
    span.secs().to_string()
}

#[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
fn late_secs(millis: i64) -> f64 {
    millis as f64 / 1000.0
}

/// How the class ended, as tables write it; `unfinished` where it did not.
const fn ending(class: &Summary) -> &'static str {
    match class.ending {
        Some(Ending::Completed) => "completed",
        Some(Ending::Stopped) => "stopped",
        Some(Ending::Broken) => "broken",
        None => "unfinished",
    }
}

/// A text that no spreadsheet takes for a formula: what begins like one gets an apostrophe before it.
/// The rule is that of the OWASP community page on CSV injection (from memory).
pub(super) fn plain_text(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        return format!("'{text}");
    }
    text.to_owned()
}

/// Lines end in CR LF; a field with a comma, a quote or a line's end is quoted, and a quote in it
/// doubled (RFC 4180, section 2).
pub(super) fn csv(columns: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut out = columns.join(",");
    out.push_str("\r\n");
    for row in rows {
        let fields: Vec<String> = row.iter().map(|field| quoted(field)).collect();
        out.push_str(&fields.join(","));
        out.push_str("\r\n");
    }
    out
}

fn quoted(field: &str) -> String {
    if field.contains([',', '"', '\r', '\n']) {
        return format!("\"{}\"", field.replace('"', "\"\""));
    }
    field.to_owned()
}

/// All that is told of the classes, for other programs: a list of objects.
#[must_use]
pub fn classes_json(classes: &[Named<'_>]) -> String {
    let all: Value = classes
        .iter()
        .map(|(name, class)| class_json(name, class))
        .collect();
    format!("{all:#}\n")
}

fn class_json(name: &str, class: &Summary) -> Value {
    let note = class.note.clone().unwrap_or_default();
    json!({
        "format": FORMAT,
        "record": name,
        "title": class.title,
        "started": wall::rfc3339(class.started),
        "ending": ending(class),
        "limits": class.limits,
        "planned": amounts(class.planned),
        "taught": amounts(class.taught),
        "by_kind_s": map(class.by_kind.iter().map(|(kind, span)| (kind.word(), span))),
        "by_region_s": map(class.by_region().iter().map(|(region, span)| (region.word(), span))),
        "by_muscle_s": map(class.by_muscle().iter().map(|(muscle, span)| (muscle.word(), span))),
        "left_out": class.works_left_out,
        "changes": class.changes,
        "options": class.options,
        "holds": class.holds.iter().map(|hold| json!({
            "at_s": hold.offset.secs(), "why": hold.why, "lasted_s": hold.lasted.secs(),
        })).collect::<Value>(),
        "held_s": class.held.secs(),
        "late_s": class.late_ms.map(late_secs),
        "marks": class.marks.iter().map(|mark| json!({
            "at_s": mark.offset.secs(), "wall": wall::rfc3339(mark.wall), "during": mark.during,
        })).collect::<Value>(),
        "moves": class.moves.iter().map(|done| json!({
            "move": done.id, "name": done.name, "times": done.times,
            "work_s": done.work.secs(), "gentle_s": done.gentle.secs(),
            "regions": done.regions, "muscles": done.muscles,
            "first_side_s": side(done, done.first_side).map(Span::secs),
            "second_side_s": side(done, done.second_side).map(Span::secs),
        })).collect::<Value>(),
        "sound_lost": class.sound_lost,
        "rating": note.rating,
        "rating_scale": note.scale,
        "session_load": class.load(),
        "people": note.people,
        "words": note.words,
    })
}

fn amounts(amounts: Amounts) -> Value {
    json!({
        "total_s": amounts.run.secs(),
        "work_s": amounts.work.secs(),
        "works": amounts.works,
        "rounds": amounts.rounds,
    })
}

fn map<'a>(sums: impl Iterator<Item = (&'a str, &'a Span)>) -> Value {
    sums.map(|(word, span)| (word.to_owned(), json!(span.secs())))
        .collect::<serde_json::Map<_, _>>()
        .into()
}
