//! What is told of what comes and of what is done: of one move, or of several at once.
//!
//! Where in the class it is said is not known here.

use super::occurrence::Occurrence;
use super::phrases::{self, Words};
use super::prompt::PromptKind;
use super::stations;
use super::topics::{self, Importance, Topic};
use crate::session::Load;

/// The announcement of what comes.
pub(super) fn preview(next: &Occurrence, words: Words) -> String {
    match next.interval.together() {
        Some(_) => stations::preview(next, words),
        None => phrases::preview(next, words),
    }
}

/// The same in few words, as it is said while what comes before it still goes on: nobody is sent on
/// before the end.
pub(super) fn before_the_end(next: &Occurrence) -> String {
    let short = preview(next, Words::Short);
    if next.is_swap() {
        return format!("then {short}");
    }
    short
}

/// What is worth saying before it starts, beside the announcement, or else early in it.
pub(super) fn ahead(next: &Occurrence, limits: &[Load]) -> Vec<Topic> {
    if next.interval.together().is_none() {
        return topics::ahead(next, limits);
    }
    let spare = stations::limits(next, limits).into_iter();
    let spare = spare.map(|say| Topic {
        marked: true,
        ..Topic::new(PromptKind::Option, Importance::Limit, say)
    });
    let swap = stations::at_the_swap(next);
    let explained = stations::explained(next).into_iter();
    explained.chain(swap).chain(spare).collect()
}

/// What is worth saying while it is done.
pub(super) fn during(now: &Occurrence, limits: &[Load]) -> Vec<Topic> {
    match now.interval.together() {
        Some(_) => stations::during(now),
        None => topics::during(now, limits),
    }
}
