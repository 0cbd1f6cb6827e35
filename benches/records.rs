//! How long the list of records and the history take, by how many records there are.
//!
//! Run with `cargo bench --bench records`. Each size is measured with the index in place, which is
//! the ordinary case, and without it, which happens once after the index was lost.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a bench"
)]

#[path = "../tests/support/sample.rs"]
mod sample;

use std::fs;
use std::hint::black_box;
use std::time::Duration;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use matside::export::{Named, history_page, record_list};
use matside::record::History;
use matside::store::Shelf;
use tempfile::TempDir;

/// So many hour-long classes, one every other day.
fn shelf(count: usize) -> (TempDir, Shelf) {
    let folder = tempfile::tempdir().unwrap();
    for n in 0..count {
        let start = sample::start() + chrono::TimeDelta::days(2 * i64::try_from(n).unwrap());
        let session = sample::hour_class("Long Shore", n % 40);
        let facts = sample::as_planned(&session, start);
        let bytes = sample::bytes(&sample::header(session, start), &sample::entries(facts));
        let name = format!("{}-long-shore.jsonl", start.format("%Y-%m-%d-%H%M"));
        fs::write(folder.path().join(name), bytes).unwrap();
    }
    let shelf = Shelf::at(folder.path());
    (folder, shelf)
}

fn list(shelf: &Shelf) -> String {
    let classes = shelf.listing().unwrap().classes;
    let named: Vec<Named> = classes
        .iter()
        .map(|one| (&*one.name, &one.summary))
        .collect();
    record_list(&named, 100)
}

fn history(shelf: &Shelf) -> String {
    let classes = shelf.listing().unwrap().classes;
    let history = History::of(classes.iter().map(|one| &one.summary));
    let last = history.weeks.last().map(|week| week.monday);
    history_page(&history, last.unwrap_or_default(), 100)
}

fn records(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("records");
    group.sample_size(10).warm_up_time(Duration::from_secs(1));
    for count in [500, 1_000, 2_500, 5_000] {
        let (_folder, shelf) = shelf(count);
        assert_eq!(list(&shelf).lines().count(), count);
        group.throughput(Throughput::Elements(count as u64));
        group.bench_function(BenchmarkId::new("list", count), |b| {
            b.iter(|| black_box(list(&shelf)));
        });
        group.bench_function(BenchmarkId::new("history", count), |b| {
            b.iter(|| black_box(history(&shelf)));
        });
        let index = shelf.folder().join("index.cache");
        group.bench_function(BenchmarkId::new("list without index", count), |b| {
            b.iter(|| {
                fs::remove_file(&index).unwrap();
                black_box(list(&shelf))
            });
        });
    }
    group.finish();
}

criterion_group!(benches, records);
criterion_main!(benches);
