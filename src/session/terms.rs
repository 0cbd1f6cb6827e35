//! The closed sets of words that describe a move: positions, loads, muscles and the like.

use serde::{Deserialize, Serialize};

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
    /// Muscles by the 17 names of the public-domain exercise data set, and six of our own for
    /// what those leave out.
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
        /// Front of the hip (ours).
        HipFlexors = "hip flexors",
        /// Sides of the waist (ours).
        Obliques = "obliques",
        /// The deep layer of the trunk, which moves nothing and steadies all (ours).
        DeepCore = "deep core",
        /// The floor of the pelvis (ours).
        PelvicFloor = "pelvic floor",
        /// The small muscles that hold the ball of the shoulder in its place (ours).
        RotatorCuff = "rotator cuff",
        /// Front of the lower leg (ours).
        Shins = "shins",
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
        /// Lying face down.
        Prone = "lying face down",
        /// Pressure on the kneecap.
        Kneeling = "kneeling",
        /// Both feet off the floor, and the landing.
        Jump = "jumping",
        /// Standing on one leg, or on little.
        Balance = "balance",
        /// Arms above the head.
        Overhead = "arms overhead",
        /// Turning the trunk against the hips.
        Twist = "twisting",
        /// Rounding the back.
        Bend = "rounding the back",
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

words! {
    /// What a move does, as an instructor sorts them.
    Action {
        /// Away from the body.
        Push = "push",
        /// Towards the body.
        Pull = "pull",
        /// Hips and knees bend together.
        Squat = "squat",
        /// The hips go back, the back stays long.
        Hinge = "hinge",
        /// One leg in front of or beside the other.
        Lunge = "lunge",
        /// Walking or standing with a load.
        Carry = "carry",
        /// The trunk turns.
        Rotate = "rotate",
        /// The trunk holds against something.
        Brace = "brace",
        /// The feet go somewhere, or as if.
        Travel = "travel",
        /// Standing on little.
        Balance = "balance",
        /// A joint goes through its range.
        Mobilise = "mobilise",
        /// A length is held.
        Stretch = "stretch",
        /// Breathing itself.
        Breathe = "breathe",
    }
}

words! {
    /// A side of the body.
    Side {
        /// The left.
        Left = "left",
        /// The right.
        Right = "right",
    }
}

impl Position {
    /// Whether the body is on its feet, so that a change to or from the floor takes its time.
    #[must_use]
    pub const fn is_upright(self) -> bool {
        matches!(self, Self::Standing | Self::Wall)
    }

    /// What the place itself asks of the body, whatever is done there.
    #[must_use]
    pub const fn asks(self) -> Option<Load> {
        match self {
            Self::Supine => Some(Load::Supine),
            Self::Prone => Some(Load::Prone),
            Self::Kneeling | Self::HandsAndKnees => Some(Load::Kneeling),
            _ => None,
        }
    }
}
