//! What there is to say of a class that was made: what became of the wishes, and what stays unused.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::super::candidate::Candidate;
use super::super::fault::CannotDraft;
use super::super::in_class::{For, turns};
use super::super::score::Score;
use super::super::shape::{BlockWish, Ground};
use super::super::wishes::{Exertion, Kit, Level};
use super::super::words::place;
use super::super::work::Placed;
use super::super::worth::suits;
use super::{Made, Maker};
use crate::advice::remark::Weight;
use crate::advice::review::Review;
use crate::session::{Part, Session, Use};

/// A block with its moves.
type Chosen = (Placed, Vec<Arc<Use>>);

impl Maker<'_> {
    /// What was wished and is not so.
    fn told(&self, session: &Session, blocks: &[Chosen]) -> Vec<String> {
        let mut told = Vec::new();
        let has = |id: &String| turns(session).iter().any(|(turn, _)| turn.of.id == *id);
        for id in self.wishes.have.iter().filter(|id| !has(id)) {
            told.push(format!(
                "`{id}` found no place: {}",
                self.why_not(id, blocks)
            ));
        }
        if self.wishes.level == Level::Beginner && self.wishes.exertion == Exertion::Vigorous {
            told.push(
                "vigorous work for people who are new: begin lighter and let it rise".to_owned(),
            );
        }
        told.extend(self.too_fresh(session));
        told
    }

    /// Why a wished move is not there.
    fn why_not(&self, id: &str, blocks: &[Chosen]) -> String {
        let wishes = self.wishes;
        let all = self.candidates.iter().filter(|one| one.id() == id);
        let of: Vec<&Candidate> = all.collect();
        let places = |placed: &Placed| {
            if placed.wish.stations {
                placed.wish.moves
            } else {
                1
            }
        };
        let has_kit = |one: &&Candidate| {
            let mut blocks = blocks.iter();
            one.has_its_kit(wishes, 1)
                || blocks.any(|(placed, _)| one.has_its_kit(wishes, places(placed)))
        };
        if !of.iter().any(has_kit) {
            return "what it needs is not there, or too little of it".to_owned();
        }
        if of.iter().all(|one| one.is_gentle()) {
            return "warm-up and cool-down are done elsewhere, or have no place left for it"
                .to_owned();
        }
        let suits_at = |one: &Candidate, placed: &Placed, ground: Ground| {
            suits(one, wishes, &placed.wish, ground)
        };
        let suit: Vec<&Chosen> = blocks
            .iter()
            .filter(|(placed, _)| of.iter().any(|one| suits_at(one, placed, placed.ground)))
            .collect();
        if !suit.is_empty() {
            let is_wished = |turn: &Arc<Use>| wishes.have.contains(&turn.of.id);
            let moves = |(_, moves): &&Chosen| moves.clone();
            return if suit.iter().flat_map(moves).all(|turn| is_wished(&turn)) {
                "more was wished than there are places where it suits".to_owned()
            } else if suit.iter().all(|block| self.is_used_up(&of, block)) {
                "what it needs is at other stations at the same time".to_owned()
            } else {
                "the other wishes weigh more".to_owned()
            };
        }
        let elsewhere = |one: &&&Candidate| {
            let mut blocks = blocks.iter();
            blocks.any(|(placed, _)| suits_at(one, placed, one.ground))
        };
        match of.iter().find(elsewhere) {
            Some(one) => format!("it is done {}, and no block is", place(one.ground)),
            None => "the times of the blocks or the level speak against it".to_owned(),
        }
    }

    /// Whether the stations of a block have all that there is of something that each version needs.
    fn is_used_up(&self, of: &[&Candidate], (placed, moves): &Chosen) -> bool {
        let is_out = |thing: &&str| {
            let uses = |turn: &&Arc<Use>| turn.equipment().contains(thing);
            let most = self.wishes.places_with(thing, placed.wish.moves);
            most.is_some_and(|most| moves.iter().filter(uses).count() >= most)
        };
        placed.wish.stations && of.iter().all(|one| one.things().iter().any(is_out))
    }

    /// What is there and stays where it is.
    fn unused(&self, session: &Session) -> Vec<String> {
        let wishes = self.wishes;
        let is_unused = |kit: &&Kit| {
            !["mat", "wall"].contains(&kit.thing.as_str())
                && !session.equipment.contains(&kit.thing)
        };
        let said = |kit: &Kit| match (kit.count, wishes.people) {
            (Some(count), Some(people)) if count < people => format!(
                "{} ({count} for {people} people are enough at stations alone)",
                kit.thing
            ),
            _ => kit.thing.clone(),
        };
        wishes.kit.iter().filter(is_unused).map(said).collect()
    }

    /// A class with what there is to say of it.
    ///
    /// # Errors
    /// What the review would have mended: no such class is handed out.
    pub(super) fn made(
        &self,
        session: Session,
        score: Score,
        adjusted: Vec<String>,
        blocks: &[Chosen],
    ) -> Result<Made, CannotDraft> {
        let review = Review::of(&session, self.library);
        let mut remarks = review.remarks.into_iter();
        if let Some(must) = remarks.find(|remark| remark.weight == Weight::MustMend) {
            return Err(CannotDraft::MustMend { what: must.what });
        }
        let turns = turns(&session);
        let of = |is_work: bool| -> BTreeSet<String> {
            let turns = turns.iter();
            let some = turns.filter(|(_, place)| (*place == For::Work) == is_work);
            some.map(|(turn, _)| turn.of.id.clone()).collect()
        };
        Ok(Made {
            work: of(true),
            frames: of(false),
            adjusted,
            told: self.told(&session, blocks),
            unused: self.unused(&session),
            session,
            score,
        })
    }

    fn too_fresh(&self, session: &Session) -> Option<String> {
        let turns = turns(session);
        let again = turns
            .iter()
            .filter(|(turn, _)| self.wishes.is_too_fresh(&turn.of.id));
        let again: Vec<&str> = again.map(|(turn, _)| turn.of.name.as_str()).collect();
        (!again.is_empty()).then(|| {
            format!(
                "of the last class again, as too little else suits: {}",
                again.join(", ")
            )
        })
    }

    /// What of the wished blocks is otherwise in the end, and what there is besides.
    pub(super) fn adjusted(
        session: &Session,
        wished: &[BlockWish],
        shape: &[BlockWish],
    ) -> Vec<String> {
        let is = fitted(session, shape);
        let pairs = wished.iter().zip(&is).filter(|(wished, is)| wished != is);
        let changed = pairs.map(|(wished, is)| format!("`{wished}` became `{is}`"));
        let more = is.iter().skip(wished.len());
        let more = more.map(|more| format!("a block more, `{more}`"));
        changed.chain(more).collect()
    }
}

/// The blocks of a shape with the times that the class has in the end.
pub(super) fn fitted(session: &Session, shape: &[BlockWish]) -> Vec<BlockWish> {
    let blocks = session.parts.iter().filter_map(|part| match part {
        Part::Block(block) => Some(block),
        _ => None,
    });
    let with_times = shape.iter().zip(blocks).map(|(wish, block)| BlockWish {
        pattern: block.pattern.clone(),
        ..wish.clone()
    });
    with_times.collect()
}

#[cfg(test)]
mod tests {
    use super::super::super::candidate::candidates;
    use super::*;
    use crate::advice::draft::Wishes;
    use crate::session::Library;

    /// A class that the review would have mended, however it came about, is refused in its words.
    #[test]
    fn what_must_be_mended_is_not_handed_out() {
        let library = Library::builtin();
        let wishes = Wishes::default();
        let candidates = candidates(&wishes, &library);
        let maker = Maker {
            wishes: &wishes,
            candidates: &candidates,
            fresh: &candidates,
            library: &library,
            title: "Draft".into(),
        };
        let class = |there: u32| {
            let text = format!(
                r#"Session(
                    title: "t", people: 4, equipment: ["mat", "kettlebell"], stock: [("kettlebell", {there})],
                    parts: [
                        Talk(time: 30, say: "Welcome."),
                        WarmUp([("march", 120), ("arm-circle", 60), ("squat", 60), ("good-morning", 60)]),
                        Ready(time: 30),
                        Block(
                            moves: ["goblet-squat", "kettlebell-deadlift"],
                            pattern: Same(rounds: 2, work: 40, rest: 20),
                        ),
                        Recover(time: "1:30", say: "Come down to the mat."),
                        CoolDown([("hip-stretch", 120), ("butterfly-stretch", 120), ("breath-seated", 120)]),
                    ],
                )"#
            );
            let read = Session::read("a class", &text, &library);
            let session = read.unwrap_or_else(|faults| panic!("{faults}"));
            let score = Score {
                by_wish: Vec::new(),
                total: 0,
                work: 0,
                bound: 0,
                is_other: false,
            };
            maker.made(session, score, Vec::new(), &[])
        };
        for there in 0..4 {
            let refused = class(there).err().map(|why| why.to_string());
            let refused = refused.unwrap_or_else(|| panic!("{there} for four"));
            assert!(refused.contains("4 kettlebell are needed"), "{refused}");
        }
        let all = class(4).err().map(|why| why.to_string());
        assert_eq!(all, None, "one for each");
    }
}
