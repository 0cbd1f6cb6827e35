//! Cost of the best order by the number of moves: it should grow as n^3 2^n, eight to ten times with
//! every two moves, and fourteen should take far less than a second.

use std::hint::black_box;
use std::time::Duration;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use matside::advice::{EXACT, Pins, arrange};
use matside::session::{Library, Session};

/// Moves of every kind, so that most ways between two of them are some trouble.
const MOVES: [&str; EXACT] = [
    "squat",
    "plank",
    "lunge",
    "bridge",
    "shadow-punch",
    "dead-bug",
    "push-up",
    "march",
    "side-plank",
    "bent-row",
    "bird-dog",
    "high-knees",
    "crunch",
    "shoulder-press",
];

fn session(moves: usize, library: &Library) -> Session {
    let ids: Vec<String> = MOVES[..moves]
        .iter()
        .map(|id| format!("\"{id}\""))
        .collect();
    let text = format!(
        "Session(title: \"t\", parts: [Ready(time: 60), Block(moves: [{}], pattern: Same(rounds: 2, work: 30, rest: 10))])",
        ids.join(", ")
    );
    Session::read("t", &text, library).expect("whole")
}

fn orders(bench: &mut Criterion) {
    let library = Library::builtin();
    let mut group = bench.benchmark_group("arrange");
    for moves in [8, 10, 12, EXACT] {
        let session = session(moves, &library);
        group.bench_with_input(
            BenchmarkId::from_parameter(moves),
            &session,
            |b, session| {
                b.iter(|| arrange(black_box(session), &library, &Pins::default()));
            },
        );
    }
    group.finish();
}

fn config() -> Criterion {
    Criterion::default()
        .sample_size(10)
        .warm_up_time(Duration::from_millis(500))
        .measurement_time(Duration::from_secs(3))
}

criterion_group! { name = benches; config = config(); targets = orders }
criterion_main!(benches);
