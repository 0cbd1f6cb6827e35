//! Values as a person types them on the command line, and what is said of those that cannot be read.

use chrono::{NaiveDate, NaiveTime};

use crate::time::{Offset, Span, TimeError};

/// How a time is written on the command line, for whoever wrote something else.
const WAYS: &str = "write minutes, as in 45, or minutes and seconds, as in 45:00";

/// A length longer than zero: a bare number is minutes, as on the page of the class.
pub(super) fn span(text: &str) -> Result<Span, String> {
    match minutes(text)? {
        span if span.is_zero() => Err("give a time longer than zero".into()),
        span => Ok(span),
    }
}

/// A place in the class.
pub(super) fn offset(text: &str) -> Result<Offset, String> {
    Ok(Offset::ZERO + minutes(text)?)
}

fn minutes(text: &str) -> Result<Span, String> {
    let text = text.trim();
    let is_number = text.contains(|c: char| c.is_ascii_digit())
        && (text.strip_prefix('-').unwrap_or(text))
            .chars()
            .all(|c| c.is_ascii_digit() || c == '.');
    let read = match text.parse::<f64>() {
        Ok(minutes) if is_number => Span::parse_secs(minutes * 60.0),
        _ => Span::parse_clock(text),
    };
    read.map_err(|error| match error {
        TimeError::Shape | TimeError::NotFinite => WAYS.into(),
        other => format!("{other}; {WAYS}"),
    })
}

/// An hour of the day, as people write it.
pub(super) fn hour(text: &str) -> Result<NaiveTime, String> {
    let text = text.trim();
    NaiveTime::parse_from_str(text, "%H:%M")
        .or_else(|_| NaiveTime::parse_from_str(&text.replacen('.', ":", 1), "%H:%M"))
        .map_err(|_| {
            "write the hour and minute of a day of 24 hours, such as 18:45; \
             for minutes from now there is --slot"
                .into()
        })
}

/// A day of the calendar.
pub(super) fn day(text: &str) -> Result<NaiveDate, String> {
    let read = NaiveDate::parse_from_str(text.trim(), "%Y-%m-%d");
    read.map_err(|_| {
        "write year, month and day, such as 2026-03-02; it must be a day that there is".into()
    })
}

/// How hard it was.
pub(super) fn rating(text: &str) -> Result<u8, String> {
    let read = text.trim().parse().ok().filter(|rating| *rating <= 10);
    read.ok_or_else(|| "write a whole number from 0 (rest) to 10 (as hard as can be)".into())
}

/// How many came.
pub(super) fn people(text: &str) -> Result<u32, String> {
    let read = text
        .trim()
        .parse()
        .ok()
        .filter(|people| *people <= 1_000_000);
    read.ok_or_else(|| "write how many came, as a whole number such as 14".into())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A bare number is minutes wherever a person types a time; the page of the class has its own
    /// test, `app::slot`.
    #[test]
    fn a_bare_number_is_minutes_and_what_cannot_be_read_is_told_in_plain_words() {
        for (text, secs) in [
            ("45", 2700.0),
            ("45:00", 2700.0),
            ("0:45", 45.0),
            ("1:02:30", 3750.0),
            (" 7.5 ", 450.0),
            ("0.5", 30.0),
            ("720", 43200.0),
        ] {
            assert!(
                (span(text).expect(text).secs() - secs).abs() < 1e-9,
                "{text}"
            );
            assert!(
                (offset(text).expect(text).span().secs() - secs).abs() < 1e-9,
                "{text}"
            );
        }
        assert_eq!(offset("0"), Ok(Offset::ZERO));
        let libraries = [
            "invalid",
            "found in",
            "character",
            "parse",
            "float",
            "string",
        ];
        let readers: [fn(&str) -> Option<String>; 6] = [
            |text| span(text).err(),
            |text| offset(text).err(),
            |text| hour(text).err(),
            |text| day(text).err(),
            |text| rating(text).err(),
            |text| people(text).err(),
        ];
        for text in [
            "", "x", "45m", "45 min", "1e9", "inf", "NaN", "-5", "1:2:3:4", "5:60", "\u{7f}",
        ] {
            for read in readers {
                let told = read(text).unwrap_or_else(|| panic!("`{text}` was read"));
                let plain = libraries.iter().all(|word| !told.contains(word));
                assert!(
                    plain && told.contains(|c: char| c.is_ascii_digit()),
                    "{text}: {told}"
                );
            }
        }
        assert_eq!(hour("18.45").ok(), NaiveTime::from_hms_opt(18, 45, 0));
    }
}
