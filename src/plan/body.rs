//! From one move to the next: what the body does, what must be fetched, how long that takes.
//!
//! One answer for the words, the screen and the landing, so that none of them promises a change
//! which another leaves no time for. It refuses to know how long the rest between really is.

use std::sync::Arc;

use crate::session::{Cueing, Position, Use};
use crate::time::Span;

/// What the body must do before the next move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Body {
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

impl Body {
    /// What lies between two moves. Before the first move of a class everyone stands.
    #[must_use]
    pub fn between(before: Option<&Use>, after: &Use) -> Self {
        let from = before.map_or(Position::Standing, Use::position);
        let was_down = before.is_some_and(on_floor);
        match (was_down, on_floor(after)) {
            (false, true) => Self::Down,
            (true, false) => Self::Up,
            _ if from == after.position() => Self::Same,
            _ => Self::Shift,
        }
    }

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

fn on_floor(turn: &Use) -> bool {
    match turn.position() {
        Position::Seated => !turn.equipment().iter().any(|thing| SEATS.contains(thing)),
        position => !position.is_upright(),
    }
}

/// What must be fetched: needed by `after` and not in use in `before`. Each is one move, or all
/// the moves of a circuit; before the first of a class nothing is in use. A mat that has been used
/// lies where it was put, whatever was done since, and a wall comes to nobody (common practice, no
/// source).
#[must_use]
pub fn to_fetch<'a>(before: &[Arc<Use>], after: &'a [Arc<Use>], mat_lies: bool) -> Vec<&'a str> {
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

/// What people hold in `before` and need no more in `after`.
pub(super) fn to_put_down<'a>(before: &'a [Arc<Use>], after: &[Arc<Use>]) -> Vec<&'a str> {
    let needed: Vec<&str> = after.iter().flat_map(|turn| turn.equipment()).collect();
    let mut things = Vec::new();
    for thing in before.iter().flat_map(|turn| turn.equipment()) {
        if !NOT_HELD.contains(&thing) && !needed.contains(&thing) && !things.contains(&thing) {
            things.push(thing);
        }
    }
    things
}

/// Whether a mat is used in these moves.
#[must_use]
pub fn uses_mat(moves: &[Arc<Use>]) -> bool {
    moves.iter().any(|turn| turn.equipment().contains(&MAT))
}

/// Whether a thing is where it is, and nobody can bring it.
pub(super) fn is_of_the_room(thing: &str) -> bool {
    matches!(thing, "wall" | "floor")
}

/// The least time between the end of `before` and the start of `after`: the lead of the preview,
/// the change of position and what must be fetched, and never less than the count and 2 s.
#[must_use]
pub fn need(cueing: &Cueing, before: &[Arc<Use>], after: &[Arc<Use>], mat_lies: bool) -> Span {
    let fetches = !to_fetch(before, after, mat_lies).is_empty();
    lead(cueing, before, after, fetches).max(least(cueing))
}

/// The least time between the end of a preview and the start of what it announces.
///
/// From a circuit the longest change counts, for nobody knows where in it each person stops.
pub(super) fn lead(
    cueing: &Cueing,
    before: &[Arc<Use>],
    after: &[Arc<Use>],
    fetches: bool,
) -> Span {
    let change = after.first().map_or(Span::ZERO, |first| {
        let from_start = before.is_empty().then(|| Body::between(None, first));
        let each = before.iter().map(|b| Body::between(Some(b), first));
        let changes = each.chain(from_start).map(|body| body.takes(cueing));
        changes.max().unwrap_or(Span::ZERO)
    });
    let fetch = if fetches { cueing.fetch } else { Span::ZERO };
    cueing.lead + change + fetch
}

/// The least time in which a start can be counted in at all.
#[must_use]
pub fn least(cueing: &Cueing) -> Span {
    cueing.count_span() + BEFORE_COUNT
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

    #[test]
    fn each_change_takes_what_the_body_needs() {
        use Position::{HandsAndFeet, Seated, Standing, Supine, Wall};
        let cueing = Cueing::default();
        // Sums of the cueing defaults: lead 4, change 5, shift 2, fetch 4; count 3 and 2 s.
        for (from, to, body, secs) in [
            ((Standing, ""), (Standing, ""), Body::Same, 5),
            ((Standing, ""), (HandsAndFeet, ""), Body::Down, 9),
            ((Supine, ""), (Standing, ""), Body::Up, 9),
            ((Supine, ""), (HandsAndFeet, ""), Body::Shift, 6),
            ((Standing, ""), (Wall, ""), Body::Shift, 6),
            ((Standing, "chair"), (Seated, "chair"), Body::Shift, 6),
            ((Supine, ""), (Seated, "chair"), Body::Up, 13),
            ((Supine, ""), (Seated, ""), Body::Shift, 6),
            ((Standing, ""), (Supine, "mat"), Body::Down, 13),
            ((Supine, "mat"), (HandsAndFeet, "mat"), Body::Shift, 6),
        ] {
            let [a, b] = [from, to].map(|(position, thing)| {
                let things: Vec<&str> = Some(thing).filter(|t| !t.is_empty()).into_iter().collect();
                turn(position, &things)
            });
            assert_eq!(Body::between(Some(&a), &b), body, "{from:?} to {to:?}");
            let need = need(&cueing, &[a], &[b], false);
            assert_eq!(need, Span::from_secs(secs), "{from:?} to {to:?}");
        }
    }

    #[test]
    fn the_published_floor_rise_fits_into_what_is_kept() {
        // Bohannon & Lusardi 2004: floor to stand 4.1 s, SD 1.1 s (50 to 90 y); mean + 2 SD.
        let published = Span::from_millis(4_100 + 2 * 1_100);
        let (floor, stand) = (turn(Position::Supine, &[]), turn(Position::Standing, &[]));
        assert!(need(&Cueing::default(), &[floor], &[stand], false) >= published);
    }

    #[test]
    fn a_circuit_is_left_from_its_worst_place_and_its_things_count_as_in_use() {
        let cueing = Cueing::default();
        let circuit = [
            turn(Position::Standing, &["band"]),
            turn(Position::Supine, &["mat"]),
        ];
        let after = [turn(Position::Standing, &["band", "mat"])];
        assert_eq!(need(&cueing, &circuit, &after, false), Span::from_secs(9));
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
        assert_eq!(need(&cueing, &before, &wall, false), Span::from_secs(6));
        assert!(uses_mat(&after) && !uses_mat(&wall));
    }
}
