//! People get to the next move in time, whatever is pressed and however late.

use super::pieces::class;
use super::*;
use crate::plan::{Interval, leaves_mat, need};

/// Standing and floor side by side, with recoveries, ends of passes, rests in which they move, a
/// time to get ready, sides, and counted work.
const CLASSES: [&str; 5] = [
    "Ready(time: 12), Block(moves: [\"squat\", \"plank-tap\", \"march\"],
        pattern: Same(rounds: 2, work: 25, rest: 16), recovery: 30), Recover(time: 20)",
    "Ready(time: 15), Block(moves: [\"plank-tap\", \"squat\"],
        pattern: Same(rounds: 3, work: 20, rest: 14), order: ByMove, recovery: 25),
     CoolDown([(\"child-pose\", 40), (\"march\", 30)])",
    "Block(moves: [\"squat\", \"dead-bug\"], pattern: Same(rounds: 2, work: 25, rest: 18),
        between: \"march\"), Recover(time: 25, move: \"march\"),
     Block(moves: [\"side-plank\", \"squat\"], pattern: Rounds(work: [30, 20], rest: [15, 20]))",
    "WarmUp([(\"march\", 30), (\"child-pose\", 30)]), Ready(time: 14),
     Block(moves: [Use(move: \"squat\", reps: 5), Use(move: \"dead-bug\", work: 20)],
        pattern: Reps(rounds: 3, rest: 15)), Recover(time: 30)",
    "Ready(time: 20), Block(moves: [\"squat\", \"march\"], pattern: Amrap(time: \"1:00\")), Recover(time: 25),
     Block(moves: [\"dead-bug\", \"squat\"], pattern: Same(rounds: 2, work: 20, rest: 15))",
];

/// A move that comes: its number, how long until it starts, and how long the way to it takes.
#[derive(Clone, Copy, Debug)]
struct Way {
    to: u32,
    from: Option<u32>,
    pause: Span,
    need: Span,
}

/// The ways to all moves ahead: read from what is shown of the class, in the order in which it
/// comes.
fn ways(live: &Live, now: u64) -> Vec<Way> {
    let (here, n) = (live.offset(at(now)), live.running());
    let all = live.plan().intervals();
    // What was taken back was not meant: it is left aside where a jump led there.
    let taught = live.course.taught.iter().filter(|stay| !stay.is_undone);
    let taught: Vec<&Interval> = taught.map(|stay| &*stay.interval).collect();
    let moving = |of: &&&Interval| of.kind.is_moving();
    let mut from: Option<&Interval> = taught.iter().rfind(moving).copied();
    let since = taught.iter().rev().take_while(|of| !of.kind.is_moving());
    let mut active = since.copied().find(|of| of.is_active_pause());
    let mut mat = live.course.taught.iter();
    let mut mat = mat.any(|of| of.interval.kind.is_moving() && leaves_mat(&of.interval));
    let (mut ways, mut pause) = (Vec::new(), Span::ZERO);
    for (at, next) in all.iter().enumerate().skip(n) {
        if !next.kind.is_moving() {
            // Counted work that runs on moves all that comes, though it is still told where it was planned.
            pause += if at == n {
                next.end.since(here)
            } else {
                next.length
            };
            active = Some(&**next.interval())
                .filter(|of| of.is_active_pause())
                .or(active);
            continue;
        }
        if at > n {
            let body = active.take().or(from);
            ways.push(Way {
                to: next.id,
                from: from.map(|from| from.id),
                pause,
                need: need(&Cueing::default(), body, next, mat),
            });
        }
        mat |= leaves_mat(next);
        (from, pause, active) = (Some(&**next.interval()), Span::ZERO, None);
    }
    ways
}

/// Whatever changes the class, at any moment of it, leaves the time to get to every move ahead, or
/// as much as there was between the same two before.
#[test]
fn every_change_leaves_the_time_to_get_to_the_next_move() {
    let acts = |parts: usize, random: &mut fastrand::Rng| {
        let march = turn("march", Position::Standing, None).of.clone();
        let plank = turn("plank", Position::HandsAndFeet, None).of.clone();
        vec![
            Act::OnceMore,
            Act::Skip,
            Act::DropRound,
            Act::Take(secs(10)),
            Act::Add(secs(10)),
            Act::Swap(march),
            Act::Swap(plank),
            Act::Step(Harder::Easier),
            Act::Step(Harder::Instead),
            Act::GoTo(random.usize(1..parts)),
        ]
    };
    let mut random = fastrand::Rng::with_seed(9);
    let (mut changed, mut told) = (0, 0);
    for parts in CLASSES {
        let mut live = class(parts);
        let count = live.session().laid().len();
        let mut now = 0;
        while !live.is_over() {
            live.handle(at(now), &Input::Wake);
            if live.now().is_some_and(|now| now.untimed) && random.u8(..30) == 0 {
                go(&mut live, now, Act::GoOn);
            }
            for act in acts(count, &mut random) {
                let mut bent = live.clone();
                let before = ways(&bent, now);
                go(&mut bent, now, act.clone());
                if bent.is_asking(at(now)) {
                    go(&mut bent, now, act.clone());
                }
                if bent.is_over() || bent.changes.len() == live.changes.len() {
                    continue;
                }
                changed += 1;
                for way in ways(&bent, now) {
                    let was = before
                        .iter()
                        .find(|old| (old.to, old.from) == (way.to, way.from));
                    let enough = was.map_or(way.need, |was| {
                        way.need.min(was.pause + way.need.saturating_sub(was.need))
                    });
                    assert!(
                        way.pause >= enough,
                        "{act:?} at {now}: {way:?}, was {was:?}, in {parts}"
                    );
                }
                let notice = bent.view(at(now)).notice.unwrap_or_default();
                told += usize::from(notice.contains(", +0:"));
            }
            now += 400 + random.u64(..400);
        }
    }
    assert!(changed > 8_000 && told > 100, "{changed} {told}");
}

/// The three keys that once sent people from squat to plank in no time at all: once more in a
/// recovery, at the end of a pass and while they get ready; a skip in the last two seconds of a rest.
#[test]
fn once_more_and_a_late_skip_leave_time_to_get_down() {
    let parts = CLASSES[0];
    // Talk to 10, ready to 22; 25 of squats, 16 of rest, 25 of planks from 63 on, rest to 104, 25 of
    // marching, 30 of recovery from 129 to 159.
    for (act, name, moments) in [
        (Act::OnceMore, "recovery", 157_000..159_000),
        (Act::OnceMore, "end of the pass", 104_500..129_000),
        (Act::OnceMore, "get ready", 20_000..22_000),
        (Act::Skip, "late in a rest", 45_000..47_000),
        (Act::Skip, "late in the rest before", 61_000..63_000),
    ] {
        for now in moments.step_by(250) {
            let mut live = class(parts);
            live.handle(at(now), &Input::Wake);
            go(&mut live, now, act.clone());
            let way = ways(&live, now)[0];
            if live.view(at(now)).is_changed {
                assert!(way.pause >= way.need, "{name} at {now}: {way:?}");
            }
            let mut at_once = live.clone();
            go(&mut at_once, now, Act::Undo);
            let mut plain = class(parts);
            plain.handle(at(now), &Input::Wake);
            assert_eq!(
                at_once.course.left.ahead, plain.course.left.ahead,
                "{name} at {now}"
            );
        }
    }
}
