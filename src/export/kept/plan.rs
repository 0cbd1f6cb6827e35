//! What the plan says of what was taught: words, repetitions, how a block goes through its works.

use std::collections::HashMap;

use super::stretches::Stretch;
use super::turn::Turn;
use crate::plan::{Placed, Shape, Timeline};
use crate::session::{Block, Laid, Part, Pattern, Session, Use};
use crate::time::Span;

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

/// A plan, asked by its intervals and by its parts as they are taught.
pub(super) struct Plan<'a> {
    laid: Vec<Laid<'a>>,
    timeline: Timeline,
    places: HashMap<u32, usize>,
}

impl<'a> Plan<'a> {
    pub(super) fn of(session: &'a Session) -> Self {
        let timeline = Timeline::of(session);
        let places = timeline.intervals().iter().enumerate();
        let places = places.map(|(at, one)| (one.id, at)).collect();
        Self {
            laid: session.laid(),
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

    /// The part, where it is a block.
    pub(super) fn block(&self, part: usize) -> Option<&'a Block> {
        match self.laid.get(part)?.part {
            Part::Block(block) => Some(block),
            _ => None,
        }
    }

    /// What a free window is called.
    pub(super) fn title(&self, part: usize) -> Option<&'a str> {
        match self.laid.get(part)?.part {
            Part::Free { title, .. } => title.as_deref(),
            _ => None,
        }
    }

    /// Up to which place of the class a part lasts, where it does.
    pub(super) fn mark(&self, part: usize) -> Option<Span> {
        self.laid.get(part)?.mark
    }

    /// How the block goes through its works.
    pub(super) fn shape(&self, part: usize) -> Shape {
        let place = self.works(part).find_map(|one| one.place.as_ref());
        place.map_or(Shape::Rounds, |place| place.shape)
    }

    /// How many moves the block has.
    pub(super) fn places(&self, part: usize) -> usize {
        self.block(part).map_or(1, |block| block.moves.len().max(1))
    }

    /// Whether works of the block are counted, and last until the instructor moves on.
    pub(super) fn is_counted(&self, part: usize) -> bool {
        let pattern = self.block(part).map(|block| &block.pattern);
        matches!(pattern, Some(Pattern::Reps { .. }))
    }

    /// After which time the block ends by itself, if it does.
    pub(super) fn cap(&self, part: usize) -> Option<Span> {
        match self.block(part)?.pattern {
            Pattern::Reps { cap, .. } => cap,
            _ => None,
        }
    }

    /// Whether a work, or a step of a warm-up, is counted.
    pub(super) fn is_untimed(&self, of: &Stretch) -> bool {
        let id = of.moves.first();
        let its = |one: &&Placed| one.turn().map(|turn| &turn.of.id) == id;
        let alike = || self.works(of.part).find(its).map(|one| one.untimed);
        let planned = self.planned(of).map(|one| one.untimed).or_else(alike);
        planned.unwrap_or_else(|| self.is_counted(of.part))
    }

    /// Whether it took just as long as it was planned.
    pub(super) fn is_as_planned(&self, of: &Stretch) -> bool {
        self.planned(of).is_some_and(|one| one.planned == of.ran)
    }

    /// Which of the block's moves it is, counted from 1; none where it was put in during class.
    pub(super) fn place(&self, of: &Stretch) -> Option<usize> {
        let place = self.planned(of)?.place.as_ref()?;
        Some(place.place.nth)
    }

    /// What was written for it.
    pub(super) fn say(&self, of: &Stretch) -> &str {
        match self.laid.get(of.part).map(|laid| laid.part) {
            Some(Part::Free { say, .. }) => say,
            _ => self.planned(of).map_or("", |one| &one.say),
        }
    }

    /// The one move of a stretch; none where people stood still.
    pub(super) fn turn(&self, of: &Stretch) -> Option<Turn> {
        let id = of.moves.first()?;
        let here = self.planned(of).and_then(|one| one.turn());
        if !of.kind.is_moving() {
            let same = here.filter(|turn| turn.of.id == *id);
            return Some(Turn::of(id, of.pick, same.map(|turn| &**turn)));
        }
        let all = || self.works(of.part);
        let its = |turn: &&Use| turn.of.id == *id;
        let alike = |round: Option<usize>| {
            let in_round = move |one: &&Placed| {
                round.is_none() || one.place.as_ref().map(|place| place.round.nth) == round
            };
            let turns = all().filter(in_round).flat_map(|one| one.moves.iter());
            turns.map(|turn| &**turn).find(its)
        };
        let same = here.map(|turn| &**turn).filter(its);
        let same = same.or_else(|| alike(of.round)).or_else(|| alike(None));
        // How often it is done stays where another move is done in its place.
        let here = here.map(|turn| &**turn);
        let any = || all().find_map(|one| one.turn()?.reps);
        let reps = same.or(here).and_then(|turn| turn.reps);
        let reps = reps.or_else(|| self.is_untimed(of).then(any).flatten());
        let mut turn = Turn::of(id, of.pick, same);
        turn.reps = reps;
        Some(turn)
    }

    /// The moves of a stretch, where they were done at once.
    pub(super) fn stations(&self, of: &Stretch) -> Option<Stations> {
        let nth = of.together?;
        let is_it = |one: &&Placed| {
            let own = one.moves.iter().map(|turn| &turn.of.id);
            one.together().is_some() && own.eq(of.moves.iter())
        };
        // One that was put in during class is like another of its part.
        let planned = self.planned(of).filter(is_it);
        let planned = planned.or_else(|| self.works(of.part).find(is_it))?;
        let turns = planned.moves.iter();
        let turns = turns.map(|turn| Turn::of(&turn.of.id, turn.pick, Some(turn)));
        Some(Stations {
            turns: turns.collect(),
            nth,
            works: planned.together()?.turn.of,
            by_key: planned.untimed,
        })
    }

    /// The moves of a window in which they were repeated freely.
    pub(super) fn circuit(&self, of: &Stretch) -> Vec<Turn> {
        let turns = || self.works(of.part).flat_map(|one| one.moves.iter());
        let turn = |(nth, id): (usize, &String)| {
            // A move may stand in the window twice.
            let here = turns().nth(nth).filter(|turn| turn.of.id == *id);
            let planned = here.or_else(|| turns().find(|turn| turn.of.id == *id));
            let pick = planned.and_then(|turn| turn.pick);
            Turn::of(id, pick, planned.map(|turn| &**turn))
        };
        of.moves.iter().enumerate().map(turn).collect()
    }
}
