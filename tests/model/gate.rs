//! What the body needs between two moves, kept through every change: a pause that is new, or
//! shortened by the change, is made as long as the way needs; one planned short stays short.

use std::rc::Rc;

use matside::plan::Kind;
use matside::session::Cueing;

use crate::model::{Model, Rest, with_length};
use crate::pieces::{Ms, Piece, need};

/// What is behind the class, so far as a body knows it.
pub(crate) struct Gate {
    cueing: Cueing,
    at: Ms,
    last_moved: Option<Rc<Piece>>,
    /// The pause since, if people kept moving in it.
    active: Option<Rc<Piece>>,
    pub(crate) mat_lies: bool,
}

/// The way to a move ahead.
struct Way {
    /// The place of the move ahead.
    to: usize,
    ids: (Option<u32>, u32),
    /// What is left of the pause, and with what is past of it.
    pause: Ms,
    whole: Ms,
    need: Ms,
    within_grid: bool,
}

impl Gate {
    pub(crate) fn of(model: &Model, at: Ms) -> Self {
        let mut taught = model.taught.iter().map(|stay| &stay.piece);
        Self {
            cueing: model.cueing,
            at,
            last_moved: model.moved().next_back().cloned(),
            active: {
                let behind = model.taught.iter().rev().map(|stay| &stay.piece);
                let mut pauses = behind.take_while(|piece| !piece.is_moving());
                pauses.find(|piece| !piece.moves.is_empty()).cloned()
            },
            mat_lies: taught.any(|piece| piece.is_moving() && piece.uses("mat")),
        }
    }

    /// The same, where what runs is left.
    pub(crate) fn leaving(model: &Model, at: Ms) -> Self {
        let mut gate = Self::of(model, at);
        let run = model.rest.run.as_ref().map(|run| &run.piece);
        match run {
            Some(run) if run.is_moving() => {
                gate.mat_lies |= run.uses("mat");
                gate.last_moved = Some(run.clone());
                gate.active = None;
            }
            Some(run) if !run.moves.is_empty() => gate.active = Some(run.clone()),
            _ => {}
        }
        gate
    }

    /// The move that was done last, where `rest` is what is left.
    fn from<'a>(&'a self, rest: &'a Rest) -> Option<&'a Rc<Piece>> {
        let run = rest.run.as_ref().map(|run| &run.piece);
        run.filter(|piece| piece.is_moving())
            .or(self.last_moved.as_ref())
    }

    fn ways(&self, rest: &Rest) -> Vec<Way> {
        let run = rest.run.as_ref();
        let mut from = self.from(rest);
        let mut mat = self.mat_lies || from.is_some_and(|piece| piece.uses("mat"));
        let is_pause = run.is_some_and(|run| !run.piece.is_moving());
        let mut pause = if is_pause {
            run.map_or(0, |run| run.left(self.at))
        } else {
            0
        };
        let mut past = if is_pause {
            run.map_or(0, |run| run.ran(self.at))
        } else {
            0
        };
        let here = run.map(|run| &run.piece);
        let here = here.filter(|piece| !piece.moves.is_empty());
        let mut active = is_pause.then(|| here.or(self.active.as_ref())).flatten();
        let mut ways = Vec::new();
        for (to, piece) in rest.ahead.iter().enumerate() {
            if !piece.is_moving() {
                pause += piece.length;
                if !piece.moves.is_empty() {
                    active = Some(piece);
                }
                continue;
            }
            let block = |piece: &Rc<Piece>| piece.window().map(|(block, _)| block);
            ways.push(Way {
                to,
                ids: (from.map(|from| from.id), piece.id),
                pause,
                whole: past + pause,
                need: need(
                    &self.cueing,
                    active.take().or(from).map(|from| &**from),
                    piece,
                    mat,
                ),
                within_grid: block(piece).is_some() && from.and_then(block) == block(piece),
            });
            mat |= piece.uses("mat");
            from = Some(piece);
            (pause, past) = (0, 0);
        }
        ways
    }

    pub(crate) fn keep(&self, before: &Rest, rest: &mut Rest, next_id: &mut u32) {
        // What is put in before a mark moves what lasts up to it.
        for _ in 0..2 {
            self.marks(rest);
            self.lengthen(before, rest, false, next_id);
        }
    }

    /// The same, where a change is taken back: what comes together again needs no more than the
    /// pause that it had.
    pub(crate) fn restore(&self, before: &Rest, rest: &mut Rest, next_id: &mut u32) {
        self.lengthen(before, rest, true, next_id);
    }

    /// What lasts up to a mark ends there, but never has less than ten seconds, or what it was
    /// planned for.
    pub(crate) fn marks(&self, rest: &mut Rest) {
        let up_to = |piece: &Piece, from: Ms| {
            let mark = piece.mark?;
            Some(mark.saturating_sub(from).max(piece.written.min(10_000)))
        };
        rest.end_with_block();
        let Some(run) = &mut rest.run else { return };
        if let (0, true, Some(length)) =
            (run.into, run.start == self.at, up_to(&run.piece, self.at))
        {
            run.target = length;
        }
        let mut end = run.end().max(self.at);
        for piece in &mut rest.ahead {
            if let Some(length) = up_to(piece, end).filter(|length| *length != piece.length) {
                *piece = with_length(piece, length);
            }
            end += piece.length;
        }
    }

    /// Looks at all ways: one between the same two moves needs what it had, and what it needs more
    /// than before, as where a mat lies there no more.
    fn lengthen(&self, before: &Rest, rest: &mut Rest, restoring: bool, next_id: &mut u32) {
        let was: Vec<Way> = self.ways(before);
        for way in self.ways(rest).into_iter().rev() {
            let same = was.iter().find(|was| was.ids == way.ids);
            let most = if restoring {
                way.need.min(way.whole)
            } else {
                way.need
            };
            let wanted =
                most.min(same.map_or(most, |same| same.pause + way.need.saturating_sub(same.need)));
            if way.pause < wanted && !way.within_grid {
                put_pause(rest, way.to, wanted - way.pause, next_id);
            }
        }
    }

    /// In the rest before a start on a grid, with too little left of it to get to what now comes:
    /// the window that went stays as a rest.
    pub(crate) fn keep_start(&self, gone: &Piece, rest: &mut Rest, next_id: &mut u32) {
        let Some(run) = rest.run.clone().filter(|run| run.piece.window().is_some()) else {
            return;
        };
        let ways = self.ways(rest);
        let Some(way) = ways.first().filter(|way| way.within_grid) else {
            return;
        };
        if way.pause < way.need.min(way.whole) {
            *next_id += 1;
            let every = run.piece.every();
            let free = Piece {
                id: *next_id,
                written: every,
                at: gone.at,
                ..(*run.piece).clone()
            };
            rest.ahead.insert(way.to, with_length(&free, every));
        }
    }

    /// Time to get to a move that a jump leads to.
    pub(crate) fn lead_in(&self, to: &Piece, next_id: &mut u32) -> Option<Rc<Piece>> {
        let from = self.active.as_ref().or(self.last_moved.as_ref());
        if !to.is_moving() {
            return None;
        }
        let need = need(&self.cueing, from.map(|from| &**from), to, self.mat_lies);
        (need > 0).then(|| ready(to, need, next_id))
    }
}

fn put_pause(rest: &mut Rest, to: usize, lack: Ms, next_id: &mut u32) {
    let before = to.checked_sub(1).map(|n| &mut rest.ahead[n]);
    match (before, &mut rest.run) {
        (Some(pause), _) if can_grow(pause) => *pause = with_length(pause, pause.length + lack),
        (None, Some(run)) if can_grow(&run.piece) => run.target += lack,
        _ => {
            let piece = ready(&rest.ahead[to], lack, next_id);
            rest.ahead.insert(to, piece);
        }
    }
}

/// A pause, but none of a grid, whose starts stay where they are.
fn can_grow(piece: &Piece) -> bool {
    !piece.is_moving() && piece.window().is_none()
}

fn ready(to: &Piece, length: Ms, next_id: &mut u32) -> Rc<Piece> {
    *next_id += 1;
    Rc::new(Piece {
        kind: Kind::Ready,
        part: to.part,
        moves: Vec::new(),
        length,
        written: length,
        untimed: false,
        at: None,
        mark: None,
        id: *next_id,
    })
}
