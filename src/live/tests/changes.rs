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
    block.moves = vec![noted("slowly", 40).into(), noted("with a pulse", 20).into()];
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
    let after = live.plan().total().saturating_sub(counted.end.span());
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
    block.moves = vec![on_mat("bridge").into(), squat, on_mat("dead-bug").into()];
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
    assert_eq!(
        notice.as_deref(),
        Some("too late to take back: skipped LUNGE")
    );
    assert_eq!(name_of(running(&live)), Some("press"));
}

/// What ended the class, whenever and however, is taken back as if the class had been held there.
#[test]
fn an_end_taken_back_leaves_the_class_as_if_it_had_been_held() {
    let (last, so_late) = near_the_end(Span::from_secs(5));
    for (live, now, act) in [
        (begun(), SQUATS - 1_000, Act::End),
        (begun(), SQUATS, Act::End),
        (begun(), SQUATS + 1, Act::End),
        (begun(), SQUATS + 39_999, Act::End),
        (begun(), SQUATS + 45_000, Act::End),
        (last.clone(), so_late, Act::End),
        (last.clone(), so_late, Act::GoOn),
        (last, so_late, Act::Skip),
    ] {
        for pause in [0, 1, 20_000, 600_000] {
            let mut held = live.clone();
            let mut ended = held.clone();
            let (back, on) = (now + pause, now + pause + 2_000);
            go(&mut held, now, Act::Hold(HoldReason::Hold));
            go(&mut ended, now, act.clone());
            // What would end the class asks first.
            go(&mut ended, now, act.clone());
            assert!(
                ended.is_over() && ended.can_take_up_again(),
                "{act:?} at {now}"
            );
            go(&mut ended, back, Act::Undo);
            assert!(ended.is_held(), "{act:?} at {now}");
            for live in [&mut held, &mut ended] {
                go(live, on, Act::Resume);
                live.handle(at(on + 10_000), &Input::Wake);
            }
            let mut again = live.clone();
            for fact in facts(&mut ended) {
                again.redo(&fact);
            }
            again.handle(at(on + 10_000), &Input::Wake);
            assert_eq!(again.course, ended.course, "{act:?} at {now}");
            assert_eq!(ended.course.taught, held.course.taught, "{act:?} at {now}");
            assert_eq!(
                ended.course.left.running, held.course.left.running,
                "{act:?} at {now}"
            );
            assert_eq!(places(&ended), places(&held), "{act:?} at {now}");
            let done = [&held, &ended].map(|live| live.done(at(on + 10_000)));
            assert_eq!(done[0], done[1], "{act:?} at {now}");
        }
    }
}

/// A class that ran to its end has nothing to go on with, whatever was pressed in its last seconds.
#[test]
fn an_end_that_came_by_itself_is_not_taken_back() {
    for act in [
        Act::Mark,
        Act::Add(secs(1)),
        Act::Back,
        Act::Hold(HoldReason::Hold),
    ] {
        let (mut live, now) = near_the_end(Span::from_secs(8));
        go(&mut live, now, act.clone());
        go(&mut live, now + 1_000, Act::Resume);
        live.handle(at(2 * now), &Input::Wake);
        assert!(live.is_over(), "{act:?}");
        let before = live.clone();
        go(&mut live, 2 * now, Act::Undo);
        assert!(
            !live.can_take_up_again() && live.course == before.course,
            "{act:?}"
        );
    }
}

/// The class with so much of its last interval left.
fn near_the_end(left: Span) -> (Live, u64) {
    let mut live = begun();
    let mut now = SQUATS;
    while live.course.left.ahead.len() > 0 || live.left(at(now)) > left {
        now += 500;
        live.handle(at(now), &Input::Wake);
        if live.now().is_some_and(|now| now.untimed) {
            go(&mut live, now, Act::GoOn);
        }
    }
    facts(&mut live);
    (live, now)
}

/// Each interval with its place in time.
fn places(live: &Live) -> Vec<(u32, Offset, Offset)> {
    let intervals = live.plan().intervals().iter();
    intervals.map(|i| (i.id, i.start, i.end)).collect()
}

fn facts(live: &mut Live) -> Vec<Fact> {
    let outputs = std::iter::from_fn(|| live.poll_output());
    let facts = outputs.filter_map(|output| match output {
        Output::Fact(fact) => Some(fact),
        Output::Sound(_) => None,
    });
    facts.collect()
}

/// Another move comes wherever the block still has this one, now too; nothing else changes, the
/// class stays as long as it was, and taking it back is as if it had not been.
#[test]
fn another_move_takes_the_place_of_this_one_to_the_end_of_its_block_and_back() {
    let ids = |live: &Live| -> Vec<String> {
        let moving = live
            .plan()
            .intervals()
            .iter()
            .filter(|i| i.kind == Kind::Work);
        moving
            .filter_map(|i| name_of(i).map(str::to_owned))
            .collect()
    };
    for now in [
        SQUATS - 20_000,
        SQUATS + 5_000,
        SQUATS + 20_000,
        SQUATS + 35_000,
        SQUATS + 45_000,
    ] {
        let mut live = begun();
        live.handle(at(now), &Input::Wake);
        let (before, plain) = (ids(&live), live.clone());
        let this = live.meant_move().expect("a move").of.id.clone();
        let works = running(&live).kind.is_moving();
        let of = turn("march", Position::Standing, None).of.clone();
        go(&mut live, now, Act::Swap(of));
        let moves_over = works && live.course.running().expect("runs").start.millis() == now;
        let after = ids(&live);
        let expected = before.iter().enumerate().flat_map(|(n, id)| {
            let place = live
                .course
                .taught
                .iter()
                .filter(|t| t.interval.kind == Kind::Work)
                .count();
            match id {
                _ if *id != this => vec![id.clone()],
                // What ran of it was taught.
                _ if moves_over && n + 1 == place => vec![id.clone(), "march".to_owned()],
                _ if works && n == 0 => vec![id.clone()],
                _ => vec!["march".to_owned()],
            }
        });
        assert_eq!(after, expected.collect::<Vec<_>>(), "at {now}");
        assert_eq!(
            moves_over,
            [SQUATS + 5_000, SQUATS + 20_000].contains(&now),
            "at {now}"
        );
        let longer = live.plan().total().saturating_sub(plain.plan().total());
        assert!(longer.is_zero() || !moves_over, "at {now}: {longer}");
        let again = Live::replay(plain.session().clone(), facts(&mut live).iter());
        assert_eq!(again.course, live.course, "at {now}");
        go(&mut live, now, Act::Undo);
        assert_eq!(ids(&live), before, "at {now}");
        assert_eq!(live.plan().total(), plain.plan().total(), "at {now}");
        books_balance(&live, now);
    }
}
