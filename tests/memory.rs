//! What a class costs, counted and not timed: in bytes what the changes of one of 100,000 intervals
//! weigh, since what can be taken back is kept as differences; what is allocated for the words of
//! one with much more to say than there is time for; what for the best order of many moves; and what
//! while its sound is written.

#[path = "support/stage.rs"]
mod stage;

use std::alloc::System;
use std::fmt::Write;
use std::io;
use std::sync::Mutex;

use matside::advice::{EXACT, Pins, arrange};
use matside::live::{Act, Harder, Input};
use matside::plan::{CuePlan, Signal, Timeline, signals};
use matside::session::Library;
use matside::sound::{SampleRate, render};
use matside::speech::{Track, TrackFormat};
use matside::time::{Moment, Offset, Span};
use stage::{class, read, running};
use stats_alloc::{INSTRUMENTED_SYSTEM, Region, StatsAlloc};

#[global_allocator]
static COUNTED: &StatsAlloc<System> = &INSTRUMENTED_SYSTEM;

/// Whoever counts, counts alone.
static ALONE: Mutex<()> = Mutex::new(());

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
    let _alone = ALONE.lock();
    let (short, long) = (weight(1_000), weight(100_000));
    let changes = signed(CHANGES);
    println!("bytes a change: {} and {}", short / changes, long / changes);
    assert!(short > 0, "something is kept of a change");
    assert!(
        long <= 2 * short && long <= MOST * changes,
        "{short} and {long}"
    );
}

/// A class that asks for so many sentences of its planner's in one circuit.
fn wordy(sentences: usize) -> String {
    let mut moves = String::new();
    for n in 0..sentences {
        let of = ["squat", "march", "dead-bug", "side-plank"][n % 4];
        let _ = write!(
            moves,
            "Use(move: \"{of}\", reps: 8, note: \"Sentence {n}: slowly down, a breath, and up again.\"), "
        );
    }
    format!(
        "(title: \"Long Words\", parts: [Ready(time: 20), Block(moves: [{moves}],
            pattern: Amrap(time: \"5:00\")), Recover(time: 40, say: \"Water.\")])"
    )
}

/// Four times as many sentences cost no more than 4^3 times as much, and none vanishes: what is not
/// said is named.
#[test]
fn many_sentences_cost_a_power_of_their_number() {
    let _alone = ALONE.lock();
    let mut last: Option<usize> = None;
    for sentences in [10, 40, 160] {
        let session = read(&wordy(sentences));
        let timeline = Timeline::of(&session);
        let region = Region::new(COUNTED);
        let plan = CuePlan::of(&timeline, &session.cueing, &session.limits);
        let cost = region.change().bytes_allocated;
        println!("{sentences} sentences: {cost} bytes");
        let said = plan.prompts.iter().map(|prompt| &prompt.say);
        let named = plan.unplaced.iter().map(|unplaced| &unplaced.say);
        let all: Vec<&String> = said.chain(named).collect();
        for n in 0..sentences {
            let own = format!("sentence {n}:");
            let there = all.iter().any(|say| say.contains(&own));
            assert!(there, "{own} of {sentences} is neither said nor named");
        }
        let grown = last.map(|last| cost.div_ceil(last));
        assert!(
            grown.is_none_or(|grown| grown <= 64),
            "{grown:?} times as much"
        );
        last = Some(cost);
    }
}

/// Bytes that may be allocated, one after another, to find the best order of fourteen moves and what
/// would serve in place of each.
const ORDER: usize = 48 << 20;

/// The best order of n moves keeps n numbers for each set of them: with each move it costs twice as
/// much and a little more, and not beyond.
#[test]
fn the_best_order_costs_little_more_than_twice_with_each_move() {
    let _alone = ALONE.lock();
    let library = Library::builtin();
    let ids: Vec<&str> = library
        .iter()
        .map(|of| &*of.id)
        .step_by(13)
        .take(EXACT)
        .collect();
    let mut last: Option<usize> = None;
    for moves in [10, 11, 12, 13, EXACT] {
        let text = format!(
            "(title: \"t\", parts: [Ready(time: 60), Block(moves: {:?}, pattern: Same(rounds: 2, work: 30, rest: 10))])",
            &ids[..moves]
        );
        let session = read(&text);
        let region = Region::new(COUNTED);
        let (blocks, _) = arrange(&session, &library, &Pins::default());
        let cost = region.change().bytes_allocated;
        println!(
            "{moves} moves: {cost} bytes, {} of them the table",
            8 * (moves << moves)
        );
        assert!(blocks[0].is_exact);
        let grown = last.is_none_or(|last| 10 * cost <= 23 * last);
        assert!(grown && cost <= ORDER, "{moves}: {cost} after {last:?}");
        last = Some(cost);
    }
}

/// A file that forgets what is written.
struct Nowhere(u64);

impl io::Write for Nowhere {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0 += bytes.len() as u64;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl io::Seek for Nowhere {
    fn seek(&mut self, _: io::SeekFrom) -> io::Result<u64> {
        Ok(self.0)
    }
}

/// However long a class is, its sound is written in the memory of its first block.
#[test]
fn a_sound_file_is_written_in_memory_that_does_not_grow() {
    let _alone = ALONE.lock();
    let session = class(100);
    let timeline = Timeline::of(&session);
    let score: Vec<Signal> = signals(&timeline, 0, &session.cueing).collect();
    for (rate, bits) in [(44_100, 24), (48_000, 16)] {
        let format = TrackFormat {
            rate: SampleRate::hertz(rate),
            bits,
            channels: 2,
        };
        // Whoever runs the tests may begin another meanwhile, and allocates for that; what the
        // sound takes, it takes each time.
        let mut counted = (0..4).map(|_| taken(&score, timeline.total(), format));
        assert!(counted.any(|taken| taken == (0, 0)), "{bits} bits");
    }
}

/// What is allocated and moved while all but the first block of a sound file is written.
fn taken(score: &[Signal], total: Span, format: TrackFormat) -> (usize, usize) {
    let minutes = Span::from_secs(600);
    let mut rendering = render(score, total, format.rate).no_longer_than(minutes);
    let mut track = Track::begin(Nowhere(0), format).expect("begun");
    track
        .write(rendering.next_block().expect("a block"))
        .expect("written");
    let region = Region::new(COUNTED);
    let mut frames = 0;
    while let Some(block) = rendering.next_block() {
        frames += block.len();
        track.write(block).expect("written");
    }
    let change = region.change();
    assert!(frames > 26_000_000, "{frames}");
    track.finish().expect("finished");
    (change.allocations, change.reallocations)
}
