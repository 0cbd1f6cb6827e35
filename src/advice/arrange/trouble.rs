//! What is troublesome between two moves, by kind, and what each kind weighs.

use std::iter::Sum;
use std::ops::{Add, Mul};

use super::super::likeness::{LARGE_JOINTS, SMALL_JOINTS, are_opposed, region};
use crate::plan::{PositionChange, Transition};
use crate::session::{Cueing, Impact, Position, Use};
use crate::time::Span;
use std::sync::Arc;

/// A pause so long lets a region or a joint recover.
const RECOVERS: Span = Span::from_secs(30);

/// How often something troublesome happens, by kind. The weights are common practice, no source.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Trouble {
    /// Less time than the way takes; weighs 20.
    pub short: u64,
    /// To the floor, or up from it; weighs 5.
    pub level: u64,
    /// Things fetched; weighs 3.
    pub fetch: u64,
    /// The same region again; weighs 4.
    pub region: u64,
    /// Joints loaded again; weighs 1.
    pub load: u64,
    /// A second landing; weighs 3.
    pub impact: u64,
    /// The screen out of sight where much is coming; weighs 1.
    pub look: u64,
}

impl Trouble {
    /// The kinds by their names, with how often each happens and what it weighs.
    #[must_use]
    pub const fn kinds(&self) -> [(&'static str, u64, u64); 7] {
        [
            ("short", self.short, 20),
            ("level", self.level, 5),
            ("fetch", self.fetch, 3),
            ("region", self.region, 4),
            ("load", self.load, 1),
            ("impact", self.impact, 3),
            ("look", self.look, 1),
        ]
    }

    /// All of it, weighed.
    #[must_use]
    pub fn total(&self) -> u64 {
        self.kinds()
            .iter()
            .map(|(_, count, weight)| count * weight)
            .sum()
    }
}

impl Add for Trouble {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            short: self.short + other.short,
            level: self.level + other.level,
            fetch: self.fetch + other.fetch,
            region: self.region + other.region,
            load: self.load + other.load,
            impact: self.impact + other.impact,
            look: self.look + other.look,
        }
    }
}

impl Mul<u64> for Trouble {
    type Output = Self;
    fn mul(self, times: u64) -> Self {
        Self {
            short: self.short * times,
            level: self.level * times,
            fetch: self.fetch * times,
            region: self.region * times,
            load: self.load * times,
            impact: self.impact * times,
            look: self.look * times,
        }
    }
}

impl Sum for Trouble {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::default(), Add::add)
    }
}

/// The trouble from one move to another with such a pause between. A mat lies where it is used.
pub(super) fn between(
    before: &[Arc<Use>],
    after: &[Arc<Use>],
    pause: Span,
    cueing: &Cueing,
) -> Trouble {
    let way = Transition::between(before, after, true);
    let is_level = matches!(way.change, PositionChange::Down | PositionChange::Up);
    let mut trouble = Trouble {
        short: u64::from(way.takes(cueing) > pause),
        level: u64::from(is_level),
        fetch: way.fetch.len() as u64,
        ..Trouble::default()
    };
    if let (Some(a), Some(b), true) = (before.last(), after.first(), pause < RECOVERS) {
        runs_on(a, b, &mut trouble);
    }
    trouble
}

fn runs_on(a: &Use, b: &Use, trouble: &mut Trouble) {
    let (was, is) = (a.version(), b.version());
    let (before, after) = (was.loads(), is.loads());
    let joints = SMALL_JOINTS.iter().chain(&LARGE_JOINTS);
    let both = joints.filter(|load| before.contains(load) && after.contains(load));
    trouble.load = both.count() as u64;
    trouble.region = u64::from(region(a) == region(b) && a.of.id != b.of.id && !are_opposed(a, b));
    trouble.impact = u64::from(was.impact() == Impact::High && is.impact() == Impact::High);
}

/// How hard it is to see a screen beside the mat (common practice, no source).
pub(super) fn look(of: &Use) -> Trouble {
    let look = match of.version().position() {
        Position::Standing | Position::Seated | Position::Kneeling => 0,
        Position::Wall | Position::SideLying => 1,
        Position::Supine
        | Position::HandsAndKnees
        | Position::HandsAndFeet
        | Position::Forearms => 2,
        Position::Prone => 3,
    };
    Trouble {
        look,
        ..Trouble::default()
    }
}
