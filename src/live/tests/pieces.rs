//! Blocks that end by themselves, pieces that last up to a mark, rests in which people move.

use super::*;
use crate::plan::CuePlan;
use crate::session::Library;

pub(super) fn class(parts: &str) -> Live {
    let text = format!("(title: \"T\", parts: [Talk(time: 10), {parts}])");
    let session = Session::read("t", &text, &Library::builtin());
    let session = session.unwrap_or_else(|faults| panic!("{faults}"));
    let mut live = Live::new(Arc::new(session));
    go(&mut live, 0, Act::Begin);
    live
}

fn entered(live: &mut Live) -> Vec<(Kind, u64)> {
    let told = facts(live).into_iter();
    let entered = told.filter_map(|fact| match fact.what {
        What::Entered { kind, .. } => Some((kind, fact.offset.millis())),
        _ => None,
    });
    entered.collect()
}

const CAPPED: &str =
    "Block(moves: [Use(move: \"squat\", reps: 10), Use(move: \"wall-sit\", work: 20)],
    pattern: Reps(rounds: 3, rest: 10, cap: \"2:00\")), Recover(time: 30)";

#[test]
fn a_capped_block_ends_by_itself_and_says_so_before() {
    let mut live = class(CAPPED);
    let total = live.plan().total();
    assert_eq!(total, secs(10 + 120 + 30), "planned so that it fits");
    live.handle(at(10_000), &Input::Wake);
    let order = std::iter::from_fn(|| live.poll_output())
        .filter_map(|out| match out {
            Output::Sound(order) => Some(order),
            Output::Fact(_) => None,
        })
        .last()
        .expect("an order");
    let strikes: Vec<(u64, SignalKind)> = (order.score.strikes().iter())
        .filter(|strike| strike.at > at(10_000))
        .map(|strike| (strike.at.millis(), strike.kind))
        .collect();
    assert_eq!(
        strikes,
        [
            (120_000, SignalKind::Warn),
            (127_000, SignalKind::Count),
            (128_000, SignalKind::Count),
            (129_000, SignalKind::Count),
            (130_000, SignalKind::Stop),
        ]
    );
    assert_eq!(live.view(at(70_000)).digits, Digits::Left(60));
    assert_eq!(live.left(at(70_000)), secs(90));
    assert_eq!(live.view(at(128_000)).count, Some(2));
    live.handle(at(400_000), &Input::Wake);
    assert_eq!(entered(&mut live), [(Kind::Recovery, 130_000)]);
    assert!(live.is_over());
    assert_eq!(live.offset(at(400_000)), Offset::from_millis(160_000));
}

#[test]
fn what_is_timed_in_a_capped_block_ends_with_it() {
    let mut live = class(CAPPED);
    for now in [20_000, 60_000] {
        go(&mut live, now, Act::GoOn);
    }
    let mut told = facts(&mut live);
    // The third squats: their rest would be ten seconds, and five are left.
    live.handle(at(101_000), &Input::Wake);
    go(&mut live, 125_000, Act::GoOn);
    let rest = live.course.running().expect("a rest").clone();
    assert_eq!((rest.interval.kind, rest.target), (Kind::Rest, secs(5)));
    go(&mut live, 126_000, Act::Add(secs(10)));
    assert_eq!(live.course.running().expect("a rest").target, secs(5));
    live.handle(at(131_000), &Input::Wake);
    told.extend(facts(&mut live));
    let again = Live::replay(live.session().clone(), &told);
    assert_eq!(again.course, live.course, "told again it is the same");
    let now = live.now().map(|now| now.kind);
    assert_eq!(now, Some(Kind::Recovery));
    let started = live.course.running().map(|running| running.start);
    assert_eq!(started, Some(Offset::from_millis(130_000)));
}

/// A rest that was left just before the cap and taken up again, or made longer there so that people get
/// down, ends with the block all the same: what is left of the class and its digits say one thing.
#[test]
fn a_rest_taken_up_or_made_longer_ends_with_its_block() {
    let parts = "Block(moves: [Use(move: \"squat\", reps: 10), Use(move: \"march\", reps: 10), Use(move: \"dead-bug\", reps: 10)],
        pattern: Reps(rounds: 3, rest: 20, cap: \"4:00\")), Recover(time: 60)";
    // Squats up to so late, and 20 s of rest behind them.
    for rest in [229_000_u64, 232_000, 235_000, 240_000] {
        for act in [
            Act::GoOn,
            Act::Skip,
            Act::OnceMore,
            Act::DropRound,
            Act::Back,
        ] {
            // Of a block that its cap has cut nothing is left to go on to or to leave out.
            let leaves = matches!(act, Act::GoOn | Act::Skip | Act::DropRound);
            if leaves && rest + 20_000 > 250_000 {
                continue;
            }
            for (press, undo) in [
                (1_000, None),
                (7_000, None),
                (3_000, Some(8_000)),
                (9_000, Some(9_500)),
            ] {
                let mut live = class(parts);
                live.handle(at(rest), &Input::Wake);
                go(&mut live, rest, Act::GoOn);
                let now = rest + press;
                go(&mut live, now, act.clone());
                let now = now + undo.unwrap_or(0);
                if undo.is_some() {
                    go(&mut live, now, Act::Undo);
                }
                let story = format!("{act:?} {press} ms into a rest from {rest}, {undo:?}");
                let running = live.course.running().expect("something runs").clone();
                // Taken up again behind its end it ends at once: the class does not go back in time.
                let is_here = running.interval.part == 1;
                let over = if is_here { now.max(250_000) } else { 250_000 };
                let ends = Offset::from_millis(over);
                let is_timed = is_here && !running.interval.untimed;
                assert!(!is_timed || running.end() <= ends, "{story}");
                let now = now.max(over);
                live.handle(at(now), &Input::Wake);
                let recovery = live.course.running().expect("a recovery");
                let stands = (recovery.interval.kind, recovery.start);
                assert_eq!(stands, (Kind::Recovery, ends), "{story}");
                let left = Span::from_millis(60_000 - (now - over));
                assert_eq!(live.left(at(now)), left, "{story}");
            }
        }
    }
}

/// A rest that lasts behind the end of its block, for people get down in it, has nothing to last for
/// where what comes is skipped: it ends there and then, and not before.
#[test]
fn a_skip_behind_the_end_of_a_block_ends_the_class_where_it_stands() {
    let mut live = class(
        "Block(moves: [Use(move: \"squat\", reps: 10), Use(move: \"march\", reps: 10)],
        pattern: Reps(rounds: 3, rest: 20, cap: \"4:00\")), CoolDown([(\"child-pose\", 60)])",
    );
    go(&mut live, 249_700, Act::GoOn);
    let now = 252_700;
    live.handle(at(now), &Input::Wake);
    let running = live.course.running().expect("a rest").clone();
    assert_eq!(running.interval.kind, Kind::Rest);
    assert!(running.end() > Offset::from_millis(now));
    go(&mut live, now, Act::Skip);
    assert_eq!(live.plan().end(), live.offset(at(now)));
    live.handle(at(now), &Input::Wake);
    assert!(live.is_over());
}

/// Whoever is slow in a block with a cap is ended by it: a landing promises what then happens, and
/// takes nothing from the block that would only let people come further.
#[test]
fn a_landing_in_a_block_with_a_cap_goes_by_its_end() {
    let parts = format!(
        "{CAPPED}, Block(moves: [\"march\"], pattern: Same(rounds: 3, work: 40, rest: 20)),
         Block(moves: [Use(move: \"squat\", reps: 10)], pattern: Reps(rounds: 4, rest: 20, cap: \"1:30\")),
         CoolDown([(\"child-pose\", 60)])"
    );
    let (mut cut, mut longer) = (0, 0);
    for gone_on in 0..4 {
        let mut live = class(&parts);
        for n in 0..gone_on {
            go(&mut live, 25_000 + 25_000 * n, Act::GoOn);
        }
        for now in (25 + 25 * gone_on..130).step_by(5) {
            let now = at(now * 1_000);
            live.handle(now, &Input::Wake);
            let (left, here) = (live.left(now), live.offset(now).span());
            let ends = live.block_ends_at().expect("a cap");
            let in_block = live.plan().intervals()[live.running()..]
                .iter()
                .take_while(|one| one.start < Offset::from_millis(130_000) || one.part == 1)
                .map(|one| one.end)
                .last()
                .expect("a block");
            // Counted work that goes on beyond its plan moves all that is planned behind it.
            let late = live
                .offset(now)
                .since(live.plan().intervals()[live.running()].end);
            let is_cut = in_block + late > ends;
            for room in (0..left.millis() + 200_000).step_by(7_000) {
                let room = Span::from_millis(room);
                for landing in live.landings(now, room, room.millis().is_multiple_of(2_000)) {
                    let mut copy = live.clone();
                    let changes = landing.changes.clone();
                    if !changes.is_empty() {
                        copy.handle(now, &Input::Act(Act::Land(changes)));
                    }
                    let after = copy.left(now);
                    let lines = &landing.lines;
                    assert_eq!(
                        after,
                        landing.total.saturating_sub(here),
                        "{room} {lines:?}"
                    );
                    assert_eq!(after.saturating_sub(room), landing.over, "{lines:?}");
                    assert_eq!(room.saturating_sub(after), landing.in_hand, "{lines:?}");
                    let told = lines
                        .iter()
                        .any(|line| line.contains("ends at its cap, in"));
                    let ids: Vec<u32> = (live.plan().intervals().iter())
                        .filter(|one| one.part == 1)
                        .map(|one| one.id)
                        .collect();
                    let own = landing.changes.iter().any(|change| {
                        matches!(change.kind, ChangeKind::Length(_)) && ids.contains(&change.id)
                    });
                    assert!(
                        !(told && own),
                        "what its end takes is not shortened: {lines:?}"
                    );
                    assert!(!told || is_cut, "{lines:?}");
                    cut += usize::from(told);
                    longer += usize::from(after > left);
                }
            }
        }
    }
    assert!(cut > 100 && longer > 100, "{cut} {longer}");
}

#[test]
fn a_landing_in_a_block_with_a_cap_is_told_as_it_is() {
    let parts = format!("{CAPPED}, Block(title: \"Flow\", moves: [\"march\"], pattern: Same(rounds: 2, work: 60, rest: 40))")
        .replacen("Block(moves", "Block(title: \"Ebb\", moves", 1);
    let mut live = class(&parts);
    let now = at(100_000);
    live.handle(now, &Input::Wake);
    // 30 s to the cap, 30 s of recovery, 160 s of Flow.
    assert_eq!(live.left(now), secs(220));
    let landing = live.landings(now, secs(205), false).remove(0);
    assert_eq!(
        landing.lines,
        [
            "Ebb ends at its cap, in 0:30",
            "recovery before Flow: 30 → 15",
            "class: 5:20 → 5:05"
        ]
    );
}

const MARKED: &str = "Block(moves: [Use(move: \"squat\", reps: 10)], pattern: Reps(rounds: 1, rest: 0)),
    Recover(time: Until(60)), Block(moves: [\"march\"], pattern: Same(rounds: 1, work: 30, rest: 0))";

#[test]
fn what_lasts_up_to_a_mark_takes_and_gives_what_came_before_it() {
    let pause_and_work = |pressed: u64| -> (u64, u64) {
        let mut live = class(MARKED);
        live.handle(at(10_000), &Input::Wake);
        go(&mut live, pressed, Act::GoOn);
        let running = live.plan().intervals()[live.running()].clone();
        let work = live.plan().intervals()[live.running() + 1].start;
        (running.span().secs_ceil(), work.millis())
    };
    assert_eq!(pause_and_work(40_000), (20, 60_000), "as planned");
    assert_eq!(pause_and_work(25_000), (35, 60_000));
    assert_eq!(pause_and_work(58_000), (10, 68_000), "never too short");
}

#[test]
fn a_mark_kept_is_taken_back_with_what_moved_it() {
    let mut live = class(MARKED);
    let before = bones(&live);
    go(&mut live, 4_000, Act::Add(secs(10)));
    let pause = |live: &Live| {
        let mut all = live.plan().intervals().iter();
        all.find(|one| one.kind == Kind::Recovery)
            .map(crate::plan::Placed::span)
    };
    assert_eq!(pause(&live), Some(secs(10)));
    assert_eq!(live.plan().total(), secs(90));
    go(&mut live, 4_000, Act::Undo);
    assert_eq!(pause(&live), Some(secs(20)));
    assert_eq!(live.course.left.ahead, before.course.left.ahead);
}

#[test]
fn a_landing_takes_from_a_mark_first_and_moves_it() {
    let mut live = class(
        "Block(moves: [\"squat\"], pattern: Same(rounds: 2, work: 60, rest: 60)),
         Recover(time: Until(\"5:00\")), Block(moves: [\"squat\"], pattern: Same(rounds: 2, work: 60, rest: 60))",
    );
    let landing = Landing::of(
        live.plan(),
        0,
        Offset::ZERO,
        live.plan().total().saturating_sub(secs(40)),
        &Cueing::default(),
    );
    go(&mut live, 0, Act::Land(landing.changes));
    let mut all = live.plan().intervals().iter();
    let pause = all.find(|one| one.kind == Kind::Recovery).expect("a pause");
    assert_eq!(
        (pause.span(), pause.end),
        (secs(70), Offset::from_millis(260_000))
    );
    let rests = live.plan().time_in(Kind::Rest);
    assert_eq!(rests, secs(120), "no other pause gave any");
    assert_eq!(live.plan().total(), secs(440));
}

#[test]
fn an_active_rest_is_a_rest_that_people_come_from() {
    let mut live = class(
        "Block(moves: [\"bridge\"], pattern: Same(rounds: 2, work: 30, rest: 20), between: \"march\")",
    );
    live.handle(at(45_000), &Input::Wake);
    let view = live.view(at(45_000));
    assert_eq!(view.kind, Kind::Rest);
    assert_eq!(view.now.map(|now| now.name).as_deref(), Some("March"));
    let next = view.next.expect("a bridge");
    assert_eq!(
        (next.from, next.change),
        (Position::Standing, PositionChange::Down)
    );
    // In every sum it is rest.
    assert_eq!(live.plan().time_in(Kind::Rest), secs(20));
    assert_eq!(live.plan().time_in(Kind::Work), secs(60));
    assert_eq!(live.done(at(45_000)).works, 1);
    let said: Vec<&str> = (live.cues().prompts.iter())
        .map(|prompt| &*prompt.say)
        .collect();
    let whole = CuePlan::of(live.plan(), &Cueing::default(), &[]);
    let told = whole
        .prompts
        .iter()
        .filter(|prompt| prompt.say == "march in the rests");
    assert_eq!(told.count(), 1, "{said:?}");
}

/// The note and the effort of a place are said where they are others than the time before.
#[test]
fn what_differs_by_round_is_said_by_round() {
    let live = class(
        "Block(moves: [Use(move: \"squat\", note: [\"slow\", \"slow\", \"with a pulse\"], effort: [5, 6, 7])],
         pattern: Same(rounds: 3, work: 40, rest: 25))",
    );
    let plan = CuePlan::of(live.plan(), &Cueing::default(), &[]);
    let previews = plan
        .prompts
        .iter()
        .filter(|prompt| prompt.kind == PromptKind::Preview);
    let previews: Vec<&str> = previews.map(|prompt| &*prompt.say).collect();
    assert_eq!(previews.len(), 3, "{previews:?}");
    for (n, effort) in ["five", "six", "seven"].iter().enumerate() {
        assert!(
            previews[n].contains(&format!("effort {effort}")),
            "{previews:?}"
        );
    }
    assert!(previews[2].contains("with a pulse"), "{previews:?}");
    assert!(!previews[1].contains("slow"), "{previews:?}");
}

/// A part that is repeated comes as often as it says, each go a part of its own.
#[test]
fn a_repeat_is_gone_through_go_by_go() {
    let mut live = class(
        "Repeat(times: 3, between: Recover(time: 20), parts: [
            Block(title: \"Ebb\", moves: [\"squat\"], pattern: Same(rounds: 2, work: 30, rest: 10)),
            Free(time: 40, say: \"Play.\")])",
    );
    let goes: Vec<(usize, usize)> = (live.plan().intervals().iter())
        .filter(|one| one.kind == Kind::Free)
        .map(|one| (one.go.nth, one.go.of))
        .collect();
    assert_eq!(goes, [(1, 3), (2, 3), (3, 3)]);
    assert_eq!(live.plan().total(), secs(10 + 3 * (70 + 40) + 2 * 20));
    let laid: Vec<usize> = live.plan().intervals().iter().map(|one| one.part).collect();
    assert_eq!(
        laid.last(),
        Some(&8),
        "a talk, three times two parts, two recoveries"
    );
    // To the last go of the block, and a round of it dropped: no other go loses any.
    go(&mut live, 5_000, Act::GoTo(7));
    live.handle(at(30_000), &Input::Wake);
    assert_eq!(
        live.now().map(|now| (now.go.nth, now.block())),
        Some((3, Some(3)))
    );
}
