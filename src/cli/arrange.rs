//! `matside arrange`.

use super::args::Arrange as Asked;
use super::folders;
use super::load::{self, Own};
use super::print::{self, width};
use super::report::{self, Failure};
use crate::advice::{Arranged, Kept, Pins, arrange as order, kept};
use crate::export::{arrange_json, arrange_kept, arrange_page, arranged_text};
use crate::session::{Library, Session};

pub(super) fn arrange(asked: &Asked, own: Own) -> Result<(), Failure> {
    let library = load::library(own)?;
    let (name, text) = folders::source(asked.which.session.as_deref(), own)?;
    let session = Session::read(&name, &text, &library).map_err(Failure::Faults)?;
    let pins = Pins {
        block: asked.block,
        first: pinned(asked.first.as_deref(), &library)?,
        last: pinned(asked.last.as_deref(), &library)?,
    };
    let (blocks, arranged) = order(&session, &library, &pins);
    let kept = kept(&session);
    are_met(&pins, &blocks, &kept)?;
    // Where one block was asked for, the others are none of it.
    let kept = if pins.block.is_some() { &[] } else { &*kept };
    let page = if asked.json {
        arrange_json(&blocks, kept)
    } else {
        report::safe(&arrange_page(&session.title, &blocks, kept, width()))
    };
    if asked.to.output.is_none() {
        return print::result(&page);
    }
    let new = written(&name, &text, &blocks, &arranged, &library)?;
    print::written(&asked.to, &new)?;
    report::tell(&page);
    Ok(())
}

/// The id of a move that was named in any way; one of the class's own is taken at its word.
fn pinned(name: Option<&str>, library: &Library) -> Result<Option<String>, Failure> {
    let Some(name) = name else { return Ok(None) };
    if name.trim().is_empty() {
        return Err(Failure::Usage("the move to pin has no name".to_owned()));
    }
    Ok(Some(
        library
            .named(name)
            .map_or_else(|| name.to_owned(), |of| of.id.clone()),
    ))
}

/// What was asked for and is not there is told, so that nobody takes it for done.
fn are_met(pins: &Pins, blocks: &[Arranged], kept: &[Kept]) -> Result<(), Failure> {
    if let Some(block) = pins.block.filter(|_| blocks.is_empty()) {
        let is_there = kept.iter().find(|of| of.block == block);
        let why = is_there.map_or_else(|| format!("there is no block {block}"), arrange_kept);
        return Err(Failure::Usage(why));
    }
    for id in [&pins.first, &pins.last].into_iter().flatten() {
        if !blocks.iter().any(|block| block.moves.contains(id)) {
            return Err(Failure::Usage(format!("no block has `{id}` to pin")));
        }
    }
    if pins.first.is_some() && pins.first == pins.last {
        return Err(Failure::Usage(
            "the same move cannot be both first and last".to_owned(),
        ));
    }
    Ok(())
}

/// The file with the moves of its blocks in another order. It is read again, so that nobody gets a
/// file that says something else.
fn written(
    name: &str,
    text: &str,
    blocks: &[Arranged],
    arranged: &Session,
    library: &Library,
) -> Result<String, Failure> {
    let new = arranged_text(name, text, blocks);
    load::as_meant(new, name, arranged, library)
}
