//! What the instructor adds after class: how hard it was, how many came, a few words.
//!
//! All of it is optional. No names of participants are asked for, and there is no place for them.

use serde::{Deserialize, Serialize};

/// How hard the class was for the room, 0 (rest) to 10 (as hard as can be).
///
/// The scale is the category-ratio scale CR10 as Foster et al. modified it for whole sessions
/// (2001, J Strength Cond Res 15(1):109). Other 0 to 10 scales are not the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(into = "u8", try_from = "u8")]
pub struct Rating(u8);

/// The name of the scale of [`Rating`], as it stands in a record and is shown.
pub const RATING_SCALE: &str = "CR10 as modified by Foster 2001";

/// A rating outside the scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not on the scale: a rating goes from 0 (rest) to 10 (as hard as can be)")]
pub struct OffScale(pub u8);

impl Rating {
    /// The rating as a number.
    #[must_use]
    pub const fn value(self) -> u8 {
        self.0
    }
}

impl TryFrom<u8> for Rating {
    type Error = OffScale;

    fn try_from(value: u8) -> Result<Self, OffScale> {
        (value <= 10).then_some(Self(value)).ok_or(OffScale(value))
    }
}

impl From<Rating> for u8 {
    fn from(rating: Rating) -> Self {
        rating.0
    }
}

/// What was added after class. A later note takes the place of an earlier one.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Note {
    /// How hard it was for the room.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rating: Option<Rating>,
    /// The scale of the rating; [`RATING_SCALE`] where this program wrote it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scale: Option<String>,
    /// How many came.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub people: Option<u32>,
    /// A few words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl Note {
    /// The same with a rating, its scale named.
    #[must_use]
    pub fn rated(mut self, rating: Option<Rating>) -> Self {
        self.rating = rating;
        self.scale = rating.map(|_| RATING_SCALE.to_owned());
        self
    }
}
