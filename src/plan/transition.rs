//! From one move to the next: what the body does, what must be fetched and put away, how long that
//! takes.
//!
//! One answer for the words, the screen, the landing and every change in class, so that none of
//! them promises a change which another leaves no time for. How long the pause between really is,
//! is not known here.

use std::sync::Arc;

use super::interval::{Interval, Kind};
use super::rotation::Rotation;
use crate::session::{Cueing, Position, Use};
use crate::time::Span;

/// How the body changes its position before the next move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PositionChange {
    /// Nothing: same place.
    Same,
    /// From standing, or from a chair, to the floor.
    Down,
    /// From the floor to standing, or onto a chair.
    Up,
    /// From one floor position to another, or between standing, the wall and a chair.
    Shift,
}

/// Things to sit on: with one of them, sitting is not sitting on the floor.
const SEATS: [&str; 3] = ["chair", "stool", "bench"];

/// What stays where it was put once it was used.
const MAT: &str = "mat";

/// The count must be heard from its first beep, with a breath before it (common practice, no
/// source).
const BEFORE_COUNT: Span = Span::from_secs(2);

impl PositionChange {
    /// How long it takes. To and from the floor is `change`, all else `shift`: one rise from a
    /// chair takes 1.2 s at 20 to 29 y and 2.2 s at 80 to 85 y (a fifth of five, Bohannon 2010).
    #[must_use]
    pub const fn takes(self, cueing: &Cueing) -> Span {
        match self {
            Self::Same => Span::ZERO,
            Self::Down | Self::Up => cueing.change,
            Self::Shift => cueing.shift,
        }
    }
}

/// The way from one move, or circuit, to the one that comes next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Transition<'a> {
    /// Where the body is before; before the first move of a class everyone stands.
    pub from: Position,
    /// Where it goes.
    pub to: Position,
    /// How it gets there.
    pub change: PositionChange,
    /// What must be fetched: needed next and not in use before.
    pub fetch: Vec<&'a str>,
    /// What people hold and need no more.
    pub put_away: Vec<&'a str>,
    /// Whether people walk to a station.
    pub walks: bool,
}

impl<'a> Transition<'a> {
    /// The way from what was done before to what comes; before the first of a class nothing was.
    ///
    /// Where several moves are done at once each group has its own way, and all go by the longest:
    /// the clock waits for whoever has to get up from the floor. What a station needs lies there.
    #[must_use]
    pub fn of(before: Option<&'a Interval>, after: &'a Interval, mat_lies: bool) -> Self {
        let moves = before.map_or(&[][..], |before| &before.moves);
        let several = before.and_then(Interval::together).is_some() || after.together().is_some();
        if !several {
            return Self::between(moves, &after.moves, mat_lies);
        }
        let ways = ways(before, after).into_iter();
        let ways = ways.map(|way| Self::between(way.from, way.to, mat_lies));
        let mut longest = Self::between(&[], &[], mat_lies);
        let (mut fetch, mut put_away) = (Vec::new(), Vec::new());
        for (n, way) in ways.enumerate() {
            add_new(&mut fetch, &way.fetch);
            add_new(&mut put_away, &way.put_away);
            if n == 0 || rank(way.change) > rank(longest.change) {
                longest = way;
            }
        }
        let from_stations = before.is_some_and(is_set_out);
        if is_set_out(after) {
            fetch.clear();
        }
        let needed: Vec<&str> = after
            .moves
            .iter()
            .flat_map(|turn| turn.equipment())
            .collect();
        put_away.retain(|thing| !from_stations && !needed.contains(thing));
        Self {
            fetch,
            put_away,
            walks: is_set_out(after) && !is_same_place(before, after),
            ..longest
        }
    }

    /// The way from the moves done before to those that come; before the first of a class nothing
    /// was done.
    ///
    /// From a circuit the longest change counts, for nobody knows where in it each person stops. A
    /// mat that has been used lies where it was put, whatever was done since, and a wall comes to
    /// nobody (common practice, no source).
    #[must_use]
    pub fn between(before: &'a [Arc<Use>], after: &'a [Arc<Use>], mat_lies: bool) -> Self {
        let to = after
            .first()
            .map_or(Position::Standing, |next| next.position());
        let floor = after.first().is_some_and(|next| is_on_floor(next));
        let ways = before
            .iter()
            .map(|turn| (turn.position(), is_on_floor(turn)));
        let ways = ways.map(|(from, was_floor)| (from, change(from, was_floor, to, floor)));
        let standing = change(Position::Standing, false, to, floor);
        let longest = ways.max_by_key(|(_, change)| rank(*change));
        let (from, change) = longest.unwrap_or((Position::Standing, standing));
        Self {
            from,
            to,
            change,
            fetch: to_fetch(before, after, mat_lies),
            put_away: to_put_away(before, after),
            walks: false,
        }
    }

    /// How long the body is on its way.
    #[must_use]
    pub fn takes(&self, cueing: &Cueing) -> Span {
        let fetch = if self.fetch.is_empty() {
            Span::ZERO
        } else {
            cueing.fetch
        };
        let walk = if self.walks {
            cueing.move_on
        } else {
            Span::ZERO
        };
        self.change.takes(cueing) + fetch + walk
    }

    /// The least time between the end of a preview and the start of what it announces.
    #[must_use]
    pub fn lead(&self, cueing: &Cueing) -> Span {
        cueing.lead + self.takes(cueing)
    }
}

/// The least time between two intervals in which people move: before work the lead of the preview
/// and the way there, and never less than the count and 2 s; in a warm-up or cool-down the way
/// alone.
#[must_use]
pub fn need(cueing: &Cueing, before: Option<&Interval>, after: &Interval, mat_lies: bool) -> Span {
    let way = Transition::of(before, after, mat_lies);
    match after.kind {
        Kind::WarmUp | Kind::CoolDown => way.takes(cueing),
        _ => way.lead(cueing).max(least(cueing)),
    }
}

/// How the body of whoever goes to a station gets there: the longest way of its groups.
#[must_use]
pub fn by_station(before: Option<&Interval>, after: &Interval) -> Vec<(usize, PositionChange)> {
    let Some(rotation) = after.together() else {
        return Vec::new();
    };
    let mut out: Vec<(usize, PositionChange)> = Vec::new();
    for way in ways(before, after) {
        let station = rotation.station_of(way.group);
        let body = Transition::between(way.from, way.to, true).change;
        match out.iter_mut().find(|(at, _)| *at == station) {
            Some((_, longest)) if rank(body) > rank(*longest) => *longest = body,
            Some(_) => {}
            None => out.push((station, body)),
        }
    }
    out.sort_by_key(|(station, _)| *station);
    out
}

/// The way of one group.
struct Way<'a> {
    group: usize,
    from: &'a [Arc<Use>],
    to: &'a [Arc<Use>],
}

/// The ways of all groups.
fn ways<'a>(before: Option<&'a Interval>, after: &'a Interval) -> Vec<Way<'a>> {
    let was = before.and_then(|before| Some((before, before.together()?)));
    let from = |group: usize| match was {
        Some((before, was)) => at(before, was, group),
        None => before.map_or(&[][..], |before| &before.moves),
    };
    let to = |group: usize| match after.together() {
        Some(is) => at(after, is, group),
        None => &*after.moves,
    };
    let count = |rotation: Option<&Rotation>| rotation.map_or(1, Rotation::group_count);
    let (were, are) = (count(was.map(|(_, was)| was)), count(after.together()));
    let one = |from_group: usize, group: usize| Way {
        group,
        from: from(from_group),
        to: to(group),
    };
    if were == are {
        (0..are).map(|group| one(group, group)).collect()
    } else {
        // Nobody knows who of other groups goes where.
        let all = (0..were).flat_map(|from| (0..are).map(move |group| (from, group)));
        all.map(|(from, group)| one(from, group)).collect()
    }
}

/// What a group does in an interval.
fn at<'a>(interval: &'a Interval, rotation: &Rotation, group: usize) -> &'a [Arc<Use>] {
    let station = rotation.station_of(group);
    interval.moves.get(station..=station).unwrap_or_default()
}

/// Whether everybody is at the very station where they were.
fn is_same_place(before: Option<&Interval>, after: &Interval) -> bool {
    let turn = |of: &Interval| of.together().map(|rotation| rotation.turn);
    before.is_some_and(|before| before.is_of_rotation(after) && turn(before) == turn(after))
}

fn add_new<'a>(to: &mut Vec<&'a str>, things: &[&'a str]) {
    for thing in things {
        if !to.contains(thing) {
            to.push(thing);
        }
    }
}

/// The least time in which a start can be counted in at all.
#[must_use]
pub fn least(cueing: &Cueing) -> Span {
    cueing.count_span() + BEFORE_COUNT
}

fn change(from: Position, was_floor: bool, to: Position, floor: bool) -> PositionChange {
    match (was_floor, floor) {
        (false, true) => PositionChange::Down,
        (true, false) => PositionChange::Up,
        _ if from == to => PositionChange::Same,
        _ => PositionChange::Shift,
    }
}

const fn rank(change: PositionChange) -> u8 {
    match change {
        PositionChange::Same => 0,
        PositionChange::Shift => 1,
        PositionChange::Down | PositionChange::Up => 2,
    }
}

fn is_on_floor(turn: &Use) -> bool {
    match turn.position() {
        Position::Seated => !turn.equipment().iter().any(|thing| SEATS.contains(thing)),
        position => !position.is_upright(),
    }
}

fn to_fetch<'a>(before: &[Arc<Use>], after: &'a [Arc<Use>], mat_lies: bool) -> Vec<&'a str> {
    let used: Vec<&str> = before.iter().flat_map(|turn| turn.equipment()).collect();
    let lies = |thing| is_of_the_room(thing) || thing == MAT && mat_lies;
    let mut things = Vec::new();
    for thing in after.iter().flat_map(|turn| turn.equipment()) {
        if !lies(thing) && !used.contains(&thing) && !things.contains(&thing) {
            things.push(thing);
        }
    }
    things
}

/// What stands or lies where it is used, so that nobody holds it.
const NOT_HELD: [&str; 10] = [
    MAT, "wall", "floor", "chair", "stool", "bench", "step", "cushion", "towel", "block",
];

fn to_put_away<'a>(before: &'a [Arc<Use>], after: &[Arc<Use>]) -> Vec<&'a str> {
    let needed: Vec<&str> = after.iter().flat_map(|turn| turn.equipment()).collect();
    let mut things = Vec::new();
    for thing in before.iter().flat_map(|turn| turn.equipment()) {
        if !NOT_HELD.contains(&thing) && !needed.contains(&thing) && !things.contains(&thing) {
            things.push(thing);
        }
    }
    things
}

/// Whether a mat then lies where each person used it; of stations, only where all have one.
#[must_use]
pub fn leaves_mat(interval: &Interval) -> bool {
    let uses_mat = |turn: &Arc<Use>| turn.equipment().contains(&MAT);
    if is_set_out(interval) {
        return interval.moves.iter().all(uses_mat);
    }
    interval.moves.iter().any(uses_mat)
}

/// Whether people walk from station to station, each with its things set out before.
pub(super) fn is_set_out(interval: &Interval) -> bool {
    interval.together().is_some_and(Rotation::is_walked)
}

/// Whether a thing is where it is, and nobody can bring it.
pub(super) fn is_of_the_room(thing: &str) -> bool {
    matches!(thing, "wall" | "floor")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::{Impact, Move, Sides};

    fn turn(position: Position, equipment: &[&str]) -> Arc<Use> {
        Arc::new(Use::plain(Arc::new(Move {
            id: "a".into(),
            name: "A".into(),
            call: "a".into(),
            position,
            regions: vec![],
            muscles: vec![],
            loads: vec![],
            impact: Impact::None,
            sides: Sides::Both,
            equipment: equipment.iter().map(ToString::to_string).collect(),
            energy: None,
            setup: String::new(),
            form: vec![],
            easier: vec![],
            harder: vec![],
            ..Move::default()
        })))
    }

    fn work(moves: &[Arc<Use>]) -> Interval {
        Interval {
            id: 0,
            kind: Kind::Work,
            length: Span::from_secs(30),
            planned: Span::from_secs(30),
            part: 0,
            place: None,
            moves: moves.into(),
            say: "".into(),
            untimed: false,
            go: crate::plan::Nth::default(),
            mark: None,
        }
    }

    #[test]
    fn each_change_takes_what_the_body_needs() {
        use Position::{HandsAndFeet, Seated, Standing, Supine, Wall};
        let cueing = Cueing::default();
        // Sums of the cueing defaults: lead 4, change 5, shift 2, fetch 4; count 3 and 2 s.
        for (from, to, change, secs) in [
            ((Standing, ""), (Standing, ""), PositionChange::Same, 5),
            ((Standing, ""), (HandsAndFeet, ""), PositionChange::Down, 9),
            ((Supine, ""), (Standing, ""), PositionChange::Up, 9),
            ((Supine, ""), (HandsAndFeet, ""), PositionChange::Shift, 6),
            ((Standing, ""), (Wall, ""), PositionChange::Shift, 6),
            (
                (Standing, "chair"),
                (Seated, "chair"),
                PositionChange::Shift,
                6,
            ),
            ((Supine, ""), (Seated, "chair"), PositionChange::Up, 13),
            ((Supine, ""), (Seated, ""), PositionChange::Shift, 6),
            ((Standing, ""), (Supine, "mat"), PositionChange::Down, 13),
            (
                (Supine, "mat"),
                (HandsAndFeet, "mat"),
                PositionChange::Shift,
                6,
            ),
        ] {
            let [a, b] = [from, to].map(|(position, thing)| {
                let things: Vec<&str> = Some(thing).filter(|t| !t.is_empty()).into_iter().collect();
                turn(position, &things)
            });
            let (before, after) = ([a], [b]);
            let way = Transition::between(&before, &after, false);
            assert_eq!(way.change, change, "{from:?} to {to:?}");
            let need = need(&cueing, Some(&work(&before)), &work(&after), false);
            assert_eq!(need, Span::from_secs(secs), "{from:?} to {to:?}");
        }
    }

    #[test]
    fn the_published_floor_rise_fits_into_what_is_kept() {
        // Bohannon & Lusardi 2004: floor to stand 4.1 s, SD 1.1 s (50 to 90 y); mean + 2 SD.
        let published = Span::from_millis(4_100 + 2 * 1_100);
        let (floor, stand) = (turn(Position::Supine, &[]), turn(Position::Standing, &[]));
        assert!(
            need(
                &Cueing::default(),
                Some(&work(&[floor])),
                &work(&[stand]),
                false
            ) >= published
        );
    }

    #[test]
    fn a_circuit_is_left_from_its_worst_place_and_its_things_count_as_in_use() {
        let cueing = Cueing::default();
        let circuit = [
            turn(Position::Standing, &["band"]),
            turn(Position::Supine, &["mat"]),
        ];
        let after = [turn(Position::Standing, &["band", "mat"])];
        let way = Transition::between(&circuit, &after, false);
        assert_eq!(
            (way.from, way.change),
            (Position::Supine, PositionChange::Up)
        );
        let need = need(&cueing, Some(&work(&circuit)), &work(&after), false);
        assert_eq!(need, Span::from_secs(9));
        assert_eq!(to_fetch(&circuit[..1], &after, false), ["mat"]);
        assert_eq!(to_fetch(&[], &after, false), ["band", "mat"]);
    }

    #[test]
    fn a_mat_that_was_used_lies_there_and_a_wall_comes_to_nobody() {
        let after = [turn(Position::Supine, &["band", "mat", "wall"])];
        let before = [turn(Position::Standing, &[])];
        assert_eq!(to_fetch(&before, &after, false), ["band", "mat"]);
        assert_eq!(to_fetch(&before, &after, true), ["band"]);
        let (cueing, wall) = (Cueing::default(), [turn(Position::Wall, &["wall"])]);
        let need = need(&cueing, Some(&work(&before)), &work(&wall), false);
        assert_eq!(need, Span::from_secs(6));
        assert!(leaves_mat(&work(&after)) && !leaves_mat(&work(&wall)));
    }
}
