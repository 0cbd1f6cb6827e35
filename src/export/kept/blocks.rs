//! Blocks: what was worked and rested in one part, as few blocks as can hold it to the millisecond.

use super::at_once::{self, Made};
use super::part::pause;
use super::plan::Plan;
use super::shared::shared;
use super::stretches::Stretch;
use super::works::{Block, Work, works};
use crate::plan::{Kind, Shape};
use crate::session::{Ron, Written};
use crate::time::Span;

/// The grid that a file can write.
const MINUTE: Span = Span::from_secs(60);
/// The longest title of a block that a file may have, less what is put behind it.
const LONGEST_TITLE: usize = 190;

/// The stretches of a part that is a block. `so_far` counts its blocks, where it was come back to.
pub(super) fn of(stretches: &[Stretch], plan: &Plan, so_far: &mut usize) -> Vec<Ron> {
    let is_work = |one: &Stretch| one.kind == Kind::Work;
    let part = stretches[0].part;
    let before = stretches.iter().take_while(|one| !is_work(one)).count();
    let (before, rest) = stretches.split_at(before);
    let mut out: Vec<Ron> = before
        .iter()
        .map(|one| pause(one.kind, one.ran, plan.say(one)))
        .collect();
    let mut titled = |block: Block| {
        *so_far += 1;
        let title = plan.title(part).map(|title| match *so_far {
            1 => title.to_owned(),
            nth => {
                let title: String = title.chars().take(LONGEST_TITLE).collect();
                format!("{title}, {nth}")
            }
        });
        Written::default()
            .maybe("title", title.as_deref().map(Ron::text))
            .with("moves", Ron::List(block.moves))
            .with("pattern", block.pattern)
            .maybe("recovery", block.recovery.map(Ron::time))
            .maybe("order", block.by_move.then(|| Ron::word("ByMove")))
            .group("Block")
    };
    let shape = plan.shape(part);
    if shape == Shape::Window {
        for one in rest {
            out.push(match one.kind {
                Kind::Work => titled(window(one, plan)),
                kind => pause(kind, one.ran, ""),
            });
        }
        return out;
    }
    let works = works(rest, plan);
    if works.iter().any(|work| work.stations.is_some()) {
        out.extend(at_once::made(&works).into_iter().map(|made| match made {
            Made::Block(block) => titled(block),
            Made::Pause(gap) => pause(Kind::Recovery, gap, ""),
        }));
        return out;
    }
    let counted = plan.is_counted(part);
    let minutes = || minutes(&works, plan.places(part));
    if let (Shape::Grid { .. }, Some(block)) = (shape, minutes()) {
        out.push(titled(block));
        return out;
    }
    let passes = passes(&works, shape);
    let mut rest = &passes[..];
    while !rest.is_empty() {
        let fitting = (1..=rest.len()).map_while(|many| fitted(&rest[..many], shape, counted));
        let blocks: Vec<Block> = fitting.collect();
        let many = blocks.len().max(1);
        // Sets between which the pauses differ are a round in which the move comes again.
        let as_round = || fitted(&rest[..1], Shape::Rounds, counted);
        let block = blocks.into_iter().next_back().or_else(as_round);
        out.extend(block.map(&mut titled));
        let last = rest[many - 1].last();
        out.extend(
            last.filter(|work| !work.gap.is_zero())
                .map(|work| pause(Kind::Recovery, work.gap, "")),
        );
        rest = &rest[many..];
    }
    out
}

/// A window in which moves were repeated freely.
fn window(of: &Stretch, plan: &Plan) -> Block {
    let turns = plan.circuit(of);
    let moves = turns
        .iter()
        .map(|turn| turn.written(None, None, turn.reps.is_some()));
    let time = Written::default().with("time", Ron::time(of.ran));
    Block {
        moves: moves.collect(),
        pattern: time.group("Amrap"),
        recovery: None,
        by_move: false,
    }
}

/// Works that began every minute, taken in turn, the last minute whole.
fn minutes(works: &[Work], places: usize) -> Option<Block> {
    let places = places.min(works.len());
    let whole = |work: &Work| work.ran < MINUTE && work.ran + work.gap == MINUTE;
    let in_turn = |(nth, work): (usize, &Work)| work.turn == works[nth % places].turn;
    if places == 0 || !works.iter().all(whole) || !works.iter().enumerate().all(in_turn) {
        return None;
    }
    let cells: Vec<Vec<Option<Span>>> = works
        .chunks(places)
        .map(|round| round.iter().map(|work| Some(work.ran)).collect())
        .collect();
    let times = shared(&cells, true)?;
    let work = times.rows.first().copied().flatten()?;
    let moves = works.iter().zip(&times.columns);
    let moves = moves.map(|(of, own)| of.turn.written(*own, None, false));
    let pattern = Written::default().with("minutes", Ron::word(works.len()));
    Some(Block {
        moves: moves.collect(),
        pattern: pattern.with("work", Ron::time(work)).group("Emom"),
        recovery: None,
        by_move: false,
    })
}

/// The works by passes: rounds, or where all sets of a move are done together, moves.
fn passes(works: &[Work], shape: Shape) -> Vec<&[Work]> {
    let same = |a: &Work, b: &Work| match shape {
        Shape::Sets => a.turn == b.turn,
        _ => a.round == b.round,
    };
    works.chunk_by(same).collect()
}

/// These passes as one block, if one can hold them. What comes after the last work is no part of it.
fn fitted(passes: &[&[Work]], shape: Shape, counted: bool) -> Option<Block> {
    let by_move = shape == Shape::Sets && passes.len() > 1;
    let first = passes[0];
    let alike = |pass: &&[Work]| {
        pass.len() == first.len()
            && (by_move || pass.iter().zip(first).all(|(a, b)| a.turn == b.turn))
    };
    if !passes.iter().all(alike) {
        return None;
    }
    // A single move in several sets is a round each.
    let sets = shape == Shape::Sets;
    let (rounds, places) = if sets {
        (first.len(), passes.len())
    } else {
        (passes.len(), first.len())
    };
    let at = |round: usize, place: usize| {
        if sets {
            &passes[place][round]
        } else {
            &passes[round][place]
        }
    };
    let ends_pass = |round: usize, place: usize| {
        if sets {
            round + 1 == rounds
        } else {
            place + 1 == places
        }
    };
    let is_last = |round: usize, place: usize| round + 1 == rounds && place + 1 == places;
    let table = |cell: &dyn Fn(usize, usize) -> Option<Span>| -> Vec<Vec<Option<Span>>> {
        let row = |round| (0..places).map(|place| cell(round, place)).collect();
        (0..rounds).map(row).collect()
    };
    let between: Vec<&Work> = passes[..passes.len() - 1]
        .iter()
        .filter_map(|pass| pass.last())
        .collect();
    let even = between.windows(2).all(|pair| pair[0].gap == pair[1].gap);
    let recovery = between.first().filter(|_| even).map(|work| work.gap);
    let recovers = between.iter().any(|work| work.recovers);
    let rests = |with_ends: bool| {
        let cell = |round, place| {
            let counts = !is_last(round, place) && (with_ends || !ends_pass(round, place));
            counts.then(|| at(round, place).gap)
        };
        shared(&table(&cell), counted)
    };
    let plain = || Some((rests(true)?, None));
    let apart = || Some((rests(false)?, Some(recovery?)));
    let (rest, recovery) = if recovers {
        apart().or_else(plain)?
    } else {
        plain().or_else(apart)?
    };
    let rest_rows = filled(&rest.rows);
    let own_rest = |place: usize| rest.columns.get(place).copied().flatten();
    let turn = |place: usize| &at(0, place).turn;
    if counted {
        let moves = (0..places).map(|place| turn(place).written(None, own_rest(place), true));
        return Some(Block {
            moves: moves.collect(),
            pattern: reps(passes, rounds, rest_rows[0]),
            recovery,
            by_move,
        });
    }
    let work = shared(&table(&|round, place| Some(at(round, place).ran)), false)?;
    let work_rows = filled(&work.rows);
    let moves = (0..places).map(|place| {
        let own_work = work.columns.get(place).copied().flatten();
        turn(place).written(own_work, own_rest(place), false)
    });
    Some(Block {
        moves: moves.collect(),
        pattern: timed(&work_rows, &rest_rows),
        recovery,
        by_move,
    })
}

/// A time for each row; a row that no cell needs has that of another.
fn filled(rows: &[Option<Span>]) -> Vec<Span> {
    let some = rows.iter().copied().flatten().next().unwrap_or_default();
    rows.iter().map(|row| row.unwrap_or(some)).collect()
}

fn timed(work: &[Span], rest: &[Span]) -> Ron {
    let even = |rows: &[Span]| rows.windows(2).all(|pair| pair[0] == pair[1]);
    let list = |rows: &[Span]| Ron::List(rows.iter().copied().map(Ron::time).collect());
    let fields = Written::default();
    if even(work) && even(rest) {
        return fields
            .with("rounds", Ron::word(work.len()))
            .with("work", Ron::time(work[0]))
            .with("rest", Ron::time(rest[0]))
            .group("Same");
    }
    let rest = if even(rest) { &rest[..1] } else { rest };
    fields
        .with("work", list(work))
        .with("rest", list(rest))
        .group("Rounds")
}

/// Counted works at the pace at which they were done.
fn reps(passes: &[&[Work]], rounds: usize, rest: Span) -> Ron {
    let all = || passes.iter().flat_map(|pass| pass.iter());
    let ran: Span = all().map(|work| work.ran).sum();
    let many: u64 = all()
        .map(|work| u64::from(work.turn.reps.unwrap_or(1)))
        .sum();
    let pace = Span::from_millis((ran.millis() / many.max(1)).max(1));
    Written::default()
        .with("rounds", Ron::word(rounds))
        .with("rest", Ron::time(rest))
        .with("pace", Ron::time(pace))
        .group("Reps")
}
