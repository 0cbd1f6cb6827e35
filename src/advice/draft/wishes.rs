//! What an instructor wishes of a class: how long, in which shape, for whom, with what.

use serde::{Deserialize, Serialize};

use super::list::listed;
use super::shape::BlockWish;
use crate::session::{Action, Load, Region, Session};
use crate::time::Span;

/// For whom a class is.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
pub enum Level {
    /// People who are new, or come back after a long time: no landings, moves with a gentler version
    /// first, shorter works.
    Beginner,
    /// People of every kind, as in most classes.
    #[default]
    Mixed,
    /// People who have trained for long: harder versions may be the one that everybody does.
    Advanced,
}

/// How hard the work is to be, by the boundaries of the ACSM (light 2.0 to 2.9 MET, moderate 3.0 to
/// 5.9, vigorous 6.0 and more).
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
pub enum Exertion {
    /// Below 3.0.
    Light,
    /// 3.0 to 5.9.
    #[default]
    Moderate,
    /// Towards 6.0 and more.
    Vigorous,
}

impl Level {
    /// Every one, for whom little is asked first.
    pub const ALL: [Self; 3] = [Self::Beginner, Self::Mixed, Self::Advanced];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Beginner => "beginner",
            Self::Mixed => "mixed",
            Self::Advanced => "advanced",
        }
    }
}

impl Exertion {
    /// Every one, the least first.
    pub const ALL: [Self; 3] = [Self::Light, Self::Moderate, Self::Vigorous];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Light => "light",
            Self::Moderate => "moderate",
            Self::Vigorous => "vigorous",
        }
    }

    /// The cost in MET at which the moves of work on the feet are looked for: within its boundaries
    /// (common practice, no source).
    #[must_use]
    pub const fn met(self) -> f64 {
        match self {
            Self::Light => 2.8,
            Self::Moderate => 4.4,
            Self::Vigorous => 6.5,
        }
    }
}

/// A thing that people have for the class.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Kit {
    /// What it is, as the library names it.
    pub thing: String,
    /// How many of it there are; nothing where there is one for everybody.
    pub count: Option<u32>,
}

/// A move that was taught, from the records.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LastTaught {
    /// The move's id.
    pub id: String,
    /// How many days ago it was taught last.
    pub days: u32,
    /// Whether it was a move of the last class: then it does not come again unless it is wished.
    pub in_last_class: bool,
}

/// What is wished of a class.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Wishes {
    /// What it is to be called, behind the word `Draft`; made from the wishes where nothing is said.
    pub title: Option<String>,
    /// How long the room is ours.
    pub slot: Span,
    /// What is to be left of it to clear the room.
    pub leave: Span,
    /// The blocks; made by the length of the slot where none is named.
    pub shape: Vec<BlockWish>,
    /// For whom it is.
    pub level: Level,
    /// What somebody in the room must spare.
    pub limits: Vec<Load>,
    /// The things there are; a mat and a wall are there anyway.
    pub kit: Vec<Kit>,
    /// How many people are expected.
    pub people: Option<u32>,
    /// Regions that are to have more of the work.
    pub regions: Vec<Region>,
    /// Actions that are to have more of the work.
    pub actions: Vec<Action>,
    /// How hard the work is to be.
    pub exertion: Exertion,
    /// What was taught in the last weeks.
    pub taught: Vec<LastTaught>,
    /// How many weeks those are: what was taught before them is new again.
    pub weeks: u32,
    /// Ids of moves to have.
    pub have: Vec<String>,
    /// Ids of moves to leave out.
    pub leave_out: Vec<String>,
    /// Which of the classes that are about as good: another number is another class, the same
    /// number the same.
    pub seed: u64,
}

impl Default for Wishes {
    /// Forty-five minutes for everybody, moderate, with mats alone.
    fn default() -> Self {
        Self {
            title: None,
            slot: Span::from_secs(45 * 60),
            leave: Span::from_secs(120),
            shape: Vec::new(),
            level: Level::Mixed,
            limits: Vec::new(),
            kit: Vec::new(),
            people: None,
            regions: Vec::new(),
            actions: Vec::new(),
            exertion: Exertion::Moderate,
            taught: Vec::new(),
            weeks: 4,
            have: Vec::new(),
            leave_out: Vec::new(),
            seed: 0,
        }
    }
}

/// What there is in every room (common practice, no source).
const THERE: [&str; 3] = ["mat", "wall", "floor"];

impl Wishes {
    /// What a class that is there says of itself: slot, limits, things and people. For a block or a
    /// move that is to go into it.
    #[must_use]
    pub fn of(session: &Session) -> Self {
        let stock = |thing: &String| session.stock.iter().find(|(of, _)| of == thing);
        let kit = |thing: &String| Kit {
            thing: thing.clone(),
            count: stock(thing).map(|(_, many)| *many),
        };
        let usual = Self::default();
        Self {
            slot: session.slot.unwrap_or(usual.slot),
            limits: session.limits.clone(),
            kit: session.equipment.iter().map(kit).collect(),
            people: session.people,
            ..usual
        }
    }

    /// The wishes in lines, for the head of the file.
    pub(super) fn said(&self) -> Vec<String> {
        let mut lines = vec![format!(
            "Wished: {} of slot, {} of it to clear the room; {}, {} work.",
            self.slot,
            self.leave,
            self.level.word(),
            self.exertion.word()
        )];
        let labels = |labels: Vec<&str>| listed(&labels);
        let mut add = |what: &str, words: String| {
            if !words.is_empty() {
                lines.push(format!("{what}: {words}."));
            }
        };
        let shape: Vec<String> = self.shape.iter().map(ToString::to_string).collect();
        add("Blocks", shape.join(" + "));
        add(
            "To spare",
            labels(self.limits.iter().map(|load| load.label()).collect()),
        );
        let kit = |kit: &Kit| {
            kit.count.map_or_else(
                || kit.thing.clone(),
                |count| format!("{count} {}", kit.thing),
            )
        };
        add(
            "Kit",
            self.kit.iter().map(kit).collect::<Vec<_>>().join(", "),
        );
        add(
            "People",
            self.people
                .map_or_else(String::new, |people| people.to_string()),
        );
        let regions = self.regions.iter().map(|region| region.label());
        let actions = self.actions.iter().map(|action| action.label());
        add("More of", labels(regions.chain(actions).collect()));
        add("To have", self.have.join(", "));
        add("To leave out", self.leave_out.join(", "));
        let last = self.taught.iter().filter(|one| one.in_last_class).count();
        if !self.taught.is_empty() {
            add(
                "Looked back on",
                format!(
                    "{} moves, {last} of them in the last class",
                    self.taught.len()
                ),
            );
        }
        if self.seed != 0 {
            add("Seed", self.seed.to_string());
        }
        lines
    }

    /// At how many of `places` of a block a thing may be used: the places of stations share the
    /// people, and at each there is one for everybody who is there. Nothing where all of them have it.
    pub(super) fn places_with(&self, thing: &str, places: usize) -> Option<usize> {
        let shares = u32::try_from(places.max(1)).unwrap_or(u32::MAX);
        let known = self.kit.iter().find(|kit| kit.thing == thing);
        let Some(kit) = known else {
            return if THERE.contains(&thing) {
                None
            } else {
                Some(0)
            };
        };
        let count = kit.count?;
        let enough = match self.people {
            Some(people) => count / people.div_ceil(shares).max(1),
            // Nobody knows for how many: one at a station is enough for a group of one.
            None => {
                if shares > 1 {
                    count
                } else {
                    0
                }
            }
        };
        Some(usize::try_from(enough).unwrap_or(usize::MAX))
    }

    /// Whether there is enough of a thing for one place of so many at which people are.
    pub(super) fn has(&self, thing: &str, places: usize) -> bool {
        self.places_with(thing, places) != Some(0)
    }

    /// How long ago a move was taught, if it was.
    pub(super) fn last_taught(&self, id: &str) -> Option<&LastTaught> {
        self.taught
            .iter()
            .filter(|one| one.id == id)
            .min_by_key(|one| one.days)
    }

    /// Whether a move was in the last class, and is not wished again.
    pub(super) fn is_too_fresh(&self, id: &str) -> bool {
        let mut taught = self.taught.iter();
        taught.any(|one| one.id == id && one.in_last_class) && !self.have.iter().any(|of| of == id)
    }
}
