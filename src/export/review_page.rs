//! The review of a plan: a page to read the evening before, and the same for other programs.

use std::fmt::Write as _;

use serde_json::{Map, Value, json};

use super::fit::{broken, counted};
use crate::advice::{Remark, Review, Weight, Where};

/// The remarks on a page, no wider than `width` columns where words allow it.
#[must_use]
pub fn review_page(title: &str, stands: &str, review: &Review, width: usize) -> String {
    let mut page = format!("{title}: {stands}\n");
    for weight in Weight::ALL {
        let mut of_it = review
            .remarks
            .iter()
            .filter(|remark| remark.weight == weight)
            .peekable();
        if of_it.peek().is_some() {
            let _ = writeln!(page, "\n{}", heading(weight));
        }
        for remark in of_it {
            told(&mut page, remark, width);
        }
    }
    let _ = writeln!(page, "\n{}", summary(review));
    page
}

const fn heading(weight: Weight) -> &'static str {
    match weight {
        Weight::MustMend => "Must mend",
        Weight::ThinkAgain => "Think again",
        Weight::Note => "Notes",
    }
}

fn told(page: &mut String, remark: &Remark, width: usize) {
    page.push('\n');
    let place = place(&remark.at);
    if !place.is_empty() {
        page.push_str(&broken("  ", "  ", place.split(' '), width));
    }
    page.push_str(&broken("  ", "    ", remark.what.split(' '), width));
    let why = format!("why: {} ({})", remark.why, remark.source);
    page.push_str(&broken("    ", "         ", why.split(' '), width));
    let advice = format!("do:  {}", remark.advice);
    page.push_str(&broken("    ", "         ", advice.split(' '), width));
}

fn place(at: &Where) -> String {
    let mut words = Vec::new();
    words.extend(at.at.map(|at| at.span().floor_secs().to_string()));
    words.extend(at.block.map(|block| match &at.title {
        Some(title) => format!("block {block} ({title})"),
        None => format!("block {block}"),
    }));
    words.extend(at.round.map(|round| format!("round {round}")));
    words.extend(at.place.map(|place| format!("move {place}")));
    words.join(", ")
}

/// What was found and how much was looked at, in a line.
#[must_use]
pub fn summary(review: &Review) -> String {
    let looked = format!(
        "looked at {} and {} by {}",
        counted(review.intervals, "interval"),
        counted(review.prompts, "prompt"),
        counted(Review::rules().len(), "rule"),
    );
    if review.remarks.is_empty() {
        return format!("Nothing found; {looked}.");
    }
    let [must, think, notes] = Weight::ALL.map(|weight| review.count(weight));
    let notes = counted(notes, "note");
    format!("{must} to mend, {think} to think again, {notes}; {looked}.")
}

/// The remarks as JSON.
#[must_use]
pub fn review_json(review: &Review) -> String {
    let remarks: Vec<Value> = review.remarks.iter().map(remark_json).collect();
    let looked_at = json!({
        "intervals": review.intervals, "prompts": review.prompts, "rules": Review::rules().len(),
    });
    let all = json!({ "version": 1, "remarks": remarks, "looked_at": looked_at });
    format!("{all:#}\n")
}

fn remark_json(remark: &Remark) -> Value {
    let at = &remark.at;
    let mut place = Map::new();
    let numbers = [
        ("part", at.part),
        ("block", at.block),
        ("round", at.round),
        ("place", at.place),
    ];
    for (name, number) in numbers {
        if let Some(number) = number {
            place.insert(name.to_owned(), json!(number));
        }
    }
    if let Some(at) = at.at {
        place.insert("at_s".to_owned(), json!(at.secs()));
    }
    json!({
        "weight": remark.weight.word(), "kind": remark.kind, "what": remark.what, "where": place,
        "why": remark.why, "source": remark.source, "do": remark.advice,
    })
}
