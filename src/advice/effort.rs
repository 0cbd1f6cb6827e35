//! What a plan asks of a body: an estimate from published averages, never a measurement.
//!
//! The cost of each move is the figure of its code in the Compendium; pauses count as standing
//! quietly, though a body that has worked breathes on for a while. Who is in the room, and how
//! hard each of them works, is not known here.

use std::sync::Arc;

use crate::plan::{Kind, Placed, Timeline};
use crate::session::{Edition, Use, edition, met};
use crate::time::{Offset, Span};

/// Pauses, talk and getting ready: standing quietly, 1.3 MET (2011 Compendium 07040, from memory).
pub const PAUSE: &str = "07040";
/// Moves without a code, and free windows: calisthenics, up and down from the floor, 3.5 MET (2024 Compendium).
pub const UNKNOWN: &str = "02030";
/// One MET in kcal per kg and minute: 3.5 ml of oxygen per kg and minute at 5 kcal a litre (ACSM
/// convention, from a secondary text).
const CONVENTION: f64 = 3.5 / 200.0;
/// One MET as it was measured at rest, 0.84 kcal per kg and hour in 769 adults (Byrne et al. 2005,
/// J Appl Physiol 99:1112, from memory).
const MEASURED: f64 = 0.84 / 60.0;

/// Moderate from so many MET on (ACSM: light 2.0 to 2.9, moderate 3.0 to 5.9, vigorous 6.0 and more).
pub const MODERATE: f64 = 3.0;
/// Vigorous from so many MET on (ACSM).
pub const VIGOROUS: f64 = 6.0;

/// How hard an activity is by its MET: the boundaries of the ACSM.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Intensity {
    /// Below 2.0: hardly more than being still.
    Still,
    /// 2.0 to 2.9.
    Light,
    /// 3.0 to 5.9.
    Moderate,
    /// 6.0 and more.
    Vigorous,
}

impl Intensity {
    /// Every one, the least first.
    pub const ALL: [Self; 4] = [Self::Still, Self::Light, Self::Moderate, Self::Vigorous];

    /// The intensity of a cost in MET.
    #[must_use]
    pub fn of(met: f64) -> Self {
        match met {
            _ if met >= VIGOROUS => Self::Vigorous,
            _ if met >= MODERATE => Self::Moderate,
            _ if met >= 2.0 => Self::Light,
            _ => Self::Still,
        }
    }

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Still => "still",
            Self::Light => "light",
            Self::Moderate => "moderate",
            Self::Vigorous => "vigorous",
        }
    }
}

/// Energy in kcal, from the measured cost of rest to the convention.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Energy {
    /// With one MET as it was measured.
    pub least: f64,
    /// With one MET as the convention has it.
    pub most: f64,
}

impl Energy {
    /// Of so many MET-minutes, for a body of so many kilograms.
    #[must_use]
    pub fn of(met_minutes: f64, kilograms: f64) -> Self {
        Self {
            least: met_minutes * MEASURED * kilograms,
            most: met_minutes * CONVENTION * kilograms,
        }
    }
}

/// A move with what it costs over the class.
#[derive(Clone, Debug, PartialEq)]
pub struct MoveEffort {
    /// The move, with the version in force.
    pub name: String,
    /// Its code, or the one that stands for it.
    pub code: String,
    /// Whether it has a code of its own.
    pub is_known: bool,
    /// The edition of the Compendium.
    pub edition: Edition,
    /// Its cost in MET.
    pub met: f64,
    /// How long it is done.
    pub time: Span,
    /// How hard it is meant to be, 0 to 10, where the plan says so; the highest of its rounds.
    pub planned: Option<u8>,
}

impl MoveEffort {
    /// MET-minutes of it.
    #[must_use]
    pub fn met_minutes(&self) -> f64 {
        self.met * minutes(self.time)
    }
}

/// The cost of one interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Where it starts.
    pub start: Offset,
    /// Where it ends.
    pub end: Offset,
    /// Its cost in MET.
    pub met: f64,
    /// What it is for.
    pub kind: Kind,
}

/// The estimate for a whole plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Effort {
    /// The moves in their order, each version once.
    pub moves: Vec<MoveEffort>,
    /// The intervals with their cost.
    pub stretches: Vec<Stretch>,
    /// Work in the main part.
    pub work: Span,
    /// Rests and recoveries between the first work and the last.
    pub rest: Span,
    /// From the first work to the end of the last.
    pub main: Span,
}

impl Effort {
    /// The estimate for a class.
    #[must_use]
    pub fn of(timeline: &Timeline) -> Self {
        let all = timeline.intervals();
        let stretches = all.iter().map(|one| Stretch {
            start: one.start,
            end: one.end,
            met: cost(one),
            kind: one.kind,
        });
        let is_work = |one: &Placed| one.kind == Kind::Work;
        let first = all.iter().position(is_work).unwrap_or(all.len());
        let after = all.iter().rposition(is_work).map_or(first, |last| last + 1);
        let main = &all[first..after];
        let time = |holds: &dyn Fn(&Placed) -> bool| -> Span {
            main.iter().filter(|one| holds(one)).map(Placed::span).sum()
        };
        Self {
            moves: moves(all),
            stretches: stretches.collect(),
            work: time(&is_work),
            rest: time(&|one| matches!(one.kind, Kind::Rest | Kind::Recovery)),
            main: time(&|_| true),
        }
    }

    /// MET-minutes of the whole class.
    #[must_use]
    pub fn met_minutes(&self) -> f64 {
        let of = |one: &Stretch| one.met * minutes(one.end - one.start);
        self.stretches.iter().map(of).sum()
    }

    /// The time of the class in an intensity.
    #[must_use]
    pub fn time_at(&self, intensity: Intensity) -> Span {
        let stretches = self.stretches.iter();
        let at = stretches.filter(|one| Intensity::of(one.met) == intensity);
        at.map(|one| one.end - one.start).sum()
    }

    /// How much work stands against one of rest in the main part; nothing where nobody rests.
    #[must_use]
    pub fn work_to_rest(&self) -> Option<f64> {
        (!self.rest.is_zero()).then(|| self.work.secs() / self.rest.secs())
    }

    /// The part of the main part that is work, 0 to 1.
    #[must_use]
    pub fn density(&self) -> f64 {
        if self.main.is_zero() {
            return 0.0;
        }
        self.work.secs() / self.main.secs()
    }

    /// The mean cost in each step of the class.
    #[must_use]
    pub fn curve(&self, step: Span) -> Vec<f64> {
        let end = self.stretches.last().map_or(Offset::ZERO, |last| last.end);
        let steps = end.millis().div_ceil(step.millis().max(1));
        let mean = |n: u64| {
            let from = Offset::from_millis(n * step.millis());
            let to = (from + step).min(end);
            let parts = self.stretches.iter().map(|one| {
                let (a, b) = (one.start.max(from), one.end.min(to));
                if b > a { one.met * (b - a).secs() } else { 0.0 }
            });
            parts.sum::<f64>() / (to - from).secs()
        };
        (0..steps).map(mean).collect()
    }
}

fn minutes(span: Span) -> f64 {
    span.secs() / 60.0
}

/// What an interval costs: of a circuit the mean of its moves.
fn cost(one: &Placed) -> f64 {
    let costs: Vec<f64> = one.moves.iter().map(|turn| figure(turn).1).collect();
    if one.kind == Kind::Free {
        return met(UNKNOWN).unwrap_or_default();
    }
    if costs.is_empty() {
        return met(PAUSE).unwrap_or_default();
    }
    #[expect(clippy::cast_precision_loss, reason = "a list of moves")]
    let count = costs.len() as f64;
    costs.iter().sum::<f64>() / count
}

/// The code that counts for a move, what it costs, and whether it is its own.
fn figure(turn: &Use) -> (&str, f64, bool) {
    let own = turn.version().energy();
    let known = own.and_then(|code| Some((code, met(code)?, true)));
    known.unwrap_or((UNKNOWN, met(UNKNOWN).unwrap_or_default(), false))
}

fn moves(all: &[Placed]) -> Vec<MoveEffort> {
    let mut found: Vec<MoveEffort> = Vec::new();
    for one in all.iter().filter(|one| !one.moves.is_empty()) {
        let share = Span::from_millis(one.span().millis() / one.moves.len().max(1) as u64);
        for turn in one.moves.iter() {
            let name = name(turn);
            match found.iter_mut().find(|known| known.name == name) {
                Some(known) => {
                    known.time += share;
                    known.planned = known.planned.max(turn.effort);
                }
                None => found.push(effort_of(turn, name, share)),
            }
        }
    }
    found
}

fn effort_of(turn: &Arc<Use>, name: String, time: Span) -> MoveEffort {
    let (code, met, is_known) = figure(turn);
    MoveEffort {
        name,
        code: code.to_owned(),
        is_known,
        edition: edition(code).unwrap_or(Edition::E2024),
        met,
        time,
        planned: turn.effort,
    }
}

fn name(turn: &Use) -> String {
    match turn.option() {
        Some(option) => format!("{}, {}", turn.of.name, option.call),
        None => turn.of.name.clone(),
    }
}
