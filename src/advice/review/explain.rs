//! What must be told before a window in which moves are repeated freely: nobody is led from one to
//! the next.

use super::super::remark::{Remark, Weight};
use super::context::Context;
use super::figures::SPEECH_SOURCE;
use crate::plan::{Placed, time_to_say};
use crate::session::Use;
use crate::time::Span;

/// More to explain than there is time for, before a window of several moves.
pub(super) fn too_much(context: &Context) -> Vec<Remark> {
    let mut met: Vec<&str> = Vec::new();
    let mut told = Vec::new();
    for (n, one) in context.moving() {
        let is_new = |turn: &&Use| !met.contains(&&*turn.of.id);
        let new: Vec<&Use> = one
            .moves
            .iter()
            .map(|turn| &**turn)
            .filter(is_new)
            .collect();
        if one.is_window() && !new.is_empty() {
            told.extend(longer_than_the_pause(context, n, &new));
        }
        met.extend(one.moves.iter().map(|turn| &*turn.of.id));
    }
    told
}

fn longer_than_the_pause(context: &Context, n: usize, new: &[&Use]) -> Option<Remark> {
    let cueing = &context.session.cueing;
    let words = |turn: &&Use| {
        format!(
            "{}: {}",
            turn.of.name,
            turn.version().setup().unwrap_or_default()
        )
    };
    let takes: Span = new
        .iter()
        .map(|turn| time_to_say(&words(turn), cueing))
        .sum();
    let before = pause_before(context.intervals(), n);
    if takes <= before {
        return None;
    }
    let moves = match new.len() {
        1 => "the new move takes".to_owned(),
        count => format!("the {count} new moves takes"),
    };
    let what = format!(
        "to explain {moves} {}, and there are {before} before them",
        takes.ceil_secs()
    );
    let remark = Remark::new(Weight::ThinkAgain, context.at(n), what);
    let why = format!(
        "name and setup of each at {} words a minute; who is not led from one to the next must know them all",
        cueing.words_per_minute
    );
    let short = takes.saturating_sub(before).ceil_secs();
    Some(remark.because(why, SPEECH_SOURCE).so(format!(
        "give the talk before {short} more, put some of them into the warm-up, or hang up cards (`matside sheet --stations`)"
    )))
}

/// How long people stand before an interval, and can be told what comes.
fn pause_before(all: &[Placed], n: usize) -> Span {
    let before = all[..n].iter().rev();
    let pauses = before.take_while(|one| !one.kind.is_moving());
    pauses.map(Placed::span).sum()
}
