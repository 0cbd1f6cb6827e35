//! A landing as it was worked out, done to what is left: lengths, what goes, copies behind others.
//! How it is worked out is not known here; `live/landing/tests` search for better ones.

use std::collections::BTreeMap;
use std::rc::Rc;

use matside::live::{Change, ChangeKind};

use crate::model::{Model, Rest, with_length};
use crate::pieces::{At, Form, Ms, Piece, least};

impl Model {
    pub(crate) fn land(&mut self, at: Ms, changes: &[Change]) -> bool {
        let mut after = self.rest.clone();
        let Some(run) = after.run.as_mut() else {
            return false;
        };
        let own = run.piece.id;
        for (_, length) in lengths(changes).filter(|(id, _)| *id == own) {
            if !run.piece.untimed {
                // What has run stays, and time to count it out.
                let floor = run.target.min(run.ran(at) + least(&self.cueing));
                run.target = floor.max(run.into + length);
                run.piece = with_length(&run.piece, run.into + length);
            }
        }
        let mut ahead = Vec::new();
        let running = run.piece.clone();
        self.put_behind(&running, changes, &mut ahead);
        for piece in self.rest.ahead.clone() {
            let id = piece.id;
            let goes = |change: &Change| change.id == id && change.kind == ChangeKind::Drop;
            if !changes.iter().any(goes) {
                let own = lengths(changes).filter(|(of, length)| *of == id && *length > 0);
                ahead.push(match own.last() {
                    Some((_, length)) if length != piece.length => with_length(&piece, length),
                    _ => piece.clone(),
                });
            }
            self.put_behind(&piece, changes, &mut ahead);
        }
        count_rounds(&mut ahead);
        // The marks are where the class comes to them now.
        let mut end = running_end(&after, at);
        for piece in &mut ahead {
            end += piece.length;
            if piece.mark.is_some_and(|mark| mark != end) {
                *piece = Rc::new(Piece {
                    mark: Some(end),
                    ..(**piece).clone()
                });
            }
        }
        after.ahead = ahead;
        self.bend_in_part(at, after);
        true
    }

    /// The copies that come behind a piece, in their order.
    fn put_behind(&mut self, piece: &Piece, changes: &[Change], ahead: &mut Vec<Rc<Piece>>) {
        for change in changes {
            let (after, length, round) = match change.kind {
                ChangeKind::Copy { after, length } => (after, length, None),
                ChangeKind::Round {
                    after,
                    length,
                    round,
                } => (after, length, Some(round)),
                ChangeKind::Length(_) | ChangeKind::Drop => continue,
            };
            if piece.id != after || length.is_zero() {
                continue;
            }
            let Some(of) = self.known(change.id) else {
                continue;
            };
            let mut copy = (*self.copy(&of, length.millis())).clone();
            copy.written = copy.length;
            if let (Some(round), Some(at)) = (round, &mut copy.at) {
                *at = in_round(*at, round);
            }
            ahead.push(Rc::new(copy));
        }
    }

    /// What was taught, runs or is ahead, by its number.
    fn known(&self, id: u32) -> Option<Rc<Piece>> {
        let Rest { run, ahead, .. } = &self.rest;
        let left = ahead.iter().chain(run.iter().map(|run| &run.piece));
        let taught = self.taught.iter().rev().map(|stay| &stay.piece);
        let mut all = left.chain(taught);
        all.find(|piece| piece.id == id).cloned()
    }
}

/// Where what runs ends; counted work that goes on past its planned time, now.
fn running_end(rest: &Rest, at: Ms) -> Ms {
    let run = rest.run.as_ref();
    run.map_or(at, |run| run.end().max(at))
}

fn lengths(changes: &[Change]) -> impl Iterator<Item = (u32, Ms)> {
    changes.iter().filter_map(|change| match change.kind {
        ChangeKind::Length(length) => Some((change.id, length.millis())),
        _ => None,
    })
}

/// The same place in another round: of a grid in the window of that round.
fn in_round(at: At, round: usize) -> At {
    let pass = if at.form == Form::Sets {
        at.pass
    } else {
        round
    };
    let window = at.window.map(|_| (round - 1) * at.moves + at.place);
    At {
        pass,
        window,
        round,
        ..at
    }
}

/// No piece stands in a round, or a window, behind the last that the works of its block are of.
fn count_rounds(ahead: &mut [Rc<Piece>]) {
    let mut most: BTreeMap<(usize, bool), (usize, usize)> = BTreeMap::new();
    for piece in ahead.iter() {
        if let Some(at) = piece.at {
            let (rounds, windows) = most.entry((at.block, piece.is_moving())).or_default();
            *rounds = at.round.max(*rounds);
            *windows = at.window.unwrap_or(0).max(*windows);
        }
    }
    for piece in ahead {
        let Some(mut at) = piece.at else { continue };
        let by_works = most.get(&(at.block, true));
        let Some((rounds, windows)) = by_works.or_else(|| most.get(&(at.block, false))) else {
            continue;
        };
        at.round = at.round.min(*rounds);
        at.window = at.window.map(|window| window.min(*windows));
        if at.form != Form::Sets {
            at.pass = at.pass.min(*rounds);
        }
        if piece.at != Some(at) {
            *piece = Rc::new(Piece {
                at: Some(at),
                ..(**piece).clone()
            });
        }
    }
}
