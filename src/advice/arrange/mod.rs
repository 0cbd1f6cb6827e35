//! The order of the moves in each block that gives least trouble.
//!
//! Trouble is what lies between two moves that follow one another: a way to the floor or up, a
//! thing to fetch, the same region or joint again, a second landing; and at the end of a pass a
//! position from which nobody sees the screen. To [`EXACT`] moves the order is the best there is;
//! beyond that it is a good one, and said to be so. Timings stay as they are, and so do blocks in which
//! several moves are done at once and those inside of what is repeated.

mod exact;
mod good;
mod kept;
mod problem;
mod remedies;
mod trouble;

use super::names;
use crate::plan::Timeline;
use crate::session::{Block, Doing, Library, Part, Session};
use problem::Problem;

pub use kept::{Kept, KeptFor, kept};
pub use remedies::Remedy;
pub use trouble::Trouble;

/// Up to so many moves the best order is found.
pub const EXACT: usize = 14;
/// How many other orders as good are told.
const OTHERS: usize = 5;

/// What must stay where it is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Pins {
    /// The one block to arrange, counted from 1; none for all.
    pub block: Option<usize>,
    /// The id of the move that must come first in a block that has it.
    pub first: Option<String>,
    /// The id of the move that must come last in a block that has it.
    pub last: Option<String>,
}

/// A block with its moves in another order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Arranged {
    /// The block, counted from 1.
    pub block: usize,
    /// The part of the session, counted from 0.
    pub part: usize,
    /// What it is called.
    pub name: String,
    /// The moves as they are, by their ids.
    pub moves: Vec<String>,
    /// The order: first the one that is now at `order[0]`.
    pub order: Vec<usize>,
    /// The trouble as it is.
    pub before: Trouble,
    /// The trouble in that order.
    pub after: Trouble,
    /// Whether no better order exists.
    pub is_exact: bool,
    /// Other orders that are as good.
    pub others: Vec<Vec<usize>>,
    /// Versions and other moves that would take away what is left.
    pub remedies: Vec<Remedy>,
}

impl Arranged {
    /// Whether the order is another than before.
    #[must_use]
    pub fn is_changed(&self) -> bool {
        self.order
            .iter()
            .enumerate()
            .any(|(place, from)| place != *from)
    }

    /// An order by the ids of its moves.
    #[must_use]
    pub fn ids(&self, order: &[usize]) -> Vec<&str> {
        order.iter().map(|&n| &*self.moves[n]).collect()
    }
}

/// Every block in its best order, and the session with them. A block is looked at with what stands
/// before it already arranged.
#[must_use]
pub fn arrange(session: &Session, library: &Library, pins: &Pins) -> (Vec<Arranged>, Session) {
    let (mut now, mut found, mut block) = (session.clone(), Vec::new(), 0);
    for part in 0..now.parts.len() {
        let Part::Block(of) = &now.parts[part] else {
            block += names::blocks(&now.parts[part]).len();
            continue;
        };
        block += 1;
        let is_asked = pins.block.is_none_or(|asked| asked == block);
        if !is_asked || kept::why(of, false).is_some() {
            continue;
        }
        let arranged = arranged(&now, part, block, library, pins);
        if let Part::Block(of) = &mut now.parts[part] {
            of.moves = arranged
                .order
                .iter()
                .map(|&n| of.moves[n].clone())
                .collect();
        }
        found.push(arranged);
    }
    (found, now)
}

/// Whether everybody does the same move in it at any time. Where several are done at once, who
/// stands beside whom is the planner's.
fn is_one_at_a_time(block: &Block) -> bool {
    let mut places = block.moves.iter();
    places.all(|doing| matches!(doing, Doing::One(_)))
}

fn arranged(
    session: &Session,
    part: usize,
    block: usize,
    library: &Library,
    pins: &Pins,
) -> Arranged {
    let timeline = Timeline::of(session);
    let mut problem = Problem::of(session, &timeline, part);
    let moves: Vec<String> = problem
        .moves
        .iter()
        .map(|turn| turn.of.id.clone())
        .collect();
    let place = |id: &Option<String>| {
        let id = id.as_ref()?;
        moves.iter().position(|known| known == id)
    };
    problem.first = place(&pins.first);
    problem.last = place(&pins.last).filter(|last| Some(*last) != problem.first);
    let given: Vec<usize> = (0..moves.len()).collect();
    let is_exact = moves.len() <= EXACT;
    let mut best = if is_exact {
        exact::best(&problem, OTHERS + 2)
    } else {
        vec![good::order(&problem)]
    };
    // An order that is no better than the one given is no reason to change it.
    let before = problem.trouble(&given);
    if problem.allows(&given) && before.total() <= problem.trouble(&best[0]).total() {
        best.retain(|order| *order != given);
        best.insert(0, given);
    }
    let ids = |order: &[usize]| order.iter().map(|&n| &*moves[n]).collect::<Vec<_>>();
    let mut seen = vec![ids(&best[0])];
    let mut others = Vec::new();
    for order in &best[1..] {
        if !seen.contains(&ids(order)) {
            seen.push(ids(order));
            others.push(order.clone());
        }
    }
    others.truncate(OTHERS);
    let order = best[0].clone();
    Arranged {
        block,
        part,
        name: names::of_part(session, part),
        before,
        after: problem.trouble(&order),
        is_exact,
        others,
        remedies: remedies::remedies(session, &timeline, part, &order, library),
        order,
        moves,
    }
}
