//! The grid of decisions: the states worth keeping at each of its cells.

use super::score::Score;
use super::state::State;

/// A place in the grid: so many steps and so many calls are decided.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Cell {
    pub(super) step: usize,
    pub(super) call: usize,
}

/// One decision.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Move {
    /// The ask of the step is said, in its way of this number.
    Say(usize),
    /// The call is said.
    Call,
    /// The ask is not said at this step.
    Skip,
    /// The call is not said.
    Drop,
}

impl Cell {
    /// Nothing is decided.
    pub(super) const FIRST: Self = Self { step: 0, call: 0 };

    /// Everything is decided.
    pub(super) fn last(score: &Score) -> Self {
        Self {
            step: score.steps.len(),
            call: score.calls.len(),
        }
    }

    /// The cell after a decision.
    pub(super) fn after(self, decision: Move) -> Self {
        match decision {
            Move::Say(_) | Move::Skip => Self {
                step: self.step + 1,
                ..self
            },
            Move::Call | Move::Drop => Self {
                call: self.call + 1,
                ..self
            },
        }
    }

    /// The same place as it is counted from the other end.
    pub(super) fn mirrored(self, score: &Score) -> Self {
        let last = Self::last(score);
        Self {
            step: last.step - self.step,
            call: last.call - self.call,
        }
    }
}

/// Every decision that can be taken next, with the state after it.
fn moves(score: &Score, cell: Cell, state: &State) -> impl Iterator<Item = (Move, State)> {
    let is_step = cell.step < score.steps.len();
    let is_call = cell.call < score.calls.len();
    let skip = is_step.then(|| score.skipped(cell.step, state)).flatten();
    let call = is_call.then(|| score.called(cell.call, state)).flatten();
    let drop = is_call.then(|| state.clone());
    ways(score, cell, state)
        .chain(skip.map(|next| (Move::Skip, next)))
        .chain(call.map(|next| (Move::Call, next)))
        .chain(drop.map(|next| (Move::Drop, next)))
}

/// The ways to say the ask of the step, with the state after it.
pub(super) fn ways(
    score: &Score,
    cell: Cell,
    state: &State,
) -> impl Iterator<Item = (Move, State)> {
    let ways = score
        .steps
        .get(cell.step)
        .into_iter()
        .flat_map(|step| step.ways.iter().enumerate());
    ways.filter_map(move |(n, way)| {
        let next = score.said(cell.step, way, state)?;
        Some((Move::Say(n), next))
    })
}

/// The states kept at each cell: of any two, neither is as good as the other.
#[derive(Debug)]
pub(super) struct Fronts {
    cells: Vec<Vec<State>>,
    columns: usize,
    /// How many states were looked at.
    pub(super) visited: u64,
}

impl Fronts {
    /// Every state that `admits` lets through and no other is as good as.
    pub(super) fn sweep(score: &Score, admits: impl Fn(Cell, &State) -> bool) -> Self {
        let last = Cell::last(score);
        let columns = last.call + 1;
        let mut fronts = Self {
            cells: vec![Vec::new(); (last.step + 1) * columns],
            columns,
            visited: 0,
        };
        fronts.offer(Cell::FIRST, State::start(), &admits);
        for step in 0..=last.step {
            for call in 0..=last.call {
                let cell = Cell { step, call };
                let place = fronts.place(cell);
                let states = std::mem::take(&mut fronts.cells[place]);
                for state in &states {
                    for (decision, next) in moves(score, cell, state) {
                        fronts.offer(cell.after(decision), next, &admits);
                    }
                }
                fronts.cells[place] = states;
            }
        }
        fronts
    }

    /// The states kept at a cell.
    pub(super) fn at(&self, cell: Cell) -> &[State] {
        &self.cells[self.place(cell)]
    }

    fn place(&self, cell: Cell) -> usize {
        cell.step * self.columns + cell.call
    }

    fn offer(&mut self, cell: Cell, state: State, admits: &impl Fn(Cell, &State) -> bool) {
        self.visited += 1;
        let place = self.place(cell);
        let front = &mut self.cells[place];
        if front.iter().any(|kept| kept.is_as_good_as(&state)) || !admits(cell, &state) {
            return;
        }
        front.retain(|kept| !state.is_as_good_as(kept));
        front.push(state);
    }
}
