//! Several moves at once: whether they can be explained before they begin, and kept in mind.

use super::super::remark::{Remark, Weight};
use super::context::{Context, named};
use super::figures::{LIST, LIST_SOURCE, LONG_TALK, SPEECH_SOURCE};
use crate::plan::{Placed, PromptKind, Unplaced, explaining, pause_before};

/// Whether it is not all stations explained before their start.
pub(super) fn is_unexplained(context: &Context, miss: &Unplaced) -> bool {
    let about = &context.intervals()[miss.about];
    let is_start = about.together().is_some() && !about.continues_rotation();
    miss.kind == PromptKind::Setup && is_start
}

/// More to explain before several moves at once than there is time for, or than anybody keeps.
pub(super) fn too_much(context: &Context) -> Vec<Remark> {
    let all = context.intervals();
    let short = context.cues.unplaced.iter();
    let short = short.filter(|miss| is_unexplained(context, miss));
    let short: Vec<&Unplaced> = short.collect();
    let told = |(n, one): (usize, &Placed)| {
        let is_first = !all[..n].iter().any(|was| was.block() == one.block());
        if let Some(miss) = short.iter().find(|miss| miss.about == n) {
            return Some(without_time(context, miss));
        }
        let takes = explaining(one, &context.session.cueing);
        (one.together().is_some() && is_first && takes > LONG_TALK).then(|| too_long(context, n))
    };
    context.works().filter_map(told).collect()
}

fn without_time(context: &Context, miss: &Unplaced) -> Remark {
    let (all, n) = (context.intervals(), miss.about);
    let takes = explaining(&all[n], &context.session.cueing).ceil_secs();
    let what = format!(
        "too much to explain before {}: it takes {takes}, and there is {} before the start",
        named(&all[n]),
        pause_before(all, n)
    );
    let more = miss.short.ceil_secs().secs_ceil().max(1);
    let remark = Remark::new(Weight::ThinkAgain, context.at(n), what);
    remark.because(miss.why.clone(), SPEECH_SOURCE).so(format!(
        "put a `Recover` of {more} s more before it, or give it fewer moves"
    ))
}

fn too_long(context: &Context, n: usize) -> Remark {
    let one = &context.intervals()[n];
    let takes = explaining(one, &context.session.cueing).ceil_secs();
    let what = format!(
        "too much to explain before {}: people stand and listen for {takes}",
        named(one)
    );
    let why = format!(
        "they go cold, and of {} moves about four are kept in mind, {LIST} with a board in sight",
        one.moves.len()
    );
    Remark::new(Weight::ThinkAgain, context.at(n), what)
        .because(why, LIST_SOURCE)
        .so("put a card at each (`matside sheet --stations`), or make two blocks of it")
}
