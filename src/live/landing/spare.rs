//! What can be done with time in hand: longer recoveries, or one more round.
//!
//! It refuses to choose; the instructor does.

use super::left::Left;
use super::shape::{Shape, block_of, shapes};
use super::{Draft, Landing, Spot, finished, lengthen};
use crate::plan::{Interval, Kind};
use crate::session::Cueing;
use crate::time::Span;

pub(super) fn choices(spot: &Spot<'_>, cueing: &Cueing) -> Vec<Landing> {
    let left = Left::of(spot.plan, spot.n, cueing);
    let in_hand = spot.in_hand(left.after());
    let recoveries = left.recoveries();
    let with = |copies: Vec<Copy>| {
        let more: Span = copies.iter().map(|copy| copy.2).sum();
        let mut draft = Draft {
            copies,
            ..Draft::default()
        };
        lengthen(&recoveries, spot.plan, in_hand.less(more), &mut draft);
        (more <= in_hand).then(|| finished(spot, &draft))
    };
    let longer = with(Vec::new());
    let round = one_more(&left).and_then(with);
    let mut choices: Vec<Landing> = longer.into_iter().chain(round).collect();
    choices.retain(|choice| !choice.changes.is_empty());
    choices
}

/// What is copied, after what, how long, and in which round it stands.
type Copy = (usize, usize, Span, usize);

/// One more round of the last block that is not over and has rounds.
fn one_more(left: &Left<'_>) -> Option<Vec<Copy>> {
    let (all, n) = (left.all, left.n);
    let mut at = all.len();
    while let Some(end) = (n..at).rev().find(|&i| all[i].place.is_some()) {
        let block = block_of(&all[end]);
        let of: Vec<usize> = (0..=end).filter(|&i| block_of(&all[i]) == block).collect();
        if of.iter().all(|&i| all[i].moves.len() <= 1) {
            let shape = shapes(all).get(&block?).copied()?;
            return match shape {
                Shape::Emom => minute(left, &of),
                Shape::ByRound => round(left, &of),
                Shape::ByMove => sets(all, &of, n),
            };
        }
        at = *of.first()?;
    }
    None
}

fn round_of(all: &[Interval], i: usize) -> usize {
    all[i].place.as_ref().map_or(0, |place| place.round)
}

fn works(all: &[Interval], of: &[usize]) -> Vec<usize> {
    of.iter()
        .copied()
        .filter(|&i| all[i].kind == Kind::Work)
        .collect()
}

/// The pause of the block that leads to one of its works.
fn lead(all: &[Interval], of: &[usize], work: usize) -> Vec<usize> {
    let before = of.iter().rev().filter(|&&i| i < work);
    let mut lead: Vec<usize> = before
        .copied()
        .take_while(|&i| !all[i].kind.is_moving())
        .collect();
    lead.reverse();
    lead
}

/// The minute of the move whose turn it is.
fn minute(left: &Left<'_>, of: &[usize]) -> Option<Vec<Copy>> {
    let all = left.all;
    let (&end, works) = (of.last()?, works(all, of));
    let places = all[end].place.as_ref()?.places;
    let work = works[works.len().checked_sub(places)?];
    let rest = of.iter().copied().find(|&i| i > work)?;
    let round = works.len() / places + 1;
    let pause: Span = all[end + 1..]
        .iter()
        .take_while(|interval| !interval.kind.is_moving())
        .map(|interval| interval.length)
        .sum();
    let next = (end + 1..all.len()).find(|&i| all[i].kind.is_moving());
    let enough = next.is_none_or(|next| all[rest].planned + pause >= left.need(Some(work), next));
    let copy = |i: usize| (i, end, all[i].planned, round);
    enough.then(|| vec![copy(work), copy(rest)])
}

/// The last round, with the pause that led to it; after a single round a rest leads to the next.
fn round(left: &Left<'_>, of: &[usize]) -> Option<Vec<Copy>> {
    let all = left.all;
    let (&end, works) = (of.last()?, works(all, of));
    let last = works.iter().map(|&work| round_of(all, work)).max()?;
    let first = *works.iter().find(|&&work| round_of(all, work) == last)?;
    let copy = |i: usize| (i, end, all[i].planned, last + 1);
    let mut copies: Vec<Copy> = if works[0] == first {
        let rest = *of.iter().rev().find(|&&i| all[i].kind == Kind::Rest)?;
        let need = left.need(works.last().copied(), first);
        vec![(rest, end, all[rest].planned.max(need), last + 1)]
    } else {
        lead(all, of, first).into_iter().map(copy).collect()
    };
    copies.extend(of.iter().copied().filter(|&i| i >= first).map(copy));
    Some(copies)
}

/// One more set of each move, where none has had its last yet.
fn sets(all: &[Interval], of: &[usize], n: usize) -> Option<Vec<Copy>> {
    let works = works(all, of);
    let last = works.iter().map(|&work| round_of(all, work)).max()?;
    let mut copies = Vec::new();
    for work in works
        .into_iter()
        .filter(|&work| round_of(all, work) == last)
    {
        if work < n {
            return None;
        }
        let set = lead(all, of, work).into_iter().chain([work]);
        copies.extend(set.map(|i| (i, work, all[i].planned, last + 1)));
    }
    Some(copies)
}
