//! What is done otherwise than planned: another version of a move, another move, somebody to be
//! spared. Which version a limit leads to is not modelled (`session/versions/tests.rs`): whoever is
//! spared here spares what no move of these classes loads.

use std::rc::Rc;
use std::sync::Arc;

use matside::live::Harder;
use matside::session::{Load, Move, Pick, Use};

use crate::gate::Gate;
use crate::model::{Model, with_length};
use crate::pieces::{Ms, Piece, is_up, need, place_of};
use crate::undo::Change;

/// Less of another move than this is not begun.
const LEAST_WORK: Ms = 10_000;

impl Model {
    /// The move that runs, or in a pause the one that comes.
    fn meant(&self) -> Option<Rc<Piece>> {
        let run = self.rest.run.as_ref()?;
        let all = std::iter::once(&run.piece).chain(&self.rest.ahead);
        all.clone().find(|piece| piece.is_moving()).cloned()
    }

    /// One step on the ladder, here and wherever the part still has the move.
    pub(crate) fn step(&mut self, at: Ms, way: Harder) -> bool {
        let Some(meant) = self.meant() else {
            return false;
        };
        let Some(pick) = stepped(&meant.moves[0], way) else {
            return false;
        };
        let other = |piece: &mut Rc<Piece>| {
            let alike = piece.part == meant.part
                && piece.moves.len() == meant.moves.len()
                && piece.moves[0].of.id == meant.moves[0].of.id;
            if alike {
                let mut moves = piece.moves.clone();
                Arc::make_mut(&mut moves[0]).pick = pick;
                *piece = with_moves(piece, moves);
            }
        };
        let mut after = self.rest.clone();
        after.run.iter_mut().for_each(|run| other(&mut run.piece));
        after.ahead.iter_mut().for_each(other);
        self.bend_in_part(at, after);
        true
    }

    /// Another move to the end of the part. Whoever works leaves what they do for it, if 10 s of it
    /// are left once they are there; else it comes from the next time on.
    pub(crate) fn swap(&mut self, at: Ms, of: &Arc<Move>) -> bool {
        let Some(meant) = self.meant().filter(|meant| meant.moves.len() == 1) else {
            return false;
        };
        if meant.moves[0].of.id == of.id {
            return false;
        }
        let mut after = self.rest.clone();
        let mut count = 0;
        for piece in &mut after.ahead {
            let is_alike = piece.part == meant.part && piece.moves.len() == 1;
            if is_alike && piece.moves[0].of.id == meant.moves[0].of.id {
                *piece = with_moves(piece, vec![other(&piece.moves[0], of)]);
                count += 1;
            }
        }
        let run = self.rest.run.clone().filter(|run| run.piece.id == meant.id);
        if let Some(run) = &run {
            let gate = Gate::leaving(self, at);
            let piece = with_moves(&meant, vec![other(&meant.moves[0], of)]);
            let takes = need(&self.cueing, Some(&meant), &piece, gate.mat_lies);
            let length = if meant.untimed {
                Some(meant.length)
            } else {
                let left = run.left(at).saturating_sub(takes);
                Some(left).filter(|left| *left >= LEAST_WORK)
            };
            if let Some(length) = length {
                let piece = self.copy(&piece, length);
                let lead_in = gate.lead_in(&piece, &mut self.next_id);
                let first = match lead_in {
                    Some(ready) => {
                        after.ahead.insert(0, piece);
                        ready
                    }
                    None => piece,
                };
                let run = self.begun(&first, at, 0);
                after.start(Some(run));
                self.jump(at, after);
                return true;
            }
            if count == 0 {
                return false;
            }
        }
        self.bend_in_part(at, after);
        true
    }

    pub(crate) fn limit(&mut self, at: Ms, limits: &[Load]) -> bool {
        let before = std::mem::replace(&mut self.limits, limits.to_vec());
        self.changed += 1;
        let taught = self.taught.len();
        let rest = self.rest.clone();
        let change = Change::limits(self.changed, at, rest, taught, before);
        self.changes.push(change);
        true
    }
}

fn with_moves(piece: &Piece, moves: Vec<Arc<Use>>) -> Rc<Piece> {
    let piece = Piece {
        moves,
        ..piece.clone()
    };
    with_length(&piece, piece.length)
}

fn other(turn: &Use, of: &Arc<Move>) -> Arc<Use> {
    Arc::new(Use {
        of: of.clone(),
        pick: None,
        note: None,
        ..turn.clone()
    })
}

/// Where a key leads from the version in force: to the next one that leaves the body where it is, up
/// or down, and where there is none to the next; of the versions for a joint always to the next one.
#[expect(
    clippy::option_option,
    reason = "whether there is a step, and the version or the plain move it leads to"
)]
fn stepped(turn: &Use, way: Harder) -> Option<Option<Pick>> {
    let of = &turn.of;
    let easier = (0..of.easier.len()).rev().map(|n| Some(Pick::Easier(n)));
    let harder = (0..of.harder.len()).map(|n| Some(Pick::Harder(n)));
    let ladder: Vec<Option<Pick>> = easier.chain([None]).chain(harder).collect();
    // A version for a joint stands beside the move as it is.
    let rung = match turn.pick {
        Some(Pick::Instead(_)) => of.easier.len(),
        pick => ladder.iter().position(|one| *one == pick)?,
    };
    let beside = matches!(turn.pick, Some(Pick::Instead(_)));
    let next: Vec<Option<Pick>> = match way {
        Harder::Easier => ladder[..rung].iter().rev().copied().collect(),
        Harder::Harder => ladder[rung + usize::from(!beside)..].to_vec(),
        Harder::Instead => {
            let mut round = vec![None];
            round.extend((0..of.instead.len()).map(|n| Some(Pick::Instead(n))));
            let here = match turn.pick {
                Some(Pick::Instead(n)) => n + 1,
                _ => 0,
            };
            round.rotate_left(here);
            return round.get(1).copied();
        }
    };
    let now = place_of(turn);
    let stays = |pick: &&Option<Pick>| {
        let there = place_of(&Use {
            pick: **pick,
            ..turn.clone()
        });
        match way {
            Harder::Harder => there == now,
            _ => is_up(there) == is_up(now),
        }
    };
    next.iter().find(stays).or(next.first()).copied()
}
