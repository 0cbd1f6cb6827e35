//! The order of moves in each block: a page, and the same for other programs.

use std::fmt::Write as _;

use serde_json::{Map, Value, json};

use super::fit::broken;
use crate::advice::{Arranged, EXACT, Kept, KeptFor, Remedy, Trouble};

/// Each block with its order, the trouble before and after, and other ways.
#[must_use]
pub fn arrange_page(title: &str, blocks: &[Arranged], kept: &[Kept], width: usize) -> String {
    let mut page = format!("{title}\n");
    if blocks.is_empty() && kept.is_empty() {
        page.push_str("\nNo block has moves whose order could be another.\n");
    }
    for block in blocks {
        page.push('\n');
        told(&mut page, block, width);
    }
    for block in kept {
        page.push('\n');
        page.push_str(&broken("", "  ", arrange_kept(block).split(' '), width));
    }
    page
}

/// That a block stays as it is, and why.
#[must_use]
pub fn arrange_kept(block: &Kept) -> String {
    format!("{}: stays as it is; {}", block.name, reason(block.why).1)
}

/// Why a block is not arranged: for programs, and in words.
const fn reason(why: KeptFor) -> (&'static str, &'static str) {
    match why {
        KeptFor::AtOnce => (
            "at_once",
            "several moves are done at once, and who stands where is yours",
        ),
        KeptFor::Repeated => (
            "repeated",
            "it stands in a `Repeat`, and what it follows differs from time to time",
        ),
        KeptFor::Short => ("short", "there are fewer than two moves"),
    }
}

fn told(page: &mut String, block: &Arranged, width: usize) {
    let (before, after) = (block.before.total(), block.after.total());
    let best = if block.is_exact {
        "no order has less".to_owned()
    } else {
        format!("a good order; beyond {EXACT} moves nobody looks at all of them")
    };
    let head = if block.is_changed() {
        format!(
            "{}: trouble {before} before, {after} after; {best}",
            block.name
        )
    } else {
        format!("{}: stays as it is, trouble {before}; {best}", block.name)
    };
    page.push_str(&broken("", "  ", head.split(' '), width));
    if block.is_changed() {
        let order = block.ids(&block.order).join(", ");
        page.push_str(&broken("  ", "    ", order.split(' '), width));
    }
    let rows = block.before.kinds().into_iter().zip(block.after.kinds());
    for ((kind, was, weight), (_, is, _)) in rows.filter(|((_, was, _), (_, is, _))| was + is > 0) {
        let _ = writeln!(
            page,
            "    {:<34}{was:>3} -> {is:<3} (weighs {weight})",
            label(kind)
        );
    }
    for other in &block.others {
        let order = format!("as good: {}", block.ids(other).join(", "));
        page.push_str(&broken("  ", "    ", order.split(' '), width));
    }
    for remedy in &block.remedies {
        let way = format!(
            "{} less: {} in place of {}",
            remedy.less, remedy.instead, remedy.of
        );
        page.push_str(&broken("  ", "    ", way.split(' '), width));
    }
}

fn label(kind: &str) -> &'static str {
    match kind {
        "short" => "too little time to change",
        "level" => "to the floor, or up",
        "fetch" => "things fetched",
        "region" => "the same region again",
        "load" => "joints loaded again",
        "impact" => "a second landing",
        _ => "screen out of sight at the end",
    }
}

/// The same as JSON.
#[must_use]
pub fn arrange_json(blocks: &[Arranged], kept: &[Kept]) -> String {
    let trouble = |of: &Trouble| {
        let kinds = of.kinds().into_iter();
        let mut kinds: Map<String, Value> = kinds
            .map(|(kind, count, _)| (kind.to_owned(), json!(count)))
            .collect();
        kinds.insert("total".to_owned(), json!(of.total()));
        kinds
    };
    let remedy = |of: &Remedy| json!({ "move": of.of, "instead": of.instead, "less": of.less });
    let block = |of: &Arranged| {
        let others: Vec<_> = of.others.iter().map(|other| of.ids(other)).collect();
        json!({
            "block": of.block, "order": of.ids(&of.order), "before": trouble(&of.before),
            "after": trouble(&of.after), "exact": of.is_exact, "others": others,
            "remedies": of.remedies.iter().map(remedy).collect::<Vec<_>>(),
        })
    };
    let blocks: Vec<Value> = blocks.iter().map(block).collect();
    let kept = kept.iter();
    let kept: Vec<Value> = kept
        .map(|of| json!({ "block": of.block, "why": reason(of.why).0 }))
        .collect();
    format!(
        "{:#}\n",
        json!({ "version": 1, "blocks": blocks, "kept": kept })
    )
}
