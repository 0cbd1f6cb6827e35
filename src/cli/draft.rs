//! `matside draft`: classes for tonight drafted from wishes, of which one may be written.

use super::args::Draft as Asked;
use super::load::{self, Own};
use super::print::{self, width};
use super::report::{self, Failure};
use super::{moves, new};
use crate::advice::{CannotDraft, Draft, LastTaught, Review, Wishes, three};
use crate::app;
use crate::export::{draft_json, draft_page};
use crate::record::{Summary, Wall};
use crate::session::Library;

pub(super) fn draft(asked: &Asked, own: Own) -> Result<(), Failure> {
    let library = load::library(own)?;
    let wishes = wishes(asked, &library)?;
    let drafts = three(&wishes, &library).map_err(|why| failure(&why))?;
    let count = drafts.len();
    let chosen = drafts.get(asked.choose - 1).ok_or_else(|| {
        Failure::Usage(format!(
            "there is no class {} to choose: {count} could be drafted",
            asked.choose
        ))
    })?;
    let reviewed: Vec<(&Draft, Review)> = drafts
        .iter()
        .map(|draft| (draft, Review::of(&draft.session, &library)))
        .collect();
    let page = if asked.json {
        draft_json(&reviewed)
    } else {
        report::safe(&draft_page(&reviewed, width()))
    };
    if asked.to.output.is_none() {
        return print::result(&page);
    }
    // It is read again, so that nobody gets a file that says something else.
    let text = load::as_meant(
        Some(chosen.text.clone()),
        &chosen.session.title,
        &chosen.session,
        &library,
    )?;
    print::written(&asked.to, &text)?;
    report::tell(&page);
    Ok(())
}

fn failure(why: &CannotDraft) -> Failure {
    match why {
        CannotDraft::NoSuchMove(_) => Failure::NotFound(why.to_string()),
        _ => Failure::Usage(why.to_string()),
    }
}

fn wishes(asked: &Asked, library: &Library) -> Result<Wishes, Failure> {
    if let Some(title) = &asked.title {
        new::session(title)?;
    }
    let ids = |names: &[String]| -> Result<Vec<String>, Failure> {
        let id = |name: &String| match library.named(name) {
            Some(of) => Ok(of.id.clone()),
            None => Err(moves::no_such_move(name, library)),
        };
        names.iter().map(id).collect()
    };
    let counted = asked.kit.iter().find(|kit| kit.count.is_some());
    if let Some(kit) = counted.filter(|_| asked.people.is_none()) {
        return Err(Failure::Usage(format!(
            "whether {} {} are enough is told by how many come: add --people N",
            kit.count.unwrap_or(0),
            kit.thing
        )));
    }
    for (n, kit) in asked.kit.iter().enumerate() {
        if asked.kit[..n].iter().any(|other| other.thing == kit.thing) {
            return Err(Failure::Usage(format!("`{}` is named twice", kit.thing)));
        }
        is_known(&kit.thing, library)?;
    }
    Ok(Wishes {
        title: asked.title.clone(),
        slot: asked.slot,
        leave: asked.leave,
        shape: asked.blocks.clone(),
        level: asked.level,
        limits: asked.limits.clone(),
        kit: asked.kit.clone(),
        people: asked.people,
        regions: asked
            .focus
            .iter()
            .filter_map(|focus| focus.region())
            .collect(),
        actions: asked
            .focus
            .iter()
            .filter_map(|focus| focus.action())
            .collect(),
        exertion: asked.effort,
        taught: taught(asked.weeks)?,
        weeks: asked.weeks,
        have: ids(&asked.have)?,
        leave_out: ids(&asked.without)?,
        seed: asked.seed,
    })
}

/// Whether any move needs such a thing: a word that is written otherwise would find nothing.
fn is_known(thing: &str, library: &Library) -> Result<(), Failure> {
    let mut things: Vec<&str> = library
        .iter()
        .flat_map(|of| {
            of.options()
                .flat_map(|(_, option)| &option.equipment)
                .chain(&of.equipment)
        })
        .map(String::as_str)
        .collect();
    things.sort_unstable();
    things.dedup();
    if things.contains(&thing) {
        return Ok(());
    }
    Err(Failure::NotFound(format!(
        "no move needs `{thing}`; things are {}",
        things.join(", ")
    )))
}

/// What was taught in the last weeks, from the records.
fn taught(weeks: u32) -> Result<Vec<LastTaught>, Failure> {
    if weeks == 0 {
        return Ok(Vec::new());
    }
    let listing = load::shelf()?.listing()?;
    for lost in &listing.unreadable {
        report::note(&format!("not looked back on: {}", lost.fault));
    }
    let classes: Vec<&Summary> = listing.classes.iter().map(|class| &class.summary).collect();
    Ok(last_taught(&classes, app::wall(), weeks))
}

/// Every move of the last weeks with the days since it was taught; the last class, whenever it was, is
/// looked back on too. A record from a clock that ran ahead tells nothing of what was taught, one that
/// was broken off before any work is no class.
fn last_taught(classes: &[&Summary], now: Wall, weeks: u32) -> Vec<LastTaught> {
    let has_work = |class: &&&Summary| class.moves.iter().any(|done| !done.work.is_zero());
    let taught = classes.iter().filter(|class| class.started <= now);
    let last = taught
        .clone()
        .filter(has_work)
        .max_by_key(|class| class.started);
    let mut found: Vec<LastTaught> = Vec::new();
    for class in taught {
        let days = (now.date_naive() - class.started.date_naive())
            .num_days()
            .max(0);
        let days = u32::try_from(days).unwrap_or(u32::MAX);
        let in_last_class = last.is_some_and(|last| std::ptr::eq(*last, *class));
        if days > weeks * 7 && !in_last_class {
            continue;
        }
        for done in &class.moves {
            match found.iter_mut().find(|known| known.id == done.id) {
                Some(known) => {
                    known.days = known.days.min(days);
                    known.in_last_class |= in_last_class;
                }
                None => found.push(LastTaught {
                    id: done.id.clone(),
                    days,
                    in_last_class,
                }),
            }
        }
    }
    found
}
