//! What the cue plan costs: it must grow with the class as the class grows, and planning anew under
//! way must be far within a frame of 16 ms.
#![allow(missing_docs, reason = "criterion's macros make undocumented items")]

#[path = "../tests/common/mod.rs"]
mod common;

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use matside::plan::{CuePlan, Timeline};
use matside::session::{Block, Order, Part, Pattern, Session};
use matside::time::{Offset, Span};

/// A class of about so many intervals, half of them work, short enough that not everything fits.
fn class(intervals: u32) -> Session {
    let block = Block {
        title: Some("Long tide".into()),
        moves: vec![
            common::squat(),
            common::plank_tap(),
            common::side_lunge(),
            common::dead_bug(),
            common::side_plank(),
        ],
        pattern: Pattern::Same {
            rounds: intervals / 10,
            work: Span::from_secs(30),
            rest: Span::from_secs(10),
        },
        recovery: None,
        order: Order::ByRound,
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
    let plan = CuePlan::of(&before, &session.cueing, &session.limits);
    let from = Offset::ZERO + Span::from_secs(600);
    let mut intervals = before.intervals().to_vec();
    let now = before.index_at(from).unwrap_or(0);
    intervals[now].length += Span::from_secs(15);
    let after = before.with(intervals);
    criterion.bench_function("a change during an hour", |bencher| {
        bencher.iter(|| plan.onward(black_box(&after), from, &session.cueing, &session.limits));
    });
}

criterion_group!(benches, growth, change);
criterion_main!(benches);
