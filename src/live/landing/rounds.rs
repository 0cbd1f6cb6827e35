//! Which round is given up next: the last of the last block with most rounds left; and which of
//! those given up is put back.
//!
//! How much time is over is not known here; rounds are asked for one after another.

use std::collections::{BTreeMap, BinaryHeap, HashMap, HashSet};

use super::left::Left;
use crate::plan::{Kind, Placed, Rotation, Shape};
use crate::time::Span;

/// The rounds of which nothing has begun, by block.
pub(super) struct Rounds {
    blocks: BTreeMap<usize, Block>,
    /// Blocks by how many rounds they have left; of equals the last comes first.
    most: BinaryHeap<(usize, usize)>,
    /// Blocks that could give up nothing; they can once what follows them went.
    waiting: Vec<(usize, usize)>,
    has_dropped: bool,
}

/// A block's rounds in order, a window of a grid each a round.
struct Block {
    shape: Shape,
    /// The works of each. A window has one without any behind it: what it gives to stay, becoming
    /// as short as a window may be.
    rounds: Vec<Vec<usize>>,
    /// How many of them stay.
    kept: usize,
    /// What went with each of those that went.
    went: BTreeMap<usize, Vec<usize>>,
}

impl Rounds {
    pub(super) fn of(all: &[Placed], n: usize) -> Self {
        let blocks: BTreeMap<usize, Block> = works_ahead(all, n)
            .into_iter()
            .map(|(block, (shape, rounds))| (block, Block::of(shape, rounds.into_values())))
            .collect();
        let most = blocks.iter().map(|(&block, of)| (of.kept, block));
        Self {
            most: most.filter(|&(kept, _)| kept > 0).collect(),
            blocks,
            waiting: Vec::new(),
            has_dropped: false,
        }
    }

    /// Gives up one round, or more windows than one where one alone leaves too little time to
    /// change. Whether there was one.
    pub(super) fn drop_one(&mut self, left: &mut Left<'_>) -> bool {
        while let Some((kept, block)) = self.next() {
            let Some(of) = self.blocks.get_mut(&block) else {
                continue;
            };
            let Some(keep) = of.fewer(left) else {
                self.waiting.push((kept, block));
                continue;
            };
            of.drop_to(keep, left);
            self.has_dropped = true;
            self.most.extend((keep > 0).then_some((keep, block)));
            return true;
        }
        false
    }

    /// The next block to ask; those that wait are asked again once others have given up a round.
    fn next(&mut self) -> Option<(usize, usize)> {
        if self.most.is_empty() && std::mem::take(&mut self.has_dropped) {
            self.most.extend(self.waiting.drain(..));
        }
        self.most.pop()
    }

    /// Puts back what went as long as the class still fits, the longest round first.
    pub(super) fn put_back(&mut self, left: &mut Left<'_>, fits: impl Fn(&Left<'_>) -> bool) {
        let mut is_done = false;
        while !is_done {
            is_done = true;
            let blocks = self.blocks.iter();
            let mut longest: BinaryHeap<(Span, usize)> = blocks
                .filter_map(|(&block, of)| Some((of.next_length(left)?, block)))
                .collect();
            while let Some((_, block)) = longest.pop() {
                let Some(of) = self.blocks.get_mut(&block) else {
                    continue;
                };
                if of.grow(left, &fits) {
                    is_done = false;
                    longest.extend(of.next_length(left).map(|length| (length, block)));
                }
            }
        }
    }

    /// The works of all rounds that went.
    pub(super) fn given_up(self) -> Vec<usize> {
        let blocks = self.blocks.into_values();
        let rounds = blocks.flat_map(|block| block.rounds.into_iter().skip(block.kept));
        rounds.flatten().collect()
    }
}

impl Block {
    fn of(shape: Shape, rounds: impl Iterator<Item = Vec<usize>>) -> Self {
        let rounds: Vec<Vec<usize>> = rounds.collect();
        Self {
            shape,
            kept: rounds.len(),
            rounds,
            went: BTreeMap::new(),
        }
    }

    /// How many rounds stay when the last goes; nothing where it cannot go.
    fn fewer(&self, left: &Left<'_>) -> Option<usize> {
        (0..self.kept).rev().find(|&keep| self.may_end(keep, left))
    }

    /// How many rounds stay when the next is put back.
    fn more(&self, left: &Left<'_>) -> Option<usize> {
        (self.kept + 1..=self.rounds.len()).find(|&keep| self.may_end(keep, left))
    }

    /// How long the round is that would be put back next.
    fn next_length(&self, left: &Left<'_>) -> Option<Span> {
        let went = self.went.range(self.kept..self.more(left)?);
        let went = went.flat_map(|(_, went)| went);
        let shortened = self.rounds[0].iter();
        let shortened = shortened.filter(|_| self.is_shortening(self.kept));
        Some(went.chain(shortened).map(|&i| left.all[i].span()).sum())
    }

    fn drop_to(&mut self, keep: usize, left: &mut Left<'_>) {
        for round in (keep..self.kept).rev() {
            let went = self.leave_out(round, left);
            self.went.insert(round, went);
        }
        self.kept = keep;
    }

    /// Leaves a round out; tells what went with it.
    fn leave_out(&self, round: usize, left: &mut Left<'_>) -> Vec<usize> {
        if self.is_shortening(round) {
            self.loosen(left, true);
            return Vec::new();
        }
        let works = &self.rounds[round];
        let mut went: Vec<usize> = works
            .iter()
            .flat_map(|&work| match self.shape {
                Shape::Grid { .. } => left.with_pause_after(work),
                _ => left.with_pause_before(work),
            })
            .collect();
        left.drop(&went);
        if round == 0
            && let Some(lead) = self.idle_lead(left)
        {
            left.drop(&lead);
            went.extend(lead);
        }
        went
    }

    /// Whether it is no round, but what a window gives to stay.
    fn is_shortening(&self, round: usize) -> bool {
        self.rounds[round].is_empty()
    }

    fn loosen(&self, left: &mut Left<'_>, is_loose: bool) {
        for &window in &self.rounds[0] {
            left.loosen(window, is_loose);
        }
    }

    /// What led to the block, where nothing of it has been or will be taught.
    fn idle_lead(&self, left: &Left<'_>) -> Option<Vec<usize>> {
        let &first = self.rounds.first()?.first()?;
        let block = left.all[first].block();
        let is_of_block = |b: usize| left.all[b].block() == block;
        let stays = left.before(first).is_some_and(is_of_block);
        let goes_on = left.stays.range(first..).next().copied();
        let is_whole = !stays && !goes_on.is_some_and(is_of_block);
        is_whole.then(|| left.idle_lead(first))
    }

    /// Puts the next round back if the class then fits; whether it does.
    fn grow(&mut self, left: &mut Left<'_>, fits: impl Fn(&Left<'_>) -> bool) -> bool {
        let (was, Some(keep)) = (self.kept, self.more(left)) else {
            return false;
        };
        for round in was..keep {
            if self.is_shortening(round) {
                self.loosen(left, false);
            }
            left.put_back(&self.went[&round]);
        }
        let works = self.rounds[was..keep].iter().flatten();
        if works.copied().all(|work| left.is_led_to(work)) && fits(left) {
            self.went.retain(|&round, _| round >= keep);
            self.kept = keep;
            return true;
        }
        for round in (was..keep).rev() {
            if self.is_shortening(round) {
                self.loosen(left, true);
            }
            left.drop(&self.went[&round]);
        }
        false
    }

    /// Whether the block may end after so many of its rounds: in a grid not where the move that
    /// follows would come too soon, unless it was planned to come as soon.
    fn may_end(&self, keep: usize, left: &Left<'_>) -> bool {
        let last = self.rounds.last().and_then(|works| works.last());
        let (Shape::Grid { .. }, Some(&last)) = (self.shape, last) else {
            return true;
        };
        let Some(next) = left.move_behind(last) else {
            return true;
        };
        let end = left.with_pause_after(last).last().map_or(last, |&end| end) + 1;
        let (from, rest) = self.end_after(keep, left, next);
        let need = left.need(from, next);
        let after = |length: fn(&Placed) -> Span| left.pause(end, next, need, length);
        let planned: Span = (last + 1..end).map(|i| left.all[i].planned).sum();
        rest + after(Placed::span) >= need.min(planned + after(|placed| placed.planned))
    }

    /// The move that a grid ends with after so many windows, and the rest that follows it there.
    fn end_after(&self, keep: usize, left: &Left<'_>, next: usize) -> (Option<usize>, Span) {
        if let Some(nth) = keep.checked_sub(1) {
            let works = &self.rounds[nth];
            let work = works[works.len() - 1];
            let rest = left.with_pause_after(work).into_iter().skip(1);
            return (Some(work), rest.map(|i| left.all[i].span()).sum());
        }
        let first = self.rounds[0][0];
        let from = left.move_before(first);
        let after = from.map_or(0, |from| from + 1);
        let need = left.need(from, next);
        (from, left.pause(after, first, need, Placed::span))
    }
}

type Works = BTreeMap<usize, Vec<usize>>;

/// The works of every block ahead, by the rounds of which nothing has begun.
fn works_ahead(all: &[Placed], n: usize) -> BTreeMap<usize, (Shape, Works)> {
    let begun = begun(all, n);
    let rotations = rotations_begun(all, n);
    let mut first_window: HashMap<Rotating, usize> = HashMap::new();
    let mut blocks: BTreeMap<usize, (Shape, Works)> = BTreeMap::new();
    for (i, placed) in all.iter().enumerate().skip(n + 1) {
        let Some(place) = placed.place.as_ref().filter(|_| placed.kind == Kind::Work) else {
            continue;
        };
        let (shape, nth) = (place.shape, place.round.nth);
        let in_one_go = matches!(shape, Shape::Rounds | Shape::Window);
        if in_one_go && begun.contains(&(place.block, nth)) {
            continue;
        }
        // Whoever has begun to go round the stations comes to all of them.
        let rotating = rotating(placed);
        if rotating.is_some_and(|of| rotations.contains(&of)) {
            continue;
        }
        let window = rotating.map_or(i, |of| *first_window.entry(of).or_insert(i));
        let round = if shape.is_grid() { window } else { nth };
        let (_, rounds) = blocks
            .entry(place.block)
            .or_insert_with(|| (place.shape, Works::new()));
        rounds.entry(round).or_default().push(i);
        if shape == Shape::Window {
            rounds.entry(round + 1).or_default();
        }
    }
    blocks
}

/// A going round of stations: its block, round and place.
type Rotating = (usize, usize, usize);

fn rotating(placed: &Placed) -> Option<Rotating> {
    let place = placed.place.as_ref()?;
    let goes_on = |of: &Rotation| of.turn.of > 1;
    let rotation = place.rotation.as_deref().filter(|of| goes_on(of));
    rotation.map(|_| (place.block, place.round.nth, place.place.nth))
}

/// The rounds of stations of which a work was taught or runs, and another is ahead.
fn rotations_begun(all: &[Placed], n: usize) -> HashSet<Rotating> {
    let works = all.iter().take(n + 1);
    let works = works.filter(|placed| placed.kind == Kind::Work);
    works.filter_map(rotating).collect()
}

/// The rounds of which a work was taught or runs, and is not to be taught again.
fn begun(all: &[Placed], n: usize) -> HashSet<(usize, usize)> {
    let ahead: HashSet<u32> = all.iter().skip(n + 1).map(|placed| placed.id).collect();
    let works = all.iter().take(n + 1);
    works
        .filter(|placed| placed.kind == Kind::Work && !ahead.contains(&placed.id))
        .filter_map(|placed| placed.place.as_ref())
        .map(|place| (place.block, place.round.nth))
        .collect()
}
