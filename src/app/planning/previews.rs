//! What a change would be, and what is wrong, before anything is done: timings, orders, faults.

use super::becomes;
use super::here::here;
use super::lines::Line;
use super::reading::Reading;
use crate::advice::{Fit, Pins, Remark, arrange as order, kept};
use crate::export::{arrange_page, arranged_text, fit_page, fitted_text};
use crate::screen::Role;
use crate::screen::pages::Said;
use crate::session::manuscript::{Change, Manuscript};
use crate::session::{Library, Pick, Session};
use crate::time::Span;

use super::finding::named;
use super::lines::field;
use super::put::put;

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
