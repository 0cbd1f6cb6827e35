//! What there was to say in a class, with its time on the wall.
//!
//! The class is taught once more from its facts; between two facts the prompts are those that the
//! running class had then. Whether they were said is not known.

use std::sync::Arc;

use super::vtt::Caption;
use crate::live::{Act, Fact, Live, What};
use crate::record::wall::delta;
use crate::record::{Recovered, Wall};
use crate::time::{Offset, Span};

/// The prompts of a class as captions, in order of time.
#[must_use]
pub fn captions(record: &Recovered) -> Vec<Caption> {
    let mut live = Live::new(Arc::new(record.header.session.clone()));
    let mut out = Vec::new();
    let facts: Vec<(Wall, &Fact)> = record.facts_on_the_wall().collect();
    for (before, after) in facts.iter().zip(facts.iter().skip(1)) {
        live.redo(before.1);
        while live.poll_output().is_some() {}
        out.extend(between(&live, before.1.offset, *after));
    }
    out
}

/// The prompts of the stretch that ends with a fact. The class may have stood at its beginning, so
/// the time is counted back from its end.
///
/// A record with impossible times has no captions there.
fn between(live: &Live, from: Offset, (wall, fact): (Wall, &Fact)) -> Vec<Caption> {
    let (to, asleep) = (fact.offset, asleep(fact));
    let moment = |at: Offset| {
        let back = delta(to.since(at) + asleep);
        let back = back.checked_sub(&delta(at.since(to)))?;
        wall.checked_sub_signed(back)
    };
    let prompts = live.cues().prompts.iter();
    prompts
        .filter(|prompt| from <= prompt.at && prompt.at < to)
        .filter_map(|prompt| {
            Some(Caption {
                from: moment(prompt.at)?,
                to: moment(prompt.until)?,
                say: prompt.say.clone(),
            })
        })
        .collect()
}

/// A sleep is told when it is over: the class had stopped when it began.
fn asleep(fact: &Fact) -> Span {
    match fact.what {
        What::Did(Act::Slept { gap, .. }) => gap,
        _ => Span::ZERO,
    }
}
