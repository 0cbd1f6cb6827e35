//! What the cue plan costs: it must grow with the class as the class grows, and planning anew under
//! way must be far within a frame of 16 ms.
#![allow(missing_docs, reason = "criterion's macros make undocumented items")]
#![allow(
    clippy::duplicate_mod,
    reason = "the tests of the choice make the same windows"
)]

#[path = "../tests/common/mod.rs"]
mod common;

// The choice for one window is inside the house; here it stands by itself.
#[allow(dead_code, unused_imports, reason = "the bench needs one door of it")]
#[path = "../src/plan/cues/window/mod.rs"]
mod window;

#[path = "../src/plan/cues/window/tests/crowded.rs"]
mod crowded;

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use matside::plan::{CuePlan, Known, Past, Timeline};
use matside::session::{Block, Order, Part, Pattern, Session};
use matside::time::{self, Offset, Span};

use crowded::Ranks;
use window::{Ask, Call, Hold, Range, Rank, Stretch, Variant, Window, Worth};

/// A class of about so many intervals, half of them work, short enough that not everything fits.
fn class(intervals: u32) -> Session {
    let block = Block {
        title: Some("Long tide".into()),
        moves: vec![
            common::squat().into(),
            common::plank_tap().into(),
            common::side_lunge().into(),
            common::dead_bug().into(),
            common::side_plank().into(),
        ],
        pattern: Pattern::Same {
            rounds: intervals / 10,
            work: Span::from_secs(30),
            rest: Span::from_secs(10),
        },
        recovery: None,
        order: Order::ByRound,
        between: None,
        last_rest: false,
    };
    Session {
        parts: vec![Part::Block(block)],
        ..common::shrinking()
    }
}

fn growth(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("whole class");
    for intervals in [1_000, 10_000, 100_000] {
        let session = class(intervals);
        let timeline = Timeline::of(&session);
        group.throughput(Throughput::Elements(timeline.intervals().len() as u64));
        group.sample_size(20);
        group.bench_with_input(
            BenchmarkId::from_parameter(intervals),
            &timeline,
            |bencher, timeline| {
                bencher.iter_with_large_drop(|| {
                    CuePlan::of(black_box(timeline), &session.cueing, &session.limits)
                });
            },
        );
    }
    group.finish();
}

fn change(criterion: &mut Criterion) {
    let session = class(180);
    let before = Timeline::of(&session);
    let from = Offset::ZERO + Span::from_secs(600);
    let now = before.index_at(from).unwrap_or(0);
    let mut past = Past::of(&matside::session::Room {
        limits: &session.limits,
        things: before.things(),
    });
    for interval in &before.intervals()[..now] {
        past.add(interval.interval());
    }
    let known = Known {
        past: &past,
        before: None,
        heard: &[],
        speaking: None,
    };
    criterion.bench_function("a change during an hour", |bencher| {
        bencher.iter(|| {
            let (cueing, limits) = (&session.cueing, &session.limits);
            CuePlan::ahead(
                black_box(&before),
                now,
                from..before.end(),
                known,
                cueing,
                limits,
            )
        });
    });
}

/// One window with more to say than there is time for: the cost of the exact choice.
fn choice(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("window");
    group.sample_size(10);
    for (name, ranks) in [("mixed", Ranks::Mixed), ("one rank", Ranks::One)] {
        for asks in [10, 40, 160] {
            let mut rng = fastrand::Rng::with_seed(44);
            let window = crowded::window(&mut rng, asks, ranks);
            group.bench_with_input(BenchmarkId::new(name, asks), &window, |bencher, window| {
                bencher.iter(|| black_box(window).select());
            });
        }
    }
    group.finish();
}

criterion_group!(benches, growth, change, choice);
criterion_main!(benches);
