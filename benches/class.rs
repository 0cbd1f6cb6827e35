//! What a class costs from its file to the screen, by how many intervals it has.
//!
//! Run with `cargo bench --bench class`. A wake and a frame must not grow with the class, whatever
//! reads or plans the whole of it may grow as it does, and a change during an hour must be on the
//! screen well within a frame of 16 ms.
#![allow(missing_docs, reason = "criterion's macros make undocumented items")]

#[path = "../tests/support/stage.rs"]
mod stage;

use std::hint::black_box;
use std::time::Duration;

use criterion::{BatchSize, BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use matside::live::{Act, Harder, Input, Live};
use matside::plan::Timeline;
use matside::screen::{Palette, Theme, draw};
use matside::session::{Library, Session};
use matside::time::{Offset, Span};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use stage::{STRETCH, class, frame, moment, running, text};

const SIZES: [usize; 3] = [100, 1_000, 10_000];
const MOST: usize = 100_000;
const SCREENS: [(u16, u16); 2] = [(80, 24), (200, 50)];

/// Work of 5 s, so that 10,000 intervals are within the 12 hours that a file may have.
fn load(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("load");
    group
        .sample_size(20)
        .measurement_time(Duration::from_secs(3));
    let library = Library::builtin();
    for intervals in SIZES {
        let text = text(intervals / STRETCH, "5", "2");
        group.throughput(Throughput::Elements(intervals as u64));
        group.bench_function(BenchmarkId::from_parameter(intervals), |bencher| {
            bencher.iter_with_large_drop(|| Session::read("a.ron", black_box(&text), &library));
        });
    }
    group.finish();
}

fn timeline(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("timeline");
    group
        .sample_size(20)
        .measurement_time(Duration::from_secs(3));
    for intervals in SIZES.into_iter().chain([MOST]) {
        let session = class(intervals);
        assert_eq!(Timeline::of(&session).intervals().len(), intervals);
        group.throughput(Throughput::Elements(intervals as u64));
        group.bench_function(BenchmarkId::from_parameter(intervals), |bencher| {
            bencher.iter_with_large_drop(|| Timeline::of(black_box(&session)));
        });
    }
    group.finish();
}

/// A class that has come to about the middle, 7 s into a work.
fn midway(intervals: usize) -> (Live, Offset) {
    let session = class(intervals);
    let plan = Timeline::of(&session);
    let start = plan.intervals()[intervals / 2].start;
    let place = start + Span::from_secs(7);
    (running(session, place), place)
}

fn frames(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("frame");
    group.measurement_time(Duration::from_secs(3));
    for intervals in SIZES {
        let (live, place) = midway(intervals);
        let now = moment(place);
        group.bench_function(BenchmarkId::new("view", intervals), |bencher| {
            bencher.iter(|| black_box(&live).view(now));
        });
        for size in SCREENS {
            let name = format!("view and draw {}x{}", size.0, size.1);
            group.bench_function(BenchmarkId::new(name, intervals), |bencher| {
                bencher.iter(|| frame(black_box(&live), now, size));
            });
        }
    }
    group.finish();
}

/// A frame in every palette: colours are worked out with the theme, so that few of them cost no more
/// than many. One frame a second, as a class draws it, is this time as a share of a second.
fn palettes(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("draw");
    group.measurement_time(Duration::from_secs(3));
    let (live, place) = midway(100);
    let (view, around) = (live.view(moment(place)), stage::around());
    let area = Rect::new(0, 0, 200, 50);
    for palette in [
        Palette::True,
        Palette::Indexed,
        Palette::Sixteen,
        Palette::None,
    ] {
        let theme = Theme::of(palette, false);
        group.bench_function(format!("{palette:?} 200x50"), |bencher| {
            let mut buf = Buffer::empty(area);
            bencher.iter(|| draw(area, &mut buf, black_box(&view), &around, &theme));
        });
    }
    group.finish();
}

/// The windows that are drawn, and the most that it may take, in microseconds of a core a second:
/// 0.15 % of it; of the largest, in which ratatui alone takes half of that to clear and compare its
/// 24,000 cells, a quarter of a per cent.
const DRAWN: [((u16, u16), u64); 4] = [
    ((80, 24), 1_500),
    ((160, 45), 1_500),
    ((200, 50), 1_500),
    ((300, 80), 2_500),
];

/// What two minutes of a class cost to draw and to compare with what is on the screen, by the time
/// that the processor gave to this thread, so that it holds on a busy machine too. What the class
/// itself and the terminal cost is not in it. Fails where it is more than it may be.
#[expect(clippy::print_stdout, reason = "a table for people")]
fn drawing_alone(_: &mut Criterion) {
    const SECONDS: u64 = 120;
    let around = stage::around();
    for ((width, height), most) in DRAWN {
        let area = Rect::new(0, 0, width, height);
        for palette in [
            Palette::True,
            Palette::Indexed,
            Palette::Sixteen,
            Palette::None,
        ] {
            let theme = Theme::of(palette, false);
            let (mut live, place) = midway(100);
            let (mut last, mut spent, mut changed) = (Buffer::empty(area), 0, 0);
            for second in 0..SECONDS {
                let now = moment(place + Span::from_secs(second));
                live.handle(now, &Input::Wake);
                let view = live.view(now);
                let before = thread_micros();
                let mut buf = Buffer::empty(area);
                draw(area, &mut buf, black_box(&view), &around, &theme);
                changed += last.diff(&buf).len();
                spent += thread_micros() - before;
                last = buf;
            }
            let (each, cells) = (spent / SECONDS, changed / 120);
            println!("{palette:?} {width}x{height}: {each} us and {cells} cells a second");
            assert!(each <= most, "{palette:?} {width}x{height}: {each} us");
        }
    }
}

fn thread_micros() -> u64 {
    use rustix::time::{ClockId, clock_gettime};
    let time = clock_gettime(ClockId::ThreadCPUTime);
    let micros = time.tv_sec * 1_000_000 + time.tv_nsec / 1_000;
    u64::try_from(micros).expect("a time since the start")
}

fn steps(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("step");
    group
        .sample_size(20)
        .measurement_time(Duration::from_secs(3));
    for intervals in SIZES.into_iter().chain([MOST]) {
        let (live, place) = midway(intervals);
        let (now, later) = (moment(place), moment(place + Span::from_secs(1)));
        group.bench_function(BenchmarkId::new("wake", intervals), |bencher| {
            let mut live = live.clone();
            bencher.iter(|| {
                live.handle(later, &Input::Wake);
                live.next_wakeup(later)
            });
        });
        let ahead = moment(place + Span::from_secs(40));
        let mut crossed = live.clone();
        crossed.handle(ahead, &Input::Wake);
        assert!(
            crossed.running() > live.running(),
            "a boundary lies between"
        );
        group.bench_function(BenchmarkId::new("boundary", intervals), |bencher| {
            bencher.iter_batched_ref(
                || live.clone(),
                |live| live.handle(ahead, &Input::Wake),
                BatchSize::SmallInput,
            );
        });
        let mut skipped = live.clone();
        skipped.handle(now, &Input::Act(Act::Skip));
        for (name, live, act) in [
            ("skip", &live, Act::Skip),
            ("undo", &skipped, Act::Undo),
            ("easier", &live, Act::Step(Harder::Easier)),
        ] {
            group.throughput(Throughput::Elements(intervals as u64));
            group.bench_function(BenchmarkId::new(name, intervals), |bencher| {
                bencher.iter_batched_ref(
                    || live.clone(),
                    |live| live.handle(later, &Input::Act(act.clone())),
                    BatchSize::LargeInput,
                );
            });
        }
    }
    group.finish();
}

/// An hour: every change early in it, so that nearly the whole is planned again, and drawn.
fn change(criterion: &mut Criterion) {
    let place = Offset::from_millis(67_000);
    let live = running(class(6 * STRETCH), place);
    assert!(live.plan().total() >= Span::from_secs(3600));
    let now = moment(place + Span::from_secs(1));
    let mut group = criterion.benchmark_group("a change during an hour");
    for (name, act) in [
        ("skip", Act::Skip),
        ("add", Act::Add(Span::from_secs(15))),
        ("drop round", Act::DropRound),
    ] {
        group.bench_function(name, |bencher| {
            bencher.iter_batched_ref(
                || live.clone(),
                |live| {
                    live.handle(now, &Input::Act(act.clone()));
                    // Dropped here: to keep it would be to measure new memory for every frame.
                    drop(black_box(frame(live, now, (200, 50))));
                },
                BatchSize::LargeInput,
            );
        });
    }
    group.finish();
}

/// The most that a change may take in the median over an hour, in microseconds: planned again, and
/// drawn at 200 by 50.
const MOST_CHANGED: u64 = 2_000;

/// Changes at every minute of an hour, by the time that the processor gave to this thread. At the
/// beginning, where everything is still to be said, they take longest. Fails where the median is more
/// than it may be.
#[expect(clippy::print_stdout, reason = "a table for people")]
fn changes_in_an_hour(_: &mut Criterion) {
    let session = class(6 * STRETCH);
    let mut all = Vec::new();
    for minute in 1..60 {
        let place = Offset::from_millis(minute * 60_000 + 7_000);
        let live = running(session.clone(), place);
        let now = moment(place + Span::from_secs(1));
        for act in [Act::Skip, Act::Add(Span::from_secs(15)), Act::DropRound] {
            let mut each: Vec<u64> = (0..9)
                .map(|_| {
                    let mut live = live.clone();
                    let before = thread_micros();
                    live.handle(now, &Input::Act(act.clone()));
                    drop(black_box(frame(&live, now, (200, 50))));
                    thread_micros() - before
                })
                .collect();
            each.sort_unstable();
            all.push((each[4], minute));
        }
    }
    all.sort_unstable();
    let (median, last) = (all[all.len() / 2].0, all[all.len() - 1]);
    println!("a change in an hour: {median} us in the median, at most {last:?} (us, minute)");
    assert!(median <= MOST_CHANGED, "{median} us");
}

criterion_group!(
    benches,
    changes_in_an_hour,
    drawing_alone,
    load,
    timeline,
    frames,
    palettes,
    steps,
    change
);
criterion_main!(benches);
