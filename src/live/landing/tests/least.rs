//! A landing takes no more than it must.

use std::collections::BTreeMap;
use std::sync::Arc;

use fastrand::Rng;

use super::plans::{Case, a_move, case, of_parts};
use super::rules::fits;
use crate::live::landing::{Change, ChangeKind, Landing};
use crate::plan::{Kind, Placed, Shape, Timeline};
use crate::session::{Block, Cueing, Order, Part, Pattern, Position, Step, Use};
use crate::time::{Offset, Span};

fn secs(secs: u64) -> Span {
    Span::from_secs(secs)
}

fn turn(name: &str, position: Position) -> Arc<Use> {
    Arc::new(Use::plain(Arc::new(a_move(name, position, ""))))
}

fn block(pattern: Pattern) -> Part {
    Part::Block(Block {
        title: None,
        moves: vec![turn("Squat", Position::Standing)],
        pattern,
        recovery: None,
        order: Order::ByRound,
    })
}

/// A class at its start, so much over the room.
fn over(parts: Vec<Part>, over: Span) -> Case {
    let plan = Timeline::of(&of_parts(parts));
    let room = plan.total().less(over);
    Case::with_room(plan, 0, Offset::ZERO, room)
}

fn landed(case: &Case) -> (Landing, Timeline) {
    let landing = Landing::of(&case.plan, case.n, case.at, case.room, &Cueing::default());
    let after = case.with(&landing.changes);
    (landing, after)
}

fn lengths(plan: &Timeline, kind: Kind) -> Vec<u64> {
    let of = plan.intervals().iter().filter(|of| of.kind == kind);
    of.map(|of| of.span().secs_down()).collect()
}

/// What stays of every block in which not one round fits more.
#[test]
fn no_round_that_went_would_have_fitted() {
    let mut rng = Rng::with_seed(11);
    let mut tried = 0;
    for number in 0..4_000 {
        let case = case(&mut rng, 3);
        let (landing, _) = landed(&case);
        let gone: Vec<&Placed> = case
            .plan
            .intervals()
            .iter()
            .filter(|of| {
                let drop = |c: &&Change| c.id == of.id && c.kind == ChangeKind::Drop;
                landing.changes.iter().any(|c| drop(&c))
            })
            .collect();
        let mut first: BTreeMap<usize, usize> = BTreeMap::new();
        for place in gone
            .iter()
            .filter(|of| of.kind == Kind::Work)
            .filter_map(|of| of.place.as_ref())
        {
            if place.shape == Shape::Rounds && place.round.nth > 1 {
                let nth = first.entry(place.block).or_insert(place.round.nth);
                *nth = place.round.nth.min(*nth);
            }
        }
        for (block, nth) in first {
            let is_back = |of: &Placed| {
                let place = of.place.as_ref();
                place.is_some_and(|p| p.block == block && p.round.nth <= nth)
            };
            let stays_gone = gone.iter().filter(|of| !is_back(of));
            let changes: Vec<Change> = stays_gone
                .map(|of| Change {
                    id: of.id,
                    kind: ChangeKind::Drop,
                })
                .collect();
            tried += 1;
            assert!(
                !fits(&case, &case.with(&changes)),
                "{number}: round {nth} of {block}"
            );
        }
    }
    assert!(tried > 200, "{tried}");
}

/// Works of 2:00 and of 0:30 give the same share, not the same seconds.
#[test]
fn long_and_short_works_lose_the_same_share() {
    let works = [120, 30].map(secs).to_vec();
    let parts = vec![block(Pattern::Rounds {
        work: works,
        rest: vec![secs(5), secs(5)],
    })];
    let case = Case {
        n: 0,
        ..over(
            [
                vec![Part::Talk {
                    time: secs(10),
                    say: String::new(),
                }],
                parts,
            ]
            .concat(),
            secs(25),
        )
    };
    assert_eq!(lengths(&landed(&case).1, Kind::Work), [100, 25]);
}

/// The pauses of a pyramid keep its shape.
#[test]
fn a_pyramid_of_recoveries_stays_a_pyramid() {
    let talk = Part::Talk {
        time: secs(10),
        say: String::new(),
    };
    let recover = |time: u64| Part::Recover {
        time: secs(time),
        say: String::new(),
    };
    let work = || {
        block(Pattern::Same {
            rounds: 1,
            work: secs(60),
            rest: secs(0),
        })
    };
    let parts = vec![
        talk,
        work(),
        recover(20),
        work(),
        recover(40),
        work(),
        recover(60),
        work(),
        recover(40),
        work(),
        recover(20),
        work(),
    ];
    let (_, after) = landed(&over(parts, secs(45)));
    assert_eq!(lengths(&after, Kind::Recovery), [15, 30, 45, 30, 15]);
}

/// The warm-up gives before a round of the main block is left out, and no round goes for what the
/// others can give.
#[test]
fn a_warm_up_gives_before_a_round_goes() {
    let parts = vec![
        Part::Talk {
            time: secs(10),
            say: String::new(),
        },
        Part::WarmUp(vec![Step {
            turn: turn("March", Position::Standing),
            time: secs(300),
        }]),
        block(Pattern::Same {
            rounds: 2,
            work: secs(60),
            rest: secs(10),
        }),
    ];
    let (landing, after) = landed(&over(parts, secs(120)));
    assert!(
        landing
            .changes
            .iter()
            .all(|change| change.kind != ChangeKind::Drop),
        "{landing:?}"
    );
    assert_eq!(lengths(&after, Kind::WarmUp).len(), 1);
    assert!(lengths(&after, Kind::WarmUp)[0] < 300);
    assert_eq!((landing.over, landing.in_hand), (Span::ZERO, Span::ZERO));
}

/// A few seconds over cost a window of free rounds a few seconds, and a grid none of its minutes
/// where a pause can give them.
#[test]
fn a_few_seconds_over_cost_a_few_seconds() {
    let talk = || Part::Talk {
        time: secs(30),
        say: String::new(),
    };
    let recover = || Part::Recover {
        time: secs(60),
        say: String::new(),
    };
    let (landing, after) = landed(&over(
        vec![talk(), block(Pattern::Amrap { time: secs(285) })],
        secs(60),
    ));
    assert_eq!(landing.over, Span::ZERO);
    assert_eq!(lengths(&after, Kind::Work), [225]);
    let emom = block(Pattern::Emom {
        minutes: 6,
        work: secs(40),
    });
    let last = block(Pattern::Same {
        rounds: 1,
        work: secs(60),
        rest: secs(0),
    });
    let (landing, after) = landed(&over(vec![talk(), emom, recover(), last], secs(8)));
    assert_eq!(landing.over, Span::ZERO);
    assert_eq!(lengths(&after, Kind::Work), [40, 40, 40, 40, 40, 40, 60]);
    assert_eq!(lengths(&after, Kind::Recovery), [52]);
}

/// Where three minutes are in hand, a grid is offered three.
#[test]
fn time_in_hand_gives_a_grid_all_the_windows_that_fit() {
    let talk = Part::Talk {
        time: secs(30),
        say: String::new(),
    };
    let emom = block(Pattern::Emom {
        minutes: 6,
        work: secs(40),
    });
    let plan = Timeline::of(&of_parts(vec![talk, emom]));
    let room = plan.total() + secs(200);
    let choices = Landing::spare(&plan, 0, Offset::ZERO, room, &Cueing::default());
    let case = Case::with_room(plan, 0, Offset::ZERO, room);
    let works = choices
        .iter()
        .map(|choice| lengths(&case.with(&choice.changes), Kind::Work).len());
    assert_eq!(works.max(), Some(9));
}
