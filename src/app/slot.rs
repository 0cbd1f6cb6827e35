//! The end of the slot as it is set before the class: from the session, by the arrows, by an hour.
//!
//! It refuses to read a clock: what the wall shows is an argument.

use chrono::{NaiveTime, TimeDelta, Timelike};

use super::clock::{Wall, delta};
use crate::live::SlotView;
use crate::record::wall;
use crate::time::Span;

/// How long the room is ours, as the page has it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum SlotEnd {
    /// Nobody said.
    Open,
    /// So long from when the class begins.
    FromBegin(Span),
    /// Until this moment of the wall clock.
    At(Wall),
}

impl SlotEnd {
    /// The end of the slot for a class begun at `begin`.
    pub(super) fn wall(self, begin: Wall) -> Option<Wall> {
        match self {
            Self::Open => None,
            Self::FromBegin(slot) => Some(begin + delta(slot)),
            Self::At(end) => Some(end),
        }
    }

    /// So many minutes later, on the whole minute that is shown; where nobody said, beginning with
    /// the end of a class of this length begun now.
    pub(super) fn moved(self, now: Wall, total: Span, minutes: i64) -> Self {
        let end = self.wall(now).unwrap_or_else(|| now + delta(total));
        let over = i64::from(end.second()) * 1000 + i64::from(end.timestamp_subsec_millis());
        let on_minute = wall::to_millis(end) - TimeDelta::milliseconds(over);
        Self::At(on_minute + TimeDelta::minutes(minutes))
    }
}

/// The longest slot that can be given in minutes: the longest class.
const MOST_MINUTES: i64 = 12 * 60;

/// The hour and minute that was typed, the time nearest to now; or so many minutes from now.
pub(super) fn hour(text: &str, now: Wall) -> Option<Wall> {
    if let Ok(minutes @ 1..=MOST_MINUTES) = text.trim().parse::<i64>() {
        return Some(now + TimeDelta::minutes(minutes));
    }
    let hour = NaiveTime::parse_from_str(text.trim(), "%H:%M").ok()?;
    nearest(hour, now)
}

/// The time nearest to now at which the wall clock shows this hour: a slot that ended a minute ago
/// is over, it does not end tomorrow.
pub(super) fn nearest(hour: NaiveTime, now: Wall) -> Option<Wall> {
    let today = now.date_naive().and_time(hour);
    let today = today.and_local_timezone(now.timezone()).single()?;
    let days = [
        today - TimeDelta::days(1),
        today,
        today + TimeDelta::days(1),
    ];
    days.into_iter().min_by_key(|end| (*end - now).abs())
}

/// How a class that ends then stands against the slot.
pub(super) fn stands(slot: Wall, ends: Wall) -> SlotView {
    let secs = (ends - slot).num_seconds();
    let span = Span::from_secs(secs.unsigned_abs());
    if secs > 0 {
        SlotView::Over(span)
    } else {
        SlotView::InHand(span)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Wall {
        let text = format!("2026-03-04T{text}+01:00");
        chrono::DateTime::parse_from_rfc3339(&text).expect("a date")
    }

    #[test]
    fn the_arrows_set_whole_minutes_from_what_is_shown() {
        let (now, total) = (at("18:00:41.700"), Span::from_secs(45 * 60));
        let from_begin = SlotEnd::FromBegin(Span::from_secs(30 * 60));
        for (slot, minutes, end) in [
            (SlotEnd::Open, 1, "18:46:00"),
            (SlotEnd::Open, -5, "18:40:00"),
            (from_begin, 5, "18:35:00"),
            (SlotEnd::At(at("18:45:00")), -1, "18:44:00"),
            (SlotEnd::At(at("18:45:59.999")), 1, "18:46:00"),
        ] {
            let moved = slot.moved(now, total, minutes);
            assert_eq!(moved, SlotEnd::At(at(end)), "{slot:?} {minutes}");
        }
    }

    #[test]
    fn a_slot_from_the_beginning_moves_with_it_and_an_hour_does_not() {
        let begin = at("18:04:00");
        let half_hour = SlotEnd::FromBegin(Span::from_secs(1800));
        assert_eq!(SlotEnd::Open.wall(begin), None);
        assert_eq!(half_hour.wall(begin), Some(at("18:34:00")));
        let fixed = SlotEnd::At(at("18:30:00"));
        assert_eq!(fixed.wall(begin), Some(at("18:30:00")));
    }

    #[test]
    fn an_hour_is_the_one_nearest_to_now() {
        let now = at("18:00:00");
        let tomorrow = |text| at(text) + TimeDelta::days(1);
        for (text, meant) in [
            ("18:45", Some(at("18:45:00"))),
            (" 8:05", Some(at("08:05:00"))),
            (" 5:55", Some(tomorrow("05:55:00"))),
            ("17:58", Some(at("17:58:00"))),
            ("18:00", Some(at("18:00:00"))),
            ("0:00", Some(tomorrow("00:00:00"))),
            ("24:00", None),
            ("1845", None),
            ("", None),
        ] {
            assert_eq!(hour(text, now), meant, "{text}");
        }
    }

    #[test]
    fn the_slot_is_in_hand_until_its_end_and_over_after_it() {
        let (ends, secs) = (at("18:45:00"), Span::from_secs);
        assert_eq!(stands(at("18:44:00"), ends), SlotView::Over(secs(60)));
        assert_eq!(stands(at("18:46:00"), ends), SlotView::InHand(secs(60)));
        assert_eq!(stands(ends, ends), SlotView::InHand(Span::ZERO));
    }
}
