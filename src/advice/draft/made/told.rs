//! What there is to say of a class that was made: what became of the wishes, and what stays unused.

use std::collections::BTreeSet;

use super::super::in_class::{For, turns};
use super::super::score::Score;
use super::super::shape::BlockWish;
use super::super::wishes::{Exertion, Kit, Level};
use super::{Made, Maker};
use crate::advice::remark::Weight;
use crate::advice::review::Review;
use crate::session::{Part, Session};

impl Maker<'_> {
    /// What was wished and is not so.
    fn told(&self, session: &Session) -> Vec<String> {
        let mut told = Vec::new();
        let has = |id: &String| turns(session).iter().any(|(turn, _)| turn.of.id == *id);
        for id in self.wishes.have.iter().filter(|id| !has(id)) {
            told.push(format!("`{id}` found no place: {}", self.why_not(id)));
        }
        if self.wishes.level == Level::Beginner && self.wishes.exertion == Exertion::Vigorous {
            told.push(
                "vigorous work for people who are new: begin lighter and let it rise".to_owned(),
            );
        }
        let review = Review::of(session, self.library);
        let musts = review
            .remarks
            .iter()
            .filter(|remark| remark.weight == Weight::MustMend);
        told.extend(musts.map(|remark| format!("must be mended: {}", remark.what)));
        told.extend(self.too_fresh(session));
        told
    }

    /// Why a wished move is not there.
    fn why_not(&self, id: &str) -> &'static str {
        let mut of = self.candidates.iter().filter(|one| one.id() == id);
        if of.all(|one| !one.has_its_kit(self.wishes, 1)) {
            "what it needs is not there, or too little of it"
        } else {
            "where the blocks are done, their times or the level speak against it"
        }
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
    pub(super) fn made(&self, session: Session, score: Score, adjusted: Vec<String>) -> Made {
        let turns = turns(&session);
        let of = |is_work: bool| -> BTreeSet<String> {
            let turns = turns.iter();
            let some = turns.filter(|(_, place)| (*place == For::Work) == is_work);
            some.map(|(turn, _)| turn.of.id.clone()).collect()
        };
        Made {
            work: of(true),
            frames: of(false),
            adjusted,
            told: self.told(&session),
            unused: self.unused(&session),
            session,
            score,
        }
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
fn fitted(session: &Session, shape: &[BlockWish]) -> Vec<BlockWish> {
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
