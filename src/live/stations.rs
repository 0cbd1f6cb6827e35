//! How several moves at once look: what they are called together, and who is where.

use super::notices;
use super::view::{StationView, TogetherView};
use crate::plan::{Interval, PositionChange, Rotation, by_station};
use crate::session::Use;

/// What several moves are called together; where they are to come, what people do to get there.
pub(super) fn title(of: &Interval, rotation: &Rotation, comes: bool) -> String {
    let is_swap = comes && of.continues_rotation();
    match (is_swap, rotation.is_walked()) {
        (true, true) => "Move on one".to_owned(),
        (true, false) => "Swap".to_owned(),
        (false, true) if comes => "To your stations".to_owned(),
        (false, true) => format!("{} stations", rotation.stations),
        (false, false) => notices::several(of),
    }
}

/// Who is where in an interval, and how each gets there from what was done before.
pub(super) fn view(
    before: Option<&Interval>,
    of: &Interval,
    is_next: bool,
) -> Option<TogetherView> {
    let rotation = of.together()?;
    let ways = by_station(before, of);
    let change = |station: usize| {
        let way = ways.iter().find(|(at, _)| *at == station);
        way.filter(|_| is_next)
            .map_or(PositionChange::Same, |(_, change)| *change)
    };
    let stations = of.moves.iter().enumerate().map(|(station, turn)| {
        let names = rotation
            .groups_at(station)
            .filter_map(|group| rotation.name_of(group));
        StationView {
            groups: names.map(ToOwned::to_owned).collect(),
            people: rotation.people_at(station).filter(|_| rotation.goes_round),
            is_free: rotation.groups_at(station).next().is_none(),
            name: named(turn, &turn.of.name),
            call: named(turn, &turn.of.call),
            change: change(station),
        }
    });
    Some(TogetherView {
        stations: stations.collect(),
        turn: rotation.turn,
        is_next,
        is_swap: of.continues_rotation(),
        is_walked: rotation.is_walked(),
    })
}

/// A move with how many and in which version.
fn named(turn: &Use, name: &str) -> String {
    let counted = match turn.reps {
        Some(reps) => format!("{reps} {name}"),
        None => name.to_owned(),
    };
    match turn.option() {
        Some(option) => format!("{counted}, {}", option.call),
        None => counted,
    }
}
