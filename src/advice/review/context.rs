//! What every rule is given: the plan laid out, its prompts, and who is in the room.

use std::sync::Arc;

use super::super::remark::Where;
use crate::plan::{CuePlan, Kind, Placed, Rotation, Timeline, Transition, leaves_mat};
use crate::session::{Library, Room, Session, Use, met};
use crate::time::{Offset, Span};

/// A plan under review.
pub(super) struct Context<'a> {
    pub(super) session: &'a Session,
    pub(super) library: &'a Library,
    pub(super) timeline: &'a Timeline,
    pub(super) cues: &'a CuePlan,
    pub(super) room: Room<'a>,
}

/// The way from one interval in which people move to the next.
pub(super) struct Way<'a> {
    /// The one before; none before the first.
    pub(super) from: Option<usize>,
    /// The one that comes.
    pub(super) to: usize,
    /// How long the pause between is.
    pub(super) pause: Span,
    /// What the body does on it.
    pub(super) body: Transition<'a>,
}

impl<'a> Context<'a> {
    pub(super) fn intervals(&self) -> &'a [Placed] {
        self.timeline.intervals()
    }

    /// The place of an interval as a remark tells it.
    pub(super) fn at(&self, n: usize) -> Where {
        let interval = &self.intervals()[n];
        let place = interval.place.as_deref();
        Where {
            part: self.session.file_part(interval.part).map(|part| part + 1),
            block: interval.block(),
            title: place.and_then(|place| place.title.as_deref().map(str::to_owned)),
            round: place.map(|place| place.round.nth),
            place: place
                .filter(|_| interval.kind == Kind::Work && !interval.is_circuit())
                .map(|place| place.place.nth),
            at: Some(interval.start),
        }
    }

    /// The intervals in which people move, by their places.
    pub(super) fn moving(&self) -> impl Iterator<Item = (usize, &'a Placed)> + use<'a> {
        let all = self.intervals().iter().enumerate();
        all.filter(|(_, one)| one.kind.is_moving())
    }

    /// The works, by their places.
    pub(super) fn works(&self) -> impl Iterator<Item = (usize, &'a Placed)> + use<'a> {
        let all = self.intervals().iter().enumerate();
        all.filter(|(_, one)| one.kind == Kind::Work)
    }

    /// Every way between two moves, and the one to the first.
    pub(super) fn ways(&self) -> Vec<Way<'a>> {
        let all = self.intervals();
        let (mut ways, mut from, mut mat_lies) = (Vec::new(), None, false);
        for (to, next) in self.moving() {
            let before = from.map(|n: usize| &**all[n].interval());
            let ended = from.map_or(Offset::ZERO, |n: usize| all[n].end);
            ways.push(Way {
                from,
                to,
                pause: next.start - ended,
                body: Transition::of(before, next, mat_lies),
            });
            mat_lies |= leaves_mat(next);
            from = Some(to);
        }
        ways
    }

    /// How many people at different places there are at any time: where nothing is done at once, one
    /// stands for all.
    pub(super) fn walkers(&self) -> usize {
        let groups = self.intervals().iter().filter_map(|one| one.together());
        groups.map(Rotation::group_count).max().unwrap_or(1)
    }

    /// The ways of one of them, who has one move at a time.
    pub(super) fn ways_of(&self, walker: usize) -> Vec<Way<'a>> {
        let all = self.intervals();
        let mut ways = self.ways();
        for way in &mut ways {
            let from = way.from.map_or(&[][..], |n| done_by(&all[n], walker));
            way.body = Transition::between(from, done_by(&all[way.to], walker), true);
        }
        ways
    }

    /// From the first work to the end of the last.
    pub(super) fn main_part(&self) -> Span {
        let mut works = self.works();
        let Some((_, first)) = works.next() else {
            return Span::ZERO;
        };
        works.last().map_or(first.end, |(_, last)| last.end) - first.start
    }
}

/// What one of the people who are at different places does in an interval.
pub(super) fn done_by(interval: &Placed, walker: usize) -> &[Arc<Use>] {
    let Some(rotation) = interval.together() else {
        return &interval.moves;
    };
    let station = rotation.station_of(walker % rotation.group_count().max(1));
    interval.moves.get(station..=station).unwrap_or_default()
}

/// The moves done in an interval, by their names.
pub(super) fn named(interval: &Placed) -> String {
    let names: Vec<&str> = interval.moves.iter().map(|turn| &*turn.of.name).collect();
    match interval.together() {
        Some(rotation) if rotation.stations > 2 => format!("{} stations", rotation.stations),
        Some(_) => names.join(" / "),
        None => names.join(", "),
    }
}

/// One of the moves of an interval by its name; of one move, or a circuit, all that is done.
pub(super) fn named_alone(interval: &Placed, turn: &Use) -> String {
    match interval.together() {
        Some(_) => turn.of.name.clone(),
        None => named(interval),
    }
}

/// What the version in force costs, where that is known.
pub(super) fn cost(of: &Use) -> Option<f64> {
    of.version().energy().and_then(met)
}
