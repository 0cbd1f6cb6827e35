//! Wall time as a record writes it: RFC 3339 with the zone's offset, to the millisecond.
//!
//! What is finer than a millisecond is cut off when it is written. Nothing here reads a clock.

use chrono::{DateTime, FixedOffset, NaiveTime, SecondsFormat, SubsecRound, TimeDelta};
use serde::{Deserialize, Deserializer, Serializer, de};

use crate::time::{Moment, Span};

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

/// What the clock on the wall shows at a moment, past or to come, where it showed `wall` at `at`.
#[must_use]
pub fn moved(wall: Wall, at: Moment, to: Moment) -> Wall {
    wall + delta(to.since(at)) - delta(at.since(to))
}

/// A span as a difference of two times on the wall.
#[must_use]
pub fn delta(span: Span) -> TimeDelta {
    TimeDelta::milliseconds(i64::try_from(span.millis()).unwrap_or(i64::MAX / 2))
}

/// Reads a moment as a person writes it: RFC 3339, or a time of day (`18:29`, `18:29:58.5`) in the
/// zone of `like` and as near to it as can be: what goes with a late class may lie before midnight
/// or after it.
///
/// # Errors
/// [`NoMoment`] where it is neither.
pub fn moment(text: &str, like: Wall) -> Result<Wall, NoMoment> {
    let time = || {
        ["%H:%M", "%H:%M:%S%.f"]
            .iter()
            .find_map(|form| NaiveTime::parse_from_str(text, form).ok())
    };
    DateTime::parse_from_rfc3339(text)
        .ok()
        .or_else(|| Some(nearest(time()?, like)))
        .ok_or_else(|| NoMoment(text.to_owned()))
}

fn nearest(hour: NaiveTime, like: Wall) -> Wall {
    let half = TimeDelta::hours(12);
    let ahead = like.date_naive().and_time(hour) - like.naive_local();
    let day = TimeDelta::days(i32::from(ahead < -half).into())
        - TimeDelta::days(i32::from(ahead > half).into());
    like + ahead + day
}

/// The text is no moment.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is no moment; write a time of day like `18:29:58`, or `2026-03-02T18:29:58+01:00`")]
pub struct NoMoment(String);

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

#[cfg(test)]
mod tests {
    use super::*;

    /// chrono's RFC 3339 is the reader of both.
    #[test]
    fn a_time_of_day_is_the_one_nearest_to_the_class() {
        let at = |text: &str| DateTime::parse_from_rfc3339(text).unwrap();
        let (evening, midnight) = ("2026-03-02T18:30:00+01:00", "2026-03-03T00:05:00+01:00");
        for (like, text, meant) in [
            (evening, "18:29", "2026-03-02T18:29:00+01:00"),
            (evening, "18:29:58.5", "2026-03-02T18:29:58.500+01:00"),
            (evening, "2026-03-02T17:00:01Z", "2026-03-02T17:00:01Z"),
            (midnight, "23:58", "2026-03-02T23:58:00+01:00"),
            (midnight, "00:10:00", "2026-03-03T00:10:00+01:00"),
            (
                "2026-03-02T23:50:00+01:00",
                "0:10",
                "2026-03-03T00:10:00+01:00",
            ),
        ] {
            assert_eq!(moment(text, at(like)), Ok(at(meant)), "{text} like {like}");
        }
        let like = at(evening);
        for text in ["", "18", "25:00", "yesterday"] {
            assert_eq!(moment(text, like), Err(NoMoment(text.to_owned())));
        }
    }
}
