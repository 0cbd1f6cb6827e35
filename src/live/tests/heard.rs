//! What is heard, said and written when a class is bent: tones, words, facts.

use super::*;

/// A class of one move for each side, 40 s of work and 20 s of rest, four times.
fn sided() -> Live {
    let mut plank = turn("side-plank", Position::Standing, None)
        .as_ref()
        .clone();
    Arc::make_mut(&mut plank.of).sides = Sides::Each;
    let mut session = session().as_ref().clone();
    session.parts = vec![
        Part::Ready { time: secs(10) },
        Part::Block(Block {
            title: None,
            moves: vec![Arc::new(plank).into()],
            pattern: Pattern::Same {
                rounds: 4,
                work: secs(40),
                rest: secs(20),
            },
            recovery: None,
            between: None,
            last_rest: false,
            order: Order::ByRound,
        }),
    ];
    let mut live = Live::new(Arc::new(session));
    go(&mut live, 0, Act::Begin);
    live
}

/// What comes out of a loudspeaker that follows every order.
#[derive(Default)]
struct Ear {
    strikes: Vec<(u64, SignalKind)>,
}

impl Ear {
    fn listen(&mut self, live: &mut Live) -> Vec<Fact> {
        let mut facts = Vec::new();
        while let Some(out) = live.poll_output() {
            match out {
                Output::Fact(fact) => facts.push(fact),
                Output::Sound(order) => {
                    let from = order.from.millis();
                    self.strikes.retain(|strike| strike.0 < from);
                    let all = order.score.strikes().iter();
                    let new = all.map(|strike| (strike.at.millis(), strike.kind));
                    self.strikes.extend(new.filter(|strike| strike.0 >= from));
                }
            }
        }
        facts
    }

    fn of(&self, kind: SignalKind, until: u64) -> Vec<u64> {
        let all = self.strikes.iter().filter(|s| s.1 == kind && s.0 <= until);
        all.map(|strike| strike.0).collect()
    }
}

/// Sides change where they did when the work began, whatever is added, taken or taken back; the tone
/// is heard then, once, and at no other time.
#[test]
fn the_switch_is_heard_once_and_when_the_screen_shows_it() {
    let mut random = fastrand::Rng::with_seed(31);
    let mut bent = 0;
    for _ in 0..300 {
        let mut live = sided();
        let mut ear = Ear::default();
        let (mut side, mut turned) = (None, Vec::new());
        let mut keys: Vec<(u64, Act)> = (0..random.usize(1..9))
            .map(|_| {
                let act = match random.u8(0..3) {
                    0 => Act::Add(secs(10)),
                    1 => Act::Take(secs(10)),
                    _ => Act::Undo,
                };
                (random.u64(100..2_600) * 100, act)
            })
            .collect();
        keys.sort_by_key(|key| key.0);
        let mut keys = keys.into_iter().peekable();
        let mut now = 0;
        while !live.is_over() && now < 300_000 {
            live.handle(at(now), &Input::Wake);
            let shown = live.view(at(now)).now.and_then(|now| now.side);
            if (side, shown) == (Some(1), Some(2)) {
                turned.push(now);
            }
            assert!(
                (side, shown) != (Some(2), Some(1)),
                "back to side one at {now}"
            );
            while let Some((_, act)) = keys.next_if(|key| key.0 <= now) {
                go(&mut live, now, act.clone());
                let after = live.view(at(now)).now.and_then(|now| now.side);
                assert_eq!(after, shown, "{act:?} at {now} changes no side");
                bent += 1;
            }
            side = shown;
            ear.listen(&mut live);
            now += 100;
        }
        assert_eq!(turned.len(), 4);
        assert_eq!(ear.of(SignalKind::Switch, now), turned);
    }
    assert!(bent > 500);
}

/// Where the class goes back to a part, its words are said again: they were for another time.
#[test]
fn what_a_part_had_to_say_is_said_again_when_it_comes_again() {
    for now in [130_000, 190_000, 400_000, 470_000] {
        let mut live = begun();
        let first = |live: &Live, from: Offset| -> Vec<(u32, PromptKind, String)> {
            let kinds = [PromptKind::Preview, PromptKind::Setup, PromptKind::Option];
            let ahead = live.cues().prompts.iter().filter(|p| p.at >= from);
            let said = ahead.filter(|p| kinds.contains(&p.kind));
            said.map(|p| (p.id, p.kind, p.say.clone())).collect()
        };
        let squat = live.plan().intervals()[3].id;
        let mut then = 0;
        while then < now {
            then += 5_000;
            live.handle(at(then), &Input::Wake);
        }
        assert!(
            live.heard.iter().any(|heard| heard.about == squat),
            "at {now}"
        );
        go(&mut live, now, Act::GoTo(3));
        assert!(
            !live.heard.iter().any(|heard| heard.about == squat),
            "at {now}"
        );
        let said = first(&live, live.offset(at(now)));
        let preview = said
            .iter()
            .any(|(id, kind, _)| (*id, *kind) == (squat, PromptKind::Preview));
        let missed = live.cues().unplaced.iter();
        let mut missed = missed.filter(|one| one.kind == PromptKind::Preview);
        assert!(
            preview || missed.next().is_some(),
            "neither said nor named, at {now}: {said:?}"
        );
    }
}

/// Of one beginning there is one entry, also where what was changed is taken back on the boundary.
#[test]
fn an_entry_is_written_once() {
    let acts = [
        Act::GoOn,
        Act::Skip,
        Act::Back,
        Act::Add(secs(10)),
        Act::Take(secs(10)),
        Act::OnceMore,
        Act::DropRound,
        Act::GoTo(4),
    ];
    let mut random = fastrand::Rng::with_seed(17);
    for boundary in [30_000, 50_000, 60_000, 100_000, 120_000, 160_000] {
        for pressed in [0, 1, 500, 5_000] {
            for act in &acts {
                for back in [0, 1, pressed, pressed + 1] {
                    let mut live = begun();
                    let now = boundary - pressed;
                    go(&mut live, now, act.clone());
                    go(&mut live, now + back, Act::Undo);
                    live.handle(at(now + random.u64(back..20_000)), &Input::Wake);
                    let told = facts(&mut live);
                    let entry = |fact: &Fact| match &fact.what {
                        What::Entered { id, .. } => Some((*id, fact.at)),
                        _ => None,
                    };
                    let twice = told.windows(2).find(|two| {
                        let first = entry(&two[0]);
                        first.is_some() && first == entry(&two[1])
                    });
                    assert_eq!(twice, None, "{act:?} at {now}, back {back} ms later");
                }
            }
        }
    }
}

/// A jump taken back puts people on the side on which they were: from each tenth of a second of a work
/// with two sides, back at once and up to a minute later.
#[test]
fn a_jump_taken_back_puts_people_on_the_side_they_were_on() {
    let mut sides = [0, 0];
    // Ready to 10 s; works of 40 s, the first side up to 30 s.
    for now in (10_000..50_000).step_by(100) {
        let mut plain = sided();
        plain.handle(at(now), &Input::Wake);
        let side = |live: &Live, now: u64| live.view(at(now)).now.and_then(|now| now.side);
        let was = side(&plain, now).expect("a side");
        assert_eq!(was, if now < 30_000 { 1 } else { 2 }, "at {now}");
        for act in [Act::GoOn, Act::Skip, Act::Back, Act::GoTo(0)] {
            for delay in [0, 1_000, 19_000] {
                let mut live = plain.clone();
                let then = now + delay;
                go(&mut live, now, act.clone());
                go(&mut live, then, Act::Undo);
                assert_eq!(side(&live, then), Some(was), "{act:?} at {now}, {delay}");
                // What is left of the side is what was left of it.
                let turns = 30_000_u64.saturating_sub(now);
                let mut ear = Ear::default();
                live.handle(at(then + 1), &Input::Wake);
                ear.listen(&mut live);
                let heard = ear.of(SignalKind::Switch, then + 40_000);
                let heard = heard.iter().find(|heard| **heard > then);
                let meant = (was == 1).then_some(then + turns);
                assert_eq!(heard.copied(), meant, "{act:?} at {now}, {delay}");
                sides[usize::from(was) - 1] += 1;
            }
        }
    }
    assert_eq!(sides, [200 * 12; 2]);
}

/// Counted work that runs on has its own words only; the rest behind it has those of what comes.
#[test]
fn counted_work_that_runs_on_has_its_own_words_and_the_rest_behind_it_those_of_the_next() {
    let parts = "Block(moves: [Use(move: \"squat\", reps: 10), Use(move: \"dead-bug\", reps: 10)],
        pattern: Reps(rounds: 2, rest: 20)), Recover(time: 30)";
    for over in [0, 1, 9, 40, 120, 600] {
        let mut live = super::pieces::class(parts);
        let mut shown = 0;
        let end = 40_000 + over * 1_000;
        for now in (10_000..=end).step_by(500) {
            live.handle(at(now), &Input::Wake);
            let Some(say) = live.view(at(now)).say else {
                continue;
            };
            let running = live.running();
            let mut own = live
                .cues()
                .prompts
                .iter()
                .filter(|one| one.interval == running);
            assert!(own.any(|one| one.say == say.say), "{} at {now}", say.say);
            let here = live.offset(at(now));
            let coming = [PromptKind::Preview, PromptKind::Fetch];
            let late = here > Offset::from_millis(42_000) && coming.contains(&say.kind);
            assert!(!late, "{} at {now}: nothing comes until the key", say.say);
            shown += 1;
        }
        assert!(shown > 10);
        go(&mut live, end, Act::GoOn);
        let mut said = Vec::new();
        for now in (end..end + 20_000).step_by(500) {
            live.handle(at(now), &Input::Wake);
            said.extend(live.view(at(now)).say.map(|say| (say.kind, say.say)));
        }
        let mut previews = said.iter().filter(|(kind, _)| *kind == PromptKind::Preview);
        let dead_bugs = previews.any(|(_, say)| say.contains("dead bugs"));
        assert!(dead_bugs, "{over} s over: {said:?}");
    }
}

/// Between counted sets without a rest the next is told while there is time to get there, or it is
/// named with the time it lacked; never in the second in which it starts.
#[test]
fn a_set_without_a_rest_before_it_is_told_in_time() {
    for reps in [2, 3, 4, 6, 10, 20] {
        let parts = format!(
            "Block(moves: [Use(move: \"squat\", reps: {reps}), Use(move: \"dead-bug\", reps: {reps})],
             pattern: Reps(rounds: 2, rest: 0)), Recover(time: 30)"
        );
        let live = super::pieces::class(&parts);
        let plan = crate::plan::CuePlan::of(live.plan(), &Cueing::default(), &[]);
        let sets = live.plan().intervals().iter().enumerate();
        let sets = sets.filter(|(_, one)| one.kind == Kind::Work).skip(1);
        for (n, set) in sets {
            let mut prompts = plan.prompts.iter();
            let told = prompts.find(|one| one.about == n && one.kind == PromptKind::Preview);
            let missed = plan.unplaced.iter();
            let mut missed = missed.filter(|one| one.about == n && one.kind == PromptKind::Preview);
            match told {
                Some(told) => {
                    let lead = set.start.since(told.until);
                    assert!(lead >= secs(4), "{reps} reps: {lead} before");
                }
                None => assert!(missed.next().is_some(), "{reps} reps: nothing of {n}"),
            }
        }
        if reps >= 10 {
            let missed = plan.unplaced.iter();
            assert_eq!(
                missed.filter(|one| one.kind == PromptKind::Preview).count(),
                0
            );
        }
    }
}

/// Time added before a block takes no words away: a few seconds to get ready, of any length, leave
/// limit and set-up said that were said without them.
#[test]
fn time_to_get_ready_added_takes_no_words_away() {
    let said = |ready: Option<u64>| {
        let ready = ready.map_or_else(String::new, |millis| {
            format!("Ready(time: {}.{:03}),", millis / 1_000, millis % 1_000)
        });
        let live = super::pieces::class(&format!(
            "Block(moves: [\"squat\"], pattern: Same(rounds: 1, work: 60, rest: 0)), {ready}
             Block(moves: [\"plank-tap\", \"push-up\"], pattern: Same(rounds: 2, work: 40, rest: 20))"
        ));
        let plan = crate::plan::CuePlan::of(live.plan(), &Cueing::default(), &[Load::Wrist]);
        let is_asked = |kind: &PromptKind| {
            let kinds = [PromptKind::Preview, PromptKind::Setup, PromptKind::Option];
            kinds.contains(kind)
        };
        let mut said: Vec<(PromptKind, String)> = plan
            .prompts
            .iter()
            .filter(|one| is_asked(&one.kind) && one.about > 1)
            .map(|one| (one.kind, one.say.clone()))
            .collect();
        said.sort_by(|a, b| a.1.cmp(&b.1));
        said
    };
    let without = said(None);
    assert!(without.len() > 10, "{without:?}");
    for millis in (500..12_000).step_by(500) {
        let with = said(Some(millis));
        for one in &without {
            assert!(
                with.contains(one),
                "{one:?} is not said, with {millis} ms more"
            );
        }
    }
}

/// After a circuit nobody knows where each person stops: words and screen say the same change of
/// position, the longest that anybody has, and the pause has time for it.
#[test]
fn after_a_circuit_words_and_screen_say_one_change_of_position() {
    let mut seen = std::collections::BTreeSet::new();
    let circuits = [
        ["squat", "plank-tap"],
        ["dead-bug", "squat"],
        ["march", "squat"],
        ["dead-bug", "plank-tap"],
    ];
    for [one, other] in circuits {
        for next in ["squat", "march", "dead-bug", "plank-tap"] {
            let mut live = super::pieces::class(&format!(
                "Block(moves: [\"{one}\", \"{other}\"], pattern: Amrap(time: 60)), Recover(time: 40),
                 Block(moves: [\"{next}\"], pattern: Same(rounds: 1, work: 40, rest: 0))"
            ));
            // The recovery is from 70 to 110 s.
            live.handle(at(75_000), &Input::Wake);
            let view = live.view(at(75_000)).next.expect("a move");
            let mut prompts = live.cues().prompts.iter();
            let preview = prompts.find(|one| one.about == 3 && one.kind == PromptKind::Preview);
            let say = &preview.expect("a preview").say;
            let said = match () {
                () if say.contains("to the floor") => PositionChange::Down,
                () if say.contains("stand up") || say.contains("up onto") => PositionChange::Up,
                () => PositionChange::Same,
            };
            let shown = match view.change {
                PositionChange::Shift => PositionChange::Same,
                change => change,
            };
            assert_eq!(shown, said, "{one} and {other}, then {next}: {say}");
            let floor = |id: &str| ["dead-bug", "plank-tap"].contains(&id);
            let longest = match (floor(one), floor(other), floor(next)) {
                (false, _, true) | (_, false, true) => PositionChange::Down,
                (true, _, false) | (_, true, false) => PositionChange::Up,
                _ => PositionChange::Same,
            };
            assert_eq!(shown, longest, "{one} and {other}, then {next}");
            seen.insert(format!("{shown:?}"));
        }
    }
    assert_eq!(seen.len(), 3);
}
