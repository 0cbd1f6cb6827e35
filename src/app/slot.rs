//! The end of the slot as it is set before the class: from the session, by the arrows, by an hour.
//!
//! It refuses to read a clock: what the wall shows is an argument.

use chrono::offset::MappedLocalTime;
use chrono::{DateTime, NaiveDateTime, NaiveTime, TimeDelta, TimeZone, Timelike};

use super::clock::Wall;
use super::hours::{Reading, SlotEnds};
use crate::live::SlotView;
use crate::record::wall;
use crate::time::{Moment, Span};

/// How long the room is ours, as the page has it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum SlotEnd {
    /// Nobody said.
    Open,
    /// So long from when the class begins.
    FromBegin(Span),
    /// So long from when that was said: until this moment, sleep counted in.
    After(Moment),
    /// Until this moment of the wall clock.
    At(Wall),
}

impl SlotEnd {
    /// So long from now.
    pub(super) fn after(slot: Span, now: Reading) -> Self {
        Self::After(now.both.now + now.asleep + slot)
    }

    /// The end of the slot of a class that begins now.
    pub(super) fn of_class(self, begin: Reading) -> Option<SlotEnds> {
        match self {
            Self::Open => None,
            Self::FromBegin(slot) => Some(SlotEnds::After(begin.both.now + slot)),
            Self::After(end) => Some(SlotEnds::After(end.before(begin.asleep))),
            Self::At(end) => Some(SlotEnds::Hour(end)),
        }
    }

    /// The same by the clock on the wall.
    pub(super) fn wall(self, begin: Reading) -> Option<Wall> {
        Some(match self.of_class(begin)? {
            SlotEnds::Hour(end) => end,
            SlotEnds::After(end) => begin.both.wall_at(end),
        })
    }

    /// So many minutes later, on the whole minute that is shown; where nobody said, beginning with
    /// the end of a class of this length begun now.
    pub(super) fn moved(self, now: Reading, total: Span, minutes: i64) -> Self {
        let end = self.wall(now).unwrap_or(now.both.wall + wall::delta(total));
        let over = i64::from(end.second()) * 1000 + i64::from(end.timestamp_subsec_millis());
        let on_minute = wall::to_millis(end) - TimeDelta::milliseconds(over);
        Self::At(on_minute + TimeDelta::minutes(minutes))
    }
}

/// The longest slot that can be given in minutes: the longest class.
const MOST_MINUTES: u64 = 12 * 60;

/// What was typed: an hour and minute, or so many minutes from now. With a word about an hour that
/// is there twice.
///
/// # Errors
/// It is neither, or there is no such hour; in words for the page.
pub(super) fn typed<Z: TimeZone>(
    text: &str,
    now: Reading,
    zone: &Z,
) -> Result<(SlotEnd, String), String> {
    if let Ok(minutes @ 1..=MOST_MINUTES) = text.trim().parse::<u64>() {
        let slot = Span::from_secs(60 * minutes);
        return Ok((SlotEnd::after(slot, now), String::new()));
    }
    let hour = NaiveTime::parse_from_str(text.trim(), "%H:%M")
        .map_err(|_| "an hour such as 18:45, or minutes from now".to_owned())?;
    let (end, word) = nearest(hour, &now.both.wall.with_timezone(zone))?;
    Ok((SlotEnd::At(end), word))
}

/// When the clock shows an hour, and whether it does so twice; or the hour that it passes over.
type Shown = Result<(Wall, bool), NaiveDateTime>;

/// The time nearest to now at which the clock on the wall shows this hour: a slot that ended a minute
/// ago is over, it does not end tomorrow. Each day has its own rules; an hour that a night has twice
/// is told.
///
/// # Errors
/// The clocks pass over that hour in the night that is meant.
pub(super) fn nearest<Z: TimeZone>(
    hour: NaiveTime,
    now: &DateTime<Z>,
) -> Result<(Wall, String), String> {
    let (zone, today) = (now.timezone(), now.date_naive());
    let mut found: Vec<(TimeDelta, Shown)> = Vec::new();
    for days in [-1, 0, 1] {
        let shown = (today + TimeDelta::days(days)).and_time(hour);
        let mut take = |end: DateTime<Z>, twice| {
            let end = end.fixed_offset();
            found.push((end.signed_duration_since(now), Ok((end, twice))));
        };
        match zone.from_local_datetime(&shown) {
            MappedLocalTime::Single(end) => take(end, false),
            MappedLocalTime::Ambiguous(first, second) => {
                take(if first < *now { second } else { first }, true);
            }
            MappedLocalTime::None => found.push((shown - now.naive_local(), Err(shown))),
        }
    }
    match found.into_iter().min_by_key(|(ahead, _)| ahead.abs()) {
        Some((_, Ok((end, false)))) => Ok((end, String::new())),
        Some((ahead, Ok((end, true)))) => Ok((end, twice(end, ahead))),
        Some((_, Err(shown))) => Err(passed_over(shown, &zone)),
        None => Err("no such hour".into()),
    }
}

fn twice(end: Wall, ahead: TimeDelta) -> String {
    let minutes = ahead.num_seconds().abs() / 60;
    let when = if ahead < TimeDelta::zero() {
        format!("{minutes} min ago")
    } else {
        format!("in {minutes} min")
    };
    let shown = end.format("%H:%M");
    format!("{shown} comes twice tonight; meant is {when}. For the other type minutes from now")
}

/// Between which hours the clocks pass over this one.
fn passed_over<Z: TimeZone>(shown: NaiveDateTime, zone: &Z) -> String {
    let is_there = |at: &NaiveDateTime| zone.offset_from_local_datetime(at).earliest().is_some();
    let minutes = |step: i64| (1..=24 * 60).map(move |n| shown + TimeDelta::minutes(step * n));
    let last = minutes(-1).find(is_there).unwrap_or(shown);
    let from = last + TimeDelta::minutes(1);
    let to = minutes(1).find(is_there).unwrap_or(shown);
    let text = |at: NaiveDateTime| at.format("%H:%M").to_string();
    let (shown, from, to) = (text(shown), text(from), text(to));
    format!("there is no {shown} then: the clocks go from {from} to {to}")
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
#[path = "slot_tests.rs"]
mod tests;
