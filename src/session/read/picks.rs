//! The version of a move that a place chooses, by its number in its list.

use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::Arc;

use super::super::moves::{Move, Pick};
use super::super::source::clipped;
use super::super::tree::{Node, Shape};
use super::Reader;
use super::by_round::{ByRound, Rounds};
use super::fields::Fields;

/// The lists of a move's versions, of which one is chosen.
const LISTS: [&str; 3] = ["easier", "harder", "instead"];

/// The number of a version in a file, and where it stands.
type Number = (i128, Range<usize>);

impl<'s> Reader<'s> {
    /// The version that is chosen in each round.
    pub(super) fn picks(
        &mut self,
        fields: &Fields<'s>,
        of: Option<&ByRound<Arc<Move>>>,
        rounds: Rounds,
    ) -> Option<ByRound<Pick>> {
        let read = |r: &mut Self, n: &Node<'s>, l: &str| {
            if let Shape::Whole(number) = n.shape {
                return Some((number, n.head()));
            }
            r.wrong(n, &format!("{l} takes the number of an option, such as 1"));
            None
        };
        let lists = LISTS.map(|key| self.by_round((fields, key, rounds), read));
        let [Some(easier), Some(harder), Some(instead)] = lists else {
            return None;
        };
        let (of, lists) = (of?, [easier, harder, instead]);
        let chosen = lists.iter().fold(0, |most, list| most.max(list.len()));
        let count = if chosen == 0 { 0 } else { chosen.max(of.len()) };
        let mut told = BTreeSet::new();
        let mut picks = Vec::new();
        for round in 0..count {
            match self.pick(round, of, &lists, &mut told) {
                Ok(pick) => picks.push(pick),
                Err(Told) => return None,
            }
        }
        Some(ByRound::of(picks))
    }

    /// The version that is chosen in a round. A fault is told where it first comes up.
    fn pick(
        &mut self,
        round: usize,
        of: &ByRound<Arc<Move>>,
        lists: &[ByRound<Number>; 3],
        right: &mut BTreeSet<(usize, String)>,
    ) -> Result<Option<Pick>, Told> {
        let chosen = LISTS.iter().zip(lists);
        let chosen: Vec<(&str, &Number)> = chosen
            .filter_map(|(key, list)| Some((*key, list.get(round)?)))
            .collect();
        match chosen.as_slice() {
            [] => Ok(None),
            [(which, (number, at))] => {
                let of = of.get(round).ok_or(Told)?;
                let place = if right.contains(&(at.start, of.id.clone())) {
                    usize::try_from(*number - 1).map_err(|_| Told)?
                } else {
                    self.option_number(*number, at.clone(), Some(of), which)
                        .ok_or(Told)?
                };
                right.insert((at.start, of.id.clone()));
                Ok(Some(match *which {
                    "easier" => Pick::Easier(place),
                    "harder" => Pick::Harder(place),
                    _ => Pick::Instead(place),
                }))
            }
            [(first, _), .., (last, (_, at))] => {
                let message = format!("`{first}` and `{last}` cannot both be chosen");
                self.fault(at.clone(), message, "take one of them away");
                Err(Told)
            }
        }
    }

    /// The place of an option in its list, from its number in the file, which counts from 1.
    fn option_number(
        &mut self,
        n: i128,
        at: Range<usize>,
        of: Option<&Move>,
        which: &str,
    ) -> Option<usize> {
        let of = of?;
        let options = match which {
            "easier" => &of.easier,
            "harder" => &of.harder,
            _ => &of.instead,
        };
        let index = usize::try_from(n).ok().and_then(|n| n.checked_sub(1));
        if let Some(index) = index.filter(|index| *index < options.len()) {
            return Some(index);
        }
        let id = clipped(&of.id);
        let kind = match which {
            "instead" => "`instead`",
            which => which,
        };
        let message = match options.len() {
            0 => format!("`{id}` has no {kind} option"),
            1 => format!("`{id}` has one {kind} option, there is no number {n}"),
            many => format!("`{id}` has {many} {kind} options, there is no number {n}"),
        };
        let calls: Vec<String> = (options.iter().enumerate())
            .map(|(i, option)| format!("{} {}", i + 1, option.call))
            .collect();
        let help = if calls.is_empty() {
            "take it away".into()
        } else {
            format!("they are: {}", calls.join(", "))
        };
        self.fault(at, message, &help);
        None
    }
}

/// It has been told what is wrong.
struct Told;
