//! Cost of a draft, and of the three that are offered, by the size of the library: moves that count
//! alike are looked at as few, so that it grows far slower than the library.

use std::hint::black_box;
use std::time::Duration;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use matside::advice::{Kit, Wishes, draft, three};
use matside::session::{Action, Library, Move, Region};

/// A library of so many moves: those that are built in, and others made of them under other names, which
/// work, load and move the body in other ways, so that they are not all of a few kinds.
fn library(moves: usize) -> Library {
    let builtin = Library::builtin();
    let more = moves.saturating_sub(builtin.len());
    let alike = builtin.iter().cycle().take(more).enumerate();
    let other = alike.map(|(n, of)| Move {
        id: format!("{}-{n}", of.id),
        name: format!("{} {n}", of.name),
        regions: vec![Region::ALL[n % 4], Region::ALL[(n / 4) % 4]],
        action: Some(Action::ALL[n % Action::ALL.len()]),
        loads: of.loads.iter().copied().skip(n % 2).collect(),
        ..(**of).clone()
    });
    builtin.with(other)
}

fn wishes() -> Wishes {
    let kit = |thing: &str| Kit {
        thing: thing.to_owned(),
        count: None,
    };
    Wishes {
        kit: vec![kit("dumbbells"), kit("band")],
        seed: 7,
        ..Wishes::default()
    }
}

#[expect(
    clippy::print_stderr,
    reason = "memory is no time, which is all that the bench tells"
)]
fn drafts(bench: &mut Criterion) {
    let mut group = bench.benchmark_group("draft");
    for moves in [170, 1_000, 10_000] {
        let (library, wishes) = (library(moves), wishes());
        let before = peak();
        group.bench_with_input(BenchmarkId::new("one", moves), &library, |b, library| {
            b.iter(|| draft(black_box(&wishes), library).expect("a class"));
        });
        group.bench_with_input(BenchmarkId::new("three", moves), &library, |b, library| {
            b.iter(|| three(black_box(&wishes), library).expect("classes"));
        });
        eprintln!(
            "{} moves: peak memory {before} before, {} after",
            library.len(),
            peak()
        );
    }
    group.finish();
}

/// The most memory that the process has had so far, as Linux tells it.
fn peak() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.map_or_else(|| "unknown".to_owned(), |line| line.trim().to_owned())
}

fn config() -> Criterion {
    Criterion::default()
        .sample_size(10)
        .warm_up_time(Duration::from_millis(500))
        .measurement_time(Duration::from_secs(3))
}

criterion_group! { name = benches; config = config(); targets = drafts }
criterion_main!(benches);
