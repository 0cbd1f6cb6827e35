//! Moves as a file of one's own writes them.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::super::library::Library;
use super::super::moves::{CommonFault, Move, MoveOption};
use super::super::terms::{Action, Impact, Load, Muscle, Position, Region, Side, Sides};
use super::ron::{Ron, Written};

/// The moves that a file must bring along to use these as they are, in the order of their ids: those
/// that the library does not have so, and the moves by which their versions are done.
#[must_use]
pub fn own_moves<'a>(used: impl IntoIterator<Item = &'a Arc<Move>>, library: &Library) -> Vec<Ron> {
    let is_own = |of: &&Arc<Move>| library.get(&of.id) != Some(*of);
    let own = used.into_iter().filter(is_own);
    let own: BTreeMap<&str, &Move> = own.map(|of| (of.id.as_str(), &**of)).collect();
    let mut all = own.clone();
    for (_, option) in own.values().flat_map(|of| of.options()) {
        let other = option
            .stand_in
            .as_ref()
            .and_then(|other| other.of.as_deref());
        let Some(other) = other else { continue };
        let known = library.get(&other.id).map(|of| of.bare());
        if known.as_ref() != Some(other) {
            all.entry(other.id.as_str()).or_insert(other);
        }
    }
    all.into_values().map(written).collect()
}

fn written(of: &Move) -> Ron {
    let call = (of.call != of.name).then(|| Ron::text(&of.call));
    let impact = (of.impact != Impact::None).then(|| Ron::word(of.impact.word()));
    let sides = (of.sides != Sides::Both).then(|| Ron::word(of.sides.word()));
    let options = |of: &[MoveOption]| Ron::List(of.iter().map(option).collect());
    Written::default()
        .with("id", Ron::text(&of.id))
        .with("name", Ron::text(&of.name))
        .maybe("call", call)
        .with("position", Ron::word(of.position.word()))
        .with("regions", words(&of.regions, Region::word))
        .unless_empty("muscles", words(&of.muscles, Muscle::word))
        .maybe("action", of.action.map(Action::word).map(Ron::word))
        .unless_empty("loads", words(&of.loads, Load::word))
        .maybe("impact", impact)
        .maybe("sides", sides)
        .maybe("lead", of.lead.map(Side::word).map(Ron::word))
        .unless_empty("equipment", Ron::texts(&of.equipment))
        .maybe("energy", of.energy.as_deref().map(Ron::text))
        .unless_empty("setup", Ron::text(&of.setup))
        .unless_empty("form", Ron::texts(&of.form))
        .maybe("breath", of.breath.as_deref().map(Ron::text))
        .maybe("fault", of.fault.as_ref().map(fault))
        .unless_empty("easier", options(&of.easier))
        .unless_empty("harder", options(&of.harder))
        .unless_empty("instead", options(&of.instead))
        .group("Move")
}

fn fault(of: &CommonFault) -> Ron {
    let fields = Written::default().with("see", Ron::text(&of.see));
    fields.with("say", Ron::text(&of.say)).group("")
}

fn option(of: &MoveOption) -> Ron {
    if let Some(other) = &of.stand_in {
        let its = other.of.as_ref().map_or("", |of| &of.call);
        let call = (of.call != its).then(|| Ron::text(&of.call));
        return Written::default()
            .with("as", Ron::text(&other.id))
            .maybe("call", call)
            .unless_empty("spares", words(&of.spares, Load::word))
            .group("");
    }
    Written::default()
        .with("call", Ron::text(&of.call))
        .unless_empty("spares", words(&of.spares, Load::word))
        .unless_empty("adds", words(&of.adds, Load::word))
        .maybe("position", of.position.map(Position::word).map(Ron::word))
        .maybe("impact", of.impact.map(Impact::word).map(Ron::word))
        .maybe("sides", of.sides.map(Sides::word).map(Ron::word))
        .unless_empty("equipment", Ron::texts(&of.equipment))
        .maybe("energy", of.energy.as_deref().map(Ron::text))
        .maybe("setup", of.setup.as_deref().map(Ron::text))
        .unless_empty("form", Ron::texts(&of.form))
        .group("")
}

fn words<W: Copy>(words: &[W], word: impl Fn(W) -> &'static str) -> Ron {
    Ron::words(words.iter().map(|of| word(*of)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every move of the library, written into a file for a library that has none of them, is the
    /// same move when it is read.
    #[test]
    fn every_move_reads_back_as_it_was() {
        let library = Library::builtin();
        let text = Ron::List(own_moves(&library, &Library::default())).file();
        let read = Library::read("moves", &text).expect("a library");
        let read = Library::default().with(read);
        assert_eq!(read.len(), library.len());
        for of in &library {
            assert_eq!(read.get(&of.id), Some(of));
        }
    }

    #[test]
    fn what_the_library_has_is_not_written_and_what_a_version_needs_is() {
        let library = Library::builtin();
        assert_eq!(own_moves(&library, &library), Vec::new());
        let stands_in = |of: &&Arc<Move>| of.options().any(|(_, option)| option.stand_in.is_some());
        let of = library.iter().find(stands_in).expect("a move by another");
        let none = Library::default();
        let text = Ron::List(own_moves([of], &none)).file();
        let read = none.with(Library::read("moves", &text).expect("a library"));
        assert!(read.len() > 1);
        assert_eq!(read.get(&of.id), Some(of));
    }
}
