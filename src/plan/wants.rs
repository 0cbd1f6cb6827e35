//! What is worth saying about a move, fewer words each time it comes round.
//!
//! First time: preview, setup, the easier option, a form cue. Second: preview, the option in a
//! few words, another form cue, the harder option where there is room. From the third: preview
//! and at most one more. What spares a limit of someone in the room is wanted every time, and is
//! then that one. It refuses to know whether there is time for any of it.

use super::cues::PromptKind;
use super::phrases::{self, Words};
use super::room::{Rank, order};
use super::turn::Turn;
use crate::session::Load;

/// Something worth saying.
#[derive(Clone, Debug)]
pub(super) struct Want {
    pub(super) kind: PromptKind,
    pub(super) rank: Rank,
    pub(super) marked: bool,
    pub(super) order: u8,
    pub(super) say: String,
}

/// What is worth saying before the move starts, beside the preview, or else early in it.
pub(super) fn ahead(turn: &Turn, limits: &[Load]) -> Vec<Want> {
    let spare = phrases::limits(&turn.interval.moves, limits);
    let mut out = Vec::new();
    if turn.times == 0 && !turn.used.of.setup.is_empty() && turn.interval.moves.len() == 1 {
        let setup = phrases::spoken(&turn.used.of.setup);
        out.push(want(PromptKind::Setup, Rank::Setup, order::SETUP, setup));
    }
    if let Some(option) = option(turn, &spare) {
        out.push(want(
            PromptKind::Option,
            Rank::Option,
            order::OPTION,
            option,
        ));
    }
    out.extend(spare.into_iter().map(|say| Want {
        marked: true,
        ..want(PromptKind::Option, Rank::Limit, order::LIMIT, say)
    }));
    out
}

fn option(turn: &Turn, spare: &[String]) -> Option<String> {
    let words = match turn.times {
        0 => Words::Full,
        1 => Words::Short,
        _ => return None,
    };
    if turn.interval.moves.len() > 1 {
        return None;
    }
    let call = phrases::easier(turn.used, Words::Short)?;
    let call = call.trim_start_matches("easier: ");
    let told = spare.iter().any(|say| say.ends_with(call));
    if told {
        None
    } else {
        phrases::easier(turn.used, words)
    }
}

/// What is worth saying while the move is done.
pub(super) fn during(turn: &Turn, limits: &[Load]) -> Vec<Want> {
    let form = phrases::cue(turn, turn.times)
        .map(|say| want(PromptKind::Form, Rank::Form, order::FORM, say));
    let harder = phrases::harder(turn.used)
        .filter(|_| turn.times > 0 && turn.interval.moves.len() == 1)
        .map(|say| want(PromptKind::Option, Rank::Extra, order::HARDER, say));
    if turn.times < 2 {
        return form.into_iter().chain(harder).collect();
    }
    let one_more = if turn.times.is_multiple_of(2) {
        harder.or(form)
    } else {
        form.or(harder)
    };
    let has_limit = !phrases::limits(&turn.interval.moves, limits).is_empty();
    one_more.filter(|_| !has_limit).into_iter().collect()
}

fn want(kind: PromptKind, rank: Rank, order: u8, say: String) -> Want {
    Want {
        kind,
        rank,
        marked: false,
        order,
        say,
    }
}
