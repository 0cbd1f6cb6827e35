//! Cost of a landing by the length of the class: it should grow with the class, not with its
//! square, in the three cases of shortening only, of giving up many rounds, and of doing it.

use std::hint::black_box;
use std::sync::Arc;
use std::time::{Duration, Instant};

use criterion::{BatchSize, BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use matside::live::{Act, Input, Landing, Live};
use matside::plan::Timeline;
use matside::session::{
    Block, Cueing, Impact, Move, Order, Part, Pattern, Position, Session, Sides, Use,
};
use matside::time::{Moment, Offset, Span};

fn turn(position: Position) -> Arc<Use> {
    Arc::new(Use::plain(Arc::new(Move {
        id: "squat".into(),
        name: "Squat".into(),
        call: "squat".into(),
        position,
        regions: vec![],
        muscles: vec![],
        loads: vec![],
        impact: Impact::None,
        sides: Sides::Both,
        equipment: vec!["mat".into()],
        energy: None,
        setup: String::new(),
        form: vec![],
        easier: vec![],
        harder: vec![],
        ..Move::default()
    })))
}

/// A class of about so many intervals, in blocks of 20 rounds of 5 moves.
fn class(intervals: usize) -> Session {
    let block = || {
        Part::Block(Block {
            title: None,
            moves: (0..5).map(|n| turn(Position::ALL[n]).into()).collect(),
            pattern: Pattern::Same {
                rounds: 20,
                work: Span::from_secs(40),
                rest: Span::from_secs(20),
            },
            recovery: Some(Span::from_secs(45)),
            order: Order::ByRound,
            between: None,
            last_rest: false,
        })
    };
    Session {
        title: "Long".into(),
        slot: None,
        brief: String::new(),
        limits: vec![],
        people: None,
        groups: Vec::new(),
        equipment: vec![],
        stock: Vec::new(),
        cueing: Cueing::default(),
        parts: (0..intervals / 200).map(|_| block()).collect(),
    }
}

fn landing(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("landing");
    let cueing = Cueing::default();
    for intervals in [1_000, 10_000, 100_000] {
        let session = Arc::new(class(intervals));
        let plan = Timeline::of(&session);
        let total = plan.total();
        group.throughput(Throughput::Elements(plan.intervals().len() as u64));
        for (name, room) in [
            ("shorten", total.saturating_sub(total.half().half())),
            ("drop", total.half().half()),
        ] {
            group.bench_with_input(
                BenchmarkId::new(name, intervals),
                &room,
                |bencher, &room| {
                    bencher.iter(|| Landing::of(black_box(&plan), 0, Offset::ZERO, room, &cueing));
                },
            );
        }
        let changes = Landing::of(&plan, 0, Offset::ZERO, total.half(), &cueing).changes;
        let mut live = Live::new(session);
        live.handle(Moment::ZERO, &Input::Act(Act::Begin));
        group.bench_function(BenchmarkId::new("take", intervals), |bencher| {
            bencher.iter_batched(
                || live.clone(),
                |mut live| {
                    live.handle(Moment::ZERO, &Input::Act(Act::Land(changes.clone())));
                    live
                },
                BatchSize::LargeInput,
            );
        });
    }
    group.finish();
}

/// Rounds, and behind them so many circuits of a minute, which get no more rounds.
fn with_circuits(circuits: usize) -> Session {
    let mut session = class(200);
    let Part::Block(block) = session.parts[0].clone() else {
        return session;
    };
    let time = Span::from_secs(60);
    let pattern = Pattern::Amrap { time };
    let circuit = Part::Block(Block { pattern, ..block });
    session.parts.extend(vec![circuit; circuits]);
    session
}

/// Two sets each of so many moves.
fn with_moves(moves: usize) -> Session {
    let mut session = class(200);
    if let Some(Part::Block(block)) = session.parts.first_mut() {
        block.order = Order::ByMove;
        block.moves = (0..moves)
            .map(|n| turn(Position::ALL[n % 5]).into())
            .collect();
        block.pattern = Pattern::Same {
            rounds: 2,
            work: Span::from_secs(40),
            rest: Span::from_secs(20),
        };
    }
    session
}

/// How long something takes, at the best of some.
#[expect(clippy::disallowed_methods, reason = "a ratio of times is measured")]
fn best<T>(what: impl Fn() -> T) -> Duration {
    let once = || {
        let start = Instant::now();
        black_box(what());
        start.elapsed()
    };
    (0..5).map(|_| once()).min().unwrap_or_default()
}

/// Ten times the class must not take much more than ten times as long; a square would be a hundred.
fn growth(_: &mut Criterion) {
    let cueing = Cueing::default();
    let plans = [10_000, 100_000].map(|intervals| Timeline::of(&class(intervals)));
    for (name, part) in [("shorten", 75), ("drop", 25), ("drop nearly all", 1)] {
        let [small, large] = plans.each_ref().map(|plan| {
            let room = Span::from_millis(plan.total().millis() / 100 * part);
            best(|| Landing::of(black_box(plan), 0, Offset::ZERO, room, &cueing))
        });
        tell(name, small, large);
    }
    let sizes = [1_000, 10_000];
    let cases = [
        (
            "one more round before many circuits",
            sizes.map(with_circuits),
        ),
        ("one more set of many moves", sizes.map(with_moves)),
    ];
    for (name, classes) in cases {
        let [small, large] = classes.map(|class| {
            let plan = Timeline::of(&class);
            let room = plan.total() + plan.total();
            let ways = || Landing::spare(black_box(&plan), 0, Offset::ZERO, room, &cueing);
            assert_eq!(ways().len(), 2, "{name}: longer pauses, or one more");
            best(ways)
        });
        tell(name, small, large);
    }
}

#[expect(clippy::print_stderr, reason = "a bench tells its figures")]
fn tell(name: &str, small: Duration, large: Duration) {
    let ratio = large.as_secs_f64() / small.as_secs_f64();
    eprintln!("landing/growth/{name}: {ratio:.1} times as long for ten times the class");
    assert!(ratio < 30.0, "{name}: {ratio:.1}");
}

criterion_group!(benches, growth, landing);
criterion_main!(benches);
