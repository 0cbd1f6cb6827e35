//! What is wished of the moves of the work together, each as a sum over the chosen.

use std::collections::BTreeSet;

use super::super::candidate::Candidate;
use super::super::earlier::Earlier;
use super::super::selection::{Charge, Limit, MANY};
use super::super::wishes::Level;
use super::Model;
use crate::advice::effort::VIGOROUS;
use crate::advice::likeness::region;
use crate::session::{Action, Impact, Load, Region, Use};

/// A wished move that is not there costs more than anything it could displace.
const MISSING: i64 = 3_000;

/// A thing for one move is hardly worth the way, for two it is.
const FETCH: i64 = 20;

/// What a class for everybody has something of (common practice, no source), and what it costs to have
/// none; pushing and pulling with the arms.
const PATTERNS: [(&[Action], bool, i64); 6] = [
    (&[Action::Squat], false, 40),
    (&[Action::Lunge], false, 20),
    (&[Action::Hinge], false, 40),
    (&[Action::Push], true, 40),
    (&[Action::Pull], true, 40),
    (&[Action::Brace, Action::Rotate], false, 40),
];

/// From so many moves on a class has room for them (common practice, no source).
const WHOLE: usize = 5;

impl Model<'_> {
    /// Each region its share, the wished ones more; none above half; none of the three left out.
    pub(super) fn regions(&mut self) {
        let (all, place) = (self.all_time(), self.a_place());
        let wished = self.wishes.regions.clone();
        let wished: Vec<Region> = Region::ALL
            .iter()
            .copied()
            .filter(|one| wished.contains(one))
            .collect();
        for &one in Region::ALL {
            // Of all work in hundredths: forty-five for what is wished, the rest for the others.
            let many = i64::try_from(wished.len()).unwrap_or(0);
            let others = 4 - many;
            let share = match (many, wished.contains(&one)) {
                (0 | 4, _) => 25,
                (1, true) => 45,
                (_, true) => 80 / many,
                (1, false) => 55 / others,
                (_, false) => 20 / others.max(1),
            };
            let target = all * share / 100;
            let of = self.timed(|turn| region(&turn.turn) == Some(one));
            let had = self.had(|turn| region(turn) == Some(one));
            // To whole moves below and above: a share that no number of moves gives asks nothing.
            let least = target / place * place - had;
            let most = (target + place - 1) / place * place - had;
            self.ask("regions", of.clone(), (least, most), 3);
            if one != Region::Total {
                self.ask("regions", of, (0, (all / 2 - had).max(0)), 15);
                let named = self.counted(None, |turn| turn.works(one));
                let lacks = self.had(|turn| turn.of.regions.contains(&one)) == 0;
                self.ask("regions", named, (i64::from(lacks), MANY), 150);
            }
        }
    }

    /// No action above half; pushing against pulling.
    pub(super) fn actions(&mut self) {
        let (all, place) = (self.all_time(), self.a_place());
        for &action in Action::ALL {
            let of = self.timed(|turn| turn.action() == Some(action));
            let had = self.had(|turn| turn.of.action == Some(action));
            if !of.is_empty() {
                self.ask("actions", of, (0, (all / 2 - had).max(0)), 15);
            }
        }
        for (upper_alone, cost) in [(true, 3), (false, 2)] {
            let counts = |one: &&Candidate| !upper_alone || one.works(Region::Upper);
            let each = self.of.iter().enumerate().filter(|(_, one)| counts(one));
            let signed = each.filter_map(|(item, one)| match one.action() {
                Some(Action::Push) => Some((item, self.time(item))),
                Some(Action::Pull) => Some((item, -self.time(item))),
                _ => None,
            });
            let of: Vec<(usize, i64)> = signed.collect();
            let counts = |turn: &Use| !upper_alone || turn.of.regions.contains(&Region::Upper);
            let of_action =
                |action| self.had(|turn| counts(turn) && turn.of.action == Some(action));
            let had = of_action(Action::Push) - of_action(Action::Pull);
            self.ask("push and pull", of, (-place - had, place / 2 - had), cost);
        }
    }

    /// A push of a minute or more has a quarter as much of pulling, as the review asks.
    pub(super) fn pulls(&mut self) {
        let each = self.of.iter().enumerate();
        let signed = each.filter_map(|(item, one)| match one.action() {
            Some(Action::Push) => Some((item, self.time(item))),
            Some(Action::Pull) => Some((item, -4 * self.time(item))),
            _ => None,
        });
        let of: Vec<(usize, i64)> = signed.collect();
        let of_action = |action| self.had(|turn| turn.of.action == Some(action));
        let had = of_action(Action::Push) - 4 * of_action(Action::Pull);
        self.ask("push and pull", of, (-MANY, 5 - had), 12);
    }

    /// The ways of moving that a whole class has, where it has room for them.
    pub(super) fn patterns(&mut self) {
        let places: usize = self.blocks.iter().map(|block| block.wish.moves).sum();
        if places + self.already.len() < WHOLE {
            return;
        }
        for (actions, of_the_arms, cost) in PATTERNS {
            let counts = |action: Option<Action>, is_upper: bool| {
                action.is_some_and(|action| actions.contains(&action)) && (is_upper || !of_the_arms)
            };
            let had =
                self.had(|turn| counts(turn.of.action, turn.of.regions.contains(&Region::Upper)));
            // A jump is a pattern for some, and not for everybody.
            let of = self.counted(None, |one| {
                one.impact != Impact::High && counts(one.action(), one.works(Region::Upper))
            });
            if !of.is_empty() {
                self.ask("patterns", of, (i64::from(had == 0), MANY), cost);
            }
        }
    }

    /// What a block should not have too much of.
    pub(super) fn each_block(&mut self) {
        for group in 0..self.blocks.len() {
            let size = self.size(group);
            let half = (size / 2).max(1);
            for &one in Region::ALL {
                let of = self.counted(Some(group), |turn| region(&turn.turn) == Some(one));
                self.ask("regions in turn", of, (0, half), 120);
            }
            for &action in Action::ALL {
                let of = self.counted(Some(group), |turn| turn.action() == Some(action));
                if of.len() > 1 {
                    self.ask("variety", of, (0, (size + 5) / 6), 25);
                }
            }
            for load in [Load::Wrist, Load::Shoulder, Load::LowBack] {
                let of = self.counted(Some(group), |turn| turn.loads.contains(&load));
                self.ask("joints", of, (0, (size + 1) / 2), 10);
            }
            let landings = self.counted(Some(group), |turn| turn.impact == Impact::High);
            let few = if self.wishes.level == Level::Advanced {
                half
            } else {
                size / 3
            };
            self.ask("landings", landings, (0, few), 80);
            let hard = self.counted(Some(group), |turn| turn.met >= VIGOROUS);
            self.ask("effort", hard, (0, half), 60);
        }
    }

    /// A thing is fetched once a block.
    pub(super) fn kit(&mut self) {
        let things: BTreeSet<&str> = self.of.iter().flat_map(|one| one.things()).collect();
        for thing in things {
            let uses = |one: &Candidate| one.things().contains(&thing);
            for group in 0..self.blocks.len() {
                let of: Vec<usize> = self
                    .counted(Some(group), uses)
                    .into_iter()
                    .map(|(item, _)| item)
                    .collect();
                if of.is_empty() {
                    continue;
                }
                // With a thing in hand all work would be of one kind.
                let many = self.counted(Some(group), uses);
                self.ask("kit", many, (0, (self.size(group) * 3 + 4) / 5), 12);
                self.selection.charges.push(Charge {
                    wish: "fetching",
                    of,
                    cost: FETCH,
                });
            }
        }
    }

    /// At stations no more of a thing is needed at one time than there is, whatever is wished.
    pub(super) fn stock(&mut self) {
        let wishes = self.wishes;
        for (group, block) in self
            .blocks
            .iter()
            .enumerate()
            .filter(|(_, block)| block.wish.stations)
        {
            for kit in &wishes.kit {
                let Some(most) = wishes.places_with(&kit.thing, block.wish.moves) else {
                    continue;
                };
                let uses =
                    |one: &Candidate| one.turn.version().equipment().contains(&kit.thing.as_str());
                let of = self.counted(Some(group), uses);
                let most = i64::try_from(most).unwrap_or(MANY);
                if !of.is_empty() {
                    self.selection.limits.push(Limit { of, most });
                }
            }
        }
    }

    /// What is wished by name.
    pub(super) fn wished(&mut self) {
        for id in &self.wishes.have {
            let of = self.counted(None, |one| one.id() == id);
            if !of.is_empty() {
                self.ask("wished moves", of, (1, MANY), MISSING);
            }
        }
    }

    /// Three quarters of the moves are others, and none comes a third time for nothing.
    pub(super) fn other_than(&mut self, earlier: &Earlier) {
        if earlier.is_none() {
            return;
        }
        let have = &self.wishes.have;
        let places: i64 = (0..self.blocks.len()).map(|group| self.size(group)).sum();
        let most = places / 4;
        let each = self.of.iter().enumerate();
        let new = each.filter(|(_, one)| !have.iter().any(|id| id == one.id()));
        let known = new.map(|(item, one)| (item, earlier.weighs(one.id(), most)));
        let known = known.filter(|(_, weight)| *weight > 0).collect();
        self.ask("another class", known, (0, most), 90);
    }
}
