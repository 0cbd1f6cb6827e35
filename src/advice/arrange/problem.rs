//! A block as a matter of order: how often each move follows each other, and what trouble that is.

use std::sync::Arc;

use super::trouble::{Trouble, between, look};
use crate::plan::{Placed, Timeline};
use crate::session::{Block, Cueing, Doing, Order, Part, Pattern, Session, Use};
use crate::time::Span;

/// In a window everybody changes at a pace of their own: never too soon, and without a rest.
const OWN_PACE: Span = Span::from_secs(29);

/// The order of a block, to be found.
pub(super) struct Problem {
    /// The moves in the order of the file.
    pub(super) moves: Vec<Arc<Use>>,
    /// The one that must come first.
    pub(super) first: Option<usize>,
    /// The one that must come last.
    pub(super) last: Option<usize>,
    /// The trouble of coming to each from what stands before the block.
    enter: Vec<Trouble>,
    /// The trouble from one to another, over all rounds.
    pair: Vec<Vec<Trouble>>,
    /// How often the place after each is gone to.
    inner: Vec<u64>,
    /// The trouble from the last of a pass to the first of the next, over all passes.
    wrap: Vec<Vec<Trouble>>,
    /// The trouble of going from each to what stands behind the block.
    leave: Vec<Trouble>,
    /// At which place the block is left.
    exit: usize,
    /// How often a pass ends, and the screen should be in sight.
    ends: u64,
}

/// The moves of a block in which nothing is done at once.
pub(super) fn moves(block: &Block) -> Vec<Arc<Use>> {
    let places = block.moves.iter();
    places.flat_map(Doing::moves).cloned().collect()
}

/// How a block goes through its moves.
struct Walk {
    inner: Vec<u64>,
    /// The pauses within a pass: after a move, one for each time it is done.
    pauses: Vec<Span>,
    /// The pauses from one pass to the next.
    wraps: Vec<Span>,
    exit: usize,
    ends: u64,
}

impl Problem {
    /// The order of the block that is a part of a session.
    pub(super) fn of(session: &Session, timeline: &Timeline, part: usize) -> Self {
        let Part::Block(block) = &session.parts[part] else {
            unreachable!("only blocks are arranged");
        };
        Self::with(block, moves(block), session, timeline, part)
    }

    /// The same with other moves in the places of the block's.
    pub(super) fn with(
        block: &Block,
        moves: Vec<Arc<Use>>,
        session: &Session,
        timeline: &Timeline,
        part: usize,
    ) -> Self {
        let cueing = &session.cueing;
        let walk = Walk::of(block);
        let all = timeline.intervals();
        let (laid, block_part) = (session.laid(), &session.parts[part]);
        let nth = laid
            .iter()
            .position(|one| std::ptr::eq(one.part, block_part));
        let of_block = |one: &&Placed| Some(one.part) == nth && one.kind.is_moving();
        let first = all.iter().position(|one| of_block(&one)).unwrap_or(0);
        let after = all
            .iter()
            .rposition(|one| of_block(&one))
            .map_or(0, |n| n + 1);
        let before = all[..first].iter().rev().find(|one| one.kind.is_moving());
        let behind = all[after..].iter().find(|one| one.kind.is_moving());
        let enter = |turn: &Arc<Use>| {
            let from = before.map_or(&[][..], |one| &one.moves);
            let ended = before.map_or(Span::ZERO, |one| one.end.span());
            let pause = all
                .get(first)
                .map_or(Span::ZERO, |one| one.start.span())
                .saturating_sub(ended);
            between(from, std::slice::from_ref(turn), pause, cueing)
        };
        let leave = |turn: &Arc<Use>| {
            let Some(behind) = behind else {
                return Trouble::default();
            };
            let ended = all
                .get(after.wrapping_sub(1))
                .map_or(behind.start, |one| one.end);
            let pause = behind.start - ended;
            between(std::slice::from_ref(turn), &behind.moves, pause, cueing)
        };
        Self {
            enter: moves.iter().map(enter).collect(),
            leave: moves.iter().map(leave).collect(),
            pair: table(&moves, |a, b| within(block, &walk, a, b, cueing)),
            wrap: table(&moves, |a, b| over(&walk.wraps, a, b, cueing, 1)),
            inner: walk.inner,
            exit: walk.exit,
            ends: walk.ends,
            first: None,
            last: None,
            moves,
        }
    }

    /// How many moves there are.
    pub(super) const fn len(&self) -> usize {
        self.moves.len()
    }

    /// What a move costs at a place, whatever stands beside it.
    pub(super) fn alone(&self, place: usize, of: usize) -> Trouble {
        let mut trouble = Trouble::default();
        if place == 0 {
            trouble = trouble + self.enter[of];
        }
        if place == self.exit {
            trouble = trouble + self.leave[of];
        }
        if place + 1 == self.len() {
            trouble = trouble + look(&self.moves[of]) * self.ends;
        }
        trouble
    }

    /// What it costs that one move stands at a place and another at the next.
    pub(super) fn step(&self, place: usize, a: usize, b: usize) -> Trouble {
        self.pair[a][b] * self.inner[place]
    }

    /// What it costs that a pass ends with one move and the next begins with another.
    pub(super) fn around(&self, last: usize, first: usize) -> Trouble {
        self.wrap[last][first]
    }

    /// Whether a move may stand at a place.
    pub(super) fn may(&self, place: usize, of: usize) -> bool {
        let pinned =
            |pin: Option<usize>, at: usize| pin.is_none_or(|pin| (pin == of) == (place == at));
        pinned(self.first, 0) && pinned(self.last, self.len() - 1)
    }

    /// Whether an order keeps what must stay.
    pub(super) fn allows(&self, order: &[usize]) -> bool {
        order
            .iter()
            .enumerate()
            .all(|(place, &of)| self.may(place, of))
    }

    /// All the trouble of an order.
    pub(super) fn trouble(&self, order: &[usize]) -> Trouble {
        let alone = order
            .iter()
            .enumerate()
            .map(|(place, &of)| self.alone(place, of));
        let steps = order
            .windows(2)
            .enumerate()
            .map(|(place, pair)| self.step(place, pair[0], pair[1]));
        let around = self.around(order[order.len() - 1], order[0]);
        alone.chain(steps).chain([around]).sum()
    }
}

fn table(moves: &[Arc<Use>], of: impl Fn(&Arc<Use>, &Arc<Use>) -> Trouble) -> Vec<Vec<Trouble>> {
    let row = |a: &Arc<Use>| moves.iter().map(|b| of(a, b)).collect();
    moves.iter().map(row).collect()
}

/// The trouble of going from one to another once in each pass.
fn within(block: &Block, walk: &Walk, a: &Arc<Use>, b: &Arc<Use>, cueing: &Cueing) -> Trouble {
    match &block.pattern {
        Pattern::Emom { every, work, .. } => {
            let pause = every.saturating_sub(a.work.or(*work).unwrap_or(*every));
            over(&[pause], a, b, cueing, 0)
        }
        Pattern::Amrap { .. } => over(&[OWN_PACE], a, b, cueing, 0),
        // A rest of its own goes with a move, but not where a recovery stands in its place.
        _ if block.order == Order::ByMove && block.recovery.is_some() => {
            over(&walk.pauses, a, b, cueing, 0)
        }
        _ => {
            let own = |pause: &Span| a.rest.unwrap_or(*pause);
            let pauses: Vec<Span> = walk.pauses.iter().map(own).collect();
            over(&pauses, a, b, cueing, 0)
        }
    }
}

/// The trouble from one to another over all rounds, a pause for each; the other may be of a later
/// round.
fn over(pauses: &[Span], a: &Arc<Use>, b: &Arc<Use>, cueing: &Cueing, later: usize) -> Trouble {
    let each = pauses.iter().enumerate().map(|(round, pause)| {
        let (a, b) = (a.in_round(round), b.in_round(round + later));
        let (a, b) = (std::slice::from_ref(a), std::slice::from_ref(b));
        between(a, b, *pause, cueing)
    });
    each.sum()
}

impl Walk {
    fn of(block: &Block) -> Self {
        let moves = block.moves.len();
        let once = |times: u64| vec![times; moves.saturating_sub(1)];
        match &block.pattern {
            Pattern::Emom { times, every, work } => {
                let pause = every.saturating_sub(work.unwrap_or(*every));
                Self::of_minutes(*times as usize, pause, moves)
            }

            Pattern::Amrap { .. } => Self {
                inner: once(1),
                pauses: vec![OWN_PACE],
                wraps: vec![OWN_PACE],
                exit: moves - 1,
                ends: 1,
            },
            _ if block.order == Order::ByMove => {
                let rest = rests(block).last().copied().unwrap_or_default();
                Self {
                    inner: once(1),
                    pauses: vec![block.recovery.unwrap_or(rest)],
                    wraps: Vec::new(),
                    exit: moves - 1,
                    ends: 1,
                }
            }
            _ => {
                let rests = rests(block);
                let turns = &rests[..rests.len() - 1];
                Self {
                    inner: once(1),
                    wraps: turns
                        .iter()
                        .map(|rest| block.recovery.unwrap_or(*rest))
                        .collect(),
                    exit: moves - 1,
                    ends: rests.len() as u64,
                    pauses: rests,
                }
            }
        }
    }

    fn of_minutes(minutes: usize, pause: Span, moves: usize) -> Self {
        let steps = minutes.saturating_sub(1);
        let times = |place: usize| (steps / moves + usize::from(steps % moves > place)) as u64;
        let wraps = times(moves - 1);
        Self {
            inner: (0..moves - 1).map(times).collect(),
            pauses: vec![pause],
            wraps: (0..wraps).map(|_| pause).collect(),
            exit: steps % moves,
            ends: (minutes / moves) as u64,
        }
    }
}

/// The rest of each round.
fn rests(block: &Block) -> Vec<Span> {
    match &block.pattern {
        Pattern::Rounds { rest, .. } => rest.clone(),
        Pattern::Same { rounds, rest, .. } | Pattern::Reps { rounds, rest, .. } => {
            vec![*rest; *rounds as usize]
        }
        Pattern::Emom { .. } | Pattern::Amrap { .. } => Vec::new(),
    }
}
