//! What a change at the page of a plan costs before it is drawn: the text changed and read again, the
//! class planned, its words laid, and looked over by a colleague. All of it and the drawing have a
//! frame of 16 ms.
//!
//! Run with `cargo bench --bench planning`.
#![allow(missing_docs, reason = "criterion's macros make undocumented items")]

use std::hint::black_box;
use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};
use matside::advice::Review;
use matside::plan::{CuePlan, Timeline};
use matside::session::edit::Step::{Field, Item};
use matside::session::manuscript::{Change, Manuscript};
use matside::session::{Library, Session};

/// A class of sixty minutes with its comments, and one that is as long as a file and a half of it.
const HOUR: &str = include_str!("../sessions/high-water-hour.ron");
const LONG: &str = include_str!("../sessions/harbour-chairs.ron");

fn steps(criterion: &mut Criterion) {
    let library = Library::builtin();
    for (name, text) in [("hour", HOUR), ("long file", LONG)] {
        let mut group = criterion.benchmark_group(name);
        let session = Session::read("a.ron", text, &library).expect("whole");
        let timeline = Timeline::of(&session);
        group.bench_function("read", |b| {
            b.iter_with_large_drop(|| Session::read("a.ron", black_box(text), &library));
        });
        group.bench_function("open: read, take apart, rows", |b| {
            b.iter_with_large_drop(|| Manuscript::of("a.ron", black_box(text), &library));
        });
        group.bench_function("change", |b| {
            let mut plan = Manuscript::of("a.ron", text, &library);
            let mut n = 30;
            b.iter(|| {
                n = if n == 30 { 35 } else { 30 };
                plan.apply(time(&plan, n)).expect("a time")
            });
        });
        group.bench_function("change a text with a fault", |b| {
            let faulty = text.replacen("moves: [", "moves: ", 1);
            let mut plan = Manuscript::of("a.ron", &faulty, &library);
            let mut n = 30;
            b.iter(|| {
                n = if n == 30 { 35 } else { 30 };
                plan.apply(time(&plan, n)).expect("a time")
            });
        });
        group.bench_function("plan", |b| {
            b.iter_with_large_drop(|| Timeline::of(black_box(&session)));
        });
        group.bench_function("words", |b| {
            b.iter_with_large_drop(|| {
                CuePlan::of(black_box(&timeline), &session.cueing, &session.limits)
            });
        });
        group.bench_function("review", |b| {
            b.iter_with_large_drop(|| Review::of(black_box(&session), &library));
        });
        group.bench_function("change, plan, words, review", |b| {
            let mut plan = Manuscript::of("a.ron", text, &library);
            let mut n = 30;
            b.iter_with_large_drop(|| {
                n = if n == 30 { 35 } else { 30 };
                plan.apply(time(&plan, n)).expect("a time");
                let session = plan.reading().expect("whole");
                let timeline = Timeline::of(session);
                let words = CuePlan::of(&timeline, &session.cueing, &session.limits);
                (words, Review::of(session, &library))
            });
        });
        group.finish();
    }
}

/// The time of the first part that has one.
fn time(plan: &Manuscript, seconds: u32) -> Change {
    let at = |n| vec![Field("parts"), Item(n), Field("time")];
    let first = (0..99).map(at).find(|at| plan.value(at).is_some());
    Change::Set {
        at: first.expect("a time"),
        text: seconds.to_string(),
    }
}

fn config() -> Criterion {
    Criterion::default()
        .sample_size(20)
        .warm_up_time(Duration::from_millis(500))
        .measurement_time(Duration::from_secs(2))
}

criterion_group! { name = benches; config = config(); targets = steps }
criterion_main!(benches);
