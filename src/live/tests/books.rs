//! What is counted stays true, and what can be taken back can be, whatever went on meanwhile.

use super::pieces::class;
use super::*;

fn notice(live: &Live, now: u64) -> String {
    live.view(at(now)).notice.unwrap_or_default()
}

fn running(live: &Live) -> &super::super::course::Running {
    live.course.running().expect("something runs")
}

const COUNTED: &str =
    "Block(moves: [Use(move: \"squat\", reps: 10), Use(move: \"dead-bug\", reps: 10)],
    pattern: Reps(rounds: 3, rest: 20)), CoolDown([(\"child-pose\", 60)])";

/// Who asks too late loses nothing: what was left out stays left out, in the books too.
#[test]
fn a_skip_that_is_too_late_to_take_back_stays_in_the_books() {
    // The squats of the first round begin at 60 s; the rest behind them at 100 s.
    for (skip, undo) in [(70_000, 131_000), (105_000, 121_000)] {
        let mut live = begun();
        live.handle(at(skip), &Input::Wake);
        go(&mut live, skip, Act::Skip);
        assert_eq!(live.done(at(skip)).skipped, 1);
        for n in 0..3 {
            let now = undo + n * 1_000;
            go(&mut live, now, Act::Undo);
            assert!(notice(&live, now).starts_with("too late to take back: skipped "));
            assert_eq!(live.done(at(now)).skipped, 1, "asked {n} times more");
        }
    }
}

/// A jump that is too old does not stand in the way of what was changed before it, nor do many.
#[test]
fn what_was_changed_beneath_old_jumps_is_taken_back() {
    let mut live = class(COUNTED);
    let plain = live.clone();
    let versions = |live: &Live| -> Vec<bool> {
        let squats = live.plan().intervals().iter();
        let squats = squats
            .filter_map(|one| one.turn())
            .filter(|turn| turn.of.id == "squat");
        squats.map(|turn| turn.pick.is_some()).collect()
    };
    go(&mut live, 2_000, Act::Step(Harder::Easier));
    assert_eq!(versions(&live), [true; 3]);
    // Each set a minute and more: every going on is a jump, and too old by the next.
    let mut now = 10_000;
    for _ in 0..2 {
        now += 70_000;
        go(&mut live, now, Act::GoOn);
        now += 20_000;
        live.handle(at(now), &Input::Wake);
    }
    now += 61_000;
    let end = live.left(at(now));
    go(&mut live, now, Act::Undo);
    assert!(
        notice(&live, now).starts_with("taken back: "),
        "{}",
        notice(&live, now)
    );
    // The first squats were done so; the others are again as they were planned.
    assert_eq!(versions(&live), [true, false, false]);
    assert_eq!(live.left(at(now)), end);
    assert_eq!(versions(&plain), [false; 3]);
    go(&mut live, now, Act::Undo);
    assert!(
        notice(&live, now).starts_with("too late to take back"),
        "{}",
        notice(&live, now)
    );
}

/// Catching up is a jump like others: taken back within a minute, the class is where it was held.
#[test]
fn catching_up_is_taken_back() {
    let mut live = begun();
    live.handle(at(70_000), &Input::Wake);
    let slept = Act::Slept {
        from: at(70_000),
        gap: secs(65),
    };
    go(&mut live, 135_000, slept);
    let (id, left) = (running(&live).interval.id, live.left(at(135_000)));
    go(&mut live, 136_000, Act::CatchUp);
    // Counted in for 3 s; then 5 s of class.
    go(&mut live, 144_000, Act::Undo);
    assert_eq!(running(&live).interval.id, id);
    assert_eq!(live.view(at(144_000)).digits, Digits::Left(30));
    assert_eq!(live.left(at(144_000)), left);
    books_balance(&live, 144_000);
}

/// In counted work there is nothing to leave out: catching up goes on, and undo takes back what was
/// done before it, not what was never done.
#[test]
fn catching_up_in_counted_work_only_goes_on() {
    let mut live = class(COUNTED);
    live.handle(at(15_000), &Input::Wake);
    go(&mut live, 15_000, Act::Step(Harder::Easier));
    let slept = Act::Slept {
        from: at(20_000),
        gap: secs(300),
    };
    go(&mut live, 320_000, slept);
    let before = (live.course.left.clone(), live.changes.len());
    go(&mut live, 321_000, Act::CatchUp);
    assert_eq!((live.course.left.clone(), live.changes.len()), before);
    go(&mut live, 326_000, Act::Undo);
    let pick = live
        .now()
        .and_then(|now| now.turn())
        .and_then(|turn| turn.pick);
    assert_eq!(pick, None, "the version is taken back");
}

/// Counted work that ran over its estimate and is taken up again has the length it was planned with.
#[test]
fn counted_work_taken_up_again_has_its_planned_length() {
    for (ran, delay) in [
        (5_000, 1_000),
        (29_000, 0),
        (90_000, 500),
        (200_000, 59_000),
    ] {
        for act in [Act::GoOn, Act::Skip, Act::Back, Act::GoTo(2)] {
            let mut live = class(COUNTED);
            let now = 10_000 + ran;
            live.handle(at(now), &Input::Wake);
            let before = running(&live).clone();
            go(&mut live, now, act.clone());
            go(&mut live, now + delay, Act::Undo);
            let after = running(&live);
            let story = format!("{act:?} after {ran}, back {delay} later");
            assert_eq!(after.interval, before.interval, "{story}");
            assert_eq!(after.target, before.target, "{story}");
            let here = live.offset(at(now + delay));
            assert_eq!(after.elapsed(here), Span::from_millis(ran), "{story}");
            let digits = live.view(at(now + delay)).digits;
            assert_eq!(digits, Digits::Up(ran / 1_000), "{story}");
            let placed = &live.plan().intervals()[live.running()];
            assert_eq!(placed.length, secs(30), "{story}");
            books_balance(&live, now + delay);
        }
    }
}

/// A change, a jump, and both taken back: the class is as long as it was, in a window of 8 minutes
/// that stands at 4:00.
#[test]
fn a_change_and_a_jump_taken_back_leave_the_class_as_long_as_it_was() {
    let mut live = class(
        "Block(moves: [\"squat\", \"march\"], pattern: Amrap(time: \"8:00\")),
         CoolDown([(\"child-pose\", 60)])",
    );
    let now = 10_000 + 240_000;
    go(&mut live, now, Act::Add(secs(10)));
    // Half a window is much: it is asked first.
    go(&mut live, now, Act::GoOn);
    go(&mut live, now, Act::GoOn);
    assert_eq!(live.now().map(|now| now.kind), Some(Kind::CoolDown));
    for _ in 0..2 {
        go(&mut live, now + 1_000, Act::Undo);
    }
    assert_eq!(live.view(at(now + 1_000)).digits, Digits::Left(240));
}

/// Held by hand, or at a break, the class misses nothing while the lid is closed.
#[test]
fn a_closed_lid_in_a_hold_by_hand_leaves_nothing_out() {
    for why in [HoldReason::Hold, HoldReason::Break, HoldReason::Moving] {
        for clock_goes in [false, true] {
            let mut live = begun();
            go(&mut live, 70_000, Act::Hold(why));
            let left = live.left(at(70_000));
            let slept = Act::Slept {
                from: at(71_000),
                gap: secs(59),
            };
            let now = if clock_goes { 130_000 } else { 71_000 };
            go(&mut live, now, slept);
            let view = live.view(at(now)).held.expect("held");
            assert_eq!(view.gap, None, "{why:?}: there is nothing to catch up with");
            go(&mut live, now, Act::CatchUp);
            assert_eq!(notice(&live, now), "nothing to catch up with");
            go(&mut live, now + 1_000, Act::Resume);
            live.handle(at(now + 5_000), &Input::Wake);
            assert_eq!(live.left(at(now + 4_000)), left, "{why:?}");
        }
    }
}

/// What is left out of a block by move are sets, of a round moves, of a grid minutes.
#[test]
fn what_is_dropped_is_called_what_it_is() {
    let of = |order: &str, pattern: &str| {
        let moves = "\"squat\", \"march\", \"lunge\"";
        let block = format!("Block(moves: [{moves}], pattern: {pattern}{order})");
        let mut live = class(&format!("{block}, Recover(time: 30)"));
        live.handle(at(15_000), &Input::Wake);
        go(&mut live, 15_000, Act::DropRound);
        let told = notice(&live, 15_000);
        let next = live.view(at(15_000)).next.map(|next| next.is.name);
        (told, next.unwrap_or_default())
    };
    let same = "Same(rounds: 3, work: 40, rest: 20)";
    assert_eq!(of("", same).0, "2 moves of the round left out");
    let (told, next) = of(", order: ByMove", same);
    assert_eq!((told.as_str(), next.as_str()), ("2 sets left out", "March"));
    let (told, _) = of("", "Emom(minutes: 6, work: 40)");
    assert_eq!(told, "2 minutes of the round left out");
}
