//! Classes drafted from wishes: whole, in time, clean, with what there is, and other than the last.

mod degree;
mod places;
mod wished;

use std::collections::{BTreeMap, BTreeSet};

use matside::advice::{
    BlockWish, Draft, Kit, LastTaught, Review, Weight, Wishes, alternatives, draft, draft_block,
    three,
};
use matside::plan::{Placed, Timeline};
use matside::session::edit::Step;
use matside::session::{Action, Doing, Library, Part, Room, Session, choose, is_at_hand};
use matside::time::Span;

fn read(text: &str) -> Session {
    let read = Session::read("a draft", text, &Library::builtin());
    read.unwrap_or_else(|faults| panic!("{faults}\n{text}"))
}

/// The ids of the moves of a class.
pub(crate) fn ids(session: &Session) -> BTreeSet<String> {
    let timeline = Timeline::of(session);
    let moves = timeline.intervals().iter().flat_map(|one| one.moves.iter());
    moves.map(|turn| turn.of.id.clone()).collect()
}

/// The ids of the moves of its work.
fn work(session: &Session) -> BTreeSet<String> {
    let timeline = Timeline::of(session);
    let works = timeline
        .intervals()
        .iter()
        .filter(|one| one.kind == matside::plan::Kind::Work);
    works
        .flat_map(|one| one.moves.iter())
        .map(|turn| turn.of.id.clone())
        .collect()
}

/// What the work does.
fn works(draft: &Draft, library: &Library) -> BTreeSet<Action> {
    let ids = work(&draft.session);
    ids.iter()
        .filter_map(|id| library.get(id)?.action)
        .collect()
}

pub(crate) fn whole(wishes: &Wishes, draft: &Draft) {
    let session = &draft.session;
    assert_eq!(read(&draft.text), *session, "{}", draft.text);
    assert!(draft.text.contains("You decide"), "a draft says what it is");
    assert!(session.title.starts_with("Draft"));
    let total = Timeline::of(session).total();
    assert_eq!(total + wishes.leave, wishes.slot, "{}", draft.text);
    let review = Review::of(session, &Library::builtin());
    let musts: Vec<_> = review
        .remarks
        .iter()
        .filter(|one| one.weight == Weight::MustMend)
        .collect();
    assert!(musts.is_empty(), "{musts:?}\n{}", draft.text);
    assert!(draft.score.work <= draft.score.bound);
}

/// Everybody has a clean version of everything, without looking for a thing first.
fn clean(wishes: &Wishes, session: &Session) {
    assert_eq!(session.limits, wishes.limits);
    let room = Room {
        limits: &session.limits,
        things: &session.equipment,
    };
    for one in Timeline::of(session).intervals() {
        for turn in one.moves.iter() {
            let choice = choose(turn, &room);
            let spare = choice
                .spare
                .is_some_and(|spare| is_at_hand(spare, turn, &room));
            assert!(
                choice.met.is_empty() || spare,
                "{}: {:?}",
                turn.of.id,
                choice.met
            );
        }
    }
}

/// What there is is enough, counted anew from what each interval needs.
pub(crate) fn enough(wishes: &Wishes, session: &Session) {
    let there = |thing: &str| wishes.kit.iter().find(|kit| kit.thing == thing);
    for one in Timeline::of(session).intervals() {
        for (thing, needed) in needs(one, wishes.people) {
            match there(&thing) {
                Some(Kit {
                    count: Some(count), ..
                }) => assert!(*count >= needed, "{thing}: {needed}"),
                Some(_) => {}
                None => assert!(
                    ["mat", "wall", "floor"].contains(&thing.as_str()),
                    "{thing}"
                ),
            }
        }
    }
}

fn needs(one: &Placed, people: Option<u32>) -> BTreeMap<String, u32> {
    let people = people.unwrap_or(1);
    let at_each = match one.together() {
        Some(_) => people.div_ceil(u32::try_from(one.moves.len()).expect("few")),
        None => people,
    };
    // What several stations need at one time adds up.
    let mut needs = BTreeMap::new();
    for turn in one.moves.iter() {
        for thing in turn.equipment() {
            let needed: &mut u32 = needs.entry(thing.to_owned()).or_default();
            *needed = if one.together().is_some() {
                *needed + at_each
            } else {
                at_each
            };
        }
    }
    needs
}

/// The blocks have the times that were wished, or it is told what they became.
fn as_wished(wishes: &Wishes, draft: &Draft) {
    let blocks = draft.session.parts.iter().filter_map(|part| match part {
        Part::Block(block) => Some(block),
        _ => None,
    });
    let mut changed = 0;
    for (wish, block) in wishes.shape.iter().zip(blocks) {
        if wish.pattern == block.pattern {
            continue;
        }
        changed += 1;
        let told = format!("`{wish}` became");
        assert!(
            draft.adjusted.iter().any(|line| line.contains(&told)),
            "{told}"
        );
    }
    let became = draft.adjusted.iter().filter(|line| line.contains("became"));
    assert_eq!(became.count(), changed, "{:?}", draft.adjusted);
}

#[test]
fn five_hundred_wishes_are_classes_that_can_be_taught() {
    let library = Library::builtin();
    let mut rng = fastrand::Rng::with_seed(500);
    let (mut drafted, mut refused) = (0, BTreeMap::<String, usize>::new());
    for n in 0..500 {
        let wishes = wished::random(&mut rng, &library);
        let draft = match draft(&wishes, &library) {
            Ok(draft) => draft,
            Err(why) => {
                let why = why.to_string();
                assert!(why.len() > 30, "{why}");
                *refused.entry(why).or_default() += 1;
                continue;
            }
        };
        drafted += 1;
        assert!(!draft.text.is_empty(), "{n}");
        whole(&wishes, &draft);
        clean(&wishes, &draft.session);
        enough(&wishes, &draft.session);
        let has = ids(&draft.session);
        assert!(wishes.leave_out.iter().all(|id| !has.contains(id)), "{n}");
        let told = draft.told.join("\n");
        for id in wishes.have.iter().filter(|id| !has.contains(*id)) {
            assert!(
                told.contains(id.as_str()),
                "{n}: {id} is missing, and nobody is told: {told}"
            );
        }
        as_wished(&wishes, &draft);
        for (id, why) in &draft.reasons {
            assert!(why.len() > 4 && draft.text.contains(why), "{id}: {why}");
        }
    }
    assert!(drafted >= 450, "{drafted} of 500; {refused:#?}");
}

/// A class a week, each with what was taught before: fifty in a row.
#[test]
fn no_move_of_the_last_class_comes_again_unless_it_is_wished() {
    let library = Library::builtin();
    let mut rng = fastrand::Rng::with_seed(50);
    let mut taught: Vec<BTreeSet<String>> = Vec::new();
    let mut wished_again = 0;
    for n in 0..50_u32 {
        let mut last: BTreeMap<&str, LastTaught> = BTreeMap::new();
        for (ago, class) in taught.iter().rev().enumerate() {
            let days = 3 + 3 * u32::try_from(ago).expect("few");
            for id in class {
                let in_last_class = ago == 0;
                let first = LastTaught {
                    id: id.clone(),
                    days,
                    in_last_class,
                };
                last.entry(id).or_insert(first);
            }
        }
        let again: Vec<String> = taught
            .last()
            .and_then(|class| {
                let work: Vec<&String> = class
                    .iter()
                    .filter(|id| ["squat", "bridge", "step-jack"].contains(&id.as_str()))
                    .collect();
                rng.choice(work).cloned()
            })
            .into_iter()
            .collect();
        let wishes = Wishes {
            slot: Span::from_secs(60 * rng.u64(25..61)),
            taught: last.into_values().collect(),
            kit: vec![
                Kit {
                    thing: "dumbbells".into(),
                    count: None,
                },
                Kit {
                    thing: "band".into(),
                    count: None,
                },
            ],
            have: again.clone(),
            seed: rng.u64(0..5),
            ..Wishes::default()
        };
        let draft = draft(&wishes, &library).unwrap_or_else(|why| panic!("{n}: {why}"));
        let has = ids(&draft.session);
        let before = taught.last().cloned().unwrap_or_default();
        let both: BTreeSet<&String> = has.intersection(&before).collect();
        let wished: BTreeSet<&String> = again.iter().collect();
        wished_again += wished.len();
        assert_eq!(both, wished, "{n}: {:?}", draft.told);
        taught.push(has);
    }
    assert!(wished_again > 5, "{wished_again}");
}

#[test]
fn the_same_seed_is_the_same_class_and_three_are_three() {
    let library = Library::builtin();
    let mut others = 0;
    for seed in 0..6 {
        let wishes = Wishes {
            seed,
            ..Wishes::default()
        };
        let drafts = three(&wishes, &library).expect("classes");
        let again = three(&wishes, &library).expect("classes");
        let texts = |drafts: &[Draft]| {
            drafts
                .iter()
                .map(|draft| draft.text.clone())
                .collect::<Vec<_>>()
        };
        assert_eq!(texts(&drafts), texts(&again));
        assert_eq!(drafts.len(), 3);
        for (n, one) in drafts.iter().enumerate() {
            whole(&wishes, one);
            assert!(
                works(one, &library).contains(&Action::Squat),
                "{}",
                one.text
            );
            for other in &drafts[n + 1..] {
                let (one, other) = (work(&one.session), work(&other.session));
                assert!(
                    one.intersection(&other).count() * 3 <= one.len(),
                    "{one:?} {other:?}"
                );
            }
        }
        let in_all = |id: &String| drafts.iter().all(|one| work(&one.session).contains(id));
        let thrice: Vec<String> = work(&drafts[0].session)
            .into_iter()
            .filter(in_all)
            .collect();
        assert!(thrice.is_empty(), "{thrice:?}");
        let first = draft(&Wishes::default(), &library).expect("a class");
        others += usize::from(work(&first.session) != work(&drafts[0].session));
    }
    assert!(others >= 4, "{others} of 5 seeds are another class");
}

#[test]
fn what_cannot_be_drafted_is_told_in_words() {
    let library = Library::builtin();
    let block = |text: &str| text.parse::<BlockWish>().expect(text);
    let have = |id: &str| vec![id.to_owned()];
    let all = matside::session::Load::ALL.to_vec();
    for (wishes, says) in [
        (
            Wishes {
                slot: Span::from_secs(300),
                ..Wishes::default()
            },
            "5:00",
        ),
        (
            Wishes {
                have: have("no-such"),
                ..Wishes::default()
            },
            "no-such",
        ),
        (
            Wishes {
                have: have("squat"),
                leave_out: have("squat"),
                ..Wishes::default()
            },
            "squat",
        ),
        (
            Wishes {
                have: have("squat-jump"),
                limits: all.clone(),
                ..Wishes::default()
            },
            "squat-jump",
        ),
        (
            Wishes {
                shape: vec![block("12 moves 2x40/20 floor")],
                limits: all,
                ..Wishes::default()
            },
            "12 moves",
        ),
    ] {
        let refused = draft(&wishes, &library).err().map(|why| why.to_string());
        let refused = refused.unwrap_or_else(|| panic!("{says} was drafted"));
        assert!(refused.contains(says), "{refused}");
    }
}

fn samples() -> Vec<Session> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sessions");
    let entries = std::fs::read_dir(folder).expect("the folder");
    let texts = entries
        .map(|entry| std::fs::read_to_string(entry.expect("an entry").path()).expect("text"));
    texts.map(|text| read(&text)).collect()
}

/// The places of a class where a move of its own stands, with its id.
fn places(session: &Session) -> Vec<(Vec<Step>, String)> {
    let mut found = Vec::new();
    for (n, part) in session.parts.iter().enumerate() {
        let at = |rest: &[Step]| [&[Step::Field("parts"), Step::Item(n)], rest].concat();
        match part {
            Part::WarmUp(steps) | Part::CoolDown(steps) => {
                for (k, step) in steps.iter().enumerate() {
                    found.push((at(&[Step::Item(0), Step::Item(k)]), step.turn.of.id.clone()));
                }
            }
            Part::Block(block) => {
                for (k, turn) in block.moves.iter().flat_map(Doing::moves).enumerate() {
                    found.push((
                        at(&[Step::Field("moves"), Step::Item(k)]),
                        turn.of.id.clone(),
                    ));
                }
            }
            _ => {}
        }
    }
    found
}

#[test]
fn other_moves_for_a_place_are_new_clean_and_can_be_written_there() {
    let library = Library::builtin();
    let mut told = 0;
    for session in samples() {
        let wishes = Wishes::of(&session);
        let has = ids(&session);
        for (at, id) in places(&session) {
            let others = alternatives(&session, &at, &wishes, &library);
            told += usize::from(!others.is_empty());
            for other in &others {
                assert!(!has.contains(&other.id), "{id}: {}", other.id);
                let text = format!(
                    "Session(title: \"t\", parts: [Block(moves: [{}], pattern: Same(rounds: 1, work: 40, rest: 20))])",
                    other.text
                );
                let read = read(&text);
                let turns = ids(&read);
                assert!(turns.contains(&other.id), "{}", other.text);
                for one in Timeline::of(&read)
                    .intervals()
                    .iter()
                    .flat_map(|one| one.moves.iter())
                {
                    assert!(
                        one.version().meets(&session.limits).is_empty(),
                        "{}",
                        other.text
                    );
                }
            }
        }
        assert!(alternatives(&session, &[], &wishes, &library).is_empty());
        let no_move = [Step::Field("parts"), Step::Item(900), Step::Item(0)];
        assert!(alternatives(&session, &no_move, &wishes, &library).is_empty());
    }
    assert!(told > 100, "{told}");
}

#[test]
fn a_block_for_a_class_has_other_moves_and_can_be_put_in() {
    let library = Library::builtin();
    for session in samples() {
        let wishes = Wishes::of(&session);
        for shape in [
            "4 moves 3x40/20",
            "3 stations 2x30/20 standing",
            "3 moves emom 9x40 floor",
        ] {
            let wish: BlockWish = shape.parse().expect(shape);
            let block = match draft_block(&session, &wish, &wishes, &library) {
                Ok(block) => block,
                Err(why) => {
                    assert!(
                        !session.limits.is_empty(),
                        "{}: {shape}: {why}",
                        session.title
                    );
                    continue;
                }
            };
            let text = format!(
                "Session(title: \"t\", parts: [\n        {},\n    ])",
                block.text
            );
            let with = ids(&read(&text));
            assert_eq!(with.len(), wish.moves, "{text}");
            assert!(with.is_disjoint(&ids(&session)), "{text}");
            assert_eq!(block.reasons.len(), wish.moves);
        }
    }
}
