//! Sessions for tests, written in code: three that a person reads, and any number at random.
#![allow(dead_code, reason = "each test file uses its part")]

use std::sync::Arc;

use matside::session::{
    Block, Cueing, Impact, Load, Move, MoveOption, Order, Part, Pattern, Pick, Position, Region,
    Session, Sides, Step, Use,
};
use matside::time::Span;

/// Whole seconds.
pub(crate) const fn secs(n: u64) -> Span {
    Span::from_secs(n)
}

/// A move with nothing special.
pub(crate) fn plain(id: &str, position: Position) -> Move {
    Move {
        id: id.into(),
        name: id.replace('-', " "),
        call: id.replace('-', " "),
        position,
        regions: vec![Region::Total],
        muscles: Vec::new(),
        loads: Vec::new(),
        impact: Impact::Low,
        sides: Sides::Both,
        equipment: if position.is_upright() {
            Vec::new()
        } else {
            vec!["mat".into()]
        },
        energy: None,
        setup: String::new(),
        form: Vec::new(),
        easier: Vec::new(),
        harder: Vec::new(),
        ..Move::default()
    }
}

/// An option that spares these loads.
pub(crate) fn option(call: &str, spares: &[Load]) -> MoveOption {
    MoveOption {
        call: call.into(),
        spares: spares.to_vec(),
        position: None,
        equipment: Vec::new(),
        setup: None,
        ..MoveOption::default()
    }
}

/// A move that is used as it stands.
pub(crate) fn using(of: Move) -> Arc<Use> {
    Arc::new(Use::plain(Arc::new(of)))
}

fn session(title: &str, limits: &[Load], parts: Vec<Part>) -> Session {
    Session {
        title: title.into(),
        slot: None,
        brief: String::new(),
        limits: limits.to_vec(),
        people: None,
        groups: Vec::new(),
        equipment: vec!["mat".into()],
        stock: Vec::new(),
        cueing: Cueing::default(),
        parts,
    }
}

fn texts(list: &[&str]) -> Vec<String> {
    list.iter().map(ToString::to_string).collect()
}

pub(crate) fn squat() -> Arc<Use> {
    using(Move {
        loads: vec![Load::Knee],
        setup: "Feet hip width, toes a little out.".into(),
        form: texts(&["Weight in the heels", "Knees over the toes", "Chest long"]),
        easier: vec![option("half depth", &[Load::Knee])],
        harder: vec![option("add a jump", &[])],
        ..plain("squat", Position::Standing)
    })
}

pub(crate) fn plank_tap() -> Arc<Use> {
    using(Move {
        call: "plank taps".into(),
        loads: vec![Load::Wrist, Load::Shoulder],
        setup: "Hands under the shoulders, feet wide.".into(),
        form: texts(&["Hips still", "Push the floor away"]),
        easier: vec![
            option("knees down", &[]),
            option("forearms", &[Load::Wrist]),
        ],
        harder: vec![option("feet together", &[])],
        ..plain("plank-tap", Position::HandsAndFeet)
    })
}

pub(crate) fn side_lunge() -> Arc<Use> {
    using(Move {
        call: "side lunges".into(),
        loads: vec![Load::Knee, Load::Hip],
        setup: "Wide stance, toes forward.".into(),
        form: texts(&["Sit back", "Long spine"]),
        easier: vec![option("shorter steps", &[Load::Knee, Load::Hip])],
        ..plain("side-lunge", Position::Standing)
    })
}

pub(crate) fn dead_bug() -> Arc<Use> {
    using(Move {
        call: "dead bug".into(),
        loads: vec![Load::Supine],
        setup: "Knees over hips, arms up.".into(),
        form: texts(&["Low back heavy", "Breathe out as you reach"]),
        easier: vec![option("one foot stays down", &[])],
        harder: vec![option("straight legs", &[])],
        ..plain("dead-bug", Position::Supine)
    })
}

pub(crate) fn side_plank() -> Arc<Use> {
    using(Move {
        call: "side plank".into(),
        sides: Sides::Each,
        loads: vec![Load::Shoulder, Load::Isometric],
        setup: "Elbow under the shoulder.".into(),
        form: texts(&["Top hip forward"]),
        easier: vec![option("bottom knee down", &[Load::Isometric])],
        ..plain("side-plank", Position::SideLying)
    })
}

fn step(id: &str, position: Position, time: u64) -> Step {
    Step {
        turn: using(Move {
            form: texts(&["Easy breath"]),
            ..plain(id, position)
        }),
        time: Some(secs(time)),
    }
}

/// Four rounds whose rests shrink, up and down twice in each.
pub(crate) fn shrinking() -> Session {
    let block = Block {
        title: Some("Slow tide".into()),
        moves: [squat(), plank_tap(), side_lunge(), dead_bug()]
            .map(Into::into)
            .into(),
        pattern: Pattern::Rounds {
            work: vec![secs(40); 4],
            rest: [30, 20, 15, 10].map(secs).to_vec(),
        },
        recovery: Some(secs(45)),
        order: Order::ByRound,
        between: None,
        last_rest: false,
    };
    let talk = "Welcome. Four moves, twice down to the floor in every round. Water by the door.";
    session(
        "Slow Tide",
        &[Load::Wrist],
        vec![
            Part::Talk {
                time: secs(30),
                say: talk.into(),
            },
            Part::WarmUp(vec![
                step("march", Position::Standing, 60),
                step("arm-circles", Position::Standing, 45),
                step("cat-stretch", Position::HandsAndKnees, 45),
            ]),
            Part::Ready { time: secs(15) },
            Part::Block(block),
            Part::CoolDown(vec![
                step("child-pose", Position::Kneeling, 60),
                step("hip-stretch", Position::Supine, 90),
            ]),
        ],
    )
}

/// A descending block, a recovery with words, and a floor block by move.
pub(crate) fn two_blocks() -> Session {
    let ebb = Block {
        title: Some("Ebb".into()),
        moves: vec![
            squat().into(),
            Arc::new(Use {
                note: Some("long steps".into()),
                ..(*side_lunge()).clone()
            })
            .into(),
            plank_tap().into(),
        ],
        pattern: Pattern::Rounds {
            work: [50, 40, 30].map(secs).to_vec(),
            rest: [25, 20, 15].map(secs).to_vec(),
        },
        recovery: Some(secs(45)),
        order: Order::ByRound,
        between: None,
        last_rest: false,
    };
    let flow = Block {
        title: Some("Flow".into()),
        moves: vec![side_plank().into(), dead_bug().into()],
        pattern: Pattern::Same {
            rounds: 3,
            work: secs(30),
            rest: secs(10),
        },
        recovery: None,
        order: Order::ByMove,
        between: None,
        last_rest: false,
    };
    session(
        "Ebb and Flow",
        &[Load::Knee, Load::Isometric],
        vec![
            Part::Ready { time: secs(20) },
            Part::Block(ebb),
            Part::Recover {
                time: secs(60),
                say: "Water. The next block is on the floor.".into(),
                turn: None,
            },
            Part::Block(flow),
        ],
    )
}

/// Short intervals, a minute block, a free circuit and counted repetitions.
pub(crate) fn short_work() -> Session {
    let banded = using(Move {
        call: "band rows".into(),
        equipment: texts(&["band"]),
        setup: "Band round the feet.".into(),
        form: texts(&["Elbows close"]),
        ..plain("band-row", Position::Seated)
    });
    let block = |title: &str, moves: Vec<Arc<Use>>, pattern| {
        Part::Block(Block {
            title: Some(title.into()),
            moves: moves.into_iter().map(Into::into).collect(),
            pattern,
            recovery: None,
            order: Order::ByRound,
            between: None,
            last_rest: false,
        })
    };
    let counted = |of: Arc<Use>| {
        Arc::new(Use {
            reps: Some(12),
            ..(*of).clone()
        })
    };
    let rest = |time: u64| Part::Recover {
        time: secs(time),
        say: String::new(),
        turn: None,
    };
    session(
        "Short Work",
        &[],
        vec![
            Part::Ready { time: secs(15) },
            block(
                "Sparks",
                vec![squat(), side_lunge(), plank_tap()],
                Pattern::Same {
                    rounds: 2,
                    work: secs(20),
                    rest: secs(10),
                },
            ),
            rest(60),
            block(
                "Minutes",
                vec![banded, dead_bug()],
                Pattern::Emom {
                    times: 4,
                    every: Pattern::MINUTE,
                    work: Some(secs(40)),
                },
            ),
            rest(45),
            block(
                "Open water",
                vec![squat(), side_lunge()],
                Pattern::Amrap { time: secs(240) },
            ),
            rest(45),
            block(
                "By count",
                vec![counted(squat()), counted(plank_tap())],
                Pattern::Reps {
                    rounds: 2,
                    rest: secs(15),
                    pace: secs(3),
                    cap: None,
                },
            ),
        ],
    )
}

/// A random session: every part, pattern, position, and times from comfortable to absurd.
pub(crate) fn random(rng: &mut fastrand::Rng) -> Session {
    let pool: Vec<Arc<Move>> = (0..rng.usize(2..9)).map(|n| random_move(rng, n)).collect();
    let mut parts = Vec::new();
    for _ in 0..rng.usize(1..5) {
        parts.push(random_part(rng, &pool));
    }
    let loads = Load::ALL;
    let limits = (0..rng.usize(0..3)).map(|_| loads[rng.usize(..loads.len())]);
    let limits: Vec<Load> = limits.collect();
    Session {
        cueing: random_cueing(rng),
        ..session("random", &limits, parts)
    }
}

fn random_cueing(rng: &mut fastrand::Rng) -> Cueing {
    if rng.bool() {
        return Cueing::default();
    }
    Cueing {
        words_per_minute: rng.u32(90..200),
        count: rng.u32(0..6),
        warn: secs(rng.u64(0..16)),
        lead: secs(rng.u64(2..7)),
        change: secs(rng.u64(3..8)),
        shift: secs(rng.u64(1..4)),
        fetch: secs(rng.u64(2..6)),
        move_on: Cueing::default().move_on,
    }
}

fn random_move(rng: &mut fastrand::Rng, n: usize) -> Arc<Move> {
    let any = |rng: &mut fastrand::Rng| Load::ALL[rng.usize(..Load::ALL.len())];
    let words = ["long", "steady", "reach", "press", "turn", "hold", "low"];
    let say = |rng: &mut fastrand::Rng, most: usize| {
        let count = rng.usize(1..most);
        let said: Vec<&str> = (0..count)
            .map(|_| words[rng.usize(..words.len())])
            .collect();
        said.join(" ")
    };
    let options = |rng: &mut fastrand::Rng| -> Vec<MoveOption> {
        let count = rng.usize(0..3);
        let mut list = Vec::new();
        for k in 0..count {
            let spares = vec![any(rng)];
            list.push(option(&format!("{} {k}", say(rng, 3)), &spares));
        }
        list
    };
    let position = Position::ALL[rng.usize(..Position::ALL.len())];
    let things = ["mat", "band", "chair"];
    let sides = [Sides::Both, Sides::Alternating, Sides::Each];
    Arc::new(Move {
        call: say(rng, 4),
        loads: (0..rng.usize(0..4)).map(|_| any(rng)).collect(),
        sides: sides[rng.usize(..3)],
        equipment: (0..rng.usize(0..2))
            .map(|_| things[rng.usize(..3)].to_owned())
            .collect(),
        setup: if rng.bool() {
            say(rng, 9)
        } else {
            String::new()
        },
        form: (0..rng.usize(0..4)).map(|_| say(rng, 7)).collect(),
        easier: options(rng),
        harder: options(rng),
        breath: rng.bool().then(|| "out as you push".into()),
        ..plain(&format!("move-{n}"), position)
    })
}

fn random_use(rng: &mut fastrand::Rng, pool: &[Arc<Move>]) -> Arc<Use> {
    let mut turn = Use::plain(pool[rng.usize(..pool.len())].clone());
    turn.reps = Some(rng.u32(1..20));
    if rng.u8(..6) == 0 {
        turn.pick = Some(if rng.bool() {
            Pick::Easier(0)
        } else {
            Pick::Harder(0)
        });
    }
    if rng.u8(..6) == 0 {
        turn.note = Some("long steps".into());
    }
    Arc::new(turn)
}

fn time(rng: &mut fastrand::Rng) -> Span {
    let secs = [
        1, 3, 5, 8, 10, 12, 15, 20, 25, 30, 40, 45, 50, 60, 90, 160, 280,
    ];
    let odd = if rng.u8(..8) == 0 { rng.u64(..1000) } else { 0 };
    Span::from_millis(secs[rng.usize(..secs.len())] * 1000 + odd)
}

fn random_part(rng: &mut fastrand::Rng, pool: &[Arc<Move>]) -> Part {
    let say = ["", "Water.", "Find a place. Feel the floor. Look this way."][rng.usize(..3)];
    let steps = |rng: &mut fastrand::Rng| -> Vec<Step> {
        let mut list = Vec::new();
        for _ in 0..rng.usize(1..4) {
            list.push(Step {
                turn: random_use(rng, pool),
                time: Some(time(rng)),
            });
        }
        list
    };
    match rng.u8(..9) {
        0 => Part::Talk {
            time: time(rng),
            say: say.into(),
        },
        1 => Part::Ready { time: time(rng) },
        2 => Part::WarmUp(steps(rng)),
        3 => Part::CoolDown(steps(rng)),
        4 => Part::Recover {
            time: time(rng),
            say: say.into(),
            turn: None,
        },
        _ => Part::Block(random_block(rng, pool)),
    }
}

fn random_block(rng: &mut fastrand::Rng, pool: &[Arc<Move>]) -> Block {
    let rounds = rng.u32(1..4);
    let pattern = match rng.u8(..7) {
        0 => Pattern::Emom {
            times: rounds * 2,
            every: Pattern::MINUTE,
            work: Some(secs(rng.u64(5..59))),
        },
        1 => Pattern::Amrap { time: time(rng) },
        2 => Pattern::Reps {
            rounds,
            rest: time(rng),
            pace: secs(rng.u64(1..5)),
            cap: None,
        },
        3 => Pattern::Rounds {
            work: (0..rounds).map(|_| time(rng)).collect(),
            rest: (0..rounds).map(|_| time(rng)).collect(),
        },
        _ => Pattern::Same {
            rounds,
            work: time(rng),
            rest: if rng.u8(..5) == 0 {
                Span::ZERO
            } else {
                time(rng)
            },
        },
    };
    Block {
        title: rng.bool().then(|| "Ebb".into()),
        moves: (0..rng.usize(1..5))
            .map(|_| random_use(rng, pool).into())
            .collect(),
        pattern,
        recovery: rng.bool().then(|| time(rng)),
        order: if rng.u8(..3) == 0 {
            Order::ByMove
        } else {
            Order::ByRound
        },
        between: None,
        last_rest: false,
    }
}
