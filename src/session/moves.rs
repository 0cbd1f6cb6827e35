//! What a move is: where the body is, what it works, what it loads, and how it may be changed.
//!
//! The loads and the options that spare them are a reminder for the instructor, no medical
//! advice: the venue's rules and licensed practice come first.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use crate::time::Span;

/// A closed set of words that a session file may use, with the way each is read aloud.
macro_rules! words {
    ($(#[$meta:meta])* $name:ident { $($(#[$doc:meta])* $word:ident = $label:literal),+ $(,)? }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub enum $name { $($(#[$doc])* $word),+ }

        impl $name {
            /// Every word of the set, in order.
            pub const ALL: &[Self] = &[$(Self::$word),+];

            /// The word as a session file spells it.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$word => stringify!($word)),+ }
            }

            /// The word as an instructor says it.
            #[must_use]
            pub const fn label(self) -> &'static str {
                match self { $(Self::$word => $label),+ }
            }
        }
    };
}

words! {
    /// Where the body is during a move.
    Position {
        /// On the feet.
        Standing = "standing",
        /// On one or both knees, hands free.
        Kneeling = "kneeling",
        /// Hands and knees.
        HandsAndKnees = "hands and knees",
        /// Hands and feet, as in a plank.
        HandsAndFeet = "hands and feet",
        /// Forearms and feet or knees.
        Forearms = "forearms",
        /// Lying face down.
        Prone = "face down",
        /// Lying face up.
        Supine = "on your back",
        /// Lying on one side.
        SideLying = "on your side",
        /// Sitting, on the floor or a chair as the equipment says.
        Seated = "seated",
        /// Standing at a wall.
        Wall = "at the wall",
    }
}

words! {
    /// The part of the body that a move works.
    Region {
        /// The whole body.
        Total = "whole body",
        /// Hips and legs.
        Lower = "legs",
        /// Chest, back, shoulders and arms.
        Upper = "upper body",
        /// Trunk.
        Core = "core",
    }
}

words! {
    /// Muscles by the 17 names of the public-domain exercise data set.
    Muscle {
        /// The abdominal wall.
        Abdominals = "abdominals",
        /// Outer hip.
        Abductors = "abductors",
        /// Inner thigh.
        Adductors = "adductors",
        /// Front of the upper arm.
        Biceps = "biceps",
        /// Back of the lower leg.
        Calves = "calves",
        /// Chest.
        Chest = "chest",
        /// Forearms.
        Forearms = "forearms",
        /// Buttocks.
        Glutes = "glutes",
        /// Back of the thigh.
        Hamstrings = "hamstrings",
        /// Broad muscles of the back.
        Lats = "lats",
        /// Lower back.
        LowerBack = "lower back",
        /// Between the shoulder blades.
        MiddleBack = "middle back",
        /// Neck.
        Neck = "neck",
        /// Front of the thigh.
        Quadriceps = "quadriceps",
        /// Shoulders.
        Shoulders = "shoulders",
        /// Top of the shoulders.
        Traps = "traps",
        /// Back of the upper arm.
        Triceps = "triceps",
    }
}

words! {
    /// What a move asks of somebody who may have to spare it.
    Load {
        /// Weight or bend on the wrists.
        Wrist = "wrists",
        /// Weight or bend on the elbows.
        Elbow = "elbows",
        /// Weight or reach on the shoulders.
        Shoulder = "shoulders",
        /// Strain on the neck.
        Neck = "neck",
        /// Strain on the low back.
        LowBack = "low back",
        /// Deep or loaded bend of the hips.
        Hip = "hips",
        /// Deep or loaded bend of the knees.
        Knee = "knees",
        /// Loaded or sideways ankles.
        Ankle = "ankles",
        /// Pressure on the pelvic floor.
        PelvicFloor = "pelvic floor",
        /// Lying on the back.
        Supine = "lying on the back",
        /// A held effort, which raises the blood pressure.
        Isometric = "holding still",
        /// The head below the heart.
        HeadDown = "head low",
    }
}

words! {
    /// How hard the feet meet the floor.
    Impact {
        /// Nothing leaves the floor.
        None = "no impact",
        /// One foot stays down.
        Low = "low impact",
        /// Both feet leave the floor.
        High = "high impact",
    }
}

words! {
    /// How a move is shared between the sides of the body.
    Sides {
        /// Both at once.
        Both = "both sides",
        /// In turn, move by move.
        Alternating = "alternating",
        /// One side, then the other from half-time on.
        Each = "each side",
    }
}

impl Position {
    /// Whether the body is on its feet, so that a change to or from the floor takes its time.
    #[must_use]
    pub const fn is_upright(self) -> bool {
        matches!(self, Self::Standing | Self::Wall)
    }
}

/// One move of the library or of a session file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
}

impl Move {
    /// An option of the move, if it has that one.
    #[must_use]
    pub fn option(&self, pick: Pick) -> Option<&MoveOption> {
        match pick {
            Pick::Easier(n) => self.easier.get(n),
            Pick::Harder(n) => self.harder.get(n),
        }
    }
}

/// Another way to do a move.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct MoveOption {
    /// What is said to offer it.
    pub call: String,
    /// The loads of the move that it reduces.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub spares: Vec<Load>,
    /// Where the body is, if elsewhere than in the move itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub position: Option<Position>,
    /// What it needs besides, or instead.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub equipment: Vec<String>,
    /// How to get into it, as it is said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub setup: Option<String>,
}

/// An option of a move by its place in the list, counted from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Pick {
    /// From the easier ones.
    Easier(usize),
    /// From the harder ones.
    Harder(usize),
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
    /// How many, where the pattern counts repetitions.
    pub reps: Option<u32>,
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
        }
    }

    /// The option in force, if one is and the move has it.
    #[must_use]
    pub fn option(&self) -> Option<&MoveOption> {
        self.of.option(self.pick?)
    }

    /// Where the body is, the option in force taken into account.
    #[must_use]
    pub fn position(&self) -> Position {
        self.option()
            .and_then(|option| option.position)
            .unwrap_or(self.of.position)
    }

    /// What it loads, less what the option in force spares.
    #[must_use]
    pub fn loads(&self) -> Vec<Load> {
        let spared = self.option().map_or(&[][..], |option| &option.spares);
        let mut loads = self.of.loads.clone();
        loads.retain(|load| !spared.contains(load));
        loads
    }

    /// The first option of the move that spares a load, easier ones first, with its place.
    #[must_use]
    pub fn sparing(&self, load: Load) -> Option<(Pick, &MoveOption)> {
        let easier = self.of.easier.iter().enumerate();
        let harder = self.of.harder.iter().enumerate();
        easier
            .map(|(n, option)| (Pick::Easier(n), option))
            .chain(harder.map(|(n, option)| (Pick::Harder(n), option)))
            .find(|(_, option)| option.spares.contains(&load))
    }

    /// What each person needs, the option in force taken into account.
    #[must_use]
    pub fn equipment(&self) -> Vec<&str> {
        let mut needs: Vec<&str> = self.of.equipment.iter().map(String::as_str).collect();
        for thing in self.option().iter().flat_map(|option| &option.equipment) {
            if !needs.contains(&thing.as_str()) {
                needs.push(thing);
            }
        }
        needs
    }
}
