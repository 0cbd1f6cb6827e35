//! A move as it was done at a place, and how a file writes it: once, or round by round.

use crate::session::{Pick, Ron, Use, Written};
use crate::time::Span;

/// A move as it was done at a place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Turn {
    pub(super) id: String,
    pub(super) pick: Option<Pick>,
    pub(super) reps: Option<u32>,
    effort: Option<u8>,
    note: Option<String>,
    aside: Option<String>,
}

impl Turn {
    /// The move in the version in which it was done, with what the plan says there.
    pub(super) fn of(id: &str, pick: Option<Pick>, planned: Option<&Use>) -> Self {
        Self {
            id: id.to_owned(),
            pick,
            reps: planned.and_then(|turn| turn.reps),
            effort: planned.and_then(|turn| turn.effort),
            note: planned.and_then(|turn| turn.note.clone()),
            aside: planned.and_then(|turn| turn.aside.clone()),
        }
    }

    /// The move as a file writes it, with times of its own.
    pub(super) fn written(&self, work: Option<Span>, rest: Option<Span>) -> Ron {
        by_round(&[self], work, rest).unwrap_or_else(|| Ron::text(&self.id))
    }
}

/// A place as a file writes it, with what it was in each round; none where versions of two lists
/// come in turn, which one place cannot say.
pub(super) fn by_round(turns: &[&Turn], work: Option<Span>, rest: Option<Span>) -> Option<Ron> {
    let ids: Vec<&str> = turns.iter().map(|turn| turn.id.as_str()).collect();
    // Moves are taken in turn, so the list need not be said twice.
    let again = |every: &usize| (*every..ids.len()).all(|nth| ids[nth] == ids[nth % every]);
    let every = (1..=ids.len()).find(again)?;
    let moves = match ids[..every] {
        [one] => Ron::text(one),
        _ => Ron::List(ids[..every].iter().map(|id| Ron::text(id)).collect()),
    };
    let is_plain = every == 1;
    let mut picks = turns.iter().filter_map(|turn| turn.pick.map(list_of));
    let list = picks.next().map_or("", |(list, _)| list);
    if picks.any(|(other, _)| other != list) {
        return None;
    }
    let nth = |turn: &Turn| turn.pick.map(|pick| Ron::word(list_of(pick).1 + 1));
    let text = |of: &Option<String>| of.as_deref().map(Ron::text);
    let place = Written::default()
        .with("move", moves.clone())
        .maybe("reps", in_turn(turns, |turn| turn.reps.map(Ron::word)))
        .maybe("work", work.map(Ron::time))
        .maybe("rest", rest.map(Ron::time))
        .maybe("effort", in_turn(turns, |turn| turn.effort.map(Ron::word)))
        .maybe(list, in_turn(turns, nth))
        .maybe("note", in_turn(turns, |turn| text(&turn.note)))
        .maybe("aside", in_turn(turns, |turn| text(&turn.aside)))
        .group("Use");
    match place {
        Ron::Group(_, fields) if is_plain && fields.len() == 1 => Some(moves),
        place => Some(place),
    }
}

/// What is said of a place, once where it is the same in all rounds.
fn in_turn(turns: &[&Turn], of: impl Fn(&Turn) -> Option<Ron>) -> Option<Ron> {
    let all: Vec<Option<Ron>> = turns.iter().map(|turn| of(turn)).collect();
    let first = all.first()?;
    if all.iter().all(|one| one == first) {
        return first.clone();
    }
    let entry = |one: Option<Ron>| one.unwrap_or_else(|| Ron::word("None"));
    Some(Ron::List(all.into_iter().map(entry).collect()))
}

/// The list of a version, and its place in it.
const fn list_of(pick: Pick) -> (&'static str, usize) {
    match pick {
        Pick::Easier(nth) => ("easier", nth),
        Pick::Harder(nth) => ("harder", nth),
        Pick::Instead(nth) => ("instead", nth),
    }
}
