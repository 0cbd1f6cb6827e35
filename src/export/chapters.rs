//! Chapters of a class as it was taught, for a recording of it.
//!
//! A chapter is a stretch of time on the wall with a title. How chapters are written down is not
//! known here.

use std::collections::HashMap;
use std::sync::Arc;

use crate::plan::{Kind, Timeline};
use crate::record::{Header, Piece, Taught, Wall, moves_in};
use crate::session::{Block, Move, Order, Part, Pick, Session};

/// What a chapter is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ChapterBy {
    /// A part of the session: a block, the warm-up, a briefing.
    #[default]
    Block,
    /// A round of a block, or a move of it where all its rounds are done in turn.
    Round,
    /// A move with the rest after it.
    Move,
}

/// A stretch of the recording.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chapter {
    /// When it begins.
    pub from: Wall,
    /// When it ends; the next one begins then.
    pub to: Wall,
    /// What is taught in it.
    pub title: String,
}

/// The chapters of a class, end to end in order of time.
#[must_use]
pub fn chapters(header: &Header, taught: &Taught, by: ChapterBy) -> Vec<Chapter> {
    let plan = Plan::of(&header.session, &taught.brought);
    let mut out: Vec<Chapter> = Vec::new();
    let mut before: Option<&Piece> = None;
    let mut worked: Option<&Piece> = None;
    for piece in taught.pieces.iter().filter(|piece| piece.from < piece.to) {
        let goes_on = before.is_some_and(|before| !plan.begins(before, worked, piece, by));
        match out.last_mut() {
            Some(chapter) if goes_on => chapter.to = piece.to,
            _ => out.push(Chapter {
                from: piece.from,
                to: piece.to,
                title: plan.title(piece, by),
            }),
        }
        before = Some(piece);
        worked = if piece.kind.is_moving() {
            before
        } else {
            worked
        };
    }
    out
}

struct Plan<'a> {
    session: &'a Session,
    rounds: HashMap<usize, usize>,
    moves: HashMap<&'a str, &'a Arc<Move>>,
}

impl<'a> Plan<'a> {
    fn of(session: &'a Session, brought: &'a [Arc<Move>]) -> Self {
        let timeline = Timeline::of(session);
        let places = timeline
            .intervals()
            .iter()
            .filter_map(|one| one.place.as_ref());
        Self {
            session,
            rounds: places.map(|place| (place.block, place.round.of)).collect(),
            moves: moves_in(session, brought),
        }
    }

    /// Whether a chapter begins with this piece; `worked` is the last one in which people moved.
    fn begins(&self, before: &Piece, worked: Option<&Piece>, piece: &Piece, by: ChapterBy) -> bool {
        let other_move = || {
            let moves = worked.map(|worked| &worked.moves);
            piece.kind.is_moving() && moves != Some(&piece.moves)
        };
        before.part != piece.part
            || match by {
                ChapterBy::Block => false,
                ChapterBy::Round if piece.block.is_none() => false,
                ChapterBy::Round if self.is_by_move(piece) => other_move(),
                ChapterBy::Round => before.round != piece.round,
                ChapterBy::Move => before.id != piece.id && piece.kind != Kind::Rest,
            }
    }

    fn block(&self, piece: &Piece) -> Option<&Block> {
        match self.session.laid_part(piece.part)? {
            Part::Block(block) => Some(block),
            _ => None,
        }
    }

    fn is_by_move(&self, piece: &Piece) -> bool {
        self.block(piece)
            .is_some_and(|block| block.order == Order::ByMove)
    }

    fn title(&self, piece: &Piece, by: ChapterBy) -> String {
        let moves = self.names(&piece.moves, piece.pick);
        match by {
            ChapterBy::Move => match (piece.together, moves) {
                (Some(go), Some(moves)) => format!("Turn {go}: {moves}"),
                (_, moves) => moves.unwrap_or_else(|| capital(piece.kind.label())),
            },
            ChapterBy::Round if piece.block.is_some() => self.round_title(piece, moves),
            _ => self.part_title(piece),
        }
    }

    fn part_title(&self, piece: &Piece) -> String {
        match (self.block(piece), piece.block) {
            (Some(block), Some(number)) => {
                let title = block.title.clone();
                title.unwrap_or_else(|| format!("Block {number}"))
            }
            _ => capital(piece.kind.label()),
        }
    }

    fn round_title(&self, piece: &Piece, moves: Option<String>) -> String {
        let part = self.part_title(piece);
        let rounds = piece.block.and_then(|block| self.rounds.get(&block));
        match (self.is_by_move(piece), moves, piece.round, rounds) {
            (true, Some(moves), ..) => format!("{part}: {moves}"),
            (false, _, Some(round), Some(rounds @ 2..)) => {
                format!("{part}, round {round} of {rounds}")
            }
            _ => part,
        }
    }

    fn names(&self, moves: &[String], pick: Option<Pick>) -> Option<String> {
        let move_of = |id: &String| self.moves.get(id.as_str()).copied();
        let name = |id: &String| move_of(id).map_or_else(|| id.clone(), |of| of.name.clone());
        let first = move_of(moves.first()?);
        let names = moves.iter().map(name).collect::<Vec<_>>().join(", ");
        let option = first.zip(pick).and_then(|(of, pick)| of.option(pick));
        Some(match option {
            Some(option) => format!("{names} ({})", option.call),
            None => names,
        })
    }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}
