//! Changes at awkward moments: late, twice, in the last seconds, far back, at the very end.

use super::*;

/// The squats of the first round begin at 60 s, their rest at 100 s, the lunges at 120 s.
const SQUATS: u64 = 60_000;

fn running(live: &Live) -> &crate::plan::Placed {
    &live.plan().intervals()[live.running()]
}

/// How long the running interval is to last in all.
fn target(live: &Live) -> Span {
    live.course.running().expect("something runs").target
}

fn name_of(interval: &crate::plan::Interval) -> Option<&str> {
    interval.turn().map(|turn| turn.of.id.as_str())
}

#[test]
fn a_landing_taken_late_leaves_what_has_run_and_time_to_count_it_out() {
    let mut live = begun();
    let now = SQUATS + 30_000;
    live.handle(at(now), &Input::Wake);
    let id = running(&live).id;
    let kind = ChangeKind::Length(secs(12));
    go(&mut live, now, Act::Land(vec![Change { id, kind }]));
    assert_eq!(live.offset(at(now)), Offset::from_millis(now));
    assert_eq!(target(&live), secs(30 + 5), "3 to count and 2 s");
    books_balance(&live, now);
}

#[test]
fn a_step_changes_the_option_and_nothing_else_of_a_move_that_comes_twice() {
    let mut plain = session().as_ref().clone();
    let noted = |note: &str, work| {
        let turn = turn("squat", Position::Standing, None).as_ref().clone();
        Arc::new(Use {
            note: Some(note.into()),
            work: Some(secs(work)),
            ..turn
        })
    };
    let Part::Block(block) = &mut plain.parts[3] else {
        panic!("the block");
    };
    block.moves = vec![noted("slowly", 40), noted("with a pulse", 20)];
    let mut live = Live::new(Arc::new(plain));
    go(&mut live, 0, Act::Begin);
    go(&mut live, SQUATS, Act::Step(Harder::Easier));
    let squats = live.plan().intervals().iter();
    let squats: Vec<_> = squats.filter(|i| name_of(i) == Some("squat")).collect();
    for (n, squat) in squats.iter().enumerate() {
        let turn = squat.turn().expect("a move");
        let note = ["slowly", "with a pulse"][n % 2];
        assert_eq!(turn.note.as_deref(), Some(note), "{n}");
        assert!(turn.pick.is_some(), "{n}");
    }
    assert_eq!(squats.len(), 6);
}

#[test]
fn back_twice_is_the_interval_before_even_where_this_one_was_begun_anew() {
    let mut live = begun();
    go(&mut live, SQUATS + 10_000, Act::Back);
    go(&mut live, SQUATS + 20_000, Act::Back);
    go(&mut live, SQUATS + 21_000, Act::Back);
    let from_here = &live.plan().intervals()[live.running()..];
    let kinds: Vec<Kind> = from_here.iter().take(3).map(|i| i.kind).collect();
    assert_eq!(kinds, [Kind::Ready, Kind::Work, Kind::Rest]);
}

#[test]
fn a_short_sleep_in_counted_work_leaves_nothing_out() {
    let mut live = begun();
    let intervals = live.plan().intervals();
    let counted = intervals.iter().find(|i| i.untimed).expect("counted work");
    let (id, start) = (counted.id, counted.start.millis());
    let now = start + 90_000;
    let after = live.plan().total().less(counted.end.span());
    let slept = Act::Slept {
        from: at(now),
        gap: secs(10),
    };
    go(&mut live, now, slept);
    go(&mut live, now, Act::CatchUp);
    assert_eq!(running(&live).id, id, "the work waits for the key");
    assert!(!live.is_held(), "the class goes on");
    assert_eq!(live.left(at(now)), after, "and all after it stays");
}

#[test]
fn what_is_slept_past_ends_where_counted_work_begins() {
    let mut live = begun();
    let slept = Act::Slept {
        from: at(SQUATS),
        gap: secs(3 * 3600),
    };
    go(&mut live, SQUATS, slept);
    go(&mut live, SQUATS, Act::CatchUp);
    assert!(running(&live).untimed);
}

#[test]
fn two_sleeps_without_a_word_between_are_caught_up_together() {
    let mut live = begun();
    for (from, gap) in [(SQUATS, 20), (SQUATS + 1_000, 50)] {
        let (from, gap) = (at(from), secs(gap));
        go(&mut live, from.millis(), Act::Slept { from, gap });
    }
    let left = live.left(at(SQUATS + 2_000));
    go(&mut live, SQUATS + 2_000, Act::CatchUp);
    // Both sleeps, the second after each of them, and the count-in.
    let missed = secs(20 + 1 + 50 + 1 + 3);
    assert_eq!(live.left(at(SQUATS + 2_000)) + missed, left);
}

#[test]
fn going_back_to_a_part_keeps_what_was_changed_in_the_parts_to_come() {
    let mut live = begun();
    let cool_down = live.plan().intervals().last().expect("a cool-down").id;
    let kind = ChangeKind::Length(secs(31));
    let change = Change {
        id: cool_down,
        kind,
    };
    go(&mut live, SQUATS, Act::Land(vec![change]));
    go(&mut live, SQUATS + 5_000, Act::GoTo(1));
    assert_eq!(running(&live).kind, Kind::WarmUp);
    let last = live.plan().intervals().last().expect("a cool-down");
    assert_eq!((last.id, last.length), (cool_down, secs(31)));
    let squats = live.plan().intervals()[live.running()..].iter();
    assert_eq!(squats.filter(|i| name_of(i) == Some("squat")).count(), 3);
}

#[test]
fn taking_time_leaves_the_whole_count() {
    let mut session = session().as_ref().clone();
    session.cueing.count = 6;
    let mut live = Live::new(Arc::new(session));
    go(&mut live, 0, Act::Begin);
    go(&mut live, SQUATS + 28_000, Act::Take(secs(10)));
    assert_eq!(target(&live), secs(28 + 6));
    go(&mut live, SQUATS + 29_000, Act::Take(secs(10)));
    assert_eq!(target(&live), secs(28 + 6), "its last seconds stay");
}

/// What ends the class cannot be taken back, so it is asked, whichever key it is.
#[test]
fn whatever_would_end_the_class_is_asked() {
    let gap = secs(12 * 3600);
    for act in [Act::GoOn, Act::Skip, Act::CatchUp] {
        let mut live = begun();
        go(&mut live, 10_000, Act::GoTo(6));
        assert_eq!(running(&live).kind, Kind::Ready, "people must get down");
        let there = 10_000 + running(&live).span().millis();
        live.handle(at(there), &Input::Wake);
        assert_eq!(running(&live).kind, Kind::CoolDown);
        let now = running(&live).start.millis() + 20_000;
        if act == Act::CatchUp {
            let from = at(now);
            go(&mut live, now, Act::Slept { from, gap });
        }
        go(&mut live, now, act.clone());
        assert!(!live.is_over(), "{act:?}");
        assert_eq!(live.view(at(now)).asked, Some(Asked::End), "{act:?}");
        live.handle(at(now + 5_000), &Input::Wake);
        go(&mut live, now + 5_000, act.clone());
        assert!(!live.is_over(), "{act:?}: the question had passed");
        go(&mut live, now + 6_000, act.clone());
        assert!(live.is_over(), "{act:?}");
        let told = facts(&mut live);
        let again = Live::replay(session(), &told);
        assert!(again.is_over(), "{act:?}: a record does not ask");
        assert_eq!(again.done(at(now)), live.done(at(now)), "{act:?}");
    }
}

#[test]
fn limits_and_marks_change_no_time_and_limits_are_taken_back() {
    let mut live = begun();
    go(&mut live, SQUATS, Act::Add(secs(10)));
    let before = live.course.clone();
    go(&mut live, SQUATS + 1_000, Act::Limits(vec![Load::Knee]));
    go(&mut live, SQUATS + 1_000, Act::Mark);
    let kept = |course: &super::super::course::Course| (course.taught.clone(), course.left.clone());
    assert_eq!(kept(&live.course), kept(&before));
    assert_eq!(live.limits(), [Load::Knee]);
    go(&mut live, SQUATS + 2_000, Act::Undo);
    assert_eq!((live.limits(), target(&live)), (&[][..], secs(50)));
    go(&mut live, SQUATS + 2_000, Act::Undo);
    assert_eq!(target(&live), secs(40));
}

/// The words, the screen and the landing have one answer; here the screen's.
#[test]
fn a_mat_is_fetched_once_and_then_lies_there() {
    let mut plain = session().as_ref().clone();
    let on_mat = |id| {
        let mut turn = turn(id, Position::Supine, None).as_ref().clone();
        Arc::make_mut(&mut turn.of).equipment = vec!["mat".into()];
        Arc::new(turn)
    };
    let Part::Block(block) = &mut plain.parts[3] else {
        panic!("the block");
    };
    let squat = block.moves[0].clone();
    block.moves = vec![on_mat("bridge"), squat, on_mat("dead-bug")];
    let mut live = Live::new(Arc::new(plain));
    go(&mut live, 0, Act::Begin);
    let fetch = |live: &mut Live, now: u64| {
        live.handle(at(now), &Input::Wake);
        live.view(at(now)).next.map(|next| next.fetch)
    };
    assert_eq!(fetch(&mut live, SQUATS - 5_000), Some(vec!["mat".into()]));
    let dead_bug = fetch(&mut live, SQUATS + 70_000);
    assert_eq!(dead_bug, Some(vec![]), "the mat lies there");
}

/// Added time taken back when it already runs: what is left is counted out, not cut off.
#[test]
fn added_time_that_runs_already_is_taken_back_with_a_count() {
    let mut live = begun();
    go(&mut live, SQUATS + 35_000, Act::Add(secs(30)));
    go(&mut live, SQUATS + 39_000, Act::Undo);
    assert_eq!(target(&live), secs(40), "as it was");
    go(&mut live, SQUATS + 39_000, Act::Add(secs(30)));
    go(&mut live, SQUATS + 45_000, Act::Undo);
    assert_eq!(target(&live), secs(45 + 3), "3 to count");
}

#[test]
fn a_change_whose_place_has_passed_is_not_called_taken_back() {
    let mut live = begun();
    // The rest before the lunge; the lunge is skipped, the press begins.
    go(&mut live, SQUATS + 45_000, Act::Skip);
    go(&mut live, SQUATS + 65_000, Act::Undo);
    let notice = live.view(at(SQUATS + 65_000)).notice;
    assert_eq!(notice.as_deref(), Some("nothing to take back"));
    assert_eq!(name_of(running(&live)), Some("press"));
}
