//! What a move is: where the body is, what it works, what it loads, and how it may be changed.
//!
//! The loads and the options that spare them are a reminder for the instructor, no medical
//! advice: the venue's rules and licensed practice come first.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::terms::{Action, Impact, Load, Muscle, Position, Region, Side, Sides};
use crate::time::Span;

/// One move of the library or of a session file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Move {
    /// The word by which session files name it.
    pub id: String,
    /// The name that is shown.
    pub name: String,
    /// The short name that is spoken.
    pub call: String,
    /// Where the body is.
    pub position: Position,
    /// What it works, most important first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub regions: Vec<Region>,
    /// The muscles it works, most important first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub muscles: Vec<Muscle>,
    /// What it loads.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub loads: Vec<Load>,
    /// How hard the feet meet the floor.
    pub impact: Impact,
    /// How it is shared between the sides.
    pub sides: Sides,
    /// What each person needs for it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub equipment: Vec<String>,
    /// Its code in the 2024 Adult Compendium of Physical Activities, five digits, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub energy: Option<String>,
    /// How to get into it, as it is said; empty where nothing need be said.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub setup: String,
    /// Form cues, most important first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub form: Vec<String>,
    /// Easier options, the gentlest last.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub easier: Vec<MoveOption>,
    /// Harder options, the hardest last.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub harder: Vec<MoveOption>,
    /// Versions for a joint or a position, which are not easier for everybody.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub instead: Vec<MoveOption>,
    /// What it does, as an instructor sorts moves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub action: Option<Action>,
    /// How to breathe in it: `out as you push`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub breath: Option<String>,
    /// The common fault and how it is mended.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fault: Option<CommonFault>,
    /// The side that starts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lead: Option<Side>,
}

/// What often goes wrong in a move, and what is said to mend it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CommonFault {
    /// What the instructor sees.
    pub see: String,
    /// What she says.
    pub say: String,
}

impl Default for Move {
    /// A nameless move that stands, loads nothing and has no versions.
    fn default() -> Self {
        Self {
            id: String::new(),
            name: String::new(),
            call: String::new(),
            position: Position::Standing,
            regions: Vec::new(),
            muscles: Vec::new(),
            loads: Vec::new(),
            impact: Impact::None,
            sides: Sides::Both,
            equipment: Vec::new(),
            energy: None,
            setup: String::new(),
            form: Vec::new(),
            easier: Vec::new(),
            harder: Vec::new(),
            instead: Vec::new(),
            action: None,
            breath: None,
            fault: None,
            lead: None,
        }
    }
}

impl Move {
    /// An option of the move, if it has that one.
    #[must_use]
    pub fn option(&self, pick: Pick) -> Option<&MoveOption> {
        match pick {
            Pick::Easier(n) => self.easier.get(n),
            Pick::Harder(n) => self.harder.get(n),
            Pick::Instead(n) => self.instead.get(n),
        }
    }

    /// Every option with its pick: easier, then instead, then harder.
    pub fn options(&self) -> impl Iterator<Item = (Pick, &MoveOption)> {
        let easier = self.easier.iter().enumerate();
        let instead = self.instead.iter().enumerate();
        let harder = self.harder.iter().enumerate();
        (easier.map(|(n, option)| (Pick::Easier(n), option)))
            .chain(instead.map(|(n, option)| (Pick::Instead(n), option)))
            .chain(harder.map(|(n, option)| (Pick::Harder(n), option)))
    }

    /// The options of all three lists, to be changed.
    pub(super) fn options_mut(&mut self) -> impl Iterator<Item = &mut MoveOption> {
        (self.easier.iter_mut())
            .chain(&mut self.instead)
            .chain(&mut self.harder)
    }

    /// The move without its versions, as it stands in for another.
    pub(super) fn bare(&self) -> Self {
        Self {
            easier: Vec::new(),
            harder: Vec::new(),
            instead: Vec::new(),
            ..self.clone()
        }
    }
}

/// Another way to do a move.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct MoveOption {
    /// What is said to offer it.
    pub call: String,
    /// The loads of the move that it reduces.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub spares: Vec<Load>,
    /// The loads that it brings.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub adds: Vec<Load>,
    /// Where the body is, if elsewhere than in the move itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub position: Option<Position>,
    /// How hard the feet meet the floor, if otherwise than in the move itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub impact: Option<Impact>,
    /// How it is shared between the sides, if otherwise than in the move itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sides: Option<Sides>,
    /// What it needs besides, or instead.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub equipment: Vec<String>,
    /// Its energy code, if another than that of the move itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub energy: Option<String>,
    /// How to get into it, as it is said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub setup: Option<String>,
    /// Its own form cues.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub form: Vec<String>,
    /// Another move that is done in place of this one.
    #[serde(default, rename = "as", skip_serializing_if = "Option::is_none")]
    pub stand_in: Option<StandIn>,
}

/// Another move of the library that stands in for a move.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct StandIn {
    /// Its id.
    pub id: String,
    /// The move without its own versions, once it has been looked up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub of: Option<Arc<Move>>,
}

/// An option of a move by its place in the list, counted from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Pick {
    /// From the easier ones.
    Easier(usize),
    /// From the harder ones.
    Harder(usize),
    /// From those for a joint or a position.
    Instead(usize),
}

/// A move as a part of the class uses it: the move, and what is different here.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Use {
    /// The move.
    pub of: Arc<Move>,
    /// The option that everyone does, if not the move itself.
    pub pick: Option<Pick>,
    /// A word of the planner's own for this place.
    pub note: Option<String>,
    /// Work time in place of the pattern's.
    pub work: Option<Span>,
    /// Rest after it in place of the pattern's.
    pub rest: Option<Span>,
    /// How many: counted where nothing gives the work a time, else a target.
    pub reps: Option<u32>,
    /// How hard it is meant to be, 0 (nothing) to 10 (as hard as one can).
    pub effort: Option<u8>,
    /// A word of the planner's own that is shown and never said.
    pub aside: Option<String>,
    /// The same place in each round, taken in turn; empty where all rounds are alike. What stands
    /// beside it is then that of the first.
    pub rounds: Vec<Arc<Self>>,
}

impl Use {
    /// The move as it stands, nothing changed.
    #[must_use]
    pub const fn plain(of: Arc<Move>) -> Self {
        Self {
            of,
            pick: None,
            note: None,
            work: None,
            rest: None,
            reps: None,
            effort: None,
            aside: None,
            rounds: Vec::new(),
        }
    }

    /// The name, with how many where they are counted: `Squat x 12`, which is right for one too.
    #[must_use]
    pub fn counted_name(&self) -> String {
        counted(&self.of.name, self.reps)
    }

    /// The place as it is in a round, counted from 0.
    #[must_use]
    pub fn in_round(self: &Arc<Self>, round: usize) -> &Arc<Self> {
        match self.rounds.len() {
            0 => self,
            all => &self.rounds[round % all],
        }
    }

    /// The place in all the ways in which it comes.
    pub fn each(self: &Arc<Self>) -> impl Iterator<Item = &Arc<Self>> {
        let alone = self.rounds.is_empty().then_some(self);
        alone.into_iter().chain(&self.rounds)
    }

    /// The option in force, if one is and the move has it.
    #[must_use]
    pub fn option(&self) -> Option<&MoveOption> {
        self.of.option(self.pick?)
    }
}

/// A name with how many behind it, where they are counted: so it is read, on the screen and on paper.
#[must_use]
pub fn counted(name: &str, reps: Option<u32>) -> String {
    match reps {
        Some(reps) => format!("{name} x {reps}"),
        None => name.to_owned(),
    }
}

/// A call with how many, in words, where they are counted: so it is said, and what is said behind it.
/// A number stands before what is many, `twelve squats`; else behind it, `dead bugs` and `just one`,
/// `sit to stand` and `twelve times`.
#[must_use]
pub fn counted_aloud(
    call: &str,
    reps: Option<u32>,
    words: impl Fn(u32) -> String,
) -> (String, Option<String>) {
    let behind = match reps {
        None => None,
        Some(1) => Some("just one".to_owned()),
        Some(reps) if is_plural(call) => return (format!("{} {call}", words(reps)), None),
        Some(2) => Some("twice".to_owned()),
        Some(reps) => Some(format!("{} times", words(reps))),
    };
    (call.to_owned(), behind)
}

/// Whether a call names many: `squats`, and neither `shoulder press` nor `child's pose`.
fn is_plural(call: &str) -> bool {
    call.ends_with('s') && !call.ends_with("ss")
}
