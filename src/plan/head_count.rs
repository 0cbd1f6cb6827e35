//! People against stations and things: how many are at each, what must be set out, what does not
//! come out even. It is told before class, when chairs can still be moved.

use super::interval::{Interval, Kind};
use super::rotation::Rotation;
use super::timeline::{Placed, Timeline};
use super::transition::is_of_the_room;
use crate::time::Span;

/// What is to be known of people and things before class, a line for each block in which several
/// moves are done at once.
#[must_use]
pub fn head_count(timeline: &Timeline) -> Vec<String> {
    let mut seen: Vec<usize> = Vec::new();
    let mut out = Vec::new();
    for interval in timeline.intervals() {
        let (Some(rotation), Some(place)) = (interval.together(), interval.place.as_ref()) else {
            continue;
        };
        if seen.contains(&place.block) {
            continue;
        }
        seen.push(place.block);
        let mut parts = vec![shared(rotation)];
        parts.extend(uneven(rotation));
        parts.extend(set_out(interval, rotation));
        out.push((place.title.as_deref(), parts.join("; ")));
    }
    // Of one block alone everybody knows which is meant, and the line stays short.
    let several = out.len() > 1;
    let line = |(title, told): (Option<&str>, String)| match title.filter(|_| several) {
        Some(title) => format!("{title}: {told}"),
        None => told,
    };
    out.into_iter().map(line).collect()
}

/// How long people stand before an interval, and can be told what comes.
#[must_use]
pub fn pause_before(intervals: &[Placed], n: usize) -> Span {
    let before = intervals[..n].iter().rev();
    let pauses = before.take_while(|pause| !pause.kind.is_moving());
    pauses
        .filter(|pause| pause.kind != Kind::Work)
        .map(Placed::span)
        .sum()
}

/// How many people there are at each.
fn shared(rotation: &Rotation) -> String {
    let what = match (rotation.goes_round, rotation.is_walked()) {
        (true, true) => "stations",
        (true, false) => "at once",
        (false, _) => "to choose from",
    };
    let stations = format!("{} {what}", rotation.stations);
    let Some(people) = rotation.people.filter(|_| rotation.goes_round) else {
        return stations;
    };
    let at: Vec<u32> = (0..rotation.stations)
        .filter_map(|n| rotation.people_at(n))
        .collect();
    let taken = at.iter().filter(|&&people| people > 0);
    let (least, most) = (taken.clone().min().copied(), taken.max().copied());
    match (least, most) {
        (Some(least), Some(most)) if least == most => {
            format!("{stations}, {people} people: {most} at each")
        }
        (Some(least), Some(most)) => {
            format!("{stations}, {people} people: {least} to {most} at each")
        }
        _ => stations,
    }
}

/// What does not come out even between groups, stations and people.
fn uneven(rotation: &Rotation) -> Vec<String> {
    let mut out = Vec::new();
    if !rotation.goes_round {
        return out;
    }
    let (groups, stations) = (rotation.group_count(), rotation.stations);
    if groups < stations {
        out.push(match stations - groups {
            1 => "one stands free each time".to_owned(),
            free => format!("{free} stand free each time"),
        });
    }
    if groups > stations {
        let first: Vec<String> = (rotation.groups_at(0))
            .filter_map(|group| rotation.name_of(group).map(ToOwned::to_owned))
            .collect();
        out.push(format!("{} begin together", first.join(" and ")));
    }
    let empty = |people: u32| groups.saturating_sub(people as usize);
    if let Some(empty @ 1..) = rotation.people.map(empty) {
        out.push(format!("nobody is left for {empty} of {groups} groups"));
        return out;
    }
    let odd = rotation
        .people
        .is_some_and(|people| !people.is_multiple_of(2));
    if odd && stations == 2 && rotation.groups.is_empty() {
        out.push("one has no partner: make one three, or join in".to_owned());
    }
    out
}

/// So many of each thing, at its station: as many as are there at one time.
fn set_out(interval: &Interval, rotation: &Rotation) -> Option<String> {
    let most = rotation.most_at_once();
    let mut things: Vec<(&str, u32)> = Vec::new();
    for turn in interval.moves.iter() {
        for thing in turn
            .equipment()
            .into_iter()
            .filter(|thing| !is_of_the_room(thing))
        {
            let needed = most.unwrap_or(1);
            match things.iter_mut().find(|(known, _)| *known == thing) {
                Some((_, count)) => *count += needed,
                None => things.push((thing, needed)),
            }
        }
    }
    if things.is_empty() {
        return None;
    }
    let counted = things.iter().map(|(thing, count)| match (most, count) {
        (None, 1) => format!("{thing} for each"),
        (None, count) => format!("{thing} for each at {count} of them"),
        (Some(_), count) => format!("{count} {thing}"),
    });
    let counted: Vec<String> = counted.collect();
    Some(format!("set out {}", counted.join(", ")))
}
