//! A move by any of its names: id, name or call, one or many of them, with or without hyphens.

use std::collections::HashMap;
use std::sync::Arc;

use super::library::Library;
use super::moves::Move;
use super::read::nearest;

/// The moves of a library by their names as they are compared; nothing for a name that several have.
pub(super) struct Names(HashMap<String, Option<Arc<Move>>>);

impl Names {
    pub(super) fn of(library: &Library) -> Self {
        let mut names: HashMap<String, Option<Arc<Move>>> = HashMap::new();
        for (key, of) in library
            .iter()
            .flat_map(|of| keys(of).map(move |key| (key, of)))
        {
            let entry = names.entry(key).or_insert_with(|| Some(Arc::clone(of)));
            if entry.as_ref().is_some_and(|other| other.id != of.id) {
                *entry = None;
            }
        }
        Self(names)
    }

    /// The only move that has this name, whichever way it is written.
    pub(super) fn get(&self, words: &str) -> Option<&Arc<Move>> {
        let wanted = one_of(&bare(words));
        self.0.get(&wanted).filter(|_| !wanted.is_empty())?.as_ref()
    }
}

impl Library {
    /// The move of this id, or the only one that has this name, whichever way it is written.
    #[must_use]
    pub fn named(&self, words: &str) -> Option<Arc<Move>> {
        let by_name = || Names::of(self).get(words).cloned();
        self.get(words).cloned().or_else(by_name)
    }

    /// The move whose id, name or call is most like these words, if any is near enough.
    #[must_use]
    pub fn nearest(&self, words: &str) -> Option<&Arc<Move>> {
        let names = |of: &'_ Arc<Move>| [of.id.clone(), of.name.clone(), of.call.clone()];
        let named: Vec<(String, &Arc<Move>)> = self
            .iter()
            .flat_map(|of| names(of).map(|name| (name, of)))
            .collect();
        let near = nearest(words, named.iter().map(|(name, _)| name.as_str()))?;
        let found = named.iter().find(|(name, _)| name == near)?;
        Some(found.1)
    }
}

/// The names of a move as they are compared.
fn keys(of: &Move) -> impl Iterator<Item = String> {
    let names = [of.id.as_str(), &of.name, &of.call];
    names.map(|name| one_of(&bare(name))).into_iter()
}

/// A name in small letters without spaces, hyphens and apostrophes.
pub(crate) fn bare(name: &str) -> String {
    let letters = name.chars().filter(|c| c.is_alphanumeric());
    letters.flat_map(char::to_lowercase).collect()
}

/// One of them, where the name tells of many.
fn one_of(many: &str) -> String {
    let one = match many.strip_suffix('s') {
        Some(one) if one.len() < 3 || one.ends_with('s') => many,
        Some(one) => match one.strip_suffix('e') {
            Some(short)
                if ["ch", "sh", "ss", "x"]
                    .iter()
                    .any(|end| short.ends_with(end)) =>
            {
                short
            }
            _ => one,
        },
        None => many,
    };
    one.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every name that the program prints of a move means that move, in each way of writing it.
    #[test]
    fn a_move_is_found_by_every_name_that_is_printed_of_it() {
        let library = Library::builtin();
        let names = Names::of(&library);
        for of in &library {
            for name in [&of.id, &of.name, &of.call] {
                for written in [
                    name.clone(),
                    name.to_uppercase(),
                    name.replace(['-', ' '], "_"),
                    name.replace('-', " "),
                    name.replace('\'', ""),
                    format!(" {name} "),
                ] {
                    let found = names.get(&written).map(|found| &found.id);
                    assert_eq!(found, Some(&of.id), "`{written}` of {}", of.id);
                }
            }
        }
    }

    #[test]
    fn one_or_many_are_the_same_move_and_another_word_is_none() {
        let library = Library::builtin();
        for (words, id) in [
            ("squats", Some("squat")),
            ("burpees", Some("burpee")),
            ("crunches", Some("crunch")),
            ("push ups", Some("push-up")),
            ("pushups", Some("push-up")),
            ("Childs pose", Some("child-pose")),
            ("planks", Some("plank")),
            ("dead bugs", Some("dead-bug")),
            ("shoulder presses", Some("shoulder-press")),
            ("", None),
            ("-", None),
            ("s", None),
            ("xyzzy", None),
        ] {
            let found = library.named(words).map(|of| of.id.clone());
            assert_eq!(found.as_deref(), id, "{words}");
        }
    }
}
