//! What changes cost a class of 100,000 intervals, in bytes and not in time: what can be taken back
//! is kept as differences, so that a change weighs the same in a long class as in a short one.

#[path = "support/stage.rs"]
mod stage;

use std::alloc::System;

use matside::live::{Act, Harder, Input};
use matside::time::{Moment, Offset, Span};
use stage::{class, running};
use stats_alloc::{INSTRUMENTED_SYSTEM, Region, StatsAlloc};

#[global_allocator]
static COUNTED: &StatsAlloc<System> = &INSTRUMENTED_SYSTEM;

/// Fewer changes than can be taken back: the first of those is never forgotten.
const CHANGES: usize = 90;
/// Bytes that a change may weigh: the difference that it made, and what was then to be said in the
/// next minutes.
const MOST: i64 = 8 * 1024;

/// The changes of a class in which much goes otherwise than planned.
fn change(n: usize) -> Act {
    match n % 5 {
        0 => Act::Add(Span::from_secs(10)),
        1 => Act::Skip,
        2 => Act::Step(if n.is_multiple_of(2) {
            Harder::Easier
        } else {
            Harder::Harder
        }),
        3 => Act::OnceMore,
        _ => Act::DropRound,
    }
}

/// The bytes that changes weigh in a class of so many intervals.
fn weight(intervals: usize) -> i64 {
    let mut live = running(class(intervals), Offset::from_millis(67_000));
    let mut now = 67_000;
    let mut act = |act: Act| {
        now += 300;
        live.handle(Moment::from_millis(now), &Input::Act(act));
        while live.poll_output().is_some() {}
    };
    // What was planned before the class began goes with the first changes.
    (0..5).for_each(|n| act(change(n)));
    let region = Region::new(COUNTED);
    (0..CHANGES).for_each(|n| act(change(n)));
    let held = region.change();
    (0..CHANGES).for_each(|_| act(Act::Undo));
    signed(held.bytes_allocated) - signed(held.bytes_deallocated)
}

fn signed(bytes: usize) -> i64 {
    i64::try_from(bytes).expect("less than the machine has")
}

#[test]
fn a_change_weighs_no_more_in_a_longer_class() {
    let (short, long) = (weight(1_000), weight(100_000));
    let changes = signed(CHANGES);
    println!("bytes a change: {} and {}", short / changes, long / changes);
    assert!(short > 0, "something is kept of a change");
    assert!(
        long <= 2 * short && long <= MOST * changes,
        "{short} and {long}"
    );
}
