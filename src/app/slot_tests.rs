//! Ends of slots as they are typed and moved, on days on which the clocks are changed as well.

use chrono::Utc;
use chrono_tz::Tz;

use super::super::clock::Both;
use super::*;

fn at(text: &str) -> Wall {
    let text = format!("2026-03-04T{text}+01:00");
    DateTime::parse_from_rfc3339(&text).expect("a date")
}

fn reading(wall: Wall) -> Reading {
    let now = Moment::from_millis(1_000_000_000);
    Reading {
        both: Both { now, wall },
        stood: Span::ZERO,
        asleep: Span::from_secs(5_000),
    }
}

#[test]
fn the_arrows_set_whole_minutes_from_what_is_shown() {
    let (now, total) = (reading(at("18:00:41.700")), Span::from_secs(45 * 60));
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

/// A length said before the class sleeps with the laptop, an hour stays where it is.
#[test]
fn each_kind_of_end_goes_its_own_way_until_the_class_begins() {
    let said = reading(at("18:04:00"));
    let half_hour = Span::from_secs(1800);
    let mut later = said;
    later.both.now = said.both.now + Span::from_secs(60);
    later.asleep += Span::from_secs(120);
    later.both.wall = at("18:07:00");
    for (slot, now, end) in [
        (SlotEnd::Open, later, None),
        (SlotEnd::FromBegin(half_hour), said, Some("18:34:00")),
        (SlotEnd::FromBegin(half_hour), later, Some("18:37:00")),
        (SlotEnd::after(half_hour, said), said, Some("18:34:00")),
        (SlotEnd::after(half_hour, said), later, Some("18:34:00")),
        (SlotEnd::At(at("18:30:00")), later, Some("18:30:00")),
    ] {
        assert_eq!(slot.wall(now), end.map(at), "{slot:?}");
    }
}

#[test]
fn an_hour_is_the_one_nearest_to_now() {
    let now = reading(at("18:00:00"));
    let zone = *at("18:00:00").offset();
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
        ("0", None),
        ("", None),
    ] {
        let end = typed(text, now, &zone).ok();
        let meant = meant.map(|end| (SlotEnd::At(end), String::new()));
        assert_eq!(end, meant, "{text}");
    }
    let (in_half_an_hour, word) = typed("30", now, &zone).expect("minutes");
    assert_eq!(in_half_an_hour.wall(now), Some(at("18:30:00")));
    assert!(word.is_empty());
}

/// What a night of change says of an hour: the time zone database (chrono-tz is the reader). Cairo
/// goes on by an hour at midnight, Berlin in spring from 2 to 3 and in autumn back, Lord Howe by half
/// an hour; Sydney, Apia, which once left a day out, and zones that change nothing besides.
const NIGHTS: &[(&str, &str, &str, Result<&str, &str>)] = &[
    (
        "Africa/Cairo",
        "2026-04-23T23:30:00+02:00",
        "01:15",
        Ok("2026-04-24T01:15:00+03:00"),
    ),
    (
        "Africa/Cairo",
        "2026-04-23T23:30:00+02:00",
        "23:50",
        Ok("2026-04-23T23:50:00+02:00"),
    ),
    (
        "Africa/Cairo",
        "2026-04-23T23:30:00+02:00",
        "00:20",
        Err("there is no 00:20 then: the clocks go from 00:00 to 01:00"),
    ),
    (
        "Africa/Cairo",
        "2026-04-24T01:10:00+03:00",
        "23:50",
        Ok("2026-04-23T23:50:00+02:00"),
    ),
    (
        "Europe/Berlin",
        "2026-03-29T01:30:00+01:00",
        "03:15",
        Ok("2026-03-29T03:15:00+02:00"),
    ),
    (
        "Europe/Berlin",
        "2026-03-28T20:00:00+01:00",
        "03:15",
        Ok("2026-03-29T03:15:00+02:00"),
    ),
    (
        "Europe/Berlin",
        "2026-03-29T01:30:00+01:00",
        "02:30",
        Err("there is no 02:30 then: the clocks go from 02:00 to 03:00"),
    ),
    (
        "Europe/Berlin",
        "2026-10-25T01:50:00+02:00",
        "03:10",
        Ok("2026-10-25T03:10:00+01:00"),
    ),
    (
        "Europe/Berlin",
        "2026-10-25T01:50:00+02:00",
        "02:30",
        Ok("2026-10-25T02:30:00+02:00"),
    ),
    (
        "Europe/Berlin",
        "2026-10-25T02:45:00+02:00",
        "02:50",
        Ok("2026-10-25T02:50:00+02:00"),
    ),
    (
        "Europe/Berlin",
        "2026-10-25T02:10:00+01:00",
        "02:50",
        Ok("2026-10-25T02:50:00+01:00"),
    ),
    (
        "Europe/Berlin",
        "2026-10-25T02:10:00+01:00",
        "02:05",
        Ok("2026-10-25T02:05:00+01:00"),
    ),
    (
        "Australia/Lord_Howe",
        "2026-04-05T01:00:00+11:00",
        "02:15",
        Ok("2026-04-05T02:15:00+10:30"),
    ),
    (
        "Australia/Lord_Howe",
        "2026-10-04T01:30:00+10:30",
        "02:10",
        Err("there is no 02:10 then: the clocks go from 02:00 to 02:30"),
    ),
    (
        "Australia/Lord_Howe",
        "2026-10-04T01:30:00+10:30",
        "02:45",
        Ok("2026-10-04T02:45:00+11:00"),
    ),
    (
        "Asia/Kathmandu",
        "2026-03-29T01:30:00+05:45",
        "02:30",
        Ok("2026-03-29T02:30:00+05:45"),
    ),
];

#[test]
fn an_hour_is_resolved_by_the_rules_of_its_own_day() {
    for (zone, now, hour, meant) in NIGHTS {
        let tz: Tz = zone.parse().expect(zone);
        let now = DateTime::parse_from_rfc3339(now).expect("a date");
        let at = NaiveTime::parse_from_str(hour, "%H:%M").expect("an hour");
        let found = nearest(at, &now.with_timezone(&tz));
        let found = found.map(|(end, _)| end.to_rfc3339());
        let meant = meant.map(str::to_owned).map_err(str::to_owned);
        assert_eq!(found, meant, "{zone} at {now}: {hour}");
    }
}

#[test]
fn an_hour_that_a_night_has_twice_is_named() {
    let berlin: Tz = "Europe/Berlin".parse().expect("a zone");
    let word = |now: &str, hour: &str| {
        let now = DateTime::parse_from_rfc3339(now).expect("a date");
        typed(hour, reading(now), &berlin).expect("an hour").1
    };
    let twice = word("2026-10-25T01:50:00+02:00", "02:30");
    assert!(
        twice.starts_with("02:30 comes twice tonight; meant is in 40 min"),
        "{twice}"
    );
    let late = word("2026-10-25T02:31:00+02:00", "02:30");
    assert!(late.contains("meant is in 59 min"), "{late}");
    let past = word("2026-10-25T02:50:00+01:00", "02:30");
    assert!(past.contains("meant is 20 min ago"), "{past}");
    assert_eq!(word("2026-10-25T01:50:00+02:00", "03:00"), "");
}

/// Quarter by quarter of nights of change: either the clock shows what was typed at what
/// was found and no time that shows it is nearer, or it never shows it in the night that is meant.
#[test]
fn what_was_found_shows_what_was_typed() {
    let nights = [
        ("Africa/Cairo", "2026-04-23T20:00:00Z"),
        ("Africa/Cairo", "2026-10-29T18:00:00Z"),
        ("Europe/Berlin", "2026-03-28T22:00:00Z"),
        ("Europe/Berlin", "2026-10-24T22:00:00Z"),
        ("Australia/Lord_Howe", "2026-04-04T12:00:00Z"),
        ("Australia/Lord_Howe", "2026-10-03T12:00:00Z"),
        ("America/New_York", "2026-03-08T04:00:00Z"),
        ("Europe/London", "2026-10-24T23:30:00Z"),
    ];
    for (zone, from) in nights {
        let tz: Tz = zone.parse().expect(zone);
        let from = DateTime::parse_from_rfc3339(from).expect("a date");
        for now in (0..7).map(|n| (from + TimeDelta::minutes(97 * n)).with_timezone(&tz)) {
            for quarter in 0..24 * 4 {
                let hour = NaiveTime::MIN + TimeDelta::minutes(15 * quarter);
                let shows = |at: DateTime<Utc>| at.with_timezone(&tz).time() == hour;
                let start = now.with_timezone(&Utc);
                let start = start - TimeDelta::seconds(start.timestamp().rem_euclid(60));
                let around = (0..=14 * 60).map(TimeDelta::minutes);
                let near = around
                    .flat_map(|by| [start + by, start - by])
                    .filter(|at| shows(*at))
                    .map(|at| (at - now.with_timezone(&Utc)).abs())
                    .min();
                match nearest(hour, &now) {
                    Ok((end, word)) => {
                        assert!(shows(end.with_timezone(&Utc)), "{zone} {now} {hour}: {end}");
                        if !word.is_empty() {
                            continue;
                        }
                        let away = end.signed_duration_since(now).abs();
                        let near = near.expect("shown");
                        assert!(away <= near, "{zone} {now} {hour}: {end}");
                    }
                    Err(word) => {
                        assert!(word.starts_with("there is no"), "{word}");
                        let near = near.map_or(12 * 60, |near| near.num_minutes());
                        assert!(near > 10 * 60, "{zone} {now} {hour}: {word}, {near}");
                    }
                }
            }
        }
    }
}

#[test]
fn the_slot_is_in_hand_until_its_end_and_over_after_it() {
    let (ends, secs) = (at("18:45:00"), Span::from_secs);
    assert_eq!(stands(at("18:44:00"), ends), SlotView::Over(secs(60)));
    assert_eq!(stands(at("18:46:00"), ends), SlotView::InHand(secs(60)));
    assert_eq!(stands(ends, ends), SlotView::InHand(Span::ZERO));
}
