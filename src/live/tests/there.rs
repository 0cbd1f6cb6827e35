//! People get to the next move in time, whatever is pressed and however late.

use super::pieces::class;
use super::*;
use crate::plan::{Interval, leaves_mat, need};

/// Standing and floor side by side, with a recovery, the end of a pass and a time to get ready.
const CLASS: &str = "Ready(time: 12), Block(moves: [\"squat\", \"plank-tap\", \"march\"],
        pattern: Same(rounds: 2, work: 25, rest: 16), recovery: 30), Recover(time: 20)";

/// The way to a move that comes: how long until it starts, and how long the way takes.
#[derive(Clone, Copy, Debug)]
struct Way {
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
            pause += next.end.since(next.start.max(here));
            active = Some(&**next.interval())
                .filter(|of| of.is_active_pause())
                .or(active);
            continue;
        }
        if at > n {
            let body = active.take().or(from);
            ways.push(Way {
                pause,
                need: need(&Cueing::default(), body, next, mat),
            });
        }
        mat |= leaves_mat(next);
        (from, pause, active) = (Some(&**next.interval()), Span::ZERO, None);
    }
    ways
}

/// The three keys that once sent people from squat to plank in no time at all: once more in a
/// recovery, at the end of a pass and while they get ready; a skip in the last two seconds of a rest.
#[test]
fn once_more_and_a_late_skip_leave_time_to_get_down() {
    let parts = CLASS;
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
