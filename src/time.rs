//! Time as the rest of the program knows it: whole milliseconds, and nothing that reads a clock.
//!
//! Three units that are easily mixed up are three types. A [`Span`] is a length. An [`Offset`] is a
//! place in the class, counted from its start; it stands still while the class is held. A
//! [`Moment`] is a reading of a steady clock that somebody else took. All are integers, so adding
//! ten thousand intervals gives exactly the sum and no rounding piles up.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Sub};

use serde::{Deserialize, Serialize};

/// Milliseconds in a second.
const SECOND: u64 = 1000;

/// A length of time in whole milliseconds; never negative.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Span(u64);

/// A place in the class, in milliseconds from its start. Held time is not counted.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Offset(u64);

/// A reading of a steady clock, in milliseconds from an arbitrary origin.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Moment(u64);

impl Span {
    /// No time at all.
    pub const ZERO: Self = Self(0);

    /// A length of whole milliseconds.
    #[must_use]
    pub const fn from_millis(millis: u64) -> Self {
        Self(millis)
    }

    /// A length of whole seconds.
    #[must_use]
    pub const fn from_secs(secs: u64) -> Self {
        Self(secs.saturating_mul(SECOND))
    }

    /// The length in milliseconds.
    #[must_use]
    pub const fn millis(self) -> u64 {
        self.0
    }

    /// The length in seconds, with its fraction.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        reason = "a class is far below 2^53 milliseconds"
    )]
    pub fn secs(self) -> f64 {
        self.0 as f64 / 1000.0
    }

    /// Whole seconds, a begun second counted as one: what a countdown shows.
    #[must_use]
    pub const fn secs_ceil(self) -> u64 {
        self.0.div_ceil(SECOND)
    }

    /// Whole seconds, a begun second left out: what a count-up shows.
    #[must_use]
    pub const fn secs_floor(self) -> u64 {
        self.0 / SECOND
    }

    /// Whether this is no time at all.
    #[must_use]
    pub const fn is_zero(self) -> bool {
        self.0 == 0
    }

    /// This length less another, or zero where the other is longer.
    #[must_use]
    pub const fn saturating_sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }

    /// Half of the length, rounded down to a millisecond.
    #[must_use]
    pub const fn half(self) -> Self {
        Self(self.0 / 2)
    }

    /// The length rounded up to whole seconds.
    #[must_use]
    pub const fn ceil_secs(self) -> Self {
        Self::from_secs(self.secs_ceil())
    }

    /// The length in whole seconds, a begun second left out: how pages show it.
    #[must_use]
    pub const fn floor_secs(self) -> Self {
        Self::from_secs(self.secs_floor())
    }

    /// The length as the system's duration, for waiting.
    #[must_use]
    pub const fn duration(self) -> std::time::Duration {
        std::time::Duration::from_millis(self.0)
    }

    /// Reads `m:ss` or `h:mm:ss`, where the seconds may have up to three decimals.
    ///
    /// # Errors
    /// [`TimeError`] tells what is wrong with the text.
    pub fn parse_clock(text: &str) -> Result<Self, TimeError> {
        let fields: Vec<&str> = text.trim().split(':').collect();
        let (hours, minutes, seconds) = match fields[..] {
            [m, s] => (0, whole(m)?, s),
            [h, m, s] => {
                let minutes = whole(m)?;
                if minutes >= 60 || m.len() != 2 {
                    return Err(TimeError::Minutes);
                }
                (whole(h)?, minutes, s)
            }
            _ => return Err(TimeError::Shape),
        };
        let (secs, millis) = match seconds.split_once('.') {
            Some((secs, fraction)) => (secs, thousandths(fraction)?),
            None => (seconds, 0),
        };
        if secs.len() != 2 || whole(secs)? >= 60 {
            return Err(TimeError::Seconds);
        }
        hours
            .checked_mul(3600)
            .and_then(|h| minutes.checked_mul(60).and_then(|m| h.checked_add(m)))
            .and_then(|total| total.checked_add(whole(secs).ok()?))
            .and_then(|total| total.checked_mul(SECOND))
            .and_then(|total| total.checked_add(millis))
            .map(Self)
            .ok_or(TimeError::TooLong)
    }

    /// Reads a number of seconds, rounded to the nearest millisecond.
    ///
    /// # Errors
    /// [`TimeError`] where the number is negative, not a number, infinite or past 1000 hours.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the range is checked on the line above"
    )]
    pub fn parse_secs(secs: f64) -> Result<Self, TimeError> {
        if secs.is_nan() || secs.is_infinite() {
            return Err(TimeError::NotFinite);
        }
        if secs < 0.0 {
            return Err(TimeError::Negative);
        }
        if secs > 3_600_000.0 {
            return Err(TimeError::TooLong);
        }
        Ok(Self((secs * 1000.0).round() as u64))
    }
}

fn whole(text: &str) -> Result<u64, TimeError> {
    if text.is_empty() || !text.bytes().all(|b| b.is_ascii_digit()) {
        return Err(TimeError::Shape);
    }
    text.parse().map_err(|_| TimeError::TooLong)
}

fn thousandths(text: &str) -> Result<u64, TimeError> {
    if text.len() > 3 {
        return Err(TimeError::Shape);
    }
    let digits = whole(text)?;
    Ok(digits * 10_u64.pow(3 - u32::try_from(text.len()).unwrap_or(3)))
}

/// What is wrong with a written time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TimeError {
    /// Not `m:ss` or `h:mm:ss`.
    #[error("a time is written `m:ss`, `h:mm:ss` or as a number of seconds")]
    Shape,
    /// Minutes of `h:mm:ss` outside 00 to 59.
    #[error("after an hour the minutes are written with two digits, 00 to 59")]
    Minutes,
    /// Seconds outside 00 to 59.
    #[error("the seconds are written with two digits, 00 to 59")]
    Seconds,
    /// A negative number.
    #[error("a time cannot be negative")]
    Negative,
    /// Infinite or not a number.
    #[error("a time must be a plain number")]
    NotFinite,
    /// Past any class.
    #[error("the time is longer than any class")]
    TooLong,
}

/// `m:ss`, from an hour on `h:mm:ss`, with decimals only where there are any.
impl fmt::Display for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (secs, millis) = (self.0 / SECOND, self.0 % SECOND);
        let (hours, minutes, secs) = (secs / 3600, secs / 60 % 60, secs % 60);
        let mut text = if hours > 0 {
            format!("{hours}:{minutes:02}:{secs:02}")
        } else {
            format!("{minutes}:{secs:02}")
        };
        if millis > 0 {
            text.push_str(format!(".{millis:03}").trim_end_matches('0'));
        }
        f.pad(&text)
    }
}

impl Add for Span {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl AddAssign for Span {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Mul<u64> for Span {
    type Output = Self;
    fn mul(self, times: u64) -> Self {
        Self(self.0.saturating_mul(times))
    }
}

impl Sum for Span {
    fn sum<I: Iterator<Item = Self>>(spans: I) -> Self {
        spans.fold(Self::ZERO, Add::add)
    }
}

macro_rules! point_in_time {
    ($point:ident) => {
        impl $point {
            /// The origin.
            pub const ZERO: Self = Self(0);

            /// The point this many milliseconds after the origin.
            #[must_use]
            pub const fn from_millis(millis: u64) -> Self {
                Self(millis)
            }

            /// Milliseconds since the origin.
            #[must_use]
            pub const fn millis(self) -> u64 {
                self.0
            }

            /// How long after `earlier` this is; zero where it is not after it.
            #[must_use]
            pub const fn since(self, earlier: Self) -> Span {
                Span(self.0.saturating_sub(earlier.0))
            }

            /// This much earlier, or the origin.
            #[must_use]
            pub const fn before(self, span: Span) -> Self {
                Self(self.0.saturating_sub(span.0))
            }
        }

        impl Add<Span> for $point {
            type Output = Self;
            fn add(self, span: Span) -> Self {
                Self(self.0.saturating_add(span.0))
            }
        }

        impl Sub for $point {
            type Output = Span;
            fn sub(self, earlier: Self) -> Span {
                self.since(earlier)
            }
        }
    };
}

point_in_time!(Offset);
point_in_time!(Moment);

impl Offset {
    /// The place as the length from the start of the class.
    #[must_use]
    pub const fn span(self) -> Span {
        Span(self.0)
    }

    /// The place in seconds from the start of the class.
    #[must_use]
    pub fn secs(self) -> f64 {
        self.span().secs()
    }
}

impl fmt::Display for Offset {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.span().fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clock_texts_are_read_and_written_alike() {
        for (text, millis) in [
            ("0:00", 0),
            ("0:45", 45_000),
            ("1:00", 60_000),
            ("45:00", 2_700_000),
            ("90:00", 5_400_000),
            ("1:02:03", 3_723_000),
            ("0:07.5", 7_500),
            ("0:07.125", 7_125),
        ] {
            let span = Span::parse_clock(text).expect(text);
            assert_eq!(span.millis(), millis, "{text}");
            assert_eq!(
                Span::parse_clock(&span.to_string()),
                Ok(span),
                "{text} again"
            );
        }
    }

    #[test]
    fn what_is_no_time_is_refused_with_the_reason() {
        for (text, error) in [
            ("45", TimeError::Shape),
            ("", TimeError::Shape),
            ("1:2:3:4", TimeError::Shape),
            ("a:10", TimeError::Shape),
            ("-1:10", TimeError::Shape),
            ("0:60", TimeError::Seconds),
            ("0:5", TimeError::Seconds),
            ("1:60:00", TimeError::Minutes),
            ("0:07.1234", TimeError::Shape),
            ("99999999999999999999:00", TimeError::TooLong),
        ] {
            assert_eq!(Span::parse_clock(text), Err(error), "{text}");
        }
        assert_eq!(Span::parse_secs(f64::NAN), Err(TimeError::NotFinite));
        assert_eq!(Span::parse_secs(-0.5), Err(TimeError::Negative));
        assert_eq!(Span::parse_secs(1e300), Err(TimeError::TooLong));
        assert_eq!(Span::parse_secs(7.5), Ok(Span::from_millis(7_500)));
    }

    #[test]
    fn a_countdown_shows_begun_seconds_and_a_count_up_finished_ones() {
        let span = Span::from_millis(9_001);
        assert_eq!((span.secs_ceil(), span.secs_floor()), (10, 9));
        assert_eq!(Span::from_secs(9).secs_ceil(), 9);
    }
}
