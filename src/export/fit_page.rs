//! Timings that fill a slot: a page, and the same for other programs.

use std::fmt::Write as _;

use serde_json::{Value, json};

use super::fit::broken;
use crate::advice::{Fit, Retimed};
use crate::time::Span;

/// What changes, and what comes of it.
#[must_use]
pub fn fit_page(fit: &Fit, width: usize) -> String {
    let title = &fit.session.title;
    let mut page = format!(
        "{title}: {} before, {} after, to fill {}\n",
        fit.before, fit.after, fit.slot
    );
    if fit.changes.is_empty() {
        page.push_str("\nNothing need be changed.\n");
    } else {
        page.push('\n');
    }
    for change in &fit.changes {
        let line = format!(
            "{}: {} -> {}",
            change.what,
            listed(&change.before),
            listed(&change.after.spans)
        );
        page.push_str(&broken("  ", "    ", line.split(' '), width));
    }
    if fit.is_exact() {
        return page;
    }
    let (by, how) = if fit.over.is_zero() {
        (
            fit.in_hand,
            "too short, with every time as long as it may be",
        )
    } else {
        (fit.over, "too long, with every time as short as it may be")
    };
    let _ = writeln!(page, "\nThe class is {by} {how}.");
    for way in &fit.ways_out {
        let way = format!("- {way}");
        page.push_str(&broken("  ", "    ", way.split(' '), width));
    }
    page
}

fn listed(spans: &[Span]) -> String {
    let equal = spans.windows(2).all(|pair| pair[0] == pair[1]);
    let spans = if equal { &spans[..1] } else { spans };
    let all: Vec<String> = spans.iter().map(ToString::to_string).collect();
    all.join(", ")
}

/// The same as JSON.
#[must_use]
pub fn fit_json(fit: &Fit) -> String {
    let secs = |spans: &[Span]| spans.iter().map(|span| span.secs()).collect::<Vec<_>>();
    let change = |change: &Retimed| {
        json!({
            "what": change.what, "part": change.after.part + 1,
            "before_s": secs(&change.before), "after_s": secs(&change.after.spans),
        })
    };
    let changes: Vec<Value> = fit.changes.iter().map(change).collect();
    let all = json!({
        "version": 1, "slot_s": fit.slot.secs(), "before_s": fit.before.secs(),
        "after_s": fit.after.secs(), "over_s": fit.over.secs(), "in_hand_s": fit.in_hand.secs(),
        "changes": changes, "ways_out": fit.ways_out,
    });
    format!("{all:#}\n")
}
