//! One class made from wishes: shape, moves, order, times.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::by_slot::{self, frames};
use super::candidate::Candidate;
use super::class::{Pieces, assembled};
use super::earlier::Earlier;
use super::fault::{CannotDraft, LONGEST, SHORTEST};
use super::frame::{Frame, Purpose, cool_down, warm_up};
use super::in_class::{For, turns};
use super::score::Score;
use super::shape::{BlockWish, Ground};
use super::steps::{cool_down_order, timed, warm_up_order};
use super::wishes::Wishes;
use super::work::{Placed, Work, work};
use super::worth::suits;
use crate::advice::arrange::{Pins, arrange};
use crate::advice::fit::Fit;
use crate::plan::Timeline;
use crate::session::{Cueing, Library, Part, Session, Step, Use};
use crate::time::Span;

mod told;

/// A class with what led to it.
pub(super) struct Made {
    pub(super) session: Session,
    pub(super) score: Score,
    /// The ids of the moves of its work.
    pub(super) work: BTreeSet<String>,
    /// The ids of the moves before and behind it.
    pub(super) frames: BTreeSet<String>,
    /// What is otherwise than wished, so that the slot is filled, in words.
    pub(super) adjusted: Vec<String>,
    /// Wishes that are not met, in words.
    pub(super) told: Vec<String>,
    /// Things that are there and that no move needs, in words.
    pub(super) unused: Vec<String>,
}

/// So few steps of a warm-up or a cool-down rather than go elsewhere.
const FEWEST: usize = 3;

/// How often other rounds are tried where the times cannot be fitted.
const ROUNDS_TRIED: usize = 12;

/// What stays the same for all classes of the same wishes.
pub(super) struct Maker<'a> {
    pub(super) wishes: &'a Wishes,
    pub(super) candidates: &'a [Candidate],
    /// Those of them that the last class had not.
    pub(super) fresh: &'a [Candidate],
    pub(super) library: &'a Library,
    pub(super) title: String,
}

impl Maker<'_> {
    /// The best class that has not too many of the moves of those before.
    pub(super) fn class(&self, works: &Earlier, frames: &Earlier) -> Result<Made, CannotDraft> {
        let target = self.target()?;
        let before = [works, frames];
        if !self.wishes.shape.is_empty() {
            return self.of_shape(&self.wishes.shape, target, before);
        }
        let shape = |more| by_slot::shape(self.wishes, target, more);
        let usual = self.of_shape(&shape(0), target, before)?;
        if self.missing(&usual) == 0 {
            return Ok(usual);
        }
        // A block more may be done where a wished move is.
        match self.of_shape(&shape(1), target, before) {
            Ok(other) if self.missing(&other) < self.missing(&usual) => Ok(other),
            _ => Ok(usual),
        }
    }

    /// How many wished moves a class has not.
    fn missing(&self, made: &Made) -> usize {
        let has = |id: &String| made.work.contains(id) || made.frames.contains(id);
        self.wishes.have.iter().filter(|id| !has(id)).count()
    }

    /// The best class of a shape, which grows to the slot: rather with fewer blocks than with moves of
    /// the last class.
    fn of_shape(
        &self,
        wished: &[BlockWish],
        target: Span,
        before: [&Earlier; 2],
    ) -> Result<Made, CannotDraft> {
        let plan = |shape: &[BlockWish]| self.empty(shape, target);
        let longest = by_slot::long_enough(wished.to_vec(), target, plan);
        let all = (self.fresh.len() < self.candidates.len()).then_some(self.candidates);
        let mut first = None;
        for from in [Some(self.fresh), all].into_iter().flatten() {
            for count in (wished.len()..=longest.len()).rev() {
                match self.in_rounds(wished, &longest[..count], target, from, before) {
                    Err(why @ CannotDraft::TooFew { .. }) => {
                        first.get_or_insert(why);
                    }
                    // Fewer blocks would have to grow still more.
                    Err(CannotDraft::TooOften { .. } | CannotDraft::NoTimes { .. })
                        if first.is_some() =>
                    {
                        break;
                    }
                    made => return made,
                }
            }
        }
        Err(first.unwrap_or_else(|| too_few(wished)))
    }

    /// The class of so many blocks with the rounds that fill the slot.
    fn in_rounds(
        &self,
        wished: &[BlockWish],
        blocks: &[BlockWish],
        target: Span,
        from: &[Candidate],
        before: [&Earlier; 2],
    ) -> Result<Made, CannotDraft> {
        let is_free = self.wishes.shape.is_empty();
        let plan = |shape: &[BlockWish]| self.empty(shape, target);
        let mut shape = blocks.to_vec();
        if is_free || !by_slot::is_near(&self.empty(&shape, target), target) {
            shape = by_slot::near(shape, target, is_free, plan);
        }
        if !is_free && by_slot::is_grown_too_much(&shape, wished) {
            return Err(CannotDraft::TooOften {
                shape: shapes(wished),
                most: by_slot::MOST_GROWN,
                target,
            });
        }
        let mut tried: Vec<Vec<BlockWish>> = Vec::new();
        for _ in 0..ROUNDS_TRIED {
            let found = self.pieces(&shape, target, from, before);
            let (pieces, score) = found.map_err(|why| match why {
                CannotDraft::TooFew { .. } => too_few(wished),
                why => why,
            })?;
            let (session, by) = self.in_time(&pieces, &shape, target);
            tried.push(shape.clone());
            let Some(session) = session else {
                let next = other_rounds(&shape, by).filter(|shape| !tried.contains(shape));
                shape = next.ok_or_else(|| no_fit(wished, target))?;
                continue;
            };
            let adjusted = if is_free {
                Vec::new()
            } else {
                Self::adjusted(&session, wished, &shape)
            };
            return self.made(session, score, adjusted, &pieces.blocks);
        }
        Err(no_fit(wished, target))
    }

    fn target(&self) -> Result<Span, CannotDraft> {
        let target = self.wishes.slot.saturating_sub(self.wishes.leave);
        let (least, most) = (SHORTEST, LONGEST);
        if target < least || self.wishes.slot > most {
            return Err(CannotDraft::Slot {
                slot: self.wishes.slot,
                leave: self.wishes.leave,
                least,
                most,
            });
        }
        Ok(target)
    }

    /// A class of a shape with moves of no kind, to see how long it is.
    fn empty(&self, shape: &[BlockWish], target: Span) -> Session {
        let turn = Arc::new(Use::plain(Arc::default()));
        let (warm, cool) = frames(target);
        let step = |time| {
            vec![Step {
                turn: Arc::clone(&turn),
                time: Some(time),
            }]
        };
        let ways = by_slot::ways(shape, false);
        let blocks = shape.iter().zip(&ways[0]).map(|(wish, &ground)| {
            (
                Placed {
                    wish: wish.clone(),
                    ground,
                },
                vec![Arc::clone(&turn); wish.moves],
            )
        });
        let pieces = Pieces {
            warm_up: step(warm),
            blocks: blocks.collect(),
            cool_down: step(cool),
            cool_ground: Ground::Floor,
        };
        assembled(self.wishes, String::new(), &pieces)
    }

    /// The moves of the work, where the blocks are likeliest; elsewhere where wished moves are missing
    /// there and can be had.
    fn work(
        &self,
        shape: &[BlockWish],
        from: &[Candidate],
        works: &Earlier,
    ) -> Option<(Vec<Placed>, Work)> {
        let sits = |one: &Candidate| {
            let mut blocks = shape.iter();
            one.ground == Ground::Chair
                && blocks.any(|wish| suits(one, self.wishes, wish, Ground::Chair))
        };
        let chairs = from.iter().any(sits);
        let mut best: Option<(usize, Vec<Placed>, Work)> = None;
        for way in by_slot::ways(shape, chairs) {
            let placed: Vec<Placed> = (shape.iter().cloned().zip(way))
                .map(|(wish, ground)| Placed { wish, ground })
                .collect();
            let many = best.as_ref().map(|(many, ..)| *many);
            if many.is_some_and(|many| self.at_most(&placed, from) <= many) {
                continue;
            }
            let Some(work) = work(self.wishes, &placed, from, &[], works) else {
                continue;
            };
            let in_it = work.blocks.iter().flatten();
            let has = in_it.filter(|turn| self.wishes.have.contains(&turn.of.id));
            let has = has.count();
            if many.is_none_or(|many| has > many) {
                best = Some((has, placed, work));
            }
        }
        best.map(|(_, placed, work)| (placed, work))
    }

    /// How many wished moves these blocks can have, at most.
    fn at_most(&self, placed: &[Placed], from: &[Candidate]) -> usize {
        let suits = |one: &Candidate| {
            let mut blocks = placed.iter();
            blocks.any(|block| suits(one, self.wishes, &block.wish, block.ground))
        };
        let can = |id: &&String| from.iter().any(|one| one.id() == **id && suits(one));
        let places: usize = placed.iter().map(|block| block.wish.moves).sum();
        self.wishes.have.iter().filter(can).count().min(places)
    }

    /// The moves of a class of a shape.
    fn pieces(
        &self,
        shape: &[BlockWish],
        target: Span,
        from: &[Candidate],
        [works, frames_before]: [&Earlier; 2],
    ) -> Result<(Pieces, Score), CannotDraft> {
        let found = self.work(shape, from, works);
        let (placed, work) = found.ok_or_else(|| too_few(shape))?;
        let worked: Vec<(Arc<Use>, u64)> = placed
            .iter()
            .zip(&work.blocks)
            .flat_map(|(placed, moves)| {
                let secs = placed.wish.work_of_a_move().secs_floor();
                moves.iter().map(move |turn| (Arc::clone(turn), secs))
            })
            .collect();
        let purpose = Purpose {
            wishes: self.wishes,
            work: &worked,
            earlier: frames_before,
        };
        let (warm, cool) = frames(target);
        let wished = |ground| {
            placed
                .iter()
                .all(|placed| placed.wish.ground == Some(ground))
        };
        let (warm_grounds, cool_grounds) = match () {
            () if placed.iter().all(|placed| placed.ground == Ground::Chair) => (
                [Ground::Chair, Ground::Standing],
                [Ground::Chair, Ground::Standing, Ground::Floor],
            ),
            // Who wishes to stay up is not sent down at the end.
            () if wished(Ground::Standing) => (
                [Ground::Standing, Ground::Chair],
                [Ground::Standing, Ground::Chair, Ground::Floor],
            ),
            () => (
                [Ground::Standing, Ground::Chair],
                [Ground::Floor, Ground::Standing, Ground::Chair],
            ),
        };
        let (warm_up, _) = self
            .frame(&purpose, &warm_grounds, by_slot::steps(warm), warm_up)
            .ok_or(CannotDraft::NoFrame("warm-up"))?;
        let usual = self.frame(&purpose, &cool_grounds, by_slot::steps(cool), cool_down);
        let usual = usual.ok_or(CannotDraft::NoFrame("cool-down"))?;
        let has = |steps: &[Arc<Use>], id: &str| steps.iter().any(|turn| turn.of.id == id);
        let missing = |steps: &[Arc<Use>]| {
            let have = self.wishes.have.iter();
            let gone = have.filter(|id| {
                let is_gentle = |one: &Candidate| one.id() == *id && one.is_gentle();
                self.candidates.iter().any(is_gentle) && !has(steps, id) && !has(&warm_up.steps, id)
            });
            gone.count()
        };
        let mut least = missing(&usual.0.steps);
        let mut best = usual;
        for ground in cool_grounds {
            if least == 0 {
                break;
            }
            let other = self.frame(&purpose, &[ground], by_slot::steps(cool), cool_down);
            if let Some(other) = other.filter(|(other, _)| missing(&other.steps) < least) {
                least = missing(&other.0.steps);
                best = other;
            }
        }
        let (cool_down, cool_ground) = best;
        let score = scored(&work, &warm_up, &cool_down, !works.is_none());
        let blocks = placed.into_iter().zip(work.blocks).collect();
        Ok((
            Pieces {
                warm_up: timed(warm_up_order(warm_up.steps), warm),
                blocks,
                cool_down: timed(cool_down.steps, cool),
                cool_ground,
            },
            score,
        ))
    }

    /// The steps of a frame on the first ground that has enough; fewer of them before none, and those
    /// of the last class only where there are no others.
    fn frame(
        &self,
        purpose: &Purpose,
        grounds: &[Ground],
        count: usize,
        choose: Choose,
    ) -> Option<(Frame, Ground)> {
        // A step less is better than another place, but for so few that each would last for minutes.
        let tries = || {
            let own = (FEWEST.min(count)..=count).rev();
            let own = own.map(|count| (count, grounds[0]));
            let counts = (2..=count).rev();
            own.chain(counts.flat_map(|count| grounds.iter().map(move |&ground| (count, ground))))
        };
        let of = |from: &[Candidate]| {
            tries()
                .find_map(|(count, ground)| Some((choose(purpose, from, ground, count)?, ground)))
        };
        of(self.fresh).or_else(|| of(self.candidates))
    }

    /// The class in its best order, with times that fill the slot to the second; else by how much it
    /// is too long, or too short where that is negative.
    fn in_time(
        &self,
        pieces: &Pieces,
        shape: &[BlockWish],
        target: Span,
    ) -> (Option<Session>, i64) {
        let session = assembled(self.wishes, self.title.clone(), pieces);
        // Versions and other moves that would be better are no business of a draft: it has chosen.
        let (_, mut session) = arrange(&session, &Library::default(), &Pins::default());
        let last = last_of_work(&session);
        if let Some(Part::CoolDown(steps)) = session
            .parts
            .iter_mut()
            .find(|part| matches!(part, Part::CoolDown(_)))
        {
            let total: Span = steps.iter().map(Step::length).sum();
            let turns = steps.drain(..).map(|step| step.turn).collect();
            *steps = timed(
                cool_down_order(turns, last.as_ref(), &Cueing::default()),
                total,
            );
        }
        let fit = Fit::of(&session, target);
        let over = i64::try_from(fit.over.millis()).unwrap_or(i64::MAX);
        let in_hand = i64::try_from(fit.in_hand.millis()).unwrap_or(i64::MAX);
        if !fit.over.is_zero() || !fit.in_hand.is_zero() {
            return (None, over - in_hand);
        }
        // What the times came to must be a shape that could be wished too.
        if told::fitted(&fit.session, shape)
            .into_iter()
            .any(|block| block.checked().is_err())
        {
            let total = |session| i64::try_from(Timeline::of(session).total().millis());
            let by = total(&session).unwrap_or(i64::MAX) - total(&fit.session).unwrap_or(0);
            return (None, by);
        }
        (Some(fit.session), 0)
    }
}

/// The blocks as they are wished.
fn shapes(blocks: &[BlockWish]) -> String {
    let all: Vec<String> = blocks.iter().map(ToString::to_string).collect();
    all.join(" + ")
}

fn no_fit(shape: &[BlockWish], target: Span) -> CannotDraft {
    let shape = shapes(shape);
    CannotDraft::NoTimes { shape, target }
}

fn too_few(shape: &[BlockWish]) -> CannotDraft {
    let shape = shapes(shape);
    CannotDraft::TooFew { shape }
}

type Choose = fn(&Purpose, &[Candidate], Ground, usize) -> Option<Frame>;

/// How good the three choices are together.
fn scored(work: &Work, warm_up: &Frame, cool_down: &Frame, is_other: bool) -> Score {
    let mut by_wish = work.score.clone();
    by_wish.push(("warm-up", warm_up.total));
    by_wish.push(("cool-down", cool_down.total));
    Score {
        by_wish,
        total: work.total + warm_up.total + cool_down.total,
        work: work.total,
        bound: work.bound,
        is_other,
    }
}

/// A round less where the class is too long, from the block that has most; a round more where it is
/// too short.
fn other_rounds(shape: &[BlockWish], by: i64) -> Option<Vec<BlockWish>> {
    let more = by < 0;
    let mut order: Vec<usize> = (0..shape.len()).collect();
    let work = |n: &usize| shape[*n].work_of_a_move().millis() * shape[*n].moves as u64;
    order.sort_by_key(|n| if more { work(n) } else { u64::MAX - work(n) });
    order.into_iter().find_map(|n| {
        let mut other = shape.to_vec();
        other[n] = shape[n].with_rounds(more)?;
        Some(other)
    })
}

fn last_of_work(session: &Session) -> Option<Arc<Use>> {
    let turns = turns(session);
    let mut work = turns
        .into_iter()
        .rev()
        .filter(|(_, place)| *place == For::Work);
    work.next().map(|(turn, _)| turn)
}
