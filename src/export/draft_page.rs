//! Drafted classes: a page to choose from, and the same for other programs.

use std::fmt::Write as _;

use serde_json::{Map, Value, json};

use super::fit::{broken, counted};
use super::outline::Outline;
use super::review_page::summary;
use crate::advice::{Draft, Review, Weight};

/// What a draft is, before anything else of it is read.
const WHAT: &str = "Drafts, put together by computation from your wishes. You decide: leave out what you \
    would not teach, change what does not suit. Law, the venue's rules and licensed practice come first.";

/// So many are drafted where the library has enough.
const ASKED: usize = 3;

/// Drafts with what a colleague would say of each, one below the other.
#[must_use]
pub fn draft_page(drafts: &[(&Draft, Review)], width: usize) -> String {
    let mut page = broken("", "", WHAT.split_whitespace(), width);
    for (nth, (draft, review)) in drafts.iter().enumerate() {
        let _ = writeln!(page, "\n{}.", nth + 1);
        page.push_str(&Outline::of(&draft.session).short(width));
        page.push('\n');
        put(&mut page, &draft.score.said(), width);
        if !draft.adjusted.is_empty() {
            let changed = draft.adjusted.join("; ");
            put(
                &mut page,
                &format!("so that the slot is filled: {changed}"),
                width,
            );
        }
        for line in &draft.told {
            put(&mut page, &format!("not as wished: {line}"), width);
        }
        if !draft.unused.is_empty() {
            let stays = draft.unused.join(", ");
            put(
                &mut page,
                &format!(
                    "stays where it is, as no move of this class needs it: {stays} (--have MOVE wishes for one that does)"
                ),
                width,
            );
        }
        put(&mut page, &format!("review: {}", summary(review)), width);
        let heavy = review
            .remarks
            .iter()
            .filter(|remark| remark.weight != Weight::Note);
        for remark in heavy {
            let line = format!("{}: {}", remark.weight.label(), remark.what);
            page.push_str(&broken("  - ", "    ", line.split(' '), width));
        }
    }
    let many = drafts.len();
    let _ = writeln!(page);
    if many < ASKED {
        let few = format!(
            "No more than {} could be drafted for these wishes.",
            counted(many, "class")
        );
        page.push_str(&broken("", "", few.split(' '), width));
    }
    let last = match many {
        1 => "`-o FILE` writes it; `--seed N` drafts another.".to_owned(),
        _ => format!(
            "`-o FILE` writes the first of these {}, `--choose 2 -o FILE` the second; `--seed N` drafts others.",
            counted(many, "class")
        ),
    };
    page.push_str(&broken("", "", last.split(' '), width));
    page
}

fn put(page: &mut String, line: &str, width: usize) {
    page.push_str(&broken("  ", "    ", line.split(' '), width));
}

/// The same as JSON, with the text of each file.
#[must_use]
pub fn draft_json(drafts: &[(&Draft, Review)]) -> String {
    let all: Vec<Value> = drafts
        .iter()
        .map(|(draft, review)| one(draft, review))
        .collect();
    let all = json!({ "version": 1, "draft": true, "drafts": all });
    format!("{all:#}\n")
}

fn one(draft: &Draft, review: &Review) -> Value {
    let outline = Outline::of(&draft.session);
    let by_wish: Map<String, Value> = draft
        .score
        .by_wish
        .iter()
        .map(|(wish, points)| ((*wish).to_owned(), json!(points)))
        .collect();
    let reasons: Vec<Value> = draft
        .reasons
        .iter()
        .map(|(of, why)| json!({ "move": of, "why": why }))
        .collect();
    let counts: Map<String, Value> = Weight::ALL
        .iter()
        .map(|weight| (weight.word().to_owned(), json!(review.count(*weight))))
        .collect();
    json!({
        "title": draft.session.title, "stands": outline.stands(),
        "points": draft.score.total, "of_work": draft.score.work, "bound_of_work": draft.score.bound, "by_wish": by_wish,
        "reasons": reasons, "adjusted": draft.adjusted, "not_as_wished": draft.told, "unused": draft.unused, "review": counts, "text": draft.text,
    })
}
