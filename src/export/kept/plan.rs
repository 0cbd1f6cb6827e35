//! What the plan says of what was taught: words, repetitions, how a block goes through its works.

use std::collections::HashMap;
use std::sync::Arc;

use super::stretches::Stretch;
use crate::plan::{Kind, Placed, Shape, Timeline};
use crate::session::{Part, Pick, Ron, Session, Use, Written};
use crate::time::Span;

/// A plan, asked by its intervals and parts.
pub(super) struct Plan<'a> {
    session: &'a Session,
    timeline: Timeline,
    places: HashMap<u32, usize>,
}

/// A move as it was done at a place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Turn {
    pub(super) id: String,
    pub(super) pick: Option<Pick>,
    pub(super) note: Option<String>,
    pub(super) reps: Option<u32>,
}

/// Several moves as they were done at once.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Stations {
    /// The moves in the order in which people stand.
    pub(super) turns: Vec<Turn>,
    /// Which of the works until everybody had been everywhere, counted from 1.
    pub(super) nth: usize,
    /// How many works that takes; one where nobody goes on.
    pub(super) works: usize,
    /// Whether it lasted until the instructor moved on.
    pub(super) by_key: bool,
}

impl Turn {
    /// The move as a file writes it, with times of its own and, where it is counted, how many.
    pub(super) fn written(&self, work: Option<Span>, rest: Option<Span>, counted: bool) -> Ron {
        let plain = work.is_none() && rest.is_none() && !counted;
        if plain && self.pick.is_none() && self.note.is_none() {
            return Ron::text(&self.id);
        }
        let (list, nth) = match self.pick {
            Some(Pick::Easier(nth)) => ("easier", Some(nth)),
            Some(Pick::Harder(nth)) => ("harder", Some(nth)),
            Some(Pick::Instead(nth)) => ("instead", Some(nth)),
            None => ("", None),
        };
        let reps = self.reps.filter(|_| counted);
        Written::default()
            .with("move", Ron::text(&self.id))
            .maybe("reps", reps.map(Ron::word))
            .maybe("work", work.map(Ron::time))
            .maybe("rest", rest.map(Ron::time))
            .maybe(list, nth.map(|nth| Ron::word(nth + 1)))
            .maybe("note", self.note.as_deref().map(Ron::text))
            .group("Use")
    }
}

impl<'a> Plan<'a> {
    pub(super) fn of(session: &'a Session) -> Self {
        let timeline = Timeline::of(session);
        let places = timeline.intervals().iter().enumerate();
        let places = places.map(|(at, one)| (one.id, at)).collect();
        Self {
            session,
            timeline,
            places,
        }
    }

    /// The interval as it was planned; none for one that was put in during class.
    fn planned(&self, of: &Stretch) -> Option<&Placed> {
        let at = *self.places.get(&of.id)?;
        self.timeline.intervals().get(at)
    }

    fn works(&self, part: usize) -> impl Iterator<Item = &Placed> {
        let all = self.timeline.intervals().iter();
        all.filter(move |one| one.part == part && one.kind.is_moving())
    }

    /// Whether the part is a block.
    pub(super) fn is_block(&self, part: usize) -> bool {
        matches!(self.session.laid_part(part), Some(Part::Block(_)))
    }

    /// What the block is called.
    pub(super) fn title(&self, part: usize) -> Option<&str> {
        match self.session.laid_part(part) {
            Some(Part::Block(block)) => block.title.as_deref(),
            _ => None,
        }
    }

    /// How the block goes through its works.
    pub(super) fn shape(&self, part: usize) -> Shape {
        let place = self.works(part).find_map(|one| one.place.as_ref());
        place.map_or(Shape::Rounds, |place| place.shape)
    }

    /// How many moves the block has.
    pub(super) fn places(&self, part: usize) -> usize {
        let place = self.works(part).find_map(|one| one.place.as_ref());
        place.map_or(1, |place| place.place.of.max(1))
    }

    /// Whether its works are counted, and last until the instructor moves on.
    pub(super) fn is_counted(&self, part: usize) -> bool {
        self.works(part)
            .any(|one| one.kind == Kind::Work && one.untimed)
    }

    /// What was written for it.
    pub(super) fn say(&self, of: &Stretch) -> &str {
        self.planned(of).map_or("", |one| &one.say)
    }

    /// The one move of a stretch.
    pub(super) fn turn(&self, of: &Stretch) -> Turn {
        let id = of.moves.first().map_or("", String::as_str);
        let here = self.planned(of).and_then(|one| one.turn());
        let alike = || {
            let mut turns = self.works(of.part).flat_map(|one| one.moves.iter());
            turns.find(|turn| turn.of.id == id)
        };
        let same = here.filter(|turn| turn.of.id == id).or_else(alike);
        // How often it is done stays where another move is done in its place.
        let any = || self.works(of.part).find_map(|one| one.turn()?.reps);
        let reps = same.or(here).and_then(|turn| turn.reps).or_else(any);
        Turn {
            id: id.to_owned(),
            pick: of.pick,
            note: same.and_then(|turn| turn.note.clone()),
            reps,
        }
    }

    /// The moves of a stretch, where they were done at once.
    pub(super) fn stations(&self, of: &Stretch) -> Option<Stations> {
        let nth = of.together?;
        let ids = |one: &Placed| one.moves.iter().map(|turn| turn.of.id.clone()).collect();
        let is_it = |one: &&Placed| -> bool {
            let own: Vec<String> = ids(one);
            one.together().is_some() && own == of.moves
        };
        // One that was put in during class is like another of its part.
        let planned = self.planned(of).filter(is_it);
        let planned = planned.or_else(|| self.works(of.part).find(is_it))?;
        let turn = |turn: &Arc<Use>| Turn {
            id: turn.of.id.clone(),
            pick: turn.pick,
            note: turn.note.clone(),
            reps: turn.reps,
        };
        Some(Stations {
            turns: planned.moves.iter().map(turn).collect(),
            nth,
            works: planned.together()?.turn.of,
            by_key: planned.untimed,
        })
    }

    /// The moves of a window in which they were repeated freely.
    pub(super) fn circuit(&self, of: &Stretch) -> Vec<Turn> {
        let turns = self.works(of.part).flat_map(|one| one.moves.iter());
        let turns: Vec<&Use> = turns.map(|turn| &**turn).collect();
        let turn = |id: &String| {
            let planned = turns.iter().find(|turn| turn.of.id == *id);
            Turn {
                id: id.clone(),
                pick: planned.and_then(|turn| turn.pick),
                note: planned.and_then(|turn| turn.note.clone()),
                reps: planned.and_then(|turn| turn.reps),
            }
        };
        of.moves.iter().map(turn).collect()
    }
}
