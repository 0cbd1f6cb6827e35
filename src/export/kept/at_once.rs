//! Works in which several moves were done at once: goings round that went evenly as such, others
//! work by work, each station with the group that was there.

use super::block::Block;
use super::plan::Stations;
use super::turn::Turn;
use super::works::{Meanwhile, Work};
use crate::session::{Ron, Written};
use crate::time::Span;

/// What the works of a part become: blocks, and the pauses between them.
pub(super) enum Made<'a> {
    Block(Block),
    Pause(Span, Option<&'a Turn>),
}

/// The works of a part as blocks, what went evenly together.
pub(super) fn made(works: &[Work]) -> Vec<Made<'_>> {
    let (mut out, mut rest) = (Vec::new(), works);
    while !rest.is_empty() {
        let (block, long) = match whole(rest) {
            Some(one) => rounds(rest, &one),
            None => (alone(&rest[0]), 1),
        };
        out.push(Made::Block(block));
        let pauses = rest[long - 1].pauses.iter();
        out.extend(pauses.map(|one| Made::Pause(one.ran, one.turn.as_ref())));
        rest = &rest[long..];
    }
    out
}

/// A going round from its first work to its last, all works and all swaps alike.
#[derive(PartialEq)]
struct Whole<'a> {
    stations: &'a Stations,
    work: Span,
    swap: Span,
    works: usize,
}

fn whole(works: &[Work]) -> Option<Whole<'_>> {
    let first = works.first()?;
    let stations = first.stations.as_ref()?;
    let these = works.get(..stations.works)?;
    let goes = these.iter().enumerate().all(|(n, work)| {
        let of = work.stations.as_ref();
        let same = of.is_some_and(|of| of.nth == n + 1 && of.is_alike(stations));
        same && work.ran == first.ran
            && (n + 1 == these.len() || stands(work) && work.gap() == first.gap())
    });
    (goes && stations.works > 1).then_some(Whole {
        stations,
        work: first.ran,
        swap: first.gap(),
        works: stations.works,
    })
}

/// Whether people stood still in the pause after a work, if there was one.
fn stands(work: &Work) -> bool {
    matches!(work.meanwhile(), Meanwhile::NoPause | Meanwhile::One(None))
}

/// As many goings round as follow one another alike, with the same pause between; how many works
/// that is.
fn rounds(works: &[Work], one: &Whole) -> (Block, usize) {
    let gap = works[one.works - 1].gap();
    let chunks = works.chunks(one.works);
    let alike = chunks.take_while(|chunk| whole(chunk).is_some_and(|other| other.is_alike(one)));
    let alike: Vec<&[Work]> = alike.collect();
    let is_even = |chunk: &&&[Work]| {
        let last = &chunk[one.works - 1];
        stands(last) && last.gap() == gap
    };
    let even = alike.iter().take_while(is_even).count();
    // The last of them may have another pause behind it.
    let count = (even + 1).min(alike.len());
    let rest = if count > 1 { gap } else { Span::ZERO };
    let together = one.stations.written().with("swap", Ron::time(one.swap));
    let block = block(together.group("Together"), count, one.work, rest);
    (block, count * one.works)
}

impl Whole<'_> {
    fn is_alike(&self, other: &Self) -> bool {
        self.stations.is_alike(other.stations) && (self.work, self.swap) == (other.work, other.swap)
    }
}

/// One work by itself.
fn alone(work: &Work) -> Block {
    let moves = match &work.stations {
        Some(stations) => {
            let here = stations.as_people_stand().written();
            here.with("rotate", Ron::word(false)).group("Together")
        }
        None => work.turn.written(None, None),
    };
    block(moves, 1, work.ran, Span::ZERO)
}

fn block(moves: Ron, rounds: usize, work: Span, rest: Span) -> Block {
    let pattern = Written::default()
        .with("rounds", Ron::word(rounds))
        .with("work", Ron::time(work))
        .with("rest", Ron::time(rest))
        .group("Same");
    Block {
        moves: vec![moves],
        pattern,
        ..Block::default()
    }
}

impl Stations {
    fn is_alike(&self, other: &Self) -> bool {
        (&self.turns, self.by_key) == (&other.turns, other.by_key)
    }

    /// The stations as the groups stood at them in this work, the first group's first.
    fn as_people_stand(&self) -> Self {
        let mut here = self.clone();
        let on = (self.nth - 1) % here.turns.len().max(1);
        here.turns.rotate_left(on);
        here
    }

    fn written(&self) -> Written {
        let turns = self.turns.iter();
        let turns = turns.map(|turn| turn.written(None, None));
        Written::default()
            .with("moves", Ron::List(turns.collect()))
            .maybe("ends", self.by_key.then(|| Ron::word("ByKey")))
    }
}
