//! A class put together of its pieces: talk, warm-up, blocks with their pauses, cool-down, talk.

use std::sync::Arc;

use super::orders;
use super::shape::{BlockWish, Ground};
use super::wishes::{Level, Wishes};
use super::words;
use super::work::Placed;
use crate::advice::likeness::{are_opposed, region};
use crate::plan::{Timeline, explaining, time_to_say};
use crate::session::{Block, Cueing, Doing, Order, Part, Pattern, Session, Step, Together, Use};
use crate::time::Span;

/// Getting ready for the first block (common practice, no source).
const READY: Span = Span::from_secs(20);
/// Between two blocks: a drink, and the way to the next place (common practice, no source).
const BETWEEN: Span = Span::from_secs(60);
/// Before a cool-down, so that nobody goes from work to rest at once (common practice, no source).
const BEFORE_COOL_DOWN: Span = Span::from_secs(25);
/// What words want besides their own time, so that nobody hurries.
const AFTER_WORDS: Span = Span::from_secs(4);

/// The pieces of a class, in their order.
#[derive(Clone, Debug)]
pub(super) struct Pieces {
    pub(super) warm_up: Vec<Step>,
    pub(super) blocks: Vec<(Placed, Vec<Arc<Use>>)>,
    pub(super) cool_down: Vec<Step>,
    /// Where the cool-down is.
    pub(super) cool_ground: Ground,
}

/// The class of these pieces, at the times that they have by themselves.
pub(super) fn assembled(wishes: &Wishes, title: String, pieces: &Pieces) -> Session {
    let cueing = Cueing::default();
    let grounds: Vec<Ground> = pieces
        .blocks
        .iter()
        .map(|(placed, _)| placed.ground)
        .collect();
    let mut parts = vec![
        talk(words::opening(&grounds), &cueing),
        Part::WarmUp(pieces.warm_up.clone()),
    ];
    for (n, (placed, moves)) in pieces.blocks.iter().enumerate() {
        let block = block(wishes, pieces, n, moves);
        let explain = explain(&block, &cueing);
        if n == 0 {
            parts.push(Part::Ready {
                time: five(READY.max(explain)),
            });
        } else {
            let before = &pieces.blocks[n - 1];
            let say = words::between(before.0.ground, &before.1, placed.ground, moves);
            let time = five(
                BETWEEN
                    .max(explain)
                    .max(time_to_say(&say, &cueing) + AFTER_WORDS),
            );
            parts.push(Part::Recover {
                time,
                say,
                turn: None,
            });
        }
        parts.push(Part::Block(block));
    }
    if let Some((placed, moves)) = pieces.blocks.last() {
        let say = words::to_cool_down(placed.ground, moves, pieces.cool_ground);
        let time = five(BEFORE_COOL_DOWN.max(time_to_say(&say, &cueing) + AFTER_WORDS));
        parts.push(Part::Recover {
            time,
            say,
            turn: None,
        });
    }
    parts.push(Part::CoolDown(pieces.cool_down.clone()));
    let equipment = equipment(pieces);
    let counted = wishes
        .kit
        .iter()
        .filter(|kit| equipment.contains(&kit.thing));
    let stock = counted.filter_map(|kit| Some((kit.thing.clone(), kit.count?)));
    let stock = stock.collect();
    parts.push(talk(words::closing(&equipment), &cueing));
    Session {
        title,
        slot: Some(wishes.slot),
        brief: words::brief(&equipment, &wishes.kit, wishes.people),
        limits: wishes.limits.clone(),
        people: wishes.people,
        groups: Vec::new(),
        equipment,
        stock,
        cueing,
        parts,
    }
}

/// Up to the next five seconds.
fn five(span: Span) -> Span {
    Span::from_secs(span.secs_ceil().div_ceil(5) * 5)
}

fn talk(say: String, cueing: &Cueing) -> Part {
    let time = five(time_to_say(&say, cueing) + AFTER_WORDS);
    Part::Talk { time, say }
}

/// What is explained at once before a block: its stations, or the moves of its window.
fn explain(block: &Block, cueing: &Cueing) -> Span {
    let alone = Session {
        title: String::new(),
        slot: None,
        brief: String::new(),
        limits: Vec::new(),
        people: None,
        groups: Vec::new(),
        equipment: Vec::new(),
        stock: Vec::new(),
        cueing: *cueing,
        parts: vec![Part::Block(block.clone())],
    };
    let timeline = Timeline::of(&alone);
    let Some(first) = timeline.intervals().first() else {
        return Span::ZERO;
    };
    let words = |turn: &Arc<Use>| {
        let setup = turn.version().setup().unwrap_or_default();
        time_to_say(&format!("{}: {setup}", turn.of.name), cueing)
    };
    let window: Span = if first.is_window() {
        first.moves.iter().map(words).sum()
    } else {
        Span::ZERO
    };
    let takes = explaining(first, cueing).max(window);
    if takes.is_zero() {
        takes
    } else {
        takes + AFTER_WORDS
    }
}

fn block(wishes: &Wishes, pieces: &Pieces, n: usize, moves: &[Arc<Use>]) -> Block {
    let title = Some(title(pieces, n));
    Block {
        title,
        ..alone(wishes, &pieces.blocks[n].0, moves)
    }
}

/// A block by itself, under the usual title.
pub(super) fn alone(wishes: &Wishes, placed: &Placed, moves: &[Arc<Use>]) -> Block {
    let wish = &placed.wish;
    let counted = |turn: &Arc<Use>| match wish.reps {
        Some(reps) => Arc::new(Use {
            reps: Some(reps),
            ..(**turn).clone()
        }),
        None => Arc::clone(turn),
    };
    let turns: Vec<Arc<Use>> = moves.iter().map(counted).collect();
    let doing = if wish.stations {
        vec![Doing::Together(Arc::new(Together::of(in_turn(&turns))))]
    } else {
        turns.into_iter().map(Doing::One).collect()
    };
    Block {
        title: Some(named(placed).to_owned()),
        moves: doing,
        pattern: wish.pattern.clone(),
        recovery: recovery(wishes, wish),
        order: if wish.by_move {
            Order::ByMove
        } else {
            Order::ByRound
        },
        between: None,
        last_rest: false,
    }
}

/// Stations in a ring in which one region and one joint rest while others work: everybody goes from
/// each to the next, and from the last to the first.
fn in_turn(turns: &[Arc<Use>]) -> Vec<Arc<Use>> {
    let again = |a: &Arc<Use>, b: &Arc<Use>| -> u64 {
        let same = region(a) == region(b) && !are_opposed(a, b);
        let loads = b.loads();
        let joints = a.loads().iter().filter(|load| loads.contains(load)).count() as u64;
        joints + if same { 8 } else { 0 }
    };
    let row = |a: &Arc<Use>| turns.iter().map(|b| again(a, b)).collect();
    let table: Vec<Vec<u64>> = turns.iter().map(row).collect();
    let order = orders::best(turns.len(), |order| {
        let steps: u64 = order.windows(2).map(|pair| table[pair[0]][pair[1]]).sum();
        let around = order.last().zip(order.first());
        steps + around.map_or(0, |(&last, &first)| table[last][first])
    });
    order.into_iter().map(|n| Arc::clone(&turns[n])).collect()
}

/// Between two rounds there is time for a drink, between two moves that are done to their end for a
/// breath (common practice, no source).
fn recovery(wishes: &Wishes, wish: &BlockWish) -> Option<Span> {
    let is_even = matches!(wish.pattern, Pattern::Emom { .. } | Pattern::Amrap { .. });
    if is_even || wish.rounds() < 2 {
        return None;
    }
    let long = if wishes.level == Level::Beginner {
        60
    } else {
        45
    };
    Some(Span::from_secs(if wish.by_move { 30 } else { long }))
}

const fn named(placed: &Placed) -> &'static str {
    if placed.wish.stations {
        "Stations"
    } else {
        words::titled(placed.ground)
    }
}

fn title(pieces: &Pieces, n: usize) -> String {
    let name = |n: usize| named(&pieces.blocks[n].0);
    let before = (0..n).filter(|other| name(*other) == name(n)).count();
    if before == 0 {
        name(n).to_owned()
    } else {
        format!("{}, {}", name(n), before + 1)
    }
}

/// What everybody needs, each thing once.
fn equipment(pieces: &Pieces) -> Vec<String> {
    let steps = pieces
        .warm_up
        .iter()
        .chain(&pieces.cool_down)
        .map(|step| &step.turn);
    let moves = pieces.blocks.iter().flat_map(|(_, moves)| moves);
    let mut things: Vec<String> = Vec::new();
    for thing in steps.chain(moves).flat_map(|turn| turn.equipment()) {
        if thing != "floor" && !things.iter().any(|known| known == thing) {
            things.push(thing.to_owned());
        }
    }
    things.sort_by_key(|thing| (thing != "mat", thing.clone()));
    things
}
