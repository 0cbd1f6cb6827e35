//! What a class is after it was bent: as long as it was made, on its grid, told in words, and as it
//! was where a change is taken back.

use super::*;

/// A class of these parts, begun.
fn of_parts(parts: Vec<Part>) -> Live {
    let mut session = session().as_ref().clone();
    session.parts = parts;
    let mut live = Live::new(Arc::new(session));
    go(&mut live, 0, Act::Begin);
    live
}

fn block(moves: Vec<Arc<Use>>, pattern: Pattern) -> Part {
    Part::Block(Block {
        title: Some("Block".into()),
        moves: moves.into_iter().map(Into::into).collect(),
        pattern,
        recovery: None,
        between: None,
        last_rest: false,
        order: Order::ByRound,
    })
}

fn ready(time: u64) -> Part {
    Part::Ready { time: secs(time) }
}

fn standing(ids: &[&str]) -> Vec<Arc<Use>> {
    let turns = ids.iter().map(|id| turn(id, Position::Standing, None));
    turns.collect()
}

fn same(rounds: u32, work: u64, rest: u64) -> Pattern {
    let (work, rest) = (secs(work), secs(rest));
    Pattern::Same { rounds, work, rest }
}

fn digits(live: &Live, now: u64) -> Digits {
    live.view(at(now)).digits
}

fn notice(live: &Live, now: u64) -> String {
    live.view(at(now)).notice.unwrap_or_default()
}

/// What a landing made of the work that runs holds for it also where it is begun anew, however that
/// comes about; the landing taken back gives it what it had.
#[test]
fn landed_work_is_begun_anew_as_long_as_it_was_landed() {
    let now = 70_000;
    let landed = || {
        let mut live = begun();
        live.handle(at(now), &Input::Wake);
        let id = live.now().expect("the squats").id;
        let kind = ChangeKind::Length(secs(27));
        go(&mut live, now, Act::Land(vec![Change { id, kind }]));
        assert_eq!(digits(&live, now), Digits::Left(17));
        live
    };
    let mut live = landed();
    go(&mut live, now + 1_000, Act::Back);
    assert_eq!(digits(&live, now + 1_000), Digits::Left(27));
    let mut taken_back = live.clone();
    for left in [16, 29] {
        go(&mut taken_back, now + 1_000, Act::Undo);
        assert_eq!(digits(&taken_back, now + 1_000), Digits::Left(left));
    }
    // From the rest behind it, twice back.
    let mut live = landed();
    for later in [20_000, 21_000] {
        go(&mut live, now + later, Act::Back);
    }
    assert_eq!(digits(&live, now + 21_000), Digits::Left(27));
    let again = Live::replay(session(), &facts(&mut live));
    assert_eq!(again.course.left.running, live.course.left.running);
}

/// A block of 40 and 20 s is no grid, whatever is left of it.
#[test]
fn a_block_that_looks_like_minutes_is_none() {
    for skipped in [&[][..], &[2], &[1, 2], &[0, 2]] {
        let mut live = of_parts(vec![
            ready(10),
            block(standing(&["squat", "lunge", "press"]), same(1, 40, 20)),
            ready(60),
        ]);
        for n in skipped {
            // In the rest before, or in the getting ready.
            let now = if *n == 0 { 5_000 } else { 55_000 };
            go(&mut live, now, Act::Skip);
        }
        let mut now = 55_000;
        while now < 300_000 {
            live.handle(at(now), &Input::Wake);
            if live.is_over() {
                break;
            }
            assert_eq!(live.view(at(now)).minute, None, "{skipped:?} at {now}");
            let end = live.projected_end(at(now));
            let is_last = live.course.left.ahead.len() == 0;
            for (act, by) in [(Act::Add(secs(10)), 10_000), (Act::Take(secs(1)), 1_000)] {
                let mut bent = live.clone();
                go(&mut bent, now, act.clone());
                let moved =
                    bent.projected_end(at(now)).since(end) + end.since(bent.projected_end(at(now)));
                let refused = !bent.view(at(now)).is_changed;
                assert!(
                    refused || moved.millis() <= by,
                    "{act:?} {skipped:?} at {now}: {moved}"
                );
                assert!(
                    act != Act::Add(secs(10)) || !refused,
                    "{skipped:?} at {now}"
                );
            }
            if !is_last {
                let mut bent = live.clone();
                let left = bent
                    .course
                    .running()
                    .expect("runs")
                    .left(bent.offset(at(now)));
                go(&mut bent, now, Act::GoOn);
                assert_eq!(
                    end.since(bent.projected_end(at(now))),
                    left,
                    "{skipped:?} at {now}"
                );
            }
            now += 3_700;
        }
    }
}

/// Starts on a grid stay on it whatever is pressed, and whenever: and to each of them people have the
/// time that they need, if the rests of the grid have it.
#[test]
fn starts_stay_on_the_grid_and_people_get_there_in_time() {
    let moves = || {
        let mut moves = standing(&["jack", "row"]);
        moves.push(turn("plank", Position::HandsAndFeet, None));
        moves
    };
    let emom = Pattern::Emom {
        times: 7,
        every: secs(60),
        work: Some(secs(40)),
    };
    let plain = of_parts(vec![ready(10), block(moves(), emom), ready(30)]);
    let acts = [
        Act::GoOn,
        Act::Skip,
        Act::Add(secs(10)),
        Act::Take(secs(10)),
        Act::DropRound,
        Act::OnceMore,
    ];
    for now in (10_000..420_000).step_by(900) {
        for act in &acts {
            let mut live = plain.clone();
            live.handle(at(now), &Input::Wake);
            let pause = !live.now().is_some_and(|now| now.kind.is_moving());
            go(&mut live, now, act.clone());
            if live.is_over() {
                continue;
            }
            let here = live.offset(at(now));
            let ahead = live.plan().intervals()[live.running()..].iter();
            let starts = ahead.filter(|i| i.grid().is_some() && i.kind == Kind::Work);
            let starts: Vec<_> = starts.filter(|i| i.start > here).collect();
            for next in &starts {
                let off = (next.start.millis() - 10_000) % 60_000;
                assert_eq!(off, 0, "{act:?} at {now}: {:?}", next.start);
            }
            let changed = live.view(at(now)).is_changed;
            let skips = matches!(act, Act::Skip | Act::DropRound) && pause && changed;
            if let Some(next) = starts.first().filter(|_| skips) {
                let from = live.course.last_moved().map(|from| &**from);
                let lead = crate::plan::need(&Cueing::default(), from, next, false);
                let left = next.start.since(here);
                assert!(
                    left >= lead,
                    "{act:?} at {now}: {left} to {:?}",
                    next.turn()
                );
                let preview = live
                    .cues()
                    .prompts
                    .iter()
                    .find(|prompt| prompt.id == next.id && prompt.kind == PromptKind::Preview);
                assert!(
                    preview.is_some(),
                    "{act:?} at {now}: nothing tells what comes"
                );
            }
        }
    }
}

/// Going on in the rest before a start on the grid would move it: it is refused, in words.
#[test]
fn nothing_goes_on_from_the_rest_of_a_grid_but_the_clock() {
    let emom = Pattern::Emom {
        times: 2,
        every: secs(60),
        work: Some(secs(40)),
    };
    let moves = standing(&["jack", "row"]);
    let mut live = of_parts(vec![ready(10), block(moves, emom), ready(30)]);
    go(&mut live, 55_000, Act::GoOn);
    assert_eq!(notice(&live, 55_000), "the next one starts on time");
    assert_eq!(live.plan().total(), secs(160));
    // The last rest leads to nothing that starts on the grid.
    go(&mut live, 115_000, Act::GoOn);
    assert_eq!(live.plan().total(), secs(145));
}

/// What a view shows, apart from where in the class it is and what was done last.
fn shown(live: &Live, now: u64) -> View {
    View {
        at: Span::ZERO,
        total: Span::ZERO,
        ribbon: Arc::default(),
        notice: None,
        is_changed: false,
        ..live.view(at(now))
    }
}

/// A jump taken back up to a minute later: the class stands as it stood, with the same words said and
/// to come, and goes on so, only later.
#[test]
fn a_jump_taken_back_restores_all_that_is_shown() {
    let mut random = fastrand::Rng::with_seed(21);
    let (mut restored, mut tried) = (0, 0);
    while tried < 1_500 {
        let mut live = begun();
        let now = random.u64(0..480_000);
        let mut then = 0;
        while then < now {
            then = (then + random.u64(1..30_000)).min(now);
            live.handle(at(then), &Input::Wake);
        }
        let act = match random.u8(0..5) {
            0 | 1 => Act::GoOn,
            2 => Act::Skip,
            3 => Act::Back,
            _ => Act::GoTo(random.usize(0..7)),
        };
        let was = live.clone();
        go(&mut live, now, act.clone());
        tried += 1;
        let jumped = live.changes.last().is_some_and(|last| {
            live.changes.len() > was.changes.len()
                && matches!(last.back, super::super::change::Back::Jump(_))
        });
        if !jumped {
            continue;
        }
        let delay = match random.u8(0..3) {
            0 => random.u64(0..1_000),
            1 => random.u64(0..10_000),
            _ => random.u64(0..60_000),
        };
        if random.bool() {
            live.handle(at(now + delay / 2), &Input::Wake);
        }
        go(&mut live, now + delay, Act::Undo);
        let story = format!("{act:?} at {now}, back {delay} ms later");
        let ends = live
            .projected_end(at(now + delay))
            .since(was.projected_end(at(now)));
        assert_eq!(ends.millis(), delay, "{story}");
        let ahead = |live: &Live| -> Vec<(u32, Span)> {
            let ahead = live.plan().intervals().iter().skip(live.running() + 1);
            ahead.map(|i| (i.id, i.span())).collect()
        };
        assert_eq!(ahead(&live), ahead(&was), "{story}");
        let mut twin = was;
        for later in (0..90_000).step_by(730) {
            twin.handle(at(now + later), &Input::Wake);
            live.handle(at(now + delay + later), &Input::Wake);
            let (seen, meant) = (shown(&live, now + delay + later), shown(&twin, now + later));
            assert_eq!(seen, meant, "{story}, {later} ms on");
        }
        restored += 1;
    }
    assert!(restored > 800, "{restored} jumps were taken back");
}

/// A window in which a circuit is repeated is much time at once: it is asked for, told by its name
/// and its length, and the move that happens to stand first is not named.
#[test]
fn a_window_is_asked_for_and_called_what_it_is() {
    let amrap = Pattern::Amrap { time: secs(300) };
    let moves = standing(&["squat", "lunge"]);
    let plain = of_parts(vec![ready(10), block(moves, amrap), ready(30), ready(30)]);
    let now = 58_000;
    for (act, question, told) in [
        (
            Act::GoOn,
            "Leave the rest of the AMRAP, 4:12?",
            "ended the AMRAP, 4:11 early",
        ),
        (
            Act::Skip,
            "Leave the rest of the AMRAP, 4:12?",
            "skipped the rest of the AMRAP, 4:11",
        ),
        (
            Act::OnceMore,
            "The AMRAP once more, 5:00?",
            "once more: the AMRAP, 5:00, +0:05 to get ready",
        ),
    ] {
        let mut live = plain.clone();
        let end = live.projected_end(at(0));
        go(&mut live, now, act.clone());
        let asked = live.view(at(now)).asked.expect("a question");
        assert_eq!(asked.question(), question);
        assert_eq!(live.projected_end(at(now)), end, "{act:?} is not done yet");
        assert!(!live.answers(now_at(now), &Act::Add(secs(10))));
        assert!(live.answers(now_at(now), &act));
        let mut late = live.clone();
        late.handle(at(now + 5_000), &Input::Wake);
        go(&mut late, now + 5_000, act.clone());
        assert_eq!(
            late.projected_end(at(now + 5_000)),
            end,
            "the question had passed"
        );
        live.handle(at(now), &Input::Cancel);
        go(&mut live, now, act.clone());
        assert_eq!(
            live.projected_end(at(now)),
            end,
            "{act:?} was answered with no"
        );
        go(&mut live, now + 1_000, act.clone());
        assert_eq!(notice(&live, now + 1_000), told);
        assert_ne!(live.projected_end(at(now + 1_000)), end);
        let again = Live::replay(plain.session().clone(), &facts(&mut live));
        assert_eq!(again.course.left, live.course.left, "a record does not ask");
    }
    let mut live = plain.clone();
    go(&mut live, 5_000, Act::Skip);
    let asked = live.view(at(5_000)).asked.expect("a question");
    assert_eq!(asked.question(), "Leave out the AMRAP, 5:00?");
    let meant = live.view(at(5_000)).meant;
    assert_eq!(meant.skip.as_deref(), Some("the AMRAP, 5:00"));
    let mut live = plain;
    live.handle(at(290_000), &Input::Wake);
    let meant = live.view(at(290_000)).meant;
    assert_eq!(meant.skip.as_deref(), Some("the rest of the AMRAP"));
    go(&mut live, 290_000, Act::GoOn);
    assert_eq!(
        live.view(at(290_000)).asked,
        None,
        "its last seconds are no great loss"
    );
    assert_eq!(notice(&live, 290_000), "ended the AMRAP, 0:20 early");
}

fn now_at(millis: u64) -> Moment {
    at(millis)
}

/// Every change says what it did, and that the end belongs beside it; what was put in so that people
/// get there is told.
#[test]
fn every_change_tells_what_it_did_and_what_it_put_in() {
    let mut random = fastrand::Rng::with_seed(5);
    for _ in 0..2_000 {
        let mut live = begun();
        let now = random.u64(0..700_000);
        live.handle(at(now), &Input::Wake);
        let act = any_act(&mut random, now);
        let (before, changes) = (live.projected_end(at(now)), live.changes.len());
        if !act.is_change() || matches!(act, Act::Limits(_)) || live.is_over() {
            continue;
        }
        go(&mut live, now, act.clone());
        let view = live.view(at(now));
        if live.is_over() || view.asked.is_some() {
            continue;
        }
        let done = live.changes.len() > changes;
        assert_eq!(view.is_changed, done, "{act:?} at {now}: {:?}", view.notice);
        assert!(
            view.notice.is_some_and(|told| !told.is_empty()),
            "{act:?} at {now}"
        );
        assert!(
            done || live.projected_end(at(now)) == before,
            "{act:?} at {now}"
        );
    }
    let mut live = begun();
    go(&mut live, 70_000, Act::GoTo(6));
    // The floor is 5 s away by the cueing's `change`.
    assert_eq!(notice(&live, 70_000), "gone to STRETCH, +0:05 to get down");
}

/// What is called free is free: nothing to say, nothing to count, and no change of what goes on.
#[test]
fn free_time_is_free_up_to_its_end() {
    let mut live = begun();
    let mut seen = 0;
    for second in 0..480 {
        let now = second * 1_000 + 1;
        live.handle(at(now), &Input::Wake);
        let view = live.view(at(now));
        let Some(free) = view.free else { continue };
        seen += 1;
        if let Digits::Left(left) = view.digits {
            assert!(free.secs_ceil() <= left, "{free} of {left} s, at {now}");
        }
        for later in 0..free.secs_floor() {
            let mut twin = live.clone();
            let then = now + later * 1_000;
            twin.handle(at(then), &Input::Wake);
            let later = twin.view(at(then));
            assert_eq!(twin.running(), live.running(), "{free} at {now}");
            assert_eq!((later.say, later.count), (None, None), "{free} at {now}");
        }
    }
    assert!(seen > 100, "{seen} s had free time");
}

/// A version stands under the name of the next move: one of the move that runs says so.
#[test]
fn a_version_tells_whose_it_is() {
    let own = |id: &str| {
        let mut turn = turn(id, Position::Standing, None).as_ref().clone();
        Arc::make_mut(&mut turn.of).easier[0].call = format!("slow {id}");
        Arc::new(turn)
    };
    let moves = || vec![own("squat"), own("lunge"), own("press")];
    let mut live = of_parts(vec![
        ready(10),
        block(moves(), same(2, 40, 20)),
        ready(60),
        block(moves(), same(1, 40, 20)),
    ]);
    let mut both = [0, 0];
    for now in (0..480_000).step_by(500) {
        live.handle(at(now), &Input::Wake);
        let mut held = live.clone();
        go(&mut held, now, Act::Hold(HoldReason::Hold));
        for view in [live.view(at(now)), held.view(at(now))] {
            for version in &view.version {
                let is_now = version.words.starts_with("now ");
                let whose = match (&view.next, &view.now) {
                    (Some(next), _) if !is_now => &next.is,
                    (_, Some(now)) => now,
                    _ => panic!("{version:?} of nothing, at {now}"),
                };
                both[usize::from(is_now)] += 1;
                let own = format!("slow {}", whose.name.to_lowercase());
                assert!(version.words.contains(&own), "{version:?} at {now}");
            }
        }
    }
    assert!(both.iter().all(|seen| *seen > 100), "{both:?}");
}

/// Where a rehearsal begins in the midst of a class, what was passed over was not done.
#[test]
fn what_was_passed_over_is_not_counted() {
    let mut live = begun();
    // In the rest behind the first lunge.
    let now = 165_000;
    live.handle(at(now), &Input::Wake);
    live.count_from(at(now));
    let done = live.done(at(now));
    assert_eq!(
        (done.works, done.work, done.run),
        (0, Span::ZERO, Span::ZERO)
    );
    // 20 s of rest end at 180 s, 40 s of presses at 220 s.
    live.handle(at(230_000), &Input::Wake);
    let done = live.done(at(230_000));
    assert_eq!((done.works, done.work, done.run), (1, secs(40), secs(65)));
    go(&mut live, 230_000, Act::Undo);
    assert_eq!(notice(&live, 230_000), "nothing to take back");
}

/// A mat that was to be fetched for a move that is left out, is fetched for the next that needs it,
/// wherever that comes.
#[test]
fn a_mat_is_fetched_for_whatever_needs_it_first() {
    let on_mat = |id| {
        let mut turn = turn(id, Position::Supine, None).as_ref().clone();
        Arc::make_mut(&mut turn.of).equipment = vec!["mat".into()];
        Arc::new(turn)
    };
    let moves = || {
        let mut moves = vec![on_mat("bridge")];
        moves.extend(standing(&["squat", "lunge"]));
        moves.push(on_mat("dead-bug"));
        moves.push(on_mat("bridge"));
        moves
    };
    let mut live = of_parts(vec![ready(30), block(moves(), same(1, 40, 10))]);
    let rest_before = |live: &Live, id: &str| {
        let all = live.plan().intervals();
        let at = all
            .iter()
            .rposition(|i| i.turn().is_some_and(|turn| turn.of.id == id));
        all[at.expect("the move") - 1].span()
    };
    assert_eq!(rest_before(&live, "dead-bug"), secs(10));
    go(&mut live, 5_000, Act::Skip);
    // 4 s of lead, 5 s to the floor, 4 s to fetch.
    assert_eq!(rest_before(&live, "dead-bug"), secs(13));
    assert_eq!(
        rest_before(&live, "bridge"),
        secs(10),
        "there it lies by then"
    );
    assert_eq!(
        notice(&live, 5_000),
        "skipped BRIDGE, +0:03 to fetch things"
    );
    go(&mut live, 5_000, Act::Undo);
    assert_eq!(rest_before(&live, "dead-bug"), secs(10));
}
