//! Changes taken back at awkward moments: while what they brought runs, behind a cap, before a mark,
//! in a minute grid, twice.

use super::pieces::class;
use super::*;

fn notice(live: &Live, now: u64) -> String {
    live.view(at(now)).notice.unwrap_or_default()
}

/// What is left, without what is past of it: the numbers, kinds and lengths, and the end.
fn outlook(live: &Live, now: u64) -> (Vec<(u32, Kind, Span)>, Moment) {
    let left = live.plan().intervals()[live.running()..].iter();
    let left = left.map(|next| (next.id, next.kind, next.length));
    (left.collect(), live.projected_end(at(now)))
}

fn id_of(interval: &crate::plan::Interval) -> &str {
    interval.turn().map_or("", |turn| turn.of.id.as_str())
}

/// Where the next work begins that is not yet running.
fn next_work(live: &Live) -> Offset {
    let ahead = live.plan().intervals()[live.running() + 1..].iter();
    let mut works = ahead.filter(|next| next.kind == Kind::Work);
    works.next().expect("a work ahead").start
}

/// Chosen in the rest, another move runs when that is taken back: it is told that the first one runs
/// now, with the time that is left, and what was done of the other stays in the books.
#[test]
fn another_move_taken_back_while_it_runs_is_in_the_books() {
    // The rest behind the squats ends at 120 s, 40 s of lunges at 160 s.
    for (later, ran) in [(0, 0), (1, 1), (5_000, 5_000), (39_999, 39_999)] {
        let mut live = begun();
        live.handle(at(110_000), &Input::Wake);
        let before = outlook(&live, 110_000);
        let march = turn("march", Position::Standing, None).of.clone();
        go(&mut live, 110_000, Act::Swap(march));
        let now = 120_000 + later;
        live.handle(at(now), &Input::Wake);
        let mut told = facts(&mut live);
        assert_eq!(live.now().map(id_of), Some("march"));
        go(&mut live, now, Act::Undo);
        assert_eq!(notice(&live, now), "taken back: MARCH in place of LUNGE");
        let running = live.course.running().expect("lunges").clone();
        assert_eq!(id_of(&running.interval), "lunge");
        let end = running.end();
        assert_eq!(end, Offset::from_millis(160_000), "{later} ms into it");
        assert_eq!(outlook(&live, now).1, before.1);
        let last = live.course.taught.last().expect("a stay");
        let stayed = last.end.since(last.start).millis();
        if ran > 0 {
            assert_eq!((id_of(&last.interval), stayed), ("march", ran));
        } else {
            assert_eq!(last.interval.kind, Kind::Rest, "it had not begun");
        }
        let new = facts(&mut live);
        let entered = new.iter().find_map(|fact| match &fact.what {
            What::Entered { moves, length, .. } => Some((moves[0].as_str(), length.millis())),
            _ => None,
        });
        assert_eq!(entered, Some(("lunge", 40_000 - ran)));
        books_balance(&live, now);
        told.extend(new);
        let again = Live::replay(session(), &told);
        assert_eq!(again.course, live.course, "{later} ms into it");
    }
}

/// Whoever leaves the first move on the mat and takes it back at once has not done it: no mat lies
/// behind, and what is to be said is what was to be said.
#[test]
fn a_jump_taken_back_at_once_leaves_no_mat_behind() {
    let parts =
        "Block(moves: [\"dead-bug\", \"squat\"], pattern: Same(rounds: 2, work: 40, rest: 20)),
        Recover(time: 60), Block(moves: [\"squat\"], pattern: Same(rounds: 1, work: 40, rest: 0))";
    for act in [Act::GoOn, Act::Skip, Act::Back, Act::GoTo(3)] {
        let mut live = class(parts);
        let now = 15_000;
        live.handle(at(now), &Input::Wake);
        assert_eq!(live.now().map(id_of), Some("dead-bug"));
        let before = live.clone();
        go(&mut live, now, act.clone());
        assert!(live.course.past.mat_lies(), "{act:?}");
        go(&mut live, now, Act::Undo);
        assert!(!live.course.past.mat_lies(), "{act:?}");
        assert_eq!(live.course.past, before.course.past, "{act:?}");
        same_to_say(&live, &before);
        for later in (0..80_000).step_by(500) {
            let now = now + later;
            let mut twin = before.clone();
            for live in [&mut live, &mut twin] {
                live.handle(at(now), &Input::Wake);
            }
            let [seen, meant] = [&live, &twin].map(|live| live.view(at(now)));
            assert_eq!((seen.next, seen.say), (meant.next, meant.say), "{act:?}");
        }
    }
}

/// A landing counts the minutes anew. A work of one that was begun again still finds its own rest,
/// and the next start is a minute behind it.
#[test]
fn a_minute_begun_again_behind_a_landing_is_a_minute() {
    let parts = "Block(moves: [\"march\", \"squat\"], pattern: Emom(minutes: 6, work: 40))";
    for act in [
        Act::GoOn,
        Act::Skip,
        Act::Take(secs(10)),
        Act::Add(secs(10)),
    ] {
        let mut live = class(parts);
        // The second minute is from 70 to 130 s, its rest from 110 s on.
        let now = 115_000;
        live.handle(at(now), &Input::Wake);
        let room = live.left(at(now)).saturating_sub(secs(120));
        let (n, here) = (live.running(), live.offset(at(now)));
        let landing = Landing::of(live.plan(), n, here, room, &Cueing::default());
        go(&mut live, now, Act::Land(landing.changes));
        let ahead = live.plan().intervals()[n..].iter();
        let works = ahead.filter(|next| next.kind == Kind::Work).count();
        assert_eq!(works, 2, "two minutes went");
        go(&mut live, now + 1_000, Act::Back);
        go(&mut live, now + 2_000, Act::Back);
        let begun = live.course.running().expect("a work").start;
        assert_eq!(live.now().map(id_of), Some("squat"));
        go(&mut live, now + 12_000, act.clone());
        assert_eq!(next_work(&live).since(begun), secs(60), "{act:?}");
        let rests = live.plan().intervals()[live.running()..].iter();
        let rests = rests.filter(|next| next.kind == Kind::Rest).count();
        assert_eq!(rests, 3, "{act:?}: each minute has one rest");
    }
}

/// Counted work that is taken up again when its block has had its time ends at once, and the class
/// does not go back in time.
#[test]
fn work_taken_up_behind_its_cap_ends_at_once() {
    let parts = "Block(moves: [Use(move: \"squat\", reps: 10)],
        pattern: Reps(rounds: 6, rest: 10, cap: \"2:00\")), Recover(time: 30), Recover(time: 400)";
    for (left, back) in [(125_000, 130_000), (125_000, 131_500), (129_999, 185_000)] {
        for act in [Act::GoOn, Act::GoTo(2), Act::GoTo(3)] {
            let mut live = class(parts);
            live.handle(at(left), &Input::Wake);
            assert!(live.now().is_some_and(|now| now.untimed));
            go(&mut live, left, act.clone());
            go(&mut live, back, Act::Undo);
            live.handle(at(back), &Input::Wake);
            let story = format!("{act:?} at {left}, back at {back}");
            let running = live.course.running().expect("a recovery").clone();
            assert_eq!(running.interval.kind, Kind::Recovery, "{story}");
            assert_eq!(running.start, Offset::from_millis(back), "{story}");
            assert_eq!(running.target, secs(30), "{story}");
            assert_eq!(live.left(at(back)), secs(430), "{story}");
            let ends = live.course.taught.iter().map(|stay| (stay.start, stay.end));
            let ends: Vec<_> = ends.collect();
            assert!(ends.iter().all(|(start, end)| start < end), "{story}");
            assert!(ends.windows(2).all(|two| two[0].1 == two[1].0), "{story}");
            books_balance(&live, back);
        }
    }
}

/// What is put in when a change is taken back late moves no mark behind it.
#[test]
fn a_mark_stays_where_it_is_behind_what_is_put_in() {
    let mut live = class(
        "Block(moves: [\"squat\", \"dead-bug\", \"march\"], pattern: Same(rounds: 1, work: 40, rest: 20)),
         Recover(time: Until(\"5:00\")), Recover(time: 30)",
    );
    let mark = |live: &Live| {
        let mut all = live.plan().intervals().iter();
        all.find(|one| one.mark.is_some()).map(|one| one.end)
    };
    let until = Some(Offset::from_millis(300_000));
    // The rest behind the squats is from 50 to 70 s.
    live.handle(at(51_000), &Input::Wake);
    let end = live.projected_end(at(51_000));
    go(&mut live, 51_000, Act::Skip);
    assert_eq!(mark(&live), until);
    go(&mut live, 67_000, Act::Undo);
    // 3 s are left: 4 to be told, 5 to get down, 4 to fetch the mat lack ten.
    let told = "taken back: skipped Dead bug, +0:10 to get down and fetch things";
    assert_eq!(notice(&live, 67_000), told);
    assert_eq!(mark(&live), until);
    assert_eq!(live.projected_end(at(67_000)), end);
}

/// A version with another position is put in force and taken back, as often as one likes: nothing is
/// put between the moves that the plan had not.
#[test]
fn a_version_taken_back_asks_for_no_more_time_than_the_plan_had() {
    let ways = [Harder::Instead, Harder::Easier, Harder::Harder];
    for first in ["child-pose", "march", "plank", "squat"] {
        for (way, delay) in ways
            .into_iter()
            .flat_map(|way| [0, 100, 9_000].map(|d| (way, d)))
        {
            let parts =
                format!("CoolDown([(\"{first}\", 300), (\"march\", 200), (\"plank\", 60)])");
            let mut live = class(&parts);
            let mut now = 20_000;
            live.handle(at(now), &Input::Wake);
            let before = outlook(&live, now);
            let mut stepped = 0;
            for _ in 0..2 {
                let changes = live.changes.len();
                go(&mut live, now, Act::Step(way));
                stepped += live.changes.len() - changes;
                now += delay;
            }
            for _ in 0..stepped {
                go(&mut live, now, Act::Undo);
                assert!(notice(&live, now).starts_with("taken back: "));
                assert!(!notice(&live, now).contains('+'), "{first} {way:?}");
                now += delay;
            }
            assert_eq!(outlook(&live, now), before, "{first} {way:?} {delay}");
        }
    }
}

/// What was put in says what it is for: where only the fetching lacks time, not the way down or up.
#[test]
fn what_is_put_in_says_what_it_is_for() {
    // A rest with which the way works out but for the last of it; 4 s of lead, 5 to the floor or up,
    // 4 to fetch the mat that lies nowhere yet, 2 from one place of the floor to another.
    let skip = |rest: u32, from: &str, gone: &str, to: &str| {
        let mut live = class(&format!(
            "Block(moves: [\"{from}\", \"{gone}\", \"{to}\"], pattern: Same(rounds: 1, work: 40, rest: {rest}))"
        ));
        // Just into the rest behind the first, the second is left out.
        let now = 50_000;
        live.handle(at(now), &Input::Wake);
        go(&mut live, now, Act::Skip);
        let told = notice(&live, now);
        told.split_once(", ").map(|(_, put_in)| put_in.to_owned())
    };
    for (rest, from, gone, to, told) in [
        (20, "march", "squat", "dead-bug", None),
        (
            12,
            "march",
            "squat",
            "dead-bug",
            Some("+0:01 to fetch things"),
        ),
        (
            9,
            "march",
            "squat",
            "dead-bug",
            Some("+0:04 to fetch things"),
        ),
        (
            8,
            "march",
            "squat",
            "dead-bug",
            Some("+0:05 to get down and fetch things"),
        ),
        (8, "dead-bug", "squat", "march", Some("+0:01 to get up")),
        (5, "dead-bug", "squat", "plank-tap", Some("+0:01 to change")),
        (3, "march", "dead-bug", "squat", Some("+0:02 to get ready")),
    ] {
        let said = skip(rest, from, gone, to);
        assert_eq!(said.as_deref(), told, "{rest} s from {from} to {to}");
    }
}
