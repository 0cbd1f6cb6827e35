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
