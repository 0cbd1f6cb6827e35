//! Warm-up and cool-down: steps that ready for the work, and that let go of what it tightened.
//!
//! Both are chosen as the work is, by the best sum of what each step is worth and of what all of
//! them together should have.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::candidate::Candidate;
use super::earlier::Earlier;
use super::selection::{Charge, Item, MANY, Selection};
use super::shape::Ground;
use super::solve::{Solved, solve};
use super::wishes::Wishes;
use super::worth::{fresh, of_seed};
use crate::session::{Action, Impact, Load, Muscle, Pick, Position, Sides, Use};

/// A move that suits in every way.
const SUITS: i64 = 100;
/// Hardest of a warm-up, in MET: below vigorous, so that effort rises (common practice, no source).
const HARDEST: f64 = 5.0;
/// What a step of a warm-up costs about, in MET (common practice, no source).
const EASY: f64 = 3.5;
/// Hardest of a cool-down: light, which the ACSM has below 3.0 MET.
const GENTLE: f64 = 2.9;
/// A wished move that is not there costs more than anything it could displace.
const MISSING: i64 = 3_000;
/// So many of the muscles that worked most are stretched (common practice, no source).
const STRETCHED: usize = 6;

/// The steps of a part, and how good the choice is.
pub(super) struct Frame {
    /// The moves, in no order.
    pub(super) steps: Vec<Arc<Use>>,
    /// All points.
    pub(super) total: i64,
}

/// What the frame is for: the moves of the work, each with its time there in seconds.
pub(super) struct Purpose<'a> {
    pub(super) wishes: &'a Wishes,
    pub(super) work: &'a [(Arc<Use>, u64)],
    pub(super) earlier: &'a Earlier,
}

struct Steps<'a> {
    of: Vec<&'a Candidate>,
    selection: Selection,
}

impl<'a> Steps<'a> {
    fn of(from: impl Iterator<Item = (&'a Candidate, i64)>, count: usize) -> Self {
        let (mut of, mut items) = (Vec::new(), Vec::new());
        for (one, worth) in from {
            items.push(Item {
                worth,
                group: 0,
                once: one.nth,
            });
            of.push(one);
        }
        let selection = Selection {
            items,
            sizes: vec![count],
            ..Selection::default()
        };
        Self { of, selection }
    }

    fn ask(
        &mut self,
        wish: &'static str,
        range: (i64, i64),
        cost: i64,
        counts: impl Fn(&Candidate) -> bool,
    ) {
        let each = self.of.iter().enumerate();
        let of = each
            .filter(|(_, one)| counts(one))
            .map(|(item, _)| (item, 1))
            .collect();
        self.selection.ask(wish, of, range, cost);
    }

    /// What is wished by name and not in the work.
    fn ask_for_wished(&mut self, for_: &Purpose) {
        for id in &for_.wishes.have {
            let in_work = for_.work.iter().any(|(turn, _)| turn.of.id == *id);
            if !in_work && self.of.iter().any(|one| one.id() == id) {
                self.ask("wished moves", (1, MANY), MISSING, |one| one.id() == id);
            }
        }
    }

    /// Half of the steps are others than in the classes before, and none comes a third time for nothing.
    fn ask_for_others(&mut self, for_: &Purpose) {
        let most = self.selection.sizes.iter().sum::<usize>() / 2;
        let most = i64::try_from(most).unwrap_or(MANY);
        let have = &for_.wishes.have;
        let each = self.of.iter().enumerate();
        let new = each.filter(|(_, one)| !have.iter().any(|id| id == one.id()));
        let known = new.map(|(item, one)| (item, for_.earlier.weighs(one.id(), most)));
        let of: Vec<(usize, i64)> = known.filter(|(_, weight)| *weight > 0).collect();
        if of.is_empty() {
            return;
        }
        self.selection.ask("another class", of, (0, most), 40);
    }

    fn chosen(self) -> Option<Frame> {
        let Solved { chosen, total, .. } = solve(&self.selection)?;
        let steps = chosen
            .iter()
            .map(|&item| Arc::clone(&self.of[item].turn))
            .collect();
        Some(Frame { steps, total })
    }
}

/// The steps of a warm-up: the pulse first, joints, then small versions of what comes.
pub(super) fn warm_up(
    for_: &Purpose,
    candidates: &[Candidate],
    ground: Ground,
    count: usize,
) -> Option<Frame> {
    let fit = candidates
        .iter()
        .filter_map(|one| Some((one, warm_fits(one, for_, ground)?)));
    let mut steps = Steps::of(fit, count);
    let several = i64::try_from(count).unwrap_or(0);
    let is = |one: &Candidate, actions: &[Action]| {
        one.action().is_some_and(|action| actions.contains(&action))
    };
    steps.ask("pulse", (several / 3, several / 2), 80, |one| {
        is(one, &[Action::Travel])
    });
    steps.ask("joints", (2, several / 2), 80, |one| {
        is(one, &[Action::Mobilise])
    });
    let patterns = [
        Action::Squat,
        Action::Hinge,
        Action::Lunge,
        Action::Push,
        Action::Pull,
        Action::Rotate,
    ];
    steps.ask("patterns", (1, several / 3 + 1), 60, |one| {
        is(one, &patterns)
    });
    steps.ask("pulse", (1, MANY), 120, begins);
    // Of the gentlest one is enough: walking and marching say the same twice.
    steps.ask("pulse", (0, 1), 25, |one| {
        is(one, &[Action::Travel]) && one.met < 3.0
    });
    steps.ask("sides", (0, 3), 30, |one| one.sides == Sides::Each);
    for (need, readies) in needs(for_) {
        steps.ask(need, (1, MANY), 150, readies);
    }
    steps.ask_for_wished(for_);
    steps.ask_for_others(for_);
    steps.chosen()
}

/// What a move is worth in a warm-up; nothing where it is none of one.
pub(super) fn warm_fits(one: &Candidate, for_: &Purpose, ground: Ground) -> Option<i64> {
    warms(one, for_.wishes, ground).then(|| warm_worth(one, for_))
}

fn warms(one: &Candidate, wishes: &Wishes, ground: Ground) -> bool {
    let is_small = matches!(one.turn.pick, Some(Pick::Easier(_)));
    let is_plain = one.turn.pick.is_none();
    let gentle = match one.action() {
        Some(Action::Travel | Action::Mobilise) => true,
        Some(
            Action::Squat
            | Action::Hinge
            | Action::Lunge
            | Action::Push
            | Action::Pull
            | Action::Rotate,
        ) => is_small || one.met < 3.0,
        _ => false,
    };
    gentle
        && (is_small || is_plain || one.is_gentle())
        && one.ground == ground
        && one.impact != Impact::High
        && one.met <= HARDEST
        && !one.loads.contains(&Load::HeadDown)
        && one.things().iter().all(|thing| *thing == "chair")
        && one.has_its_kit(wishes, 1)
}

fn warm_worth(one: &Candidate, for_: &Purpose) -> i64 {
    let in_work = for_.work.iter().find(|(turn, _)| turn.of.id == one.id());
    let rehearses = match in_work {
        Some((turn, _)) if turn.pick != one.turn.pick => 20,
        // The same move in the same version twice in a class is a move less.
        Some(_) => -60,
        None => 0,
    };
    let at_wall = if one.turn.position() == Position::Wall {
        12
    } else {
        0
    };
    let wobbles = if one.loads.contains(&Load::Balance) {
        15
    } else {
        0
    };
    let mute = if one.turn.version().setup().is_none() {
        10
    } else {
        0
    };
    // A joint is taken through its whole range by the move as it stands.
    let lesser = if one.turn.pick.is_some() && in_work.is_none() {
        if one.action() == Some(Action::Mobilise) {
            20
        } else {
            6
        }
    } else {
        0
    };
    let (fresh, seed) = (
        fresh(one.id(), for_.wishes),
        of_seed(one.id(), for_.wishes.seed),
    );
    SUITS + rehearses + fresh + seed - at_wall - wobbles - mute - lesser - off(one.met, EASY)
}

#[expect(clippy::cast_possible_truncation, reason = "a few points")]
fn off(met: f64, wanted: f64) -> i64 {
    ((met - wanted).abs() * 8.0).round() as i64
}

/// What gets a class going: everybody can do it at once.
pub(super) fn begins(one: &Candidate) -> bool {
    one.action() == Some(Action::Travel) && one.met < 4.0 && one.loads.is_empty()
}

type Readies = fn(&Candidate) -> bool;

/// What the work asks and the warm-up must ready, as the review looks at it.
fn needs(for_: &Purpose) -> Vec<(&'static str, Readies)> {
    let turns = || for_.work.iter().map(|(turn, _)| turn);
    let loads = |load: Load| turns().any(|turn| turn.loads().contains(&load));
    let leans = [Position::HandsAndKnees, Position::HandsAndFeet];
    let leans =
        turns().any(|turn| turn.loads().contains(&Load::Wrist) && leans.contains(&turn.position()));
    let lands = turns().any(|turn| turn.version().impact() == Impact::High);
    let needs: [(bool, &'static str, Readies); 4] = [
        (leans, "wrists", |one| has(one, &[Muscle::Forearms])),
        (loads(Load::Shoulder), "shoulders", |one| {
            has(one, &[Muscle::Shoulders, Muscle::RotatorCuff])
        }),
        (loads(Load::Knee), "knees and hips", |one| {
            has(
                one,
                &[Muscle::Quadriceps, Muscle::Glutes, Muscle::Hamstrings],
            )
        }),
        (lands, "landings", |one| {
            one.impact != Impact::None || has(one, &[Muscle::Calves])
        }),
    ];
    needs
        .into_iter()
        .filter(|(asks, ..)| *asks)
        .map(|(_, need, readies)| (need, readies))
        .collect()
}

fn has(one: &Candidate, muscles: &[Muscle]) -> bool {
    muscles
        .iter()
        .any(|muscle| one.turn.of.muscles.contains(muscle))
}

/// The steps of a cool-down: what worked most is stretched, and breath ends it.
pub(super) fn cool_down(
    for_: &Purpose,
    candidates: &[Candidate],
    ground: Ground,
    count: usize,
) -> Option<Frame> {
    let fit = candidates
        .iter()
        .filter_map(|one| Some((one, cool_fits(one, for_, ground)?)));
    let mut steps = Steps::of(fit, count);
    for (muscle, weight) in worked(for_) {
        steps.ask("stretches", (1, MANY), weight, |one| {
            one.action() == Some(Action::Stretch) && has(one, &[muscle])
        });
    }
    steps.ask("breath", (1, 1), 150, |one| {
        one.action() == Some(Action::Breathe)
    });
    steps.ask("stretches", (0, 1), 60, |one| {
        one.action() == Some(Action::Mobilise)
    });
    steps.ask_for_wished(for_);
    steps.ask_for_others(for_);
    // Every place is a way to roll over or to come up.
    for &position in Position::ALL {
        let of = (0..steps.of.len()).filter(|&item| steps.of[item].turn.position() == position);
        let of: Vec<usize> = of.collect();
        if !of.is_empty() {
            steps.selection.charges.push(Charge {
                wish: "places",
                of,
                cost: 14,
            });
        }
    }
    steps.chosen()
}

/// What a move is worth in a cool-down; nothing where it is none of one.
pub(super) fn cool_fits(one: &Candidate, for_: &Purpose, ground: Ground) -> Option<i64> {
    cools(one, for_.wishes, ground).then(|| cool_worth(one, for_.wishes))
}

fn cools(one: &Candidate, wishes: &Wishes, ground: Ground) -> bool {
    let action = one.action();
    one.is_gentle()
        && action.is_some()
        && one.ground == ground
        && one.met <= GENTLE
        && (one.turn.pick.is_none() || one.loads.len() < one.turn.of.loads.len())
        && one.has_its_kit(wishes, 1)
}

fn cool_worth(one: &Candidate, wishes: &Wishes) -> i64 {
    let version = if one.turn.pick.is_some() { 15 } else { 0 };
    let mute = if one.turn.version().setup().is_none() {
        10
    } else {
        0
    };
    let wobbles = if one.loads.contains(&Load::Balance) {
        8
    } else {
        0
    };
    SUITS + fresh(one.id(), wishes) + of_seed(one.id(), wishes.seed) - version - mute - wobbles
}

/// The muscles that worked most, and what it costs not to stretch each.
fn worked(for_: &Purpose) -> Vec<(Muscle, i64)> {
    let mut times: BTreeMap<Muscle, u64> = BTreeMap::new();
    for (turn, secs) in for_.work {
        for (nth, &muscle) in turn.of.muscles.iter().enumerate() {
            // The first named works most.
            *times.entry(muscle).or_default() += secs / (nth as u64 + 1);
        }
    }
    let all: u64 = times.values().sum::<u64>().max(1);
    let mut times: Vec<(Muscle, u64)> = times.into_iter().collect();
    times.sort_by_key(|(_, time)| std::cmp::Reverse(*time));
    let weight = |time: u64| 25 + i64::try_from(200 * time / all).unwrap_or(0);
    let most = times.into_iter().take(STRETCHED);
    most.map(|(muscle, time)| (muscle, weight(time))).collect()
}
