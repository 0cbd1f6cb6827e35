//! The choice of versions, over all moves of the library and all pairs and triples of limits.

use std::sync::Arc;

use super::*;
use crate::session::{Impact, Library, Load, Move, MoveOption, Pick, Position, Use};

/// Every set of one, two or three limits.
fn sets() -> Vec<Vec<Load>> {
    let all = Load::ALL;
    let mut sets = Vec::new();
    for (n, &a) in all.iter().enumerate() {
        sets.push(vec![a]);
        for (m, &b) in all.iter().enumerate().skip(n + 1) {
            sets.push(vec![a, b]);
            sets.extend(all[m + 1..].iter().map(|&c| vec![a, b, c]));
        }
    }
    sets
}

/// Every version of a move as the one in force.
fn uses(of: &Arc<Move>) -> Vec<Use> {
    let plain = Use::plain(of.clone());
    let picked = of.options().map(|(pick, _)| Use {
        pick: Some(pick),
        ..plain.clone()
    });
    picked.chain([plain.clone()]).collect()
}

fn of(id: &str) -> Use {
    Use::plain(Library::builtin().get(id).expect("a known move").clone())
}

fn room(limits: &[Load]) -> Room<'_> {
    Room {
        limits,
        things: &[],
    }
}

fn spare(id: &str, limits: &[Load]) -> Option<String> {
    let used = of(id);
    let spare = choose(&used, &room(limits)).spare;
    spare.map(|version| version.call().to_owned())
}

/// Whether a version loads a limit that the version in force does not.
fn brings(version: Version, now: Version, limits: &[Load]) -> bool {
    let before = now.loads();
    let brought = |load: &Load| limits.contains(load) && !before.contains(load);
    version.loads().iter().any(brought)
}

/// The rule itself, written a second time, over everything there is: every move as it stands with
/// each of the 1159 sets of one to three of 19 limits, and every version of it with each pair.
#[test]
fn nothing_that_is_offered_brings_a_limit_of_the_room() {
    let (sets, mut looked) = (sets(), 0_usize);
    assert_eq!(sets.len(), 19 + 19 * 18 / 2 + 19 * 18 * 17 / 6);
    for of in &Library::builtin() {
        for used in uses(of) {
            let most = if used.pick.is_none() { 3 } else { 2 };
            for limits in sets.iter().filter(|limits| limits.len() <= most) {
                let choice = choose(&used, &room(limits));
                let now = choice.now;
                let told = |what: &str| format!("{} {:?} {limits:?}: {what}", of.id, used.pick);
                if let Some(spare) = choice.spare {
                    let loads = spare.loads();
                    assert!(
                        !limits.iter().any(|limit| loads.contains(limit)),
                        "{}",
                        told(spare.call())
                    );
                    assert!(!choice.met.is_empty(), "{}", told("spares nothing"));
                    assert!(
                        !matches!(spare.pick(), Some(Pick::Harder(_)))
                            || matches!(used.pick, Some(Pick::Harder(_))),
                        "{}",
                        told("a harder one to spare")
                    );
                }
                for version in choice.easier.iter().chain(&choice.instead) {
                    assert!(!brings(*version, now, limits), "{}", told(version.call()));
                    assert_ne!(version.pick(), now.pick(), "{}", told("the same again"));
                }
                for harder in &choice.harder {
                    let loads = harder.version.loads();
                    let meets = limits.iter().any(|limit| loads.contains(limit));
                    assert_eq!(meets, harder.with.is_some(), "{}", told("harder"));
                    let with = harder.with.map(Version::loads).unwrap_or_default();
                    let clean = !limits.iter().any(|limit| with.contains(limit));
                    assert!(clean, "{}", told("said with a version that is not clean"));
                }
                looked += 1;
            }
        }
    }
    assert!(looked > 300_000, "{looked}");
}

/// One person's limits in a room with others': all of hers are spared, and none of theirs come.
#[test]
fn what_spares_one_brings_nothing_to_the_others() {
    for of in &Library::builtin() {
        let used = Use::plain(of.clone());
        for &hers in Load::ALL {
            for &theirs in Load::ALL {
                let (limits, person) = ([hers, theirs], [hers]);
                let Some(found) = sparing(&used, &person, &room(&limits)) else {
                    continue;
                };
                let loads = found.loads();
                assert!(!loads.contains(&hers), "{} {hers:?}", of.id);
                assert!(
                    !brings(found, used.version(), &limits),
                    "{} {limits:?}",
                    of.id
                );
            }
        }
    }
}

/// Cases that a physiotherapist named (common practice, no source).
#[test]
fn the_version_for_a_limit_is_the_one_a_careful_instructor_would_call() {
    use Load::{Balance, Isometric, Knee, LowBack, Shoulder, Supine, Wrist};
    for (id, limits, call) in [
        ("push-up", &[Wrist][..], "on your fists"),
        ("push-up", &[LowBack], "push-ups at the wall"),
        ("push-up", &[Wrist, Knee], "on your fists"),
        ("push-up", &[Wrist, Shoulder], "forearms at the wall"),
        ("plank", &[Wrist], "lower to forearms"),
        ("plank", &[Isometric], "five seconds on, knees down"),
        ("plank", &[Isometric, Knee], "lean on the wall, press away"),
        (
            "dead-bug",
            &[Supine, Wrist, Knee],
            "sit, slide one heel away",
        ),
        ("dead-bug", &[Shoulder], "tap one bent knee down"),
        (
            "prone-lift",
            &[LowBack],
            "forehead down, squeeze the glutes",
        ),
        ("jumping-jack", &[Knee], "step out, arms still up"),
        ("jumping-jack", &[Knee, Shoulder], "tap out, arms low"),
        ("squat", &[Knee], "only halfway down"),
        ("wall-push-up", &[Wrist], "forearms flat, press away"),
        ("single-leg-balance", &[Balance], "tap down, lift, tap down"),
    ] {
        assert_eq!(spare(id, limits).as_deref(), Some(call), "{id} {limits:?}");
    }
    assert_eq!(spare("march", &[Wrist, Knee]), None, "nothing is met");
}

/// What is at hand comes first, and what is not is better than nothing.
#[test]
fn a_version_with_what_is_at_hand_comes_first() {
    let option = |call: &str, things: &[&str]| MoveOption {
        call: call.into(),
        spares: vec![Load::Wrist],
        equipment: things.iter().map(ToString::to_string).collect(),
        ..MoveOption::default()
    };
    let used = Use::plain(Arc::new(Move {
        loads: vec![Load::Wrist],
        easier: vec![
            option("on a chair", &["chair"]),
            option("on a bench", &["bench"]),
        ],
        instead: vec![option("at the wall", &["wall"])],
        ..Move::default()
    }));
    let limits = [Load::Wrist];
    let call = |things: &[&str], used: &Use| {
        let things: Vec<String> = things.iter().map(ToString::to_string).collect();
        let room = Room {
            limits: &limits,
            things: &things,
        };
        sparing(used, &limits, &room).map(|version| version.call().to_owned())
    };
    assert_eq!(call(&[], &used).as_deref(), Some("at the wall"));
    assert_eq!(call(&["chair"], &used).as_deref(), Some("on a chair"));
    assert_eq!(call(&["bench"], &used).as_deref(), Some("on a bench"));
    let chair = Move {
        instead: Vec::new(),
        ..(*used.of).clone()
    };
    let chair = Use::plain(Arc::new(chair));
    assert_eq!(call(&[], &chair).as_deref(), Some("on a chair"));
}

/// The key for easier goes down the ladder from wherever everybody is, the key for harder up, and
/// no key leads in a ring except the one for other versions, which comes round to the move.
#[test]
fn keys_walk_their_own_lists() {
    let calls = |versions: &[Version]| -> Vec<String> {
        versions.iter().map(|v| v.call().to_owned()).collect()
    };
    let at = |pick: Option<Pick>| Use {
        pick,
        ..of("push-up")
    };
    let none = room(&[]);
    let down = ["knees down", "hands on a chair", "push-ups at the wall"];
    assert_eq!(calls(&choose(&at(None), &none).easier), down);
    let lower = at(Some(Pick::Easier(1)));
    assert_eq!(calls(&choose(&lower, &none).easier), down[2..]);
    let up: Vec<Version> = choose(&lower, &none)
        .harder
        .iter()
        .map(|h| h.version)
        .collect();
    assert_eq!(
        calls(&up)[..3],
        ["knees down", "push-ups", "three counts down"]
    );
    let above = at(Some(Pick::Harder(1)));
    assert_eq!(
        calls(&choose(&above, &none).easier)[..3],
        ["three counts down", "push-ups", "knees down"]
    );
    assert_eq!(
        calls(&choose(&at(None), &none).instead),
        ["on your fists", "forearms at the wall"]
    );
    let fists = at(Some(Pick::Instead(0)));
    assert_eq!(
        calls(&choose(&fists, &none).instead),
        ["forearms at the wall", "push-ups"]
    );
    let lowest = at(Some(Pick::Easier(2)));
    assert!(choose(&lowest, &none).easier.is_empty());
}

/// The named fault of a first edition: a jump was called harder to sore knees.
#[test]
fn a_harder_version_is_said_with_the_version_for_the_limit_or_not_at_all() {
    let limits = [Load::Knee, Load::PelvicFloor];
    let jacks = Use {
        pick: Some(Pick::Harder(0)),
        ..of("step-jack")
    };
    let choice = choose(&jacks, &room(&limits));
    let jumps = choice.harder.first().expect("jumping jacks");
    assert_eq!(jumps.version.call(), "make it jumping jacks");
    assert_eq!(jumps.meets, limits);
    let with = jumps.with.expect("beside it");
    assert_eq!(with.call(), "step jacks");
    // A move all of whose versions load the knee says nothing harder to a sore knee.
    let lone = Use::plain(Arc::new(Move {
        loads: vec![Load::Knee],
        harder: vec![MoveOption::default()],
        ..Move::default()
    }));
    assert!(choose(&lone, &room(&limits)).harder.is_empty());
}

/// Said is what everybody can do where they are, with what they have.
#[test]
fn what_is_said_leaves_the_body_where_it_is() {
    for of in &Library::builtin() {
        for used in uses(of) {
            let choice = choose(&used, &room(&[]));
            if let Some(said) = choice.easier_said {
                assert_eq!(choice.now.way(said), 0, "{} {}", of.id, said.call());
                assert!(is_at_hand(said, &used, &room(&[])));
            }
            if let Some(said) = choice.harder_said {
                let position = said.version.position();
                assert_eq!(position, choice.now.position(), "{}", of.id);
            }
        }
    }
}

/// For every move and every pair of limits, other moves that are named are clean, no harder on the
/// feet, and of the same action or region.
#[test]
fn another_move_is_clean_and_alike() {
    let library = Library::builtin();
    let mut found = 0;
    for of in library.iter().step_by(7) {
        let used = Use::plain(of.clone());
        for &a in Load::ALL {
            for &b in Load::ALL {
                let limits = [a, b];
                for other in elsewhere(&used, &library, &room(&limits)) {
                    let loads = Version::of(other, None).loads();
                    assert!(!loads.contains(&a) && !loads.contains(&b), "{}", other.id);
                    assert!(other.impact <= of.impact && other.id != of.id);
                    let like =
                        other.action == of.action || other.regions.first() == of.regions.first();
                    assert!(like, "{} for {}", other.id, of.id);
                    found += 1;
                }
            }
        }
    }
    assert!(found > 10_000, "{found}");
    let limits = [Load::Wrist, Load::Kneeling];
    let used = of("bird-dog");
    let first = elsewhere(&used, &library, &room(&limits));
    assert_eq!(first[0].regions[0], used.of.regions[0]);
    assert_eq!(first[0].action, used.of.action);
}

/// What a version says of itself, against its fields one by one.
#[test]
fn a_version_has_its_own_data_or_that_of_the_move_it_is() {
    let push_up = of("push-up");
    let wall = Version::of(&push_up.of, Some(Pick::Easier(2)));
    let library = Library::builtin();
    let own = library.get("wall-push-up").expect("a known move");
    assert_eq!(
        wall.stand_in().map(|of| of.id.as_str()),
        Some("wall-push-up")
    );
    assert_eq!(wall.position(), Position::Wall);
    assert_eq!(wall.setup(), Some(own.setup.as_str()));
    assert_eq!(wall.form(), own.form);
    assert_eq!(wall.equipment(), ["wall"]);
    assert_eq!(wall.energy(), own.energy.as_deref());
    let jack = of("star-jump");
    let step = Version::of(&jack.of, Some(Pick::Easier(0)));
    assert_eq!(step.impact(), Impact::Low);
    assert!(step.spares().contains(&Load::Jump));
    let squat = of("squat");
    let pause = Version::of(&squat.of, Some(Pick::Harder(0)));
    assert_eq!(
        (pause.setup(), pause.form().len()),
        (None, 0),
        "not the base move's"
    );
    assert_eq!(pause.adds(), [Load::Isometric]);
    let past = Version::of(&squat.of, Some(Pick::Instead(99)));
    assert_eq!(past.pick(), None, "there is no such option");
}

/// A file that says less than it should: the place and the landing ask what they ask.
#[test]
fn a_place_and_a_landing_load_what_they_load_unasked() {
    let option = |position: Position| MoveOption {
        position: Some(position),
        ..MoveOption::default()
    };
    let of = Move {
        impact: Impact::High,
        easier: vec![
            option(Position::Supine),
            option(Position::Prone),
            option(Position::HandsAndKnees),
            MoveOption {
                spares: vec![Load::Jump],
                ..MoveOption::default()
            },
        ],
        ..Move::default()
    };
    let loads = |n: usize| Version::of(&of, Some(Pick::Easier(n))).loads();
    assert_eq!(Version::of(&of, None).loads(), [Load::Jump]);
    assert_eq!(loads(0), [Load::Supine, Load::Jump]);
    assert_eq!(loads(1), [Load::Prone, Load::Jump]);
    assert_eq!(loads(2), [Load::Kneeling, Load::Jump]);
    assert!(loads(3).is_empty());
}

/// A user's move that hides one of the library is what stands in from then on.
#[test]
fn a_hidden_move_stands_in_as_it_is_now() {
    let library = Library::builtin();
    let mine = Move {
        id: "wall-push-up".into(),
        call: "presses at the wall".into(),
        loads: vec![Load::Ankle],
        position: Position::Wall,
        ..Move::default()
    };
    let library = library.with([mine]);
    let push_up = library.get("push-up").expect("a known move");
    let wall = Version::of(push_up, Some(Pick::Easier(2)));
    assert_eq!(wall.loads(), [Load::Ankle]);
    assert_eq!(wall.call(), "push-ups at the wall", "its own words stay");
}
