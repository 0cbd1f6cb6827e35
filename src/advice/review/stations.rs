//! Several moves at once: whether they can be explained before they begin, and kept in mind.

use super::super::remark::{Remark, Weight};
use super::context::{Context, named};
use super::figures::{LIST, LIST_SOURCE, LONG_TALK, SPEECH_SOURCE};
use crate::plan::{PromptKind, Unplaced, explaining, pause_before};

/// Whether something without time is what is told here: the moves before they are first done.
pub(super) fn is_unexplained(context: &Context, miss: &Unplaced) -> bool {
    miss.kind == PromptKind::Setup && is_start(context, miss.about)
}

/// Whether a block of several moves at once begins with an interval.
fn is_start(context: &Context, n: usize) -> bool {
    let all = context.intervals();
    let is_first = !all[..n].iter().any(|was| was.block() == all[n].block());
    all[n].together().is_some() && is_first
}

/// More to explain before several moves at once than there is time for, or than anybody keeps.
pub(super) fn too_much(context: &Context) -> Vec<Remark> {
    let starts = context.works().filter(|(n, _)| is_start(context, *n));
    starts.filter_map(|(n, _)| remark(context, n)).collect()
}

fn remark(context: &Context, n: usize) -> Option<Remark> {
    let (all, cueing) = (context.intervals(), &context.session.cueing);
    let (takes, pause) = (explaining(&all[n], cueing), pause_before(all, n));
    let mut misses = context.cues.unplaced.iter();
    let is_missed = misses.any(|miss| miss.about == n && is_unexplained(context, miss));
    let (what, many) = (named(&all[n]), all[n].moves.len());
    let is_long = takes > LONG_TALK;
    if takes <= pause && !is_missed && !is_long {
        return None;
    }
    let takes = takes.ceil_secs();
    let told = if takes > pause || is_missed {
        let told = format!(
            "too much to explain before {what}: it takes {takes}, and there is {pause} before the start"
        );
        let why = format!(
            "at {} words a minute; what finds no time is left for the work itself",
            cueing.words_per_minute
        );
        let more = takes.saturating_sub(pause).ceil_secs();
        let advice = if more.is_zero() {
            "put a longer `Recover` before it, or give it fewer moves".to_owned()
        } else {
            format!("give the `Recover` before it {more} more, or give it fewer moves")
        };
        (told, why, SPEECH_SOURCE, advice)
    } else {
        let told = format!("too much to explain before {what}: people listen for {takes}");
        let why = format!(
            "they go cold, and of {many} moves about four are kept in mind, {LIST} with a board in sight"
        );
        let advice = "put a card at each (`matside sheet --stations`), or make two blocks of it";
        (told, why, LIST_SOURCE, advice.to_owned())
    };
    let (told, why, source, advice) = told;
    let remark = Remark::new(Weight::ThinkAgain, context.at(n), told);
    Some(remark.because(why, source).so(advice))
}
