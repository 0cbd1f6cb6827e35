//! Wishes that are hard to fulfil: kit by count, moves by name, shapes that must grow, a last class that
//! had nearly all.

use matside::advice::{
    BlockWish, CannotDraft, Draft, Kit, LastTaught, Level, Wishes, draft, three,
};
use matside::session::{Action, Library, Load, Part, Region};
use matside::time::Span;

use crate::{enough, ids, whole};

pub(crate) fn minutes(many: u64) -> Span {
    Span::from_secs(60 * many)
}

fn names(ids: &[&str]) -> Vec<String> {
    ids.iter().map(ToString::to_string).collect()
}

fn shape(texts: &[&str]) -> Vec<BlockWish> {
    let block = |text: &&str| text.parse().unwrap_or_else(|why| panic!("{text}: {why}"));
    texts.iter().map(block).collect()
}

fn kit(of: &[(&str, Option<u32>)]) -> Vec<Kit> {
    let thing = |(thing, count): &(&str, Option<u32>)| Kit {
        thing: (*thing).to_owned(),
        count: *count,
    };
    of.iter().map(thing).collect()
}

fn made(wishes: &Wishes) -> Draft {
    let made = draft(wishes, &Library::builtin());
    made.unwrap_or_else(|why| panic!("{wishes:?}: {why}"))
}

/// More moves with a thing are wished than it can be had for at one time: none of these classes hands
/// out more than there is, and what is left out for it is told.
#[test]
fn no_wish_takes_more_of_a_thing_than_there_is() {
    let four = "4 stations 3x40/20 standing";
    for (block, people, thing, count, have) in [
        (
            four,
            4,
            "kettlebell",
            1,
            &["goblet-squat", "kettlebell-deadlift"][..],
        ),
        (
            four,
            4,
            "kettlebell",
            2,
            &["goblet-squat", "kettlebell-deadlift", "kettlebell-swing"],
        ),
        (
            four,
            8,
            "kettlebell",
            3,
            &["goblet-squat", "kettlebell-swing"],
        ),
        (four, 5, "dumbbells", 3, &["bent-row", "shoulder-press"]),
        (
            four,
            4,
            "dumbbells",
            2,
            &["bent-row", "shoulder-press", "squat-press"],
        ),
        (four, 12, "dumbbells", 5, &["biceps-curl", "reverse-fly"]),
        (
            four,
            4,
            "band",
            1,
            &["standing-row-band", "band-chest-press"],
        ),
        (four, 4, "step", 1, &["basic-step", "step-up"]),
        (
            "6 stations 2x40/20 standing",
            6,
            "step",
            2,
            &["basic-step", "step-up", "knee-repeater"],
        ),
        (
            "6 stations 2x40/20 standing",
            18,
            "band",
            4,
            &["band-pull-down", "band-triceps"],
        ),
        (
            "3 stations 3x40/20 standing",
            3,
            "kettlebell",
            1,
            &["goblet-squat", "kettlebell-swing"],
        ),
        (
            "4 stations 3x40/20 floor",
            4,
            "dumbbells",
            1,
            &["kneeling-curl", "kneeling-press-out"],
        ),
    ] {
        let wishes = Wishes {
            slot: minutes(25),
            shape: shape(&[block]),
            people: Some(people),
            kit: kit(&[(thing, Some(count))]),
            have: names(have),
            ..Wishes::default()
        };
        let draft = made(&wishes);
        whole(&wishes, &draft);
        enough(&wishes, &draft.session);
        let has = ids(&draft.session);
        let missing: Vec<&String> = wishes.have.iter().filter(|id| !has.contains(*id)).collect();
        assert!(missing.len() < have.len(), "{have:?}: one can be had");
        for id in missing {
            let says = format!("`{id}` found no place: what it needs is at other stations");
            assert!(
                draft.told.iter().any(|line| line.contains(&says)),
                "{:?}",
                draft.told
            );
        }
    }
}

/// What can be done at one place of three is had, wherever the blocks would be by themselves.
#[test]
fn wished_moves_are_had_where_there_is_a_place_for_them() {
    let chair = kit(&[("chair", None)]);
    for (slot, block, kit, have) in [
        (20, None, Vec::new(), &["plank"][..]),
        (20, None, Vec::new(), &["bridge"]),
        (20, None, Vec::new(), &["crunch", "dead-bug", "side-plank"]),
        (20, None, Vec::new(), &["squat", "plank"]),
        (20, Some("4 moves 3x40/20"), Vec::new(), &["bridge"]),
        (
            20,
            Some("4 moves 3x40/20"),
            Vec::new(),
            &["push-up", "bird-dog"],
        ),
        (30, Some("3 moves emom 9x40"), Vec::new(), &["swimmer"]),
        (20, None, chair.clone(), &["sit-to-stand"]),
        (30, None, chair.clone(), &["sit-to-stand", "plank"]),
        (30, None, chair.clone(), &["seated-row"]),
        (
            45,
            None,
            chair.clone(),
            &["seated-march", "squat", "bridge"],
        ),
        (
            45,
            Some("4 moves 3x40/20"),
            chair.clone(),
            &["chair-dip", "crunch"],
        ),
        (45, None, chair, &["chair-hamstring-stretch"]),
        (45, None, Vec::new(), &["chest-opener"]),
        (
            45,
            None,
            Vec::new(),
            &["standing-side-bend", "calf-stretch"],
        ),
    ] {
        let wishes = Wishes {
            slot: minutes(slot),
            shape: shape(block.as_slice()),
            kit,
            have: names(have),
            ..Wishes::default()
        };
        let draft = made(&wishes);
        whole(&wishes, &draft);
        let has = ids(&draft.session);
        assert!(
            wishes.have.iter().all(|id| has.contains(id)),
            "{have:?}: {:?}",
            draft.told
        );
        assert_eq!(draft.told, Vec::<String>::new(), "{have:?}");
    }
}

/// The reason that is told is the one there is.
#[test]
fn a_move_that_found_no_place_is_told_with_the_true_reason() {
    let standing = "4 moves 3x40/20 standing";
    let many = [
        "squat",
        "sumo-squat",
        "good-morning",
        "reverse-lunge",
        "side-lunge",
        "shadow-punch",
    ];
    let many = [
        &many[..],
        &[
            "standing-crunch",
            "knee-lift",
            "butt-kick",
            "side-step",
            "march",
        ],
    ]
    .concat();
    for (block, level, have, says) in [
        (
            standing,
            Level::Mixed,
            &many[..],
            "more was wished than there are places",
        ),
        (
            standing,
            Level::Mixed,
            &["plank"],
            "it is done on the floor, and no block is",
        ),
        (
            standing,
            Level::Mixed,
            &["bridge", "crunch"],
            "it is done on the floor, and no block is",
        ),
        (
            "4 moves 3x40/20 floor",
            Level::Mixed,
            &["star-jump"],
            "it is done on the feet, and no block is",
        ),
        (
            standing,
            Level::Mixed,
            &["goblet-squat"],
            "what it needs is not there",
        ),
        (
            standing,
            Level::Mixed,
            &["sit-to-stand"],
            "what it needs is not there",
        ),
        (
            "4 moves 8x20/10 standing",
            Level::Mixed,
            &["side-leg-lift"],
            "the times of the blocks or the level",
        ),
        (standing, Level::Beginner, &["squat-jump"], "found no place"),
    ] {
        let wishes = Wishes {
            slot: minutes(20),
            shape: shape(&[block]),
            level,
            have: names(have),
            ..Wishes::default()
        };
        let draft = made(&wishes);
        let has = ids(&draft.session);
        for id in wishes.have.iter().filter(|id| !has.contains(*id)) {
            let line = draft
                .told
                .iter()
                .find(|line| line.contains(&format!("`{id}`")));
            assert!(
                line.is_some_and(|line| line.contains(says)),
                "{id}: {:?}",
                draft.told
            );
        }
        if says != "found no place" {
            assert!(
                wishes.have.iter().any(|id| !has.contains(id)),
                "{have:?} has a place"
            );
        }
    }
}

/// Few moves suit, and the slot is long: the block has more rounds before the class is refused.
#[test]
fn where_too_few_moves_suit_for_more_blocks_rounds_are_more() {
    for (slot, block, limits, level) in [
        (
            90,
            "12 moves 1x30/10",
            &[Load::Knee, Load::Wrist][..],
            Level::Advanced,
        ),
        (
            90,
            "12 moves 1x30/10",
            &[Load::Knee, Load::Wrist],
            Level::Mixed,
        ),
        (
            90,
            "12 moves 2x30/10 floor",
            &[Load::Wrist, Load::Shoulder],
            Level::Mixed,
        ),
        (
            90,
            "12 moves 1x40/20",
            &[Load::LowBack, Load::Wrist],
            Level::Mixed,
        ),
        (
            75,
            "12 moves 1x30/15",
            &[Load::Knee, Load::Hip],
            Level::Mixed,
        ),
        (
            60,
            "10 moves 1x40/20 floor",
            &[Load::Knee, Load::LowBack],
            Level::Beginner,
        ),
        (
            80,
            "8 moves 1x40/20 standing",
            &[Load::Knee, Load::Shoulder],
            Level::Mixed,
        ),
        (120, "12 moves 1x30/10", &[], Level::Mixed),
        (90, "12 moves 1x45/15", &[Load::Jump], Level::Mixed),
        (
            100,
            "9 moves 1x40/20",
            &[Load::Balance, Load::Wrist],
            Level::Mixed,
        ),
    ] {
        let wishes = Wishes {
            slot: minutes(slot),
            shape: shape(&[block]),
            limits: limits.to_vec(),
            level,
            ..Wishes::default()
        };
        match draft(&wishes, &Library::builtin()) {
            Ok(draft) => whole(&wishes, &draft),
            // Of the wished block itself there is too little, and it is named as it was wished.
            Err(CannotDraft::TooFew { shape }) => {
                assert_eq!(shape, block);
                let once = Wishes {
                    slot: minutes(30),
                    ..wishes
                };
                assert!(
                    draft(&once, &Library::builtin()).is_err(),
                    "{block} suits once"
                );
            }
            Err(why) => panic!("{block}: {why}"),
        }
    }
}

/// A block that a class has, and what it was wished as.
fn grown(wishes: &Wishes, draft: &Draft) -> Vec<(BlockWish, u64)> {
    let blocks = draft.session.parts.iter().filter_map(|part| match part {
        Part::Block(block) => Some(block),
        _ => None,
    });
    let of = wishes.shape.iter().cycle();
    let with = of.zip(blocks).map(|(wish, block)| {
        let count = block.moves.iter().map(|doing| doing.moves().len()).sum();
        let now = BlockWish {
            moves: count,
            pattern: block.pattern.clone(),
            ..wish.clone()
        };
        let rounds = |of: &BlockWish| match &of.pattern {
            matside::session::Pattern::Amrap { time } => time.secs_floor(),
            pattern => pattern.rounds(of.moves) as u64,
        };
        let times = 100 * rounds(&now) / rounds(wish).max(1);
        (now, times)
    });
    with.collect()
}

#[test]
fn a_shape_grows_in_all_its_blocks_and_within_the_bounds_of_a_shape() {
    let mut refused = 0;
    for (slot, blocks) in [
        (45, &["2 moves 1x5/10"][..]),
        (30, &["2 moves 1x5/10"]),
        (45, &["2 moves 1x10/10"]),
        (120, &["2 moves 1x20/10"]),
        (60, &["4 moves 1x30/20"]),
        (180, &["3 moves amrap 8:00"]),
        (150, &["3 moves amrap 8:00"]),
        (180, &["3 moves amrap 10:00"]),
        (180, &["4 moves amrap 12:00"]),
        (120, &["3 moves amrap 5:00"]),
        (120, &["4 moves 2x40/20", "3 moves amrap 6:00"]),
        (180, &["4 moves 3x40/20"]),
        (90, &["3 moves emom 9x40"]),
    ] {
        let wishes = Wishes {
            slot: minutes(slot),
            shape: shape(blocks),
            ..Wishes::default()
        };
        let draft = match draft(&wishes, &Library::builtin()) {
            Ok(draft) => draft,
            Err(why @ CannotDraft::TooOften { .. }) => {
                refused += 1;
                let why = why.to_string();
                assert!(
                    why.contains(blocks[0]) && why.contains("name more blocks"),
                    "{why}"
                );
                continue;
            }
            Err(why) => panic!("{blocks:?} in {slot}: {why}"),
        };
        whole(&wishes, &draft);
        let grown = grown(&wishes, &draft);
        let times = grown.iter().map(|(_, times)| *times);
        let (least, most) = (times.clone().min(), times.max());
        let (least, most) = least.zip(most).expect("blocks");
        assert!(most <= 2 * least + 100, "{blocks:?} in {slot}: {grown:?}");
        for (now, _) in grown {
            assert!(now.clone().checked().is_ok(), "{blocks:?} in {slot}: {now}");
        }
    }
    assert!((1..=6).contains(&refused), "{refused}");
}

/// The last class had half of the library. Where the rest is enough, none of the three has any of it.
#[test]
fn nothing_of_the_last_class_comes_where_the_rest_is_enough() {
    let library = Library::builtin();
    let mut rng = fastrand::Rng::with_seed(11);
    let (mut without, mut again) = (0, 0);
    for n in 0..14 {
        let mut all: Vec<String> = library.iter().map(|of| of.id.clone()).collect();
        rng.shuffle(&mut all);
        let last = &all[..100 + 6 * n];
        let wishes = Wishes {
            slot: minutes([25, 40, 90][n % 3]),
            kit: kit(&[("band", None), ("dumbbells", None)]),
            taught: last
                .iter()
                .map(|id| LastTaught {
                    id: id.clone(),
                    days: 3,
                    in_last_class: true,
                })
                .collect(),
            ..Wishes::default()
        };
        let left_out = Wishes {
            leave_out: last.to_vec(),
            taught: Vec::new(),
            ..wishes.clone()
        };
        let Ok(classes) = three(&wishes, &library) else {
            assert!(three(&left_out, &library).is_err(), "{n}");
            continue;
        };
        let can = three(&left_out, &library).map_or(0, |classes| classes.len());
        for (nth, class) in classes.iter().enumerate() {
            let has = ids(&class.session);
            let comes = last.iter().any(|id| has.contains(id));
            assert!(
                nth >= can || !comes,
                "{n}: class {nth} of {can}: {:?}",
                class.told
            );
            let told = class
                .told
                .iter()
                .any(|line| line.contains("of the last class again"));
            assert_eq!(told, comes, "{n}");
            without += usize::from(!comes);
            again += usize::from(comes);
        }
    }
    assert!(without > 5 && again > 0, "{without} {again}");
}

#[test]
fn a_class_is_called_by_all_that_it_has_more_of() {
    for (regions, actions, says) in [
        (&[][..], &[][..], "Draft: whole body in 45:00"),
        (&[], &[Action::Pull], "Draft: pull in 45:00"),
        (&[Region::Lower], &[], "Draft: legs in 45:00"),
        (
            &[Region::Lower],
            &[Action::Pull],
            "Draft: legs and pull in 45:00",
        ),
        (
            &[],
            &[Action::Push, Action::Pull],
            "Draft: push and pull in 45:00",
        ),
    ] {
        let wishes = Wishes {
            regions: regions.to_vec(),
            actions: actions.to_vec(),
            ..Wishes::default()
        };
        assert_eq!(made(&wishes).session.title, says);
    }
}
