//! What a change would be, and what is wrong, before anything is done: timings, orders, faults.

use super::adding::{free_title, part_place};
use super::becomes;
use super::here::here;
use super::lines::{Line, lines, to};
use super::reading::Reading;
use crate::advice::{Fit, Pins, Remark, arrange as order, kept};
use crate::export::{arrange_page, arranged_text, fit_page, fitted_text};
use crate::plan::Timeline;
use crate::screen::Role;
use crate::screen::pages::Said;
use crate::session::edit::{Path, Step};
use crate::session::manuscript::{Change, Manuscript, Row, RowKind};
use crate::session::{Library, Pick, Session};
use crate::time::Span;

use super::finding::named;
use super::lines::field;
use super::put::put;

/// How the title of a drafted block is written.
const HEAD: &str = "title: \"";

/// Columns of a page that is laid out already.
const WIDE: usize = 76;

fn page(text: &str) -> Vec<Said> {
    let lines = text.lines();
    lines.map(|line| Said::line(Role::Now, line)).collect()
}

/// The timings with which the class fills its slot but for what is left of it.
///
/// # Errors
/// There is no slot.
pub(super) fn fit(
    session: &Session,
    leave: Span,
    (of, library): (&Manuscript, &Library),
) -> Result<Reading, String> {
    let slot = session
        .slot
        .ok_or("there is no slot to fill: the first line of the list has it")?;
    let slot = slot.saturating_sub(leave);
    if slot.is_zero() {
        return Err("nothing is left of the slot".to_owned());
    }
    let fit = Fit::of(session, slot);
    let mut says = page(&fit_page(&fit, WIDE));
    let take = fitted_text(of.name(), of.text(), &fit);
    let take = take.filter(|text| says_so(text, &fit.session, library));
    let is_change = fit.is_exact() && !fit.changes.is_empty();
    if is_change && take.is_none() {
        says.push(Said::line(
            Role::Trouble,
            "This file is laid out in a way in which it cannot be changed so.",
        ));
    }
    Ok(Reading::new(
        "Times that fill the slot",
        says,
        take.filter(|_| is_change),
    ))
}

/// The order of moves with the least trouble.
pub(super) fn arrange(session: &Session, of: &Manuscript, library: &Library) -> Reading {
    let (blocks, meant) = order(session, library, &Pins::default());
    let says = page(&arrange_page(&session.title, &blocks, &kept(session), WIDE));
    let is_change = blocks.iter().any(crate::advice::Arranged::is_changed);
    let take = arranged_text(of.name(), of.text(), &blocks);
    let take = take.filter(|text| is_change && says_so(text, &meant, library));
    Reading::new("The order with the least trouble", says, take)
}

/// Whether a text says what is meant: nobody takes one that says something else.
fn says_so(text: &str, meant: &Session, library: &Library) -> bool {
    Session::read("", text, library).is_ok_and(|read| read == *meant)
}

/// Everything that is wrong with the file.
pub(super) fn faults(of: &Manuscript) -> Reading {
    let mut says = Vec::new();
    for fault in of.faults() {
        says.extend(becomes::faults(fault));
        says.push(Said::line(Role::Quiet, ""));
    }
    Reading::new("What cannot be read", says, None)
}

/// A drafted block behind the part of a line: its moves with their reasons, and what the class is then.
///
/// # Errors
/// Why it cannot be put in.
pub(super) fn drafted(
    of: &Manuscript,
    line: &Line,
    library: &Library,
    text: &str,
) -> Result<Reading, String> {
    let mut at = part_place(of, line);
    // What is made ready for is made ready for still.
    while row_at(of, &at).is_some_and(|row| row.kind == RowKind::Ready) {
        if let Some(Step::Item(n)) = at.last_mut() {
            *n += 1;
        }
    }
    let mut with = Manuscript::of(of.name(), of.text(), library);
    let text = called_otherwise(of, text);
    let put = Change::Insert {
        at: at.clone(),
        text,
    };
    with.apply(put).map_err(|why| why.to_string())?;
    let behind = before(&at).and_then(|before| {
        let all = lines(of, library).into_iter();
        all.rev().find(|line| line.path.as_ref() == Some(&before))
    });
    let behind = behind.map_or_else(
        || "It comes first.".to_owned(),
        |line| format!("It comes behind: {}.", line.name),
    );
    let mut says = vec![Said::line(Role::Quiet, behind)];
    if let Ok(session) = with.reading() {
        says.push(Said::line(Role::Quiet, length(session)));
    }
    let written: Vec<&str> = with.text().lines().collect();
    for line in lines(&with, library) {
        let Some(rest) = line
            .path
            .as_ref()
            .and_then(|path| path.strip_prefix(&at[..]))
        else {
            continue;
        };
        let name = format!("{}  {}", line.name, line.figures);
        if rest.is_empty() {
            says.push(Said::head(name.trim_end()));
            continue;
        }
        says.push(Said::line(Role::Next, name.trim_end()));
        let last = written.get(line.lines.end.saturating_sub(2));
        if let Some((_, why)) = last.and_then(|line| line.split_once("// ")) {
            says.push(Said::line(Role::Quiet, format!("  {why}")));
        }
    }
    says.push(Said::line(
        Role::Quiet,
        "A draft is no advice: look at every move, and change what does not suit; you decide. The reasons stand in the file, too.",
    ));
    Ok(Reading::new(
        "A drafted block",
        says,
        Some(with.text().to_owned()),
    ))
}

/// How long a class is, and how that stands against its slot.
fn length(session: &Session) -> String {
    let total = Timeline::of(session).total();
    let told = format!("The class is {} then", total.ceil_secs());
    match session.slot {
        Some(slot) if total > slot => {
            let over = total.saturating_sub(slot).ceil_secs();
            format!("{told}, {over} over its slot of {slot}.")
        }
        Some(slot) => format!("{told}, of its slot of {slot}."),
        None => format!("{told}."),
    }
}

/// A drafted block with a title that no other block of the class has.
fn called_otherwise(of: &Manuscript, text: &str) -> String {
    let title = text
        .split_once(HEAD)
        .and_then(|(_, rest)| rest.split_once('"'));
    let Some((title, _)) = title else {
        return text.to_owned();
    };
    let others = (2_u32..).map(|n| format!("{title} {n}"));
    let new = free_title(of, std::iter::once(title.to_owned()).chain(others));
    text.replacen(&format!("{HEAD}{title}\""), &format!("{HEAD}{new}\""), 1)
}

fn row_at<'m>(of: &'m Manuscript, at: &[Step]) -> Option<&'m Row> {
    let mut rows = of.rows().iter();
    rows.find(|row| row.path.as_deref() == Some(at))
}

/// The place before one in its list.
fn before(at: &[Step]) -> Option<Path> {
    let (last, list) = at.split_last()?;
    match last {
        Step::Item(n) => Some(to(list, Step::Item(n.checked_sub(1)?))),
        Step::Field(_) => None,
    }
}

/// Why a remark is made, and what could be done.
pub(super) fn about(remark: &Remark) -> String {
    let why = format!("{} ({})", remark.why, remark.source);
    match remark.advice.as_str() {
        "" => why,
        advice => format!("{}. {why}", here(advice)),
    }
}

/// Another move in place of the one of a line, in this version; what is said of the place besides stays,
/// but not the version that was.
pub(super) fn instead(of: &Manuscript, line: &Line, id: &str, pick: Option<Pick>) -> Vec<Change> {
    let Some(turn) = line.turn.clone() else {
        return Vec::new();
    };
    let at = field(&turn, "move");
    let is_bare = of.value(&at).is_none();
    let mut changes = vec![Change::Set {
        at: if is_bare { turn.clone() } else { at },
        text: named(id),
    }];
    let (list, n) = match pick {
        None => ("", 0),
        Some(Pick::Easier(n)) => ("easier", n),
        Some(Pick::Harder(n)) => ("harder", n),
        Some(Pick::Instead(n)) => ("instead", n),
    };
    for one in ["easier", "harder", "instead"] {
        let text = (one == list).then(|| (n + 1).to_string());
        if text.is_some() || !is_bare {
            changes.push(put(turn.clone(), one, text));
        }
    }
    changes
}
