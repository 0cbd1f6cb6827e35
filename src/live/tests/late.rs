//! Changes taken back after a while, beside a class in which they were never made.

use super::books::put_in;
use super::pieces::class;
use super::*;
use crate::live::change::Back;
use crate::session::{Library, Move};

/// Every kind of part and pattern, sides, things to fetch, counted work, caps and marks.
pub(super) const CLASSES: [&str; 6] = [
    "WarmUp([(\"march\", 30), (\"arm-circle\", 30)]), Ready(time: 10),
     Block(moves: [\"squat\", \"plank-tap\", \"side-plank\"],
        pattern: Rounds(work: [40, 30], rest: [20, 15]), recovery: 45),
     CoolDown([(\"child-pose\", 60), (\"hip-stretch\", 40)])",
    "Block(moves: [\"march\", \"squat\"], pattern: Emom(minutes: 5, work: 40)), Recover(time: 30),
     Block(moves: [\"squat\"], pattern: Emom(every: 90, times: 3, work: 50))",
    "Block(moves: [Use(move: \"squat\", reps: 10), Use(move: \"dead-bug\", work: 30)],
        pattern: Reps(rounds: 3, rest: 20, cap: \"4:00\")), Recover(time: 20),
     Block(moves: [Use(move: \"squat\", reps: 8)], pattern: Reps(rounds: 3, rest: 15))",
    "Ready(time: 15), Block(moves: [\"squat\", \"march\"], pattern: Amrap(time: \"3:00\")),
     Recover(time: Until(\"4:00\")), Block(moves: [\"dead-bug\"], pattern: Same(rounds: 3, work: 30, rest: 20))",
    "Repeat(times: 2, between: Recover(time: 25), parts: [
        Block(moves: [\"squat\", \"plank-tap\"], pattern: Same(rounds: 2, work: 30, rest: 15), order: ByMove),
        Free(time: 40, title: \"Play\")]), CoolDown([(\"child-pose\", 60)])",
    "Block(moves: [\"squat\", \"dead-bug\"], pattern: Same(rounds: 3, work: 30, rest: 20),
        between: \"march\", last_rest: true), Recover(time: 40, move: \"march\"),
     Block(moves: [\"hip-stretch\", \"squat\"], pattern: Same(rounds: 2, work: 40, rest: 10))",
];

/// Lets a class run to somewhere in it, with a key now and then for what is counted; tells when.
pub(super) fn somewhere(random: &mut fastrand::Rng, live: &mut Live) -> u64 {
    let mut now = 0;
    for _ in 0..random.usize(1..12) {
        now += random.u64(1..40_000);
        live.handle(at(now), &Input::Wake);
        if live.now().is_some_and(|now| now.untimed) && random.bool() {
            go(live, now, Act::GoOn);
        }
    }
    now
}

/// What a press is to be, in a class as it then stands.
fn act(random: &mut fastrand::Rng, live: &Live, now: u64) -> Act {
    match random.u8(..18) {
        0 => Act::GoOn,
        1 => Act::Back,
        2 | 3 => Act::Skip,
        4 => Act::Add(secs(random.u64(1..30))),
        5 => Act::Take(secs(random.u64(1..30))),
        6 => Act::Step(Harder::Easier),
        7 => Act::Step(Harder::Harder),
        8 => Act::Step(Harder::Instead),
        9 => Act::Swap(any_move(random)),
        10 | 11 => Act::OnceMore,
        12 => Act::DropRound,
        13 => Act::GoTo(random.usize(..live.session().laid().len())),
        14 => Act::Limits(vec![Load::Wrist, Load::Knee]),
        15 => Act::End,
        _ => {
            let (n, here, left) = (live.running(), live.offset(at(now)), live.left(at(now)));
            let cueing = &live.session().cueing;
            let room = |by: u64| left.saturating_sub(secs(by));
            let landing = match random.u8(..3) {
                0 => Landing::of(live.plan(), n, here, room(random.u64(1..150)), cueing),
                1 => Landing::with_running(live.plan(), n, here, room(random.u64(1..60)), cueing),
                _ => {
                    let room = left + secs(random.u64(1..150));
                    let ways = Landing::spare(live.plan(), n, here, room, cueing);
                    ways.into_iter().last().unwrap_or_default()
                }
            };
            Act::Land(landing.changes)
        }
    }
}

fn any_move(random: &mut fastrand::Rng) -> Arc<Move> {
    let ids = ["march", "plank", "row-band", "wall-sit", "bridge"];
    let id = ids[random.usize(..ids.len())];
    let library = Library::builtin();
    let of = library.iter().find(|of| of.id == id).expect(id);
    of.clone()
}

/// All that is shown, but when, and what was done last. What is to be said follows from what was
/// heard meanwhile, which may have been about what is no more.
fn shown(live: &Live, now: u64) -> View {
    View {
        ribbon: Arc::default(),
        notice: None,
        is_changed: false,
        asked: None,
        say: None,
        say_next: None,
        then: None,
        free: None,
        meant: MeantView::default(),
        ..live.view(at(now))
    }
}

/// What is ahead, with its numbers left aside: where it lies, what it is, how long.
fn ahead(live: &Live) -> Vec<(u32, Offset, Span, Vec<String>)> {
    let ahead = live.plan().intervals().iter().skip(live.running() + 1);
    let moves = |of: &crate::plan::Placed| {
        let moves = of.moves.iter();
        moves
            .map(|turn| format!("{} {:?}", turn.of.id, turn.pick))
            .collect()
    };
    ahead
        .map(|of| (of.id, of.start, of.span(), moves(of)))
        .collect()
}

/// How a try came out.
#[derive(Default)]
struct Met {
    exact: usize,
    at_once: usize,
    put_in: usize,
    late: usize,
    ran_on: usize,
}

/// Taken back up to two minutes later, a change of what is to come leaves the class as if it had never
/// been made, and a jump leaves it where it was left, to go on from there; or it is told that it is too
/// late, and nothing changes. Where time to get somewhere was put in, that is told, and nothing more.
#[test]
fn whatever_is_taken_back_late_is_as_if_it_had_not_been() {
    let mut random = fastrand::Rng::with_seed(88);
    let mut met = Met::default();
    for n in 0..6_000 {
        let parts = CLASSES[n % CLASSES.len()];
        let mut live = class(parts);
        let now = somewhere(&mut random, &mut live);
        if live.is_over() {
            continue;
        }
        let act = act(&mut random, &live, now);
        let delay = match random.u8(..4) {
            0 => 0,
            1 => random.u64(..2_000),
            2 => random.u64(..20_000),
            _ => random.u64(..120_000),
        };
        // Going on in counted work can be taken back too; here it is not what is tried.
        live.changes.clear();
        let mut twin = live.clone();
        go(&mut live, now, act.clone());
        if live.is_asking(at(now)) {
            go(&mut live, now, act.clone());
        }
        if live.changes.is_empty() {
            continue;
        }
        let story = format!("{act:?} at {now}, back {delay} ms later, in {parts}");
        let then = now + delay;
        if random.bool() {
            live.handle(at(now + delay / 2), &Input::Wake);
        }
        live.handle(at(then), &Input::Wake);
        compare(&mut live, &mut twin, (now, then), &story, &mut met);
    }
    let Met {
        exact,
        at_once,
        put_in,
        late,
        ran_on,
    } = met;
    let told =
        format!("{exact} exact, {at_once} at once, {put_in} put in, {late} late, {ran_on} ran on");
    assert!(
        exact > 2_000 && at_once > 500 && put_in > 20 && late > 200,
        "{told}"
    );
}

fn compare(live: &mut Live, twin: &mut Live, (now, then): (u64, u64), story: &str, met: &mut Met) {
    let last = live.changes.last();
    let last = last.filter(|last| last.number > twin.changed);
    let is_jump = last.is_some_and(|last| matches!(last.back, Back::Jump(_)));
    let stands = |live: &Live| (ahead(live), live.left(at(then)), live.limits().to_vec());
    let (before, was_over) = (stands(live), live.is_over());
    go(live, then, Act::Undo);
    let told = live.view(at(then)).notice.unwrap_or_default();
    if !told.starts_with("taken back: ") {
        assert!(
            was_over || told.starts_with("too late to take back"),
            "{told:?}, {story}"
        );
        assert_eq!(stands(live), before, "{story}");
        met.late += 1;
    } else if is_jump {
        assert_eq!(put_in(&told), 0, "{story}");
        goes_on(live, then, twin, now, story);
        met.exact += 1;
    } else {
        twin.handle(at(then), &Input::Wake);
        never_was(live, twin, then, put_in(&told), story, met);
        met.at_once += usize::from(now == then);
    }
}

/// The class stands where it stood when the jump was made, only later. What ends at a time of its own,
/// a cap or a mark, gives what ran meanwhile.
fn goes_on(live: &Live, then: u64, twin: &Live, now: u64, story: &str) {
    let left = &twin.course.left;
    let is_fixed = left.cap.is_some() || left.ahead.iter().any(|next| next.mark.is_some());
    let lefts = [live.left(at(then)), twin.left(at(now))];
    assert!(
        lefts[0] == lefts[1] || is_fixed && lefts[0] < lefts[1],
        "{lefts:?}: {story}"
    );
    let running = |live: &Live, now: u64| {
        let running = live.course.running().expect("something runs");
        let elapsed = running.elapsed(live.offset(at(now)));
        ((running.interval.clone(), elapsed), running.target)
    };
    let ((seen, target), (meant, planned)) = (running(live, then), running(twin, now));
    assert_eq!(seen, meant, "{story}");
    assert!(target == planned || is_fixed && target < planned, "{story}");
    let of = |live: &Live| -> Vec<(u32, Vec<String>)> {
        let ahead = ahead(live).into_iter();
        ahead.map(|(id, _, _, moves)| (id, moves)).collect()
    };
    assert!(target != planned || of(live) == of(twin), "{story}");
    let side = |live: &Live, now: u64| live.view(at(now)).now.and_then(|now| now.side);
    assert_eq!(side(live, then), side(twin, now), "{story}");
}

/// The class is as if the change had never been, but for the time that was put in.
fn never_was(live: &Live, twin: &Live, now: u64, put_in: u64, story: &str, met: &mut Met) {
    let runs = |live: &Live| {
        live.course
            .running()
            .map(|of| (of.interval.clone(), of.elapsed(live.offset(at(now)))))
    };
    if runs(live) != runs(twin) {
        // It ran on into time that was added, or in a pause that was put in.
        met.ran_on += 1;
        return;
    }
    let (end, meant) = (live.projected_end(at(now)), twin.projected_end(at(now)));
    if put_in > 0 {
        let more = end.since(meant).secs_ceil();
        assert!(more <= put_in, "{more} s of {put_in}: {story}");
        met.put_in += 1;
        return;
    }
    assert_eq!(end, meant, "{story}");
    assert_eq!(ahead(live), ahead(twin), "{story}");
    assert_eq!(live.limits(), twin.limits(), "{story}");
    let done = |live: &Live| -> Vec<_> {
        let taught = live.course.taught.iter();
        taught.map(|stay| stay.interval.moves.clone()).collect()
    };
    let mut views = [shown(live, now), shown(twin, now)];
    if done(live) != done(twin) {
        // People come from where they were in what was done meanwhile, and what they have got.
        for next in views.iter_mut().filter_map(|view| view.next.as_mut()) {
            next.fetch.clear();
            (next.change, next.from) = (PositionChange::Same, next.is.position);
        }
    }
    let [is, was] = &views;
    assert_same(is, was, story);
    met.exact += 1;
}

/// Two views in words, a line for each field: what differs is told alone.
fn assert_same(is: &View, was: &View, story: &str) {
    let (is, was) = (format!("{is:#?}"), format!("{was:#?}"));
    let differ: Vec<_> = is
        .lines()
        .zip(was.lines())
        .filter(|(a, b)| a != b)
        .collect();
    assert!(is == was, "{differ:?}: {story}");
}
