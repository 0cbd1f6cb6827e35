//! Two classes whose lines were read by eye, and what becomes of them step by step.

use std::sync::Arc;

use super::plans::{Case, a_move, of_parts};
use crate::live::landing::Landing;
use crate::plan::{Kind, Timeline};
use crate::session::{Block, Cueing, Order, Part, Pattern, Position, Step, Use};
use crate::time::{Offset, Span};

const fn secs(secs: u64) -> Span {
    Span::from_secs(secs)
}

fn turn(name: &str, position: Position) -> Arc<Use> {
    Arc::new(Use::plain(Arc::new(a_move(name, position, ""))))
}

fn standing() -> Vec<Arc<Use>> {
    ["Squat", "Side lunge", "March"]
        .map(|name| turn(name, Position::Standing))
        .to_vec()
}

fn floor() -> Vec<Arc<Use>> {
    ["Bridge", "Dead bug"]
        .map(|name| turn(name, Position::Supine))
        .to_vec()
}

fn block(title: &str, moves: Vec<Arc<Use>>, pattern: Pattern, order: Order) -> Part {
    Part::Block(Block {
        title: Some(title.into()),
        moves: moves.into_iter().map(Into::into).collect(),
        pattern,
        recovery: Some(secs(45)),
        order,
        between: None,
        last_rest: false,
    })
}

fn same(rounds: u32, work: u64, rest: u64) -> Pattern {
    let (work, rest) = (secs(work), secs(rest));
    Pattern::Same { rounds, work, rest }
}

fn recover(time: u64) -> Part {
    Part::Recover {
        time: secs(time),
        say: String::new(),
        turn: None,
    }
}

fn cool_down() -> Part {
    let step = |name, time| Step {
        turn: turn(name, Position::Seated),
        time: Some(secs(time)),
    };
    Part::CoolDown(vec![step("Hip stretch", 120), step("Side stretch", 180)])
}

fn tide_line() -> Timeline {
    Timeline::of(&of_parts(vec![
        Part::Talk {
            time: secs(45),
            say: "Welcome, format, easier options.".into(),
        },
        Part::WarmUp(vec![Step {
            turn: turn("March", Position::Standing),
            time: Some(secs(240)),
        }]),
        Part::Ready { time: secs(15) },
        block("Ebb", standing(), same(4, 40, 15), Order::ByRound),
        recover(60),
        block("Flow", floor(), same(3, 30, 10), Order::ByMove),
        cool_down(),
    ]))
}

fn minutes() -> Timeline {
    let (minutes, work) = (6, secs(40));
    Timeline::of(&of_parts(vec![
        Part::Ready { time: secs(20) },
        block(
            "Clock",
            standing(),
            Pattern::Emom {
                times: minutes,
                every: Pattern::MINUTE,
                work: Some(work),
            },
            Order::ByRound,
        ),
        recover(90),
        block(
            "Open",
            floor(),
            Pattern::Amrap { time: secs(480) },
            Order::ByRound,
        ),
        cool_down(),
    ]))
}

/// The lines of a landing that has this much too little room, from the first interval on.
fn lines(plan: &Timeline, short: u64) -> Vec<String> {
    let (at, room) = (Offset::ZERO, plan.total().saturating_sub(secs(short)));
    Landing::of(plan, 0, at, room, &Cueing::default()).lines
}

#[test]
fn the_lines_of_a_class_by_rounds() {
    let plan = tide_line();
    assert_eq!(lines(&plan, 0), [""; 0]);
    for (short, lines) in [
        (
            60,
            &[
                "recoveries after rounds 1 to 3 of Ebb: 45 → 34, three times",
                "recovery before Flow: 1:00 → 0:45",
                "recovery after Bridge of Flow: 45 → 33",
                "class: 27:40 → 26:40",
            ][..],
        ),
        (
            300,
            &[
                "get ready before Ebb: 15 → 5",
                "works in Ebb: 40 → 34, twelve times",
                "rests in Ebb: 15 → 8, eight times",
                "recoveries after rounds 1 to 3 of Ebb: 45 → 23, three times",
                "recovery before Flow: 1:00 → 0:30",
                "works in Flow: 30 → 26, six times",
                "rests in sets 1 and 2 of Flow: 10 → 5, four times",
                "recovery after Bridge of Flow: 45 → 23",
                "class: 27:40 → 22:40",
            ][..],
        ),
        (
            700,
            &[
                "warm-up: 4:00 → 2:40",
                "get ready before Ebb: 15 → 5",
                "works in rounds 1 to 3 of Ebb: 40 → 27, nine times",
                "rests in rounds 1 to 3 of Ebb: 15 → 8, six times",
                "recoveries after rounds 1 and 2 of Ebb: 45 → 22, twice",
                "round 4 of Ebb left out",
                "recovery before Flow: 1:00 → 0:29",
                "works in Flow: 30 → 20, six times",
                "rests in sets 1 and 2 of Flow: 10 → 5, four times",
                "recovery after Bridge of Flow: 45 → 21",
                "cool-down: 5:00 → 3:45",
                "class: 27:40 → 16:00",
            ][..],
        ),
        (
            900,
            &[
                "warm-up: 4:00 → 2:40",
                "get ready before Ebb: 15 → 5",
                "works in rounds 1 and 2 of Ebb: 40 → 27, six times",
                "rests in rounds 1 and 2 of Ebb: 15 → 8, four times",
                "recovery after round 1 of Ebb: 45 → 13",
                "rounds 3 and 4 of Ebb left out",
                "recovery before Flow: 1:00 → 0:16",
                "works in sets 1 and 2 of Flow: 30 → 20, four times",
                "rests in set 1 of Flow: 10 → 5, twice",
                "set 3 of each move of Flow left out",
                "recovery after Bridge of Flow: 45 → 12",
                "cool-down: 5:00 → 3:45",
                "class: 27:40 → 12:40",
            ][..],
        ),
        (
            5000,
            &[
                "warm-up: 4:00 → 2:40",
                "get ready before Ebb left out",
                "Ebb left out",
                "recovery before the cool-down: 1:00 → 0:10",
                "Flow left out",
                "cool-down: 5:00 → 2:30",
                "class: 27:40 → 6:05",
                "still 6:05 over",
            ][..],
        ),
    ] {
        assert_eq!(self::lines(&plan, short), lines, "{short} s short");
    }
}

#[test]
fn the_lines_of_a_class_by_minutes() {
    let plan = minutes();
    for (short, lines) in [
        (
            8,
            &["recovery before Open: 1:30 → 1:22", "class: 20:50 → 20:42"][..],
        ),
        (
            400,
            &[
                "recovery before Open: 1:30 → 0:10",
                "Open: 8:00 → 3:55",
                "cool-down: 5:00 → 3:45",
                "class: 20:50 → 14:10",
            ][..],
        ),
        (
            700,
            &[
                "last 4 minutes of Clock left out",
                "recovery before Open: 1:30 → 0:10",
                "Open: 8:00 → 2:55",
                "cool-down: 5:00 → 3:45",
                "class: 20:50 → 9:10",
            ][..],
        ),
        (
            900,
            &[
                "last 5 minutes of Clock left out",
                "recovery before the cool-down: 1:30 → 0:45",
                "Open left out",
                "cool-down: 5:00 → 3:45",
                "class: 20:50 → 5:50",
            ][..],
        ),
    ] {
        assert_eq!(self::lines(&plan, short), lines, "{short} s short");
    }
}

fn spare(plan: &Timeline, more: u64) -> Vec<Vec<String>> {
    let room = plan.total() + secs(more);
    let choices = Landing::spare(plan, 0, Offset::ZERO, room, &Cueing::default());
    choices.into_iter().map(|landing| landing.lines).collect()
}

#[test]
fn the_lines_of_time_in_hand() {
    assert_eq!(
        spare(&tide_line(), 150),
        [
            [
                "recoveries after rounds 1 to 3 of Ebb: 0:45 → 1:13, three times",
                "recovery before Flow: 1:00 → 1:38",
                "recovery after Bridge of Flow: 0:45 → 1:13",
                "class: 27:40 → 30:10",
            ]
            .to_vec(),
            vec![
                "recoveries after rounds 1 to 3 of Ebb: 45 → 58, three times",
                "recovery before Flow: 1:00 → 1:18",
                "one more set of each move of Flow: 1:20",
                "recovery after Bridge of Flow: 45 → 58",
                "class: 27:40 → 30:10",
            ],
        ]
    );
    let only_longer = [["recovery before Open: 1:30 → 2:00", "class: 20:50 → 21:20"]];
    assert_eq!(spare(&minutes(), 30), only_longer);
    let three_minutes = [
        "three more minutes of Clock: 3:00",
        "recovery before Open: 1:30 → 1:50",
        "class: 20:50 → 24:10",
    ];
    assert_eq!(spare(&minutes(), 200)[1], three_minutes);
}

fn with(plan: &Timeline, room: Span, landing: &Landing) -> Timeline {
    let case = Case::with_room(plan.clone(), 0, Offset::ZERO, room);
    case.with(&landing.changes)
}

/// Each set of a block that does all rounds of a move first, as letters of the moves, and how
/// many rounds the last of them says there are.
fn works(plan: &Timeline, block: usize) -> (String, usize) {
    let places = plan.intervals().iter().filter(|i| i.kind == Kind::Work);
    let places = places.filter_map(|i| i.place.as_ref().map(|place| (place, i)));
    let of = places.filter(|(place, _)| place.block == block);
    of.fold((String::new(), 0), |(mut moves, _), (place, i)| {
        moves.extend(i.turn().and_then(|turn| turn.of.name.chars().next()));
        (moves, place.round.of)
    })
}

#[test]
fn rounds_come_and_go_whole_and_are_counted_anew() {
    let plan = tide_line();
    let cueing = Cueing::default();
    let land = |room: Span| {
        let landing = Landing::of(&plan, 0, Offset::ZERO, room, &cueing);
        with(&plan, room, &landing)
    };
    assert_eq!(works(&plan, 1), ("SSM".repeat(4), 4));
    assert_eq!(works(&plan, 2), ("BBBDDD".into(), 3));
    let shorter = land(plan.total().saturating_sub(secs(900)));
    assert_eq!(works(&shorter, 1), ("SSM".repeat(2), 2));
    assert_eq!(works(&shorter, 2), ("BBDD".into(), 2));
    let room = plan.total() + secs(150);
    let choices = Landing::spare(&plan, 0, Offset::ZERO, room, &cueing);
    let longer = with(&plan, room, &choices[1]);
    assert_eq!(works(&longer, 2), ("BBBBDDDD".into(), 4));
    assert_eq!(longer.total(), room);
}
