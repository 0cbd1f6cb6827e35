//! How the slot is shared: warm-up, cool-down, and blocks and rounds that come near what is left.

use super::shape::{BlockWish, Ground};
use super::wishes::{Level, Wishes};
use crate::plan::Timeline;
use crate::session::Session;
use crate::time::Span;

/// A class so long has a whole warm-up and a whole cool-down: 5 to 10 minutes each (ACSM, from a
/// secondary text).
const WHOLE: Span = Span::from_secs(25 * 60);
/// The least of a whole one, with what a fit may take from it.
const FRAME: Span = Span::from_secs(330);
/// The most that a draft gives it by itself.
const MOST: Span = Span::from_secs(480);
/// The times of a draft before they are fitted may differ so much from what is to be filled, in
/// hundredths: a little under, so that recoveries grow and do not shrink.
const UNDER: i64 = 3;

/// How long warm-up and cool-down are in a class of a length: 14 and 13 in a hundred, in a short one 18
/// and 15 (common practice, no source).
pub(super) fn frames(target: Span) -> (Span, Span) {
    let part = |hundredths: u64| Span::from_secs(target.secs_floor() * hundredths / 100 / 5 * 5);
    if target < WHOLE {
        let least = Span::from_secs(90);
        return (part(18).max(least), part(15).max(least));
    }
    let whole = |span: Span| span.max(FRAME).min(MOST);
    (whole(part(14)), whole(part(13)))
}

/// How many steps fit into a part of a frame.
pub(super) fn steps(frame: Span) -> usize {
    usize::try_from(frame.secs_floor() / 48)
        .unwrap_or(7)
        .clamp(3, 8)
}

/// The blocks of a class for which no shape is wished: on the feet, then on the floor, as many as the
/// slot has room for (common practice, no source), or so many `more`.
pub(super) fn shape(wishes: &Wishes, target: Span, more: usize) -> Vec<BlockWish> {
    let count = match target.secs_floor() / 60 {
        0..=21 => 1,
        22..=38 => 2,
        39..=64 => 3,
        65..=89 => 4,
        _ => 5,
    };
    // On a floor block more a class of three stays on its feet twice.
    let count = if count == 3 && target < Span::from_secs(50 * 60) {
        2
    } else {
        count
    };
    let (work, rest) = match wishes.level {
        Level::Beginner => (30, 20),
        Level::Mixed => (40, 20),
        Level::Advanced => (45, 15),
    };
    vec![BlockWish::same(4, 3, work, rest); count + more]
}

/// Where each block is done: as it is wished, else the first ones on the feet and the last ones on
/// the floor, so that everybody goes down once. `down` of those that say nothing are on the floor.
pub(super) fn grounds(shape: &[BlockWish], down: usize) -> Vec<Ground> {
    let free = shape.iter().filter(|block| block.ground.is_none()).count();
    let mut so_far = 0;
    let mut of = |block: &BlockWish| {
        block.ground.unwrap_or_else(|| {
            so_far += 1;
            if so_far + down > free {
                Ground::Floor
            } else {
                Ground::Standing
            }
        })
    };
    shape.iter().map(&mut of).collect()
}

/// Where the blocks could be done, the likeliest first: on the feet and then on the floor, and where
/// `chairs` can be used with one of the blocks at them, or all.
pub(super) fn ways(shape: &[BlockWish], chairs: bool) -> Vec<Vec<Ground>> {
    let mut ways: Vec<Vec<Ground>> = (ways_down(shape).into_iter())
        .map(|down| grounds(shape, down))
        .collect();
    if !chairs {
        return ways;
    }
    let usual = ways[0].clone();
    let is_free = |n: &usize| shape[*n].ground.is_none();
    let mut free: Vec<usize> = (0..shape.len()).filter(is_free).collect();
    // A chair is on the way from the feet to the floor.
    let on_feet = usual.iter().filter(|on| **on == Ground::Standing).count();
    free.sort_by_key(|n| (n + 1).abs_diff(on_feet));
    let seated = |those: &[usize]| {
        let mut way = usual.clone();
        for &n in those {
            way[n] = Ground::Chair;
        }
        way
    };
    for way in free.iter().map(|n| seated(&[*n])).chain([seated(&free)]) {
        if !ways.contains(&way) {
            ways.push(way);
        }
    }
    ways
}

/// How many of the blocks that say nothing are on the floor, the likeliest first.
fn ways_down(shape: &[BlockWish]) -> Vec<usize> {
    let free = shape.iter().filter(|block| block.ground.is_none()).count();
    let mut ways: Vec<usize> = (0..=free).collect();
    ways.sort_by_key(|down| down.abs_diff(free / 2));
    ways
}

/// Whether the times of a class can well be stretched or shortened to a length: by an eighth at the most,
/// beyond which another number of rounds is nearer to what was meant (common practice, no source).
pub(super) fn is_near(session: &Session, target: Span) -> bool {
    let off = signed(Timeline::of(session).total()) - signed(target);
    off.abs() * 8 <= signed(target)
}

/// The most blocks that a wished shape grows to.
const MOST_BLOCKS: usize = 8;

/// A shape that is far too short for a length with its blocks once more, with other moves, until
/// rounds alone can do it: nobody wants forty minutes of three moves.
pub(super) fn long_enough(
    mut shape: Vec<BlockWish>,
    target: Span,
    plan: impl Fn(&[BlockWish]) -> Session,
) -> Vec<BlockWish> {
    let count = shape.len();
    while shape.len() < MOST_BLOCKS
        && signed(Timeline::of(&plan(&shape)).total()) * 10 < signed(target) * 7
    {
        shape.push(shape[shape.len() - count].clone());
    }
    shape
}

/// A wished shape comes no more often than so in a class, however long: beyond it the class would be
/// another than the one that was wished (judgement, no source).
pub(super) const MOST_GROWN: u64 = 16;

/// Whether a shape has so much more work than the wished one that little of that is left.
pub(super) fn is_grown_too_much(shape: &[BlockWish], wished: &[BlockWish]) -> bool {
    let work = |of: &[BlockWish]| -> u64 { of.iter().map(all_work).sum() };
    work(shape) > work(wished) * MOST_GROWN
}

fn all_work(block: &BlockWish) -> u64 {
    block.work_of_a_move().millis() * block.moves as u64
}

/// Rounds that bring a class near to a length. `plan` lays the class of a shape out. A shape that is
/// free has moves added too and comes as near as it can; a wished one gains or loses in all of its
/// blocks alike.
pub(super) fn near(
    shape: Vec<BlockWish>,
    target: Span,
    is_free: bool,
    plan: impl Fn(&[BlockWish]) -> Session,
) -> Vec<BlockWish> {
    let off = |shape: &[BlockWish]| {
        let total = Timeline::of(&plan(shape)).total();
        let (total, target) = (signed(total), signed(target));
        let by = total - target * (100 - UNDER) / 100;
        // To be over costs more: what is too long takes from recoveries.
        if by > 0 { by * 2 } else { -by }
    };
    let begun = shape.clone();
    let mut now = shape;
    let mut least = off(&now);
    // Each step is a single change for the better; a shape of any length comes there in as many steps
    // as it has rounds to gain or to lose.
    for _ in 0..MOST_STEPS {
        let others = (0..now.len()).flat_map(|n| changes(&now, n, is_free));
        let mut better: Vec<(i64, Vec<BlockWish>)> = others
            .map(|other| (off(&other), other))
            .filter(|(by, _)| *by < least)
            .collect();
        better.sort_by_key(|(by, other)| (if is_free { 0 } else { spread(other, &begun) }, *by));
        let Some((by, best)) = better.into_iter().next() else {
            break;
        };
        (now, least) = (best, by);
    }
    now
}

/// How far apart the blocks of a shape are in what they have of their first work, in hundredths.
fn spread(shape: &[BlockWish], begun: &[BlockWish]) -> u64 {
    let grown = shape
        .iter()
        .zip(begun)
        .map(|(now, begun)| 100 * all_work(now) / all_work(begun).max(1));
    let grown: Vec<u64> = grown.collect();
    let most = grown.iter().max().copied().unwrap_or_default();
    most - grown.iter().min().copied().unwrap_or_default()
}

/// The most changes from a shape to the one that fits.
const MOST_STEPS: usize = 200;
/// Moves and rounds of a block that a draft makes by itself.
const OWN_MOVES: std::ops::RangeInclusive<usize> = 3..=6;
const OWN_ROUNDS: std::ops::RangeInclusive<u32> = 2..=5;

/// A block with a round more or less; of one that is free also a move.
fn changes(shape: &[BlockWish], n: usize, is_free: bool) -> Vec<Vec<BlockWish>> {
    let block = &shape[n];
    let rounds = [true, false].map(|more| block.with_rounds(more));
    let rounds = rounds
        .into_iter()
        .flatten()
        .filter(|block| !is_free || OWN_ROUNDS.contains(&block.rounds()));
    let moves = [block.moves + 1, block.moves - 1]
        .into_iter()
        .filter(|moves| is_free && OWN_MOVES.contains(moves));
    let moves = moves.map(|moves| BlockWish {
        moves,
        ..block.clone()
    });
    let with = |block: BlockWish| {
        let mut other = shape.to_vec();
        other[n] = block;
        other
    };
    rounds.chain(moves).map(with).collect()
}

fn signed(span: Span) -> i64 {
    i64::try_from(span.millis()).unwrap_or(i64::MAX / 200)
}

#[cfg(test)]
mod tests {
    use super::*;
    use Ground::{Chair, Floor, Standing};

    #[test]
    fn everybody_goes_down_once() {
        let shape: Vec<BlockWish> = vec![BlockWish::same(4, 3, 40, 20); 4];
        assert_eq!(ways_down(&shape)[0], 2);
        assert_eq!(grounds(&shape, 2), [Standing, Standing, Floor, Floor]);
        assert_eq!(grounds(&shape, 0), [Standing; 4]);
        let mut wished = shape.clone();
        wished[1].ground = Some(Chair);
        assert_eq!(grounds(&wished, 1), [Standing, Chair, Standing, Floor]);
    }

    #[test]
    fn a_chair_is_a_way_where_there_are_chairs() {
        let shape = vec![BlockWish::same(4, 3, 40, 20); 3];
        let (without, with) = (ways(&shape, false), ways(&shape, true));
        assert!(without.iter().flatten().all(|on| *on != Chair));
        assert_eq!(with[..without.len()], without[..], "the usual ways first");
        for way in [[Standing, Chair, Floor], [Chair; 3]] {
            assert!(with.contains(&way.to_vec()), "{way:?}");
        }
        let mut standing = shape;
        standing[0].ground = Some(Standing);
        assert!(ways(&standing, true).iter().all(|way| way[0] == Standing));
    }

    #[test]
    fn frames_have_five_minutes_or_more_in_a_whole_class() {
        for minutes in 25..120 {
            let (warm, cool) = frames(Span::from_secs(minutes * 60));
            assert!(
                warm >= Span::from_secs(300) && cool >= Span::from_secs(300),
                "{minutes}"
            );
            assert!(steps(warm) >= 5);
        }
        let (warm, cool) = frames(Span::from_secs(12 * 60));
        assert!(warm + cool < Span::from_secs(300));
    }
}
