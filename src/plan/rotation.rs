//! Who does what where several moves are done at once: which group is at which station.
//!
//! Groups are counted from 0 in the order of their names, stations from 0 in the order in which
//! people stand. Every group begins at its own station and goes one on at each swap, so that after
//! as many works as there are stations all have done all. How long anything takes is not known here.

use std::sync::Arc;

use super::nth::Nth;
use crate::time::Span;

/// One work of a place at which several moves are done at once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rotation {
    /// Which of the works until everybody has been everywhere; of one where nobody goes on.
    pub turn: Nth,
    /// How many stations there are.
    pub stations: usize,
    /// Whether people go on at a swap.
    pub goes_round: bool,
    /// From the end of a work to the start of the next, as planned.
    pub swap: Span,
    /// What the groups are called; empty where they have no names.
    pub groups: Arc<[String]>,
    /// How many people are expected, if that is known.
    pub people: Option<u32>,
}

impl Rotation {
    /// How many groups there are: those with a name, else one at each station.
    #[must_use]
    pub fn group_count(&self) -> usize {
        match self.groups.len() {
            0 => self.stations,
            names => names,
        }
    }

    /// Where a group is.
    #[must_use]
    pub fn station_of(&self, group: usize) -> usize {
        let gone_on = self.turn.nth.saturating_sub(1);
        (group + gone_on) % self.stations.max(1)
    }

    /// Where a group is next, if it goes on.
    #[must_use]
    pub fn next_station_of(&self, group: usize) -> Option<usize> {
        let next = (self.station_of(group) + 1) % self.stations.max(1);
        (!self.turn.is_last()).then_some(next)
    }

    /// The groups at a station, in order; none where it stands free.
    pub fn groups_at(&self, station: usize) -> impl Iterator<Item = usize> + '_ {
        (0..self.group_count()).filter(move |&group| self.station_of(group) == station)
    }

    /// What a group is called; nothing where groups have no names.
    #[must_use]
    pub fn name_of(&self, group: usize) -> Option<&str> {
        self.groups.get(group).map(String::as_str)
    }

    /// Whether people walk from station to station; two change over where they are.
    #[must_use]
    pub const fn is_walked(&self) -> bool {
        self.goes_round && self.stations > 2
    }

    /// How many people there are at a station, the first groups being one larger where the number
    /// does not come out even; nothing where it is not known how many come.
    #[must_use]
    pub fn people_at(&self, station: usize) -> Option<u32> {
        let people = self.people?;
        Some(
            (self
                .groups_at(station)
                .map(|group| self.size_of(group, people)))
            .sum(),
        )
    }

    /// How many people a group has.
    fn size_of(&self, group: usize, people: u32) -> u32 {
        let groups = u32::try_from(self.group_count().max(1)).unwrap_or(u32::MAX);
        let extra = u32::try_from(group).is_ok_and(|group| group < people % groups);
        people / groups + u32::from(extra)
    }

    /// How many people are at the fullest station at any time: so many of a thing it needs.
    #[must_use]
    pub fn most_at_once(&self) -> Option<u32> {
        (0..self.stations)
            .filter_map(|station| self.people_at(station))
            .max()
    }

    /// The same place in the work with this number.
    #[must_use]
    pub fn at_turn(&self, nth: usize) -> Self {
        Self {
            turn: Nth::new(nth, self.turn.of),
            ..self.clone()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rotation(stations: usize, names: usize, people: Option<u32>) -> Rotation {
        Rotation {
            turn: Nth::new(1, stations),
            stations,
            goes_round: true,
            swap: Span::ZERO,
            groups: (0..names).map(|n| format!("group {n}")).collect(),
            people,
        }
    }

    /// Over all works each group is at each station exactly once, and never at two at a time, with
    /// fewer groups than stations, as many, and more (common practice, no source: with n stations
    /// and n works a pass, everybody has done each station once).
    #[test]
    fn every_group_is_at_every_station_exactly_once() {
        for stations in 2..=12 {
            for names in 0..=20 {
                let first = rotation(stations, names, None);
                let groups = first.group_count();
                let mut been = vec![vec![0; stations]; groups];
                for turn in 1..=stations {
                    let now = first.at_turn(turn);
                    let mut places = vec![0; groups];
                    for station in 0..stations {
                        for group in now.groups_at(station) {
                            *been[group].get_mut(station).expect("a station") += 1;
                            places[group] += 1;
                            assert_eq!(now.station_of(group), station);
                        }
                    }
                    assert!(places.iter().all(|&at_once| at_once == 1));
                    for group in 0..groups {
                        let next = (turn < stations).then(|| first.at_turn(turn + 1));
                        let next = next.map(|next| next.station_of(group));
                        assert_eq!(now.next_station_of(group), next);
                    }
                }
                assert!(been.iter().flatten().all(|&times| times == 1));
            }
        }
    }

    #[test]
    fn everybody_is_somewhere_and_groups_differ_by_one_at_the_most() {
        for (people, stations, names, at) in [
            (12, 6, 0, vec![2, 2, 2, 2, 2, 2]),
            (10, 4, 0, vec![3, 3, 2, 2]),
            (10, 4, 2, vec![5, 5, 0, 0]),
            (9, 3, 6, vec![3, 3, 3]),
            (3, 4, 0, vec![1, 1, 1, 0]),
        ] {
            let rotation = rotation(stations, names, Some(people));
            let found: Vec<u32> = (0..stations)
                .filter_map(|n| rotation.people_at(n))
                .collect();
            assert_eq!(found, at, "{people} people");
            assert_eq!(rotation.most_at_once(), at.iter().copied().max());
        }
    }
}
