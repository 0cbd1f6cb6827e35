//! Blocks: what was worked and rested in one part, as few blocks as can hold it to the millisecond.

use super::at_once::{self, Made};
use super::block::Block;
use super::grid;
use super::lost::{Loss, Lost};
use super::part::{alone, pause};
use super::plan::Plan;
use super::rounds::{Rule, fitted};
use super::stretches::Stretch;
use super::works::{passes, works};
use crate::plan::{Kind, Shape};
use crate::session::{Ron, Written};

/// The longest title of a block that a file may have, less what is put behind it.
const LONGEST_TITLE: usize = 190;

impl Block {
    fn written(self, title: Option<&str>) -> Ron {
        Written::default()
            .maybe("title", title.map(Ron::text))
            .with("moves", Ron::List(self.moves))
            .with("pattern", self.pattern)
            .maybe("recovery", self.recovery.map(Ron::time))
            .maybe("order", self.by_move.then(|| Ron::word("ByMove")))
            .maybe("between", self.between)
            .maybe("last_rest", self.last_rest.then(|| Ron::word("true")))
            .group("Block")
    }
}

/// The stretches of a part that is a block. `so_far` counts its blocks, where it was come back to.
pub(super) fn of(
    stretches: &[Stretch],
    plan: &Plan,
    so_far: &mut usize,
    lost: &mut Lost,
) -> Vec<Ron> {
    let is_work = |one: &Stretch| one.kind == Kind::Work;
    let part = stretches[0].part;
    let before = stretches.iter().take_while(|one| !is_work(one)).count();
    let (before, rest) = stretches.split_at(before);
    let mut out: Vec<Ron> = before.iter().map(|one| alone(one, plan)).collect();
    let title = plan.block(part).and_then(|block| block.title.as_deref());
    let mut titled = |block: Block| {
        *so_far += 1;
        let title = title.map(|title| match *so_far {
            1 => title.to_owned(),
            nth => {
                let title: String = title.chars().take(LONGEST_TITLE).collect();
                format!("{title}, {nth}")
            }
        });
        block.written(title.as_deref())
    };
    let shape = plan.shape(part);
    if shape == Shape::Window {
        out.extend(rest.iter().map(|one| match one.kind {
            Kind::Work => titled(window(one, plan)),
            _ => alone(one, plan),
        }));
        return out;
    }
    let works = works(rest, plan);
    if works.iter().any(|work| work.stations.is_some()) {
        let all = at_once::made(&works);
        let blocks = all.iter().filter(|made| matches!(made, Made::Block(_)));
        lost.note((blocks.count() > 1).then_some(Loss::Several));
        lost.note(plan.cap(part).map(Loss::Cap));
        for made in all {
            out.push(match made {
                Made::Block(block) => titled(block),
                Made::Pause(gap, turn) => pause(gap, turn),
            });
        }
        return out;
    }
    if let Shape::Grid { every } = shape
        && let Some(block) = grid::windows(&works, plan.places(part), every)
    {
        out.push(titled(block));
        return out;
    }
    let counted = plan.is_counted(part);
    let is_counted = counted && works.iter().any(|work| work.untimed);
    lost.note(is_counted.then_some(Loss::Pace));
    let cap = plan.cap(part);
    let all = passes(&works, shape);
    let mut rest = &all[..];
    while !rest.is_empty() {
        let rule = |many: usize, last_rest: bool| Rule {
            shape,
            counted,
            last_rest,
            cap: cap.filter(|_| many == all.len()),
        };
        let fit = |many: usize| fitted(&rest[..many], &rule(many, false));
        let blocks: Vec<Block> = (1..=rest.len()).map_while(fit).collect();
        let many = blocks.len().max(1);
        let ends = many == rest.len() && plan.block(part).is_some_and(|block| block.last_rest);
        let with_rest = || fitted(&rest[..many], &rule(many, true)).filter(|_| ends);
        // Sets between which the pauses differ are a round in which the move comes again.
        let as_round = || {
            let shape = Shape::Rounds;
            fitted(
                &rest[..1],
                &Rule {
                    shape,
                    ..rule(1, false)
                },
            )
        };
        let block = with_rest().or_else(|| blocks.into_iter().next_back());
        let block = block.or_else(as_round);
        let is_whole = block.as_ref().is_some_and(|block| block.last_rest);
        let has_cap = block.as_ref().is_some_and(|block| block.has_cap);
        lost.note(cap.filter(|_| !has_cap).map(Loss::Cap));
        lost.note((many < all.len()).then_some(Loss::Several));
        out.extend(block.map(&mut titled));
        if let Some(last) = rest[many - 1].last().filter(|_| !is_whole) {
            let pauses = last.pauses.iter();
            out.extend(pauses.map(|one| pause(one.ran, one.turn.as_ref())));
        }
        rest = &rest[many..];
    }
    out
}

/// A window in which moves were repeated freely.
fn window(of: &Stretch, plan: &Plan) -> Block {
    let turns = plan.circuit(of);
    let moves = turns.iter().map(|turn| turn.written(None, None));
    let time = Written::default().with("time", Ron::time(of.ran));
    Block {
        moves: moves.collect(),
        pattern: time.group("Amrap"),
        ..Block::default()
    }
}
