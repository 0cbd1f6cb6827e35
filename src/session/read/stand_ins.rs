//! Options that are other moves: whether those are there, and whether the ladders make sense.
//!
//! A move that stands in stands in as it is, without its own versions, so that two moves may name
//! each other: push-ups go down to the wall, and the wall goes up to push-ups. What cannot be is a
//! move that is easier than itself, at once or by way of others.

use std::collections::{BTreeSet, HashMap, HashSet};
use std::ops::Range;

use super::super::library::Library;
use super::super::moves::{Move, MoveOption};
use super::super::source::clipped;
use super::super::terms::Load;
use super::super::versions::Version;
use super::Reader;

/// An option that is another move, where it stands.
pub(super) struct Named {
    /// Where the other move's id stands.
    pub(super) at: Range<usize>,
    /// The move that has the option.
    pub(super) owner: String,
    /// The list it stands in.
    pub(super) key: &'static str,
    /// The other move.
    pub(super) id: String,
    /// What the option says it spares.
    pub(super) spares: Vec<Load>,
}

impl Named {
    /// From the harder move to the easier one, for a place in a ladder.
    fn step(&self) -> Option<(&str, &str)> {
        match self.key {
            "easier" => Some((&self.owner, &self.id)),
            "harder" => Some((&self.id, &self.owner)),
            _ => None,
        }
    }
}

impl Reader<'_> {
    /// Tells of every option that is another move and cannot be. `library` holds all moves there
    /// are, `broken` those that are faulty.
    pub(super) fn stand_ins_hold(&mut self, library: &Library, broken: &BTreeSet<String>) {
        let named = std::mem::take(&mut self.stand_ins);
        for option in &named {
            if option.id == option.owner {
                let message = format!("`{}` cannot stand in for itself", clipped(&option.id));
                self.fault(option.at.clone(), message, "name another move");
            } else if broken.contains(&option.id) {
                // It is told where it stands.
            } else if let Some(of) = library.get(&option.id) {
                self.spares_in_truth(option, of);
            } else {
                let ids = library.iter().map(|known| known.id.as_str());
                let near = self.like(&option.id, ids);
                let help = near.map_or_else(
                    || "`matside moves` lists the library".to_owned(),
                    |near| format!("did you mean \"{near}\"?"),
                );
                let message = format!("there is no move `{}`", clipped(&option.id));
                self.fault(option.at.clone(), message, &help);
            }
        }
        self.ladders_end(&named, library);
    }

    fn spares_in_truth(&mut self, option: &Named, of: &Move) {
        let loads = Version::of(of, None).loads();
        if let Some(load) = option.spares.iter().find(|load| loads.contains(load)) {
            let word = load.word();
            let message = format!("`{}` does not spare `{word}`", clipped(&option.id));
            let help = format!("take `{word}` out of `spares`, or name another move");
            self.fault(option.at.clone(), message, &help);
        }
    }

    /// No ladder of ease comes back to where it began.
    fn ladders_end(&mut self, named: &[Named], library: &Library) {
        let round = going_round(library);
        for option in named.iter().filter(|option| option.id != option.owner) {
            let Some((harder, easier)) = option.step() else {
                continue;
            };
            if round.contains(harder) && round.contains(easier) {
                let (a, b) = (clipped(harder), clipped(easier));
                let message = format!("`{b}` cannot be easier than `{a}`: the ladder comes back");
                let help = "somewhere below, the harder one is called the easier: take one away";
                self.fault(option.at.clone(), message, help);
            }
        }
    }
}

/// From harder moves to easier ones, by their ids.
fn steps(library: &Library) -> Vec<(&str, &str)> {
    let mut steps = Vec::new();
    let other = |option: &MoveOption| {
        let named = option.stand_in.as_ref()?;
        library.get(&named.id).map(|of| of.id.as_str())
    };
    for of in library {
        let easier = of.easier.iter().filter_map(other);
        steps.extend(easier.map(|easier| (of.id.as_str(), easier)));
        let harder = of.harder.iter().filter_map(other);
        steps.extend(harder.map(|harder| (harder, of.id.as_str())));
    }
    steps
}

/// The moves whose ladders come back to them: what is left when moves with nothing easier, and
/// then those with nothing harder, are taken away one by one.
fn going_round(library: &Library) -> HashSet<&str> {
    let steps = steps(library);
    let down: Vec<(&str, &str)> = left(&steps).into_iter().map(|(a, b)| (b, a)).collect();
    left(&down).into_iter().flat_map(|(a, b)| [a, b]).collect()
}

/// The steps from which one can always go on.
fn left<'a>(steps: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let mut onward: HashMap<&str, usize> = HashMap::new();
    let mut into: HashMap<&str, Vec<&str>> = HashMap::new();
    for &(from, to) in steps {
        *onward.entry(from).or_default() += 1;
        onward.entry(to).or_default();
        into.entry(to).or_default().push(from);
    }
    let ends = onward.iter().filter(|(_, steps)| **steps == 0);
    let mut open: Vec<&str> = ends.map(|(id, _)| *id).collect();
    let mut gone: HashSet<&str> = HashSet::new();
    while let Some(id) = open.pop() {
        gone.insert(id);
        for from in into.get(id).into_iter().flatten() {
            let steps = onward.get_mut(from).map_or(0, |steps| {
                *steps -= 1;
                *steps
            });
            if steps == 0 {
                open.push(from);
            }
        }
    }
    let stays = |step: &&(&str, &str)| !gone.contains(step.0) && !gone.contains(step.1);
    steps.iter().filter(stays).copied().collect()
}
