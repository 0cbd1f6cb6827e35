//! Wall time as a record writes it: RFC 3339 with the zone's offset, to the millisecond.
//!
//! What is finer than a millisecond is cut off when it is written. Nothing here reads a clock.

use chrono::{DateTime, FixedOffset, SecondsFormat, SubsecRound};
use serde::{Deserialize, Deserializer, Serializer, de};

use crate::time::Span;

/// A moment by the clock on the wall, with the offset of its zone.
pub type Wall = DateTime<FixedOffset>;

/// The moment cut to whole milliseconds, as a record keeps it.
#[must_use]
pub fn to_millis(wall: Wall) -> Wall {
    wall.trunc_subsecs(3)
}

/// The moment as a record writes it.
#[must_use]
pub fn rfc3339(wall: Wall) -> String {
    wall.to_rfc3339_opts(SecondsFormat::Millis, false)
}

/// Milliseconds from `earlier` to `later`; negative where it is the other way round.
#[must_use]
pub fn millis_between(earlier: Wall, later: Wall) -> i64 {
    later.signed_duration_since(earlier).num_milliseconds()
}

/// How long after `earlier` this is; zero where it is not after it.
#[must_use]
pub fn since(later: Wall, earlier: Wall) -> Span {
    Span::from_millis(u64::try_from(millis_between(earlier, later)).unwrap_or(0))
}

pub(super) fn serialize<S: Serializer>(wall: &Wall, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(&rfc3339(*wall))
}

pub(super) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Wall, D::Error> {
    let text = <std::borrow::Cow<'de, str>>::deserialize(from)?;
    DateTime::parse_from_rfc3339(&text).map_err(de::Error::custom)
}

/// The same for a moment that may be missing.
pub(super) mod maybe {
    use serde::{Deserialize, Deserializer, Serializer};

    use super::Wall;

    #[derive(Deserialize)]
    struct Known(#[serde(with = "super")] Wall);

    #[expect(clippy::ref_option, reason = "serde gives a reference to the field")]
    pub(in crate::record) fn serialize<S: Serializer>(
        wall: &Option<Wall>,
        to: S,
    ) -> Result<S::Ok, S::Error> {
        match wall {
            Some(wall) => super::serialize(wall, to),
            None => to.serialize_none(),
        }
    }

    pub(in crate::record) fn deserialize<'de, D: Deserializer<'de>>(
        from: D,
    ) -> Result<Option<Wall>, D::Error> {
        Ok(Option::<Known>::deserialize(from)?.map(|known| known.0))
    }
}
