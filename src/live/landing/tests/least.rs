//! A landing takes no more than it must.

use std::collections::BTreeMap;
use std::sync::Arc;

use fastrand::Rng;

use super::plans::{Case, a_move, case, of_parts};
use super::rules::fits;
use crate::live::landing::{Change, ChangeKind, Landing};
use crate::live::{Act, Input, Live};
use crate::plan::{Kind, Placed, Shape, Timeline};
use crate::session::{Block, Cueing, Order, Part, Pattern, Position, Step, Use};
use crate::time::{Moment, Offset, Span};

fn secs(secs: u64) -> Span {
    Span::from_secs(secs)
}

fn turn(name: &str, position: Position) -> Arc<Use> {
    Arc::new(Use::plain(Arc::new(a_move(name, position, ""))))
}

fn block(pattern: Pattern) -> Part {
    Part::Block(Block {
        title: None,
        moves: vec![turn("Squat", Position::Standing).into()],
        pattern,
        recovery: None,
        order: Order::ByRound,
        between: None,
        last_rest: false,
    })
}

/// A class at its start, so much over the room.
fn over(parts: Vec<Part>, over: Span) -> Case {
    let plan = Timeline::of(&of_parts(parts));
    let room = plan.total().saturating_sub(over);
    Case::with_room(plan, 0, Offset::ZERO, room)
}

fn landed(case: &Case) -> (Landing, Timeline) {
    let landing = Landing::of(&case.plan, case.n, case.at, case.room, &Cueing::default());
    let after = case.with(&landing.changes);
    (landing, after)
}

fn lengths(plan: &Timeline, kind: Kind) -> Vec<u64> {
    let of = plan.intervals().iter().filter(|of| of.kind == kind);
    of.map(|of| of.span().secs_floor()).collect()
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
        turn: None,
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
            time: Some(secs(300)),
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
        turn: None,
    };
    let (landing, after) = landed(&over(
        vec![talk(), block(Pattern::Amrap { time: secs(285) })],
        secs(60),
    ));
    assert_eq!(landing.over, Span::ZERO);
    assert_eq!(lengths(&after, Kind::Work), [225]);
    let emom = block(Pattern::Emom {
        times: 6,
        every: Pattern::MINUTE,
        work: Some(secs(40)),
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
        times: 6,
        every: Pattern::MINUTE,
        work: Some(secs(40)),
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

fn counted(rounds: u32, secs: u64) -> Part {
    let mut turn = turn("Squat", Position::Standing).as_ref().clone();
    turn.reps = Some(u32::try_from(secs).unwrap());
    Part::Block(Block {
        title: None,
        moves: vec![Arc::new(turn).into()],
        pattern: Pattern::Reps {
            rounds,
            rest: Span::ZERO,
            pace: self::secs(1),
            cap: None,
        },
        recovery: None,
        order: Order::ByRound,
        between: None,
        last_rest: false,
    })
}

fn goes(landing: &Landing) -> usize {
    let goes = |change: &&Change| change.kind == ChangeKind::Drop;
    landing.changes.iter().filter(goes).count()
}

/// 8:47 over: a round of 1:55 goes, then one of 8:55, and there are 2:03 in hand; so the first is
/// put back, and 0:08 stay in hand.
#[test]
fn what_went_for_nothing_is_put_back() {
    let start = counted(1, 60);
    let case = over(vec![start, counted(3, 115), counted(2, 535)], secs(527));
    let (landing, after) = landed(&case);
    assert_eq!(lengths(&after, Kind::Work), [60, 115, 115, 115, 535]);
    assert_eq!((landing.over, landing.in_hand), (Span::ZERO, secs(8)));
}

/// What a round gave too much goes to the pauses, and nothing stays in hand.
#[test]
fn what_a_round_gave_too_much_goes_to_the_pauses() {
    let recover = Part::Recover {
        time: secs(60),
        say: String::new(),
        turn: None,
    };
    let case = over(
        vec![counted(1, 60), recover, counted(3, 100)],
        secs(90 + 50),
    );
    let (landing, after) = landed(&case);
    assert_eq!(lengths(&after, Kind::Work), [60, 100, 100]);
    assert_eq!(lengths(&after, Kind::Recovery), [20]);
    assert_eq!((landing.over, landing.in_hand), (Span::ZERO, Span::ZERO));
}

/// A window of 4:45 with 3:43 over keeps 1:02; only where not even a minute fits it goes.
#[test]
fn a_window_gives_all_but_a_minute_before_it_is_left_out() {
    let window = || block(Pattern::Amrap { time: secs(285) });
    for (over, works) in [
        (190, &[60, 95][..]),
        (223, &[60, 62]),
        (225, &[60, 60]),
        (226, &[60]),
        (285, &[60]),
    ] {
        let (landing, after) = landed(&self::over(vec![counted(1, 60), window()], secs(over)));
        assert_eq!(lengths(&after, Kind::Work), works, "{over}");
        assert_eq!(landing.over, Span::ZERO, "{over}");
    }
    // A round goes before the window gives more than two thirds.
    let parts = vec![counted(1, 60), window(), counted(3, 100)];
    let (landing, after) = landed(&over(parts, secs(223)));
    assert_eq!(lengths(&after, Kind::Work), [60, 162, 100, 100]);
    assert_eq!(landing.over, Span::ZERO);
}

/// 0:08 over cost no minute of a grid, and a minute and 0:08 no two, even where nothing else is
/// left that could give them: no start hangs on the rest that ends the class.
#[test]
fn a_few_seconds_over_cost_no_minute_where_a_grid_ends_the_class() {
    let minutes = || Pattern::Emom {
        times: 4,
        every: Pattern::MINUTE,
        work: Some(secs(40)),
    };
    for (over, rests) in [
        (8, &[20, 20, 20, 12][..]),
        (19, &[20, 20, 20, 1]),
        (20, &[20, 20, 20]),
        (68, &[20, 20, 12]),
    ] {
        let case = self::over(vec![block(minutes())], secs(over));
        let (landing, after) = landed(&case);
        let in_hand = if over == 20 { secs(40) } else { Span::ZERO };
        assert_eq!(lengths(&after, Kind::Rest), rests, "{over}");
        assert_eq!(
            (landing.over, landing.in_hand),
            (Span::ZERO, in_hand),
            "{over}"
        );
        assert_eq!(goes(&landing), 2 * (4 - rests.len()), "{over}");
        // More minutes make that rest whole again.
        let in_time = case.left(&after);
        let room = in_time + secs(20 + 60);
        let choices = Landing::spare(&after, 0, Offset::ZERO, room, &Cueing::default());
        let longer = choices.last().expect("a minute more");
        let again = Case::with_room(after, 0, Offset::ZERO, room).with(&longer.changes);
        let rests = vec![20; rests.len() + 1];
        assert_eq!(lengths(&again, Kind::Rest), rests, "{over}");
    }
}

/// Recoveries first go to half, all other things before they go to the least.
#[test]
fn pauses_keep_half_until_all_else_has_given() {
    let recover = |time: u64| Part::Recover {
        time: secs(time),
        say: String::new(),
        turn: None,
    };
    let cool_down = Part::CoolDown(vec![Step {
        turn: turn("Side stretch", Position::Standing),
        time: Some(secs(240)),
    }]);
    let (a, b) = (counted(1, 100), counted(1, 100));
    let parts = vec![a, recover(40), b.clone(), recover(80), b, cool_down];
    for (over, recoveries, cool_down) in [
        (60, [20, 40], 240),
        (100, [20, 40], 200),
        (120, [20, 40], 180),
        (145, [12, 23], 180),
        (160, [10, 10], 180),
    ] {
        let (landing, after) = landed(&self::over(parts.clone(), secs(over)));
        assert_eq!(landing.over, Span::ZERO, "{over}");
        assert_eq!(lengths(&after, Kind::Recovery), recoveries, "{over}");
        assert_eq!(lengths(&after, Kind::CoolDown), [cool_down], "{over}");
    }
}

/// The last minute once more, where a landing had cut its rest short: it starts on the minute.
#[test]
fn a_minute_once_more_starts_on_the_minute_after_a_landing() {
    let pattern = Pattern::Emom {
        times: 2,
        every: Pattern::MINUTE,
        work: Some(secs(40)),
    };
    let mut live = Live::new(Arc::new(of_parts(vec![block(pattern)])));
    let act = |live: &mut Live, at: u64, act| {
        live.handle(Moment::ZERO + secs(at), &Input::Act(act));
    };
    act(&mut live, 0, Act::Begin);
    let room = live.plan().total().saturating_sub(secs(8));
    let landing = Landing::of(live.plan(), 0, Offset::ZERO, room, &Cueing::default());
    act(&mut live, 0, Act::Land(landing.changes));
    assert_eq!(lengths(live.plan(), Kind::Rest), [20, 12]);
    act(&mut live, 70, Act::OnceMore);
    let works = live.plan().intervals().iter();
    let works = works.filter(|of| of.kind == Kind::Work);
    let starts: Vec<u64> = works.map(|of| of.start.millis() / 1_000).collect();
    assert_eq!(starts, [0, 60, 120]);
    assert_eq!(lengths(live.plan(), Kind::Rest), [20, 20, 20]);
}
