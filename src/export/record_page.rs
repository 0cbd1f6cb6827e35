//! Records to read: the list, and the page of one class. Plain text, no colour, any width.

use std::fmt::Write as _;

use unicode_width::UnicodeWidthStr;

use super::fit::{counted, padded, wrapped};
use super::table::Named;
use crate::live::{Ending, HoldReason};
use crate::record::{Note, Summary};
use crate::time::Span;

/// The list of classes, a line each, the latest last.
#[must_use]
pub fn record_list(classes: &[Named<'_>], width: usize) -> String {
    let longest = classes
        .iter()
        .map(|(name, _)| name.width())
        .max()
        .unwrap_or(0);
    let mut out = String::new();
    for (name, class) in classes {
        let line = format!(
            "{}  {:>7} of {:<7}  {}",
            padded(name, longest),
            class.taught.run.floor_secs().to_string(),
            class.planned.run.floor_secs().to_string(),
            in_short(class).join(", "),
        );
        out.push_str(&wrapped(&line, width));
    }
    out
}

fn in_short(class: &Summary) -> Vec<String> {
    let mut said = Vec::new();
    match class.ending {
        Some(Ending::Completed) => {}
        Some(Ending::Stopped) => said.push("stopped".to_owned()),
        Some(Ending::Broken) => said.push("broken off".to_owned()),
        None => said.push("not ended".to_owned()),
    }
    said.extend(class.late_ms.map(against_slot));
    let note = class.note.as_ref();
    if let Some(rating) = note.and_then(|note| note.rating) {
        said.push(format!("{}/10", rating.value()));
    }
    if let Some(people) = note.and_then(|note| note.people) {
        said.push(format!("{people} came"));
    }
    said
}

/// How a class ended against its slot, in words.
fn against_slot(late_ms: i64) -> String {
    let by = Span::from_secs(late_ms.unsigned_abs() / 1000);
    match late_ms {
        _ if by.is_zero() => "on time".to_owned(),
        1.. => format!("{by} late"),
        _ => format!("{by} early"),
    }
}

/// The page of one class: planned beside taught, and what happened.
#[must_use]
pub fn record_page(class: &Summary, width: usize) -> String {
    let mut out = String::new();
    let _ = writeln!(out, "{}", class.title);
    let _ = writeln!(out, "{}\n", headline(class));
    let _ = writeln!(out, "{:14} {:>8} {:>8}", "", "planned", "taught");
    for (what, planned, taught) in [
        (
            "class",
            class.planned.run.floor_secs().to_string(),
            class.taught.run.floor_secs().to_string(),
        ),
        (
            "work",
            class.planned.work.floor_secs().to_string(),
            class.taught.work.floor_secs().to_string(),
        ),
        (
            "works",
            class.planned.works.to_string(),
            class.taught.works.to_string(),
        ),
        (
            "rounds",
            class.planned.rounds.to_string(),
            class.taught.rounds.to_string(),
        ),
    ] {
        let _ = writeln!(out, "{what:14} {planned:>8} {taught:>8}");
    }
    section(
        &mut out,
        "Time taught",
        class.by_kind.iter().map(|(kind, span)| {
            format!("{:14} {:>8}", kind.label(), span.floor_secs().to_string())
        }),
    );
    section(&mut out, "Moves", class.moves.iter().map(move_line));
    section(&mut out, "Options", options(class));
    section(&mut out, "Changes", changes(class));
    section(&mut out, "Held", holds(class));
    section(&mut out, "Marks", marks(class));
    section(
        &mut out,
        "After class",
        note_lines(class.note.as_ref(), class.load()),
    );
    wrapped(&out, width)
}

/// What happened in a class besides its plan, a line each, for the page after it.
#[must_use]
pub fn happenings(class: &Summary) -> Vec<String> {
    let late = class.late_ms.map(against_slot);
    let options = options(class).map(|line| format!("option: {line}"));
    let marks = marks(class).map(|line| format!("noted {line}"));
    late.into_iter()
        .chain(changes(class))
        .chain(holds(class))
        .chain(options)
        .chain(marks)
        .collect()
}

fn options(class: &Summary) -> impl Iterator<Item = String> {
    let used = class.options.iter();
    used.map(|one| format!("{}: {}, {}", one.of, one.call, times(one.times)))
}

fn holds(class: &Summary) -> impl Iterator<Item = String> {
    class.holds.iter().map(|hold| {
        let (at, lasted) = (hold.offset.span().floor_secs(), hold.lasted.floor_secs());
        format!("at {at}: {} for {lasted}", why_held(hold.why))
    })
}

fn marks(class: &Summary) -> impl Iterator<Item = String> {
    class.marks.iter().map(|mark| {
        let (at, hour) = (
            mark.offset.span().floor_secs(),
            mark.wall.format("%H:%M:%S"),
        );
        format!("at {at} ({hour}): {}", mark.during)
    })
}

fn headline(class: &Summary) -> String {
    let how = match class.ending {
        Some(Ending::Completed) => "taught to its end",
        Some(Ending::Stopped) => "ended by hand",
        Some(Ending::Broken) => "broken off and not taken up again",
        None => "not ended yet",
    };
    let when = class.started.format("%A %-d %B %Y, %H:%M");
    let slot = class
        .late_ms
        .map(|late| format!(", {}", against_slot(late)));
    format!("{when}, {how}{}", slot.unwrap_or_default())
}

fn section(out: &mut String, title: &str, lines: impl IntoIterator<Item = String>) {
    let mut lines = lines.into_iter().peekable();
    if lines.peek().is_some() {
        let _ = writeln!(out, "\n{title}");
    }
    for line in lines {
        let _ = writeln!(out, "  {line}");
    }
}

fn move_line(done: &crate::record::MoveDone) -> String {
    let time = done.work + done.gentle;
    format!(
        "{:>7} {:>4}x  {}",
        time.floor_secs().to_string(),
        done.times,
        done.name
    )
}

fn times(times: usize) -> String {
    match times {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        _ => format!("{times} times"),
    }
}

fn changes(class: &Summary) -> Vec<String> {
    let changes = &class.changes;
    let left_out = u32::try_from(class.works_left_out).unwrap_or(u32::MAX);
    [
        (left_out, "planned work", " not taught"),
        (changes.skips, "skip", ""),
        (changes.steps, "step", " to another option"),
        (changes.repeats, "move", " once more"),
        (changes.dropped_rounds, "round", " cut"),
        (changes.landings, "landing", " taken"),
        (changes.others, "change", " of time or place"),
    ]
    .into_iter()
    .filter(|(count, ..)| *count > 0)
    .map(|(count, noun, more)| format!("{}{more}", counted(count, noun)))
    .collect()
}

const fn why_held(why: HoldReason) -> &'static str {
    match why {
        HoldReason::Hold => "held",
        HoldReason::Break => "break",
        HoldReason::Moving => "kept moving",
        HoldReason::Slept => "away",
    }
}

fn note_lines(note: Option<&Note>, load: Option<f64>) -> Vec<String> {
    let Some(note) = note else { return Vec::new() };
    let scale = note.scale.as_deref().unwrap_or("scale not named");
    let rating = note
        .rating
        .map(|rating| format!("how hard: {} of 10 ({scale})", rating.value()));
    let load = load.map(|load| format!("session load: {load:.0} (rating x minutes)"));
    let people = note.people.map(|people| format!("{people} came"));
    let words = note.words.lines().map(str::to_owned);
    [rating, load, people]
        .into_iter()
        .flatten()
        .chain(words)
        .collect()
}
