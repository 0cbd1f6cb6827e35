//! What is said where several moves are done at once: all stations before the start in the order in
//! which people stand, then where to go at each swap, and cues and options station by station.
//!
//! Each work begins with another station, so that after a round every station has had as much as
//! every other, however much of it found room. When it is said is not known here.

use std::sync::Arc;

use super::occurrence::Occurrence;
use super::past::in_turn;
use super::phrases::{self, Words, counted_name, list, spoken};
use super::prompt::PromptKind;
use super::topics::{Importance, Topic};
use crate::plan::interval::Interval;
use crate::plan::rotation::Rotation;
use crate::plan::speech::{number, saying};
use crate::plan::transition::{PositionChange, by_station};
use crate::session::{Cueing, Load, Use};
use crate::time::Span;

/// Each station, as it is explained before the start; nothing where all were explained before.
pub(super) fn explained(next: &Occurrence) -> Vec<Topic> {
    if next.is_explained {
        return Vec::new();
    }
    each(next.interval)
}

/// Explaining several moves for longer than this is too much at once: people stand and listen, and go
/// cold (common practice, no source).
pub const LONG_TO_EXPLAIN: Span = Span::from_secs(90);

/// How long it takes to explain all stations of an interval; of one move nothing.
#[must_use]
pub fn explaining(interval: &Interval, cueing: &Cueing) -> Span {
    let topics = each(interval);
    let says = topics
        .iter()
        .map(|topic| saying(&topic.say, cueing.words_per_minute));
    says.sum()
}

fn each(interval: &Interval) -> Vec<Topic> {
    let Some(rotation) = interval.together() else {
        return Vec::new();
    };
    let stations = interval.moves.iter().enumerate();
    let topic = |(station, used): (usize, &Arc<Use>)| {
        let short = format!("{}: {}", place(rotation, station), named(used));
        let more = [phrases::setup(used), used.note.as_deref().map(spoken)];
        let more: Vec<String> = more.into_iter().flatten().collect();
        let full = if more.is_empty() {
            short.clone()
        } else {
            format!("{short}, {}", more.join(", "))
        };
        Topic {
            short: (short != full).then_some(short),
            ..Topic::new(PromptKind::Setup, Importance::Stations, full)
        }
    };
    stations.map(topic).collect()
}

/// A station as it is spoken of: by its number, or by who is there first.
fn place(rotation: &Rotation, station: usize) -> String {
    let first = rotation.at_turn(1);
    let names: Vec<&str> = (first.groups_at(station))
        .filter_map(|group| first.name_of(group))
        .collect();
    let numbered = match (rotation.goes_round, rotation.stations) {
        (true, 2) if station == 0 => "one of you".to_owned(),
        (true, 2) => "the other".to_owned(),
        (true, _) => format!("station {}", number(station as u64 + 1)),
        (false, _) => format!("choice {}", number(station as u64 + 1)),
    };
    match (&names[..], rotation.is_walked()) {
        ([], _) => numbered,
        (names, true) => format!("{numbered}, {} first", list(names)),
        (names, false) => list(names),
    }
}

/// A move with how many and in which version.
fn named(used: &Use) -> String {
    match used.option() {
        Some(option) => format!("{}, {}", counted_name(used), option.call),
        None => counted_name(used),
    }
}

/// Where to go: to the stations, on to the next, or the other half's move.
pub(super) fn preview(next: &Occurrence, words: Words) -> String {
    let Some(rotation) = next.interval.together() else {
        return String::new();
    };
    let mut said = match words {
        Words::Full => go(next, rotation),
        Words::Short => go_in_short(next, rotation),
    };
    if words == Words::Full && !next.is_swap() {
        for change in changes(next, rotation) {
            said = said + ", " + &change;
        }
    }
    if !next.way.put_away.is_empty() {
        said = said + ", put away the " + &list(&next.way.put_away);
    }
    if !next.way.fetch.is_empty() {
        said = said + ", get the " + &list(&next.way.fetch);
    }
    said
}

fn go(next: &Occurrence, rotation: &Rotation) -> String {
    let short = go_in_short(next, rotation);
    let shown = !rotation.is_walked() && (next.is_swap() || !rotation.groups.is_empty());
    match who(next.interval, rotation).filter(|_| shown) {
        Some(who) if next.is_swap() => format!("{short}: {who}"),
        Some(who) => who,
        None => short,
    }
}

fn go_in_short(next: &Occurrence, rotation: &Rotation) -> String {
    let is_last = rotation.turn.is_last();
    let short = match (next.is_swap(), rotation.is_walked()) {
        (true, true) if is_last => "move on one, the last station",
        (true, true) => "move on one",
        (true, false) => "swap",
        (false, true) => "to your stations",
        (false, false) if rotation.goes_round => "both at once, as told",
        (false, false) => "each their own, as told",
    };
    short.to_owned()
}

/// Who does what, where two or a few groups have names.
fn who(interval: &Interval, rotation: &Rotation) -> Option<String> {
    let groups = (0..rotation.groups.len()).map(|group| {
        let used = interval.moves.get(rotation.station_of(group))?;
        Some(format!(
            "{} {}",
            rotation.name_of(group)?,
            counted_name(used)
        ))
    });
    let groups: Vec<String> = groups.collect::<Option<_>>()?;
    (!groups.is_empty()).then(|| groups.join(", "))
}

/// How the body gets to the stations, where it must go anywhere: those that go down, and up.
fn changes(next: &Occurrence, rotation: &Rotation) -> Vec<String> {
    let ways = by_station(next.before, next.interval);
    let at = |body: PositionChange| {
        let stations = ways.iter().filter(move |(_, way)| *way == body);
        stations.map(|(station, _)| spoken_of(next.interval, rotation, *station))
    };
    let link = if rotation.is_walked() { "at" } else { "for" };
    let said = |words: &str, body: PositionChange| {
        let stations: Vec<String> = at(body).collect();
        let stations: Vec<&str> = stations.iter().map(String::as_str).collect();
        (!stations.is_empty()).then(|| format!("{words} {link} {}", list(&stations)))
    };
    // Where all do the same there is nobody to name.
    let all = |body: PositionChange| ways.iter().all(|(_, way)| *way == body);
    let bodies = [
        ("to the floor", PositionChange::Down),
        ("up", PositionChange::Up),
    ];
    let each = bodies.into_iter().filter_map(|(words, body)| {
        if all(body) {
            return Some(words.to_owned());
        }
        said(words, body)
    });
    each.collect()
}

/// Who goes to the floor at a swap, and who gets up: said after it, for the swap must come first.
pub(super) fn at_the_swap(next: &Occurrence) -> Option<Topic> {
    let rotation = next.interval.together().filter(|_| next.is_swap())?;
    let said = changes(next, rotation).join(", ");
    (!said.is_empty()).then(|| Topic::new(PromptKind::Setup, Importance::Brief, said))
}

fn spoken_of(interval: &Interval, rotation: &Rotation, station: usize) -> String {
    match interval.moves.get(station) {
        Some(used) if !rotation.is_walked() => used.of.call.clone(),
        _ => number(station as u64 + 1),
    }
}

/// What spares the limits of the room, station by station.
pub(super) fn limits(next: &Occurrence, limits: &[Load]) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for used in next.interval.moves.iter() {
        let alone = std::slice::from_ref(used);
        for say in phrases::limits(alone, limits, next.things) {
            let say = format!("{}, {say}", used.of.call);
            if !out.contains(&say) {
                out.push(say);
            }
        }
    }
    out
}

/// What is worth saying while they are at it: a form cue for two stations, another two in each
/// work, and the easier version of a third.
pub(super) fn during(now: &Occurrence) -> Vec<Topic> {
    let Some(rotation) = now.interval.together() else {
        return Vec::new();
    };
    let first = in_turn(rotation, 0);
    let second = in_turn(rotation, rotation.stations.div_ceil(2));
    let round = now
        .interval
        .place
        .as_ref()
        .map_or(0, |place| place.round.nth - 1);
    let cue = |station: usize, nth: usize| {
        let used = now.interval.moves.get(station)?;
        let form = used.version().form();
        let cue = form.get(nth % form.len().max(1))?;
        let say = format!("{}: {}", used.of.call, spoken(cue));
        Some(Topic::new(PromptKind::Form, Importance::Form, say))
    };
    let form = [(first, 2 * round), (second, 2 * round + 1)];
    let form = form
        .into_iter()
        .filter_map(|(station, nth)| cue(station, nth));
    let easier = now.offers.easier.first().map(|&(used, offer)| {
        let say = format!("{}, {}", used.of.call, phrases::easier(offer, Words::Short));
        Topic::new(PromptKind::Option, Importance::Option, say)
    });
    form.chain(easier).collect()
}
