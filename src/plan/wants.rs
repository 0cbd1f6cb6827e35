//! What is worth saying about a move, fewer words each time it comes round.
//!
//! First time: preview, setup, the easier option, a form cue. Second: preview, the option in a
//! few words, another form cue, the harder option where there is room. From the third: preview
//! and at most one more. What spares a limit of someone in the room is wanted every time, and is
//! then that one. The planner's note is said in the first round, in place of a form cue. It refuses
//! to know whether there is time for any of it.

use std::collections::HashSet;

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
    let spare = phrases::limits(&turn.interval.moves, limits, turn.things);
    let mut out = Vec::new();
    if turn.is_circuit() {
        let list = phrases::circuit(turn);
        out.push(want(PromptKind::Brief, Rank::Setup, order::SETUP, list));
    } else {
        out.extend(alone(turn, &spare));
    }
    out.extend(spare.into_iter().map(|say| Want {
        marked: true,
        ..want(PromptKind::Option, Rank::Limit, order::LIMIT, say)
    }));
    out
}

fn alone(turn: &Turn, spare: &[String]) -> Vec<Want> {
    let setup = phrases::setup(turn.used).filter(|_| turn.times == 0);
    let setup = setup.map(|say| want(PromptKind::Setup, Rank::Setup, order::SETUP, say));
    let note = turn.note().filter(|_| turn.new_note().is_none());
    let note = note.map(phrases::spoken);
    let note = note.map(|say| want(PromptKind::Brief, Rank::Option, order::NOTE, say));
    let option = option(turn, spare);
    let option = option.map(|say| want(PromptKind::Option, Rank::Option, order::OPTION, say));
    setup.into_iter().chain(note).chain(option).collect()
}

fn option(turn: &Turn, spare: &[String]) -> Option<String> {
    let words = if turn.times == 0 {
        Words::Full
    } else {
        Words::Short
    };
    let &(_, offer) = turn.easier.first()?;
    let told = spare.iter().any(|say| say.ends_with(offer.call()));
    (!told).then(|| phrases::easier(offer, words))
}

/// What is worth saying while the move is done.
pub(super) fn during(turn: &Turn, limits: &[Load]) -> Vec<Want> {
    if turn.is_circuit() {
        return Vec::new();
    }
    let form = phrases::form(turn).filter(|_| turn.note().is_none());
    let form = form.map(|say| want(PromptKind::Form, Rank::Form, order::FORM, say));
    let harder = turn.harder.map(phrases::harder);
    let harder = harder.map(|say| want(PromptKind::Option, Rank::Extra, order::HARDER, say));
    if turn.times < 2 {
        return form.into_iter().chain(harder).collect();
    }
    let one_more = if turn.times.is_multiple_of(2) {
        harder.or(form)
    } else {
        form.or(harder)
    };
    let has_limit = !phrases::limits(&turn.interval.moves, limits, turn.things).is_empty();
    let is_full = has_limit || turn.note().is_some();
    one_more.filter(|_| !is_full).into_iter().collect()
}

/// What is worth saying of the moves of a circuit while it runs, in their order: the planner's
/// note and the easier version of each.
pub(super) fn circuit(turn: &Turn) -> Vec<Want> {
    let mut out: Vec<Want> = Vec::new();
    for used in turn.interval.moves.iter().filter(|_| turn.is_circuit()) {
        let call = &used.of.call;
        if let Some(note) = used.note.as_deref() {
            let say = format!("in {call}, {}", phrases::spoken(note));
            out.push(want(PromptKind::Brief, Rank::Setup, order::OPTION, say));
        }
        let offered = turn.easier.iter().find(|(of, _)| *of == used.as_ref());
        if let Some(&(_, offer)) = offered {
            let say = format!("in {call}, {}", phrases::easier(offer, Words::Short));
            out.push(want(PromptKind::Option, Rank::Option, order::OPTION, say));
        }
    }
    // A move may come twice in a circuit.
    let mut said = HashSet::new();
    out.retain(|want| said.insert(want.say.clone()));
    out
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
