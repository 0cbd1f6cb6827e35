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
        let rings = rings(&steps(library));
        for option in named.iter().filter(|option| option.id != option.owner) {
            let Some((harder, easier)) = option.step() else {
                continue;
            };
            let ring = rings.get(harder);
            if ring.is_some() && ring == rings.get(easier) {
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

/// From each move to those one step away.
type Ways<'a> = HashMap<&'a str, Vec<&'a str>>;

/// The ring that each move is on: two moves are on one ring where each is easier than the other, at
/// once or by way of others. A walk down gives the order, walks up in its reverse the rings
/// (Kosaraju's algorithm, as in textbooks of graphs).
fn rings<'a>(steps: &[(&'a str, &'a str)]) -> HashMap<&'a str, usize> {
    let (mut down, mut up) = (Ways::new(), Ways::new());
    for &(harder, easier) in steps {
        down.entry(harder).or_default().push(easier);
        up.entry(easier).or_default().push(harder);
    }
    let (mut order, mut seen) = (Vec::new(), HashSet::new());
    for &(harder, _) in steps {
        order.extend(walk(harder, &down, &mut seen));
    }
    let (mut rings, mut seen) = (HashMap::new(), HashSet::new());
    for (ring, id) in order.into_iter().rev().enumerate() {
        for on_it in walk(id, &up, &mut seen) {
            rings.insert(on_it, ring);
        }
    }
    rings
}

/// Every move that is reached and was not seen before; each comes after those beyond it.
fn walk<'a>(from: &'a str, ways: &Ways<'a>, seen: &mut HashSet<&'a str>) -> Vec<&'a str> {
    let (mut done, mut open) = (Vec::new(), Vec::new());
    if seen.insert(from) {
        open.push((from, 0));
    }
    while let Some((id, next)) = open.last_mut() {
        let way = ways.get(id).and_then(|ways| ways.get(*next));
        *next += 1;
        match way {
            Some(way) if seen.insert(way) => open.push((way, 0)),
            Some(_) => {}
            None => done.extend(open.pop().map(|(id, _)| id)),
        }
    }
    done
}
