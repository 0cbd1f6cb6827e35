//! What is said of a move, rule by rule: which option, which number, which place in the rounds.
//! Common practice of instructors, no source, unless a check says otherwise.

mod common;

use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

use common::{option, plain, secs};
use matside::export::{Layout, Outline, cards, cover, sheet};
use matside::live::{Act, Input, Live};
use matside::plan::{CuePlan, Kind, Prompt, PromptKind, Timeline, before_class};
use matside::session::{
    Block, Cueing, Library, Load, Move, MoveOption, Order, Part, Pattern, Pick, Position, Session,
    Step, Use,
};
use matside::time::{Moment, Offset};

fn class(parts: Vec<Part>) -> Session {
    Session {
        title: "Words".into(),
        slot: None,
        brief: String::new(),
        limits: Vec::new(),
        people: None,
        groups: Vec::new(),
        equipment: Vec::new(),
        stock: Vec::new(),
        cueing: Cueing::default(),
        parts,
    }
}

fn block(moves: Vec<Arc<Use>>, pattern: Pattern) -> Part {
    Part::Block(Block {
        title: None,
        moves: moves.into_iter().map(Into::into).collect(),
        pattern,
        recovery: None,
        order: Order::ByRound,
        between: None,
        last_rest: false,
    })
}

fn rounds(rounds: u32, work: u64, rest: u64) -> Pattern {
    let (work, rest) = (secs(work), secs(rest));
    Pattern::Same { rounds, work, rest }
}

fn library(id: &str) -> Arc<Use> {
    let library = Library::builtin();
    let found = library.iter().find(|m| m.id == id).expect("a known move");
    Arc::new(Use::plain(found.clone()))
}

fn picked(of: &Arc<Use>, pick: Pick) -> Arc<Use> {
    let pick = Some(pick);
    Arc::new(Use {
        pick,
        ..(**of).clone()
    })
}

fn noted(of: &Arc<Use>, note: &str) -> Arc<Use> {
    let note = Some(note.to_owned());
    Arc::new(Use {
        note,
        ..(**of).clone()
    })
}

fn counted(of: &Arc<Use>, reps: u32) -> Arc<Use> {
    let reps = Some(reps);
    Arc::new(Use {
        reps,
        ..(**of).clone()
    })
}

fn prompts(session: &Session) -> Vec<Prompt> {
    let timeline = Timeline::of(session);
    CuePlan::of(&timeline, &session.cueing, &session.limits).prompts
}

/// What is said in an interval.
fn said_in(session: &Session, n: usize) -> Vec<String> {
    let here = prompts(session).into_iter().filter(|p| p.interval == n);
    here.map(|p| p.say).collect()
}

/// The previews of a class in order.
fn previews(session: &Session) -> Vec<String> {
    let previews = prompts(session).into_iter();
    let previews = previews.filter(|p| p.kind == PromptKind::Preview);
    previews.map(|p| p.say).collect()
}

/// Every option that is offered of one move in three rounds with long rests.
fn offered(of: &Arc<Use>, things: &[&str], limits: &[Load]) -> Vec<String> {
    let ready = Part::Ready { time: secs(40) };
    let session = Session {
        limits: limits.to_vec(),
        people: None,
        groups: Vec::new(),
        equipment: things.iter().map(ToString::to_string).collect(),
        ..class(vec![ready, block(vec![of.clone()], rounds(3, 60, 40))])
    };
    let mut said: Vec<String> = Vec::new();
    for prompt in prompts(&session) {
        if prompt.kind == PromptKind::Option && !said.contains(&prompt.say) {
            said.push(prompt.say);
        }
    }
    said
}

/// Once the preview is said, the lead binds nothing else: set-up and option come in the rest.
#[test]
fn a_rest_too_short_for_the_preview_still_has_the_set_up() {
    let moves = vec![common::squat(), common::plank_tap()];
    let session = class(vec![
        Part::Ready { time: secs(20) },
        block(moves, rounds(1, 40, 12)),
    ]);
    let (work, rest) = (said_in(&session, 1), said_in(&session, 2));
    assert_eq!(
        work.last().map(String::as_str),
        Some("plank taps next, get the mat, to the floor")
    );
    let expected = [
        "hands under the shoulders, feet wide",
        "easier: knees down",
        "plank taps",
    ];
    assert_eq!(rest, expected);
}

/// A move, what everyone has, whom the room spares, and what is offered.
type Case<'a> = (&'a Arc<Use>, &'a [&'a str], &'a [Load], &'a [&'a str]);

#[test]
fn an_option_is_offered_to_all_where_it_eases_the_effort_with_what_is_there() {
    let (push_up, lunge, split) = (
        library("push-up"),
        library("reverse-lunge"),
        library("split-squat"),
    );
    let (easier, harder) = (Pick::Easier(0), Pick::Harder(0));
    let seated = picked(&library("march"), Pick::Easier(1));
    let full = "full reverse lunges if you like";
    let wrists = "wrists: on your fists";
    let knees = "easier: knees down";
    let kneeling = "easier: knees down, knees behind hips, hands wide, bend the elbows, press up";
    let taps = "easier: toe taps behind";
    let tapping = "easier: toe taps behind, tap one toe straight back, bring it in, change";
    let hold = "easier: hold a chair, half depth";
    let holding =
        "easier: hold a chair, half depth, one hand on the chair, step back, bend halfway";
    let rise = "harder: knee up as you rise";
    let down = "harder: three counts down";
    let squat = library("squat");
    let march = library("march");
    let cases: [Case<'_>; 13] = [
        (
            &squat,
            &[],
            &[],
            &[
                "easier: only halfway down, feet hip wide, sit back halfway, stand up",
                "easier: only halfway down",
                "harder: pause at the bottom",
            ],
        ),
        (
            &picked(&squat, easier),
            &[],
            &[],
            &["full squats if you like"],
        ),
        (
            &picked(&squat, Pick::Easier(1)),
            &["chair"],
            &[],
            &["a little more: only halfway down"],
        ),
        (&picked(&march, Pick::Easier(1)), &["chair"], &[], &[]),
        (&push_up, &[], &[], &[kneeling, knees, down]),
        (&push_up, &[], &[Load::Wrist], &[wrists, kneeling, knees]),
        (&lunge, &[], &[], &[tapping, taps, rise]),
        (&lunge, &["chair"], &[], &[holding, hold, rise]),
        (&picked(&lunge, easier), &[], &[], &[tapping, taps, full]),
        (
            &picked(&lunge, harder),
            &[],
            &[],
            &[
                "easier: plain reverse lunges",
                "harder: knee up, foot stays off",
            ],
        ),
        (
            &picked(&split, harder),
            &[],
            &[],
            &["easier: plain split squats"],
        ),
        (
            &picked(&split, harder),
            &["dumbbells"],
            &[],
            &[
                "easier: plain split squats",
                "harder: weights by your sides",
            ],
        ),
        (&seated, &["chair"], &[], &[]),
    ];
    for (of, things, limits, expected) in cases {
        let name = format!("{} {:?} {things:?} {limits:?}", of.of.id, of.pick);
        assert_eq!(offered(of, things, limits), expected, "{name}");
    }
}

#[test]
fn of_an_option_in_another_position_only_its_own_set_up_is_said() {
    let own = "sit tall, knees over ankles, lift both heels, lower";
    let base = "feet hip wide, rise onto the toes, lower slowly";
    let half = "both hands on the chair back, rise halfway, lower slowly";
    let away = Use {
        of: Arc::new(Move {
            setup: "Stand.".into(),
            easier: vec![MoveOption {
                position: Some(Position::Seated),
                ..option("lean", &[])
            }],
            ..plain("reach", Position::Standing)
        }),
        pick: Some(Pick::Easier(0)),
        ..(*library("march")).clone()
    };
    let raise = library("heel-raise");
    for (of, expected) in [
        (raise.clone(), Some(base)),
        (picked(&raise, Pick::Easier(0)), Some(half)),
        (picked(&raise, Pick::Easier(1)), Some(own)),
        (Arc::new(away), None),
    ] {
        let ready = Part::Ready { time: secs(40) };
        let session = class(vec![ready, block(vec![of], rounds(1, 40, 10))]);
        let said = prompts(&session).into_iter();
        let setup = said
            .filter(|p| p.kind == PromptKind::Setup)
            .map(|p| p.say)
            .next();
        assert_eq!(setup.as_deref(), expected);
    }
}

#[test]
fn a_preview_tells_the_number_the_place_and_what_to_put_down() {
    let (squat, lunge, row) = (library("squat"), library("side-lunge"), library("bent-row"));
    let (bug, fold) = (library("dead-bug"), library("seated-forward-fold"));
    let sits = picked(&library("march"), Pick::Easier(1));
    let (side, stand) = (library("side-plank"), library("march"));
    let reps = Pattern::Reps {
        rounds: 1,
        rest: secs(30),
        pace: secs(3),
        cap: None,
    };
    let after = |a: &Arc<Use>, b: &Arc<Use>, pattern: &Pattern| {
        let moves = vec![a.clone(), b.clone()];
        let ready = Part::Ready { time: secs(30) };
        let session = class(vec![ready, block(moves, pattern.clone())]);
        previews(&session).pop().expect("a preview")
    };
    let (long, short) = (rounds(1, 40, 30), rounds(1, 40, 12));
    for (a, b, pattern, expected) in [
        (
            &counted(&lunge, 8),
            &counted(&squat, 12),
            &reps,
            "twelve squats next",
        ),
        (&row, &squat, &long, "squats next, put away the dumbbells"),
        (
            &row,
            &bug,
            &long,
            "dead bugs next, put away the dumbbells, get the mat, to the floor, onto your back",
        ),
        (&bug, &stand, &short, "march next, stand up"),
        (&bug, &fold, &long, "forward fold next, sit up"),
        (
            &stand,
            &fold,
            &long,
            "forward fold next, get the mat, sit down",
        ),
        (&bug, &side, &long, "side plank next, onto your side"),
        (&sits, &stand, &long, "march next, stand up"),
    ] {
        assert_eq!(after(a, b, pattern), expected);
    }
}

#[test]
fn rounds_of_one_move_are_counted() {
    for (of, expected) in [
        (2, &["once more"][..]),
        (3, &["two of three", "last one"]),
        (
            5,
            &["two of five", "three of five", "two to go", "last one"],
        ),
    ] {
        let ready = Part::Ready { time: secs(30) };
        let session = class(vec![
            ready,
            block(vec![library("squat")], rounds(of, 40, 20)),
        ]);
        assert_eq!(previews(&session)[1..], *expected);
    }
    let circle = library("hip-circle");
    let step = |note: &str| Step {
        turn: noted(&circle, note),
        time: Some(secs(40)),
    };
    let session = class(vec![Part::WarmUp(vec![step("one way"), step("other way")])]);
    assert_eq!(previews(&session), ["again, other way"]);
}

/// A number that changes with the round is said, and stands where it can be said.
#[test]
fn a_number_that_is_another_in_each_round_is_said() {
    let fewer = |of: &Arc<Use>| {
        Arc::new(Use {
            rounds: vec![counted(of, 12), counted(of, 10), counted(of, 10)],
            ..(*counted(of, 12)).clone()
        })
    };
    for (id, expected) in [
        (
            "squat",
            [
                "twelve squats first",
                "two of three, ten squats",
                "last one",
            ],
        ),
        (
            "shoulder-press",
            [
                "shoulder press first, twelve times, get the dumbbells",
                "two of three, shoulder press, ten times",
                "last one",
            ],
        ),
    ] {
        let ready = Part::Ready { time: secs(40) };
        let moves = vec![fewer(&library(id))];
        let session = class(vec![ready, block(moves, rounds(3, 40, 30))]);
        assert_eq!(previews(&session), expected, "{id}");
    }
}

/// The planner's word for a place is a part of its name: said each time, before it starts where the
/// rest has room.
#[test]
fn a_note_is_said_every_time_before_the_move() {
    let moves = vec![
        library("squat"),
        noted(&library("side-lunge"), "long steps"),
    ];
    let session = class(vec![
        Part::Ready { time: secs(20) },
        block(moves, rounds(3, 40, 25)),
    ]);
    let notes = prompts(&session)
        .into_iter()
        .filter(|p| p.say == "long steps");
    let places: Vec<usize> = notes.map(|p| p.interval).collect();
    assert_eq!(places, [2, 6, 10]);
    let option = picked(&library("reverse-lunge"), Pick::Easier(1));
    let told = class(vec![
        Part::Ready { time: secs(30) },
        block(vec![noted(&option, "Toe taps behind")], rounds(1, 40, 25)),
    ]);
    assert!(
        prompts(&told).iter().all(|p| p.say != "toe taps behind"),
        "it was the option's name"
    );
}

/// What is aside is for her eyes: it stands in the outline and on her sheet, on no card on the wall,
/// and in nothing that is said.
#[test]
fn what_is_aside_is_shown_and_never_said() {
    let aside = "watch the blue ones";
    let quiet = Arc::new(Use {
        aside: Some(aside.into()),
        ..(*library("squat")).clone()
    });
    let session = class(vec![
        Part::Ready { time: secs(40) },
        block(vec![quiet, library("side-lunge")], rounds(3, 60, 40)),
    ]);
    assert!(prompts(&session).iter().all(|p| !p.say.contains("blue")));
    let layout = Layout::default();
    assert!(Outline::of(&session).text(200).contains(aside));
    assert!(sheet(&session, layout).contains(aside));
    assert!(!cards(&session, layout).contains(aside));
}

/// What turns about at half is no change of sides; what has two sides is.
#[test]
fn at_half_it_is_said_what_really_changes() {
    let mut said = 0;
    for of in &Library::builtin() {
        let ways = of.options().map(|(pick, _)| Some(pick)).chain([None]);
        for pick in ways {
            let turn = Arc::new(Use {
                pick,
                ..Use::plain(of.clone())
            });
            let setup = turn.version().setup().unwrap_or(&of.setup).to_owned();
            let session = class(vec![
                Part::Ready { time: secs(30) },
                block(vec![turn], rounds(1, 60, 0)),
            ]);
            let all = prompts(&session);
            let Some(switch) = all.iter().find(|p| p.kind == PromptKind::Switch) else {
                continue;
            };
            let turns = setup.contains("from half");
            assert_eq!(switch.say == "other way", turns, "{} {setup:?}", of.id);
            said += usize::from(turns);
        }
    }
    assert!(said >= 5, "{said}");
}

/// A thing is got while people stand, and what the planner's words for the pause ask for already is
/// not asked for twice.
#[test]
fn a_thing_is_got_before_people_go_down_and_asked_for_once() {
    let (squat, bug, row) = (library("squat"), library("dead-bug"), library("bent-row"));
    let two = |first: &Arc<Use>, second: &Arc<Use>, say: &str| {
        let say = say.into();
        let session = class(vec![
            Part::Ready { time: secs(30) },
            block(vec![first.clone()], rounds(1, 40, 0)),
            Part::Recover {
                time: secs(60),
                say,
                turn: None,
            },
            block(vec![second.clone()], rounds(1, 40, 0)),
        ]);
        previews(&session).pop().expect("a preview")
    };
    let floor = "dead bugs first, get the mat, to the floor, onto your back";
    assert_eq!(two(&squat, &bug, "Have a drink."), floor);
    let told = "dead bugs first, to the floor, onto your back";
    assert_eq!(two(&squat, &bug, "Drink, then get your mat."), told);
    assert_eq!(two(&squat, &bug, "The mats stay where they are."), floor);
    let up = two(&bug, &row, "Have a drink.");
    assert_eq!(
        up,
        "bent-over rows first, up onto your feet, get the dumbbells"
    );
}

/// What has just been said is not said again in its set-up.
#[test]
fn a_set_up_goes_on_from_the_name_of_its_version() {
    for (id, pick, expected) in [
        (
            "knee-lift",
            Pick::Easier(0),
            "lift one knee a little, change",
        ),
        ("seated-punch", Pick::Easier(0), "sit forward"),
        (
            "seated-twist",
            Pick::Easier(1),
            "sit tall, look right, then left",
        ),
        (
            "squat",
            Pick::Easier(0),
            "feet hip wide, sit back halfway, stand up",
        ),
    ] {
        let moves = vec![picked(&library(id), pick)];
        let session = class(vec![
            Part::Ready { time: secs(40) },
            block(moves, rounds(1, 40, 0)),
        ]);
        let all = prompts(&session);
        let setup = all.iter().find(|p| p.kind == PromptKind::Setup);
        let setup = setup.map(|p| p.say.as_str());
        assert_eq!(setup, Some(expected), "{id}");
    }
}

/// At three seconds a repetition the length is an estimate: what comes then is not said early.
#[test]
fn recovery_after_counted_work_is_told_near_its_end() {
    let moves = vec![
        counted(&library("squat"), 16),
        counted(&library("side-lunge"), 16),
    ];
    let pattern = Pattern::Reps {
        rounds: 2,
        rest: secs(20),
        pace: secs(3),
        cap: None,
    };
    let Part::Block(by_count) = block(moves, pattern) else {
        unreachable!("a block")
    };
    let recovery = Some(secs(40));
    let session = class(vec![
        Part::Ready { time: secs(20) },
        Part::Block(Block {
            recovery,
            ..by_count
        }),
    ]);
    let timeline = Timeline::of(&session);
    let said = prompts(&session);
    let told = said.iter().find(|p| p.kind == PromptKind::Recover);
    let told = told.expect("the recovery is told");
    let work = &timeline.intervals()[told.interval];
    assert_eq!(told.say, "recovery next, forty seconds");
    assert!(
        told.at - work.start >= secs(32),
        "{told:?} of {}",
        work.length
    );
}

/// In counted work what comes next is said at about two thirds of the planned time, after what is
/// said of the work itself, and nothing while the last repetitions are counted aloud.
#[test]
fn counted_work_has_its_own_words_first_and_what_comes_next_at_two_thirds() {
    let pattern = Pattern::Reps {
        rounds: 1,
        rest: secs(0),
        pace: secs(3),
        cap: None,
    };
    let rest = Step {
        turn: library("knee-hug"),
        time: Some(secs(60)),
    };
    let moves = vec![
        counted(&library("squat"), 20),
        counted(&library("side-lunge"), 20),
    ];
    let session = class(vec![
        Part::Ready { time: secs(10) },
        block(moves, pattern),
        Part::CoolDown(vec![rest]),
    ]);
    let timeline = Timeline::of(&session);
    let all = prompts(&session);
    for n in [1, 2] {
        let work = &timeline.intervals()[n];
        let into = |at: Offset| (at - work.start).secs();
        let said: Vec<&Prompt> = all.iter().filter(|p| p.interval == n).collect();
        let next = said.iter().position(|p| p.kind == PromptKind::Preview);
        let next = next.expect("what comes next is told");
        let at = into(said[next].at);
        assert!((30.0..=45.0).contains(&at), "{at}: {said:?}");
        let own = said.iter().skip(next).find(|p| p.about == n);
        assert!(own.is_none(), "{said:?}");
        assert!(said[..next].iter().any(|p| p.about == n), "{said:?}");
        let last = said.iter().map(|p| into(p.until)).fold(0.0, f64::max);
        assert!(last <= 60.0 - 3.0 * 3.0, "{last}: {said:?}");
    }
}

#[test]
fn a_circuit_has_its_list_its_options_and_its_minutes() {
    let moves = vec![
        counted(&library("step-jack"), 20),
        counted(&library("push-up"), 10),
        counted(&library("squat"), 12),
    ];
    let session = class(vec![
        Part::Ready { time: secs(30) },
        block(moves, Pattern::Amrap { time: secs(360) }),
    ]);
    let all = prompts(&session);
    let list = "twenty step jacks, ten push-ups, twelve squats";
    assert!(
        all.iter().any(|p| p.say == list && p.interval == 0),
        "{all:?}"
    );
    let expected = [
        ("in step jacks, easier: arms to shoulder height", 2),
        ("in push-ups, easier: knees down", 62),
        ("in squats, easier: only halfway down", 122),
        ("two minutes left", 240),
        ("one minute left", 300),
    ];
    let start = secs(30);
    for (say, at) in expected {
        let found = all.iter().find(|p| p.say == say);
        let found = found.unwrap_or_else(|| panic!("{say}: {all:?}"));
        assert_eq!(found.at.span().saturating_sub(start), secs(at), "{say}");
    }
    assert!(
        all.iter()
            .all(|p| !p.say.contains("last one") && !p.say.contains("final move"))
    );
    let form = all.iter().filter(|p| p.kind == PromptKind::Form);
    let form: Vec<&str> = form.map(|p| p.say.as_str()).collect();
    for (call, words) in [("push-ups", "out"), ("step jacks", ""), ("squats", "")] {
        let lead = format!("in {call}, ");
        let mut cues = form.iter().filter_map(|say| say.strip_prefix(&lead));
        assert!(cues.any(|cue| cue.contains(words)), "{call}: {form:?}");
    }
    let second_half = all.iter().filter(|p| p.kind == PromptKind::Form);
    assert!(
        { second_half }.all(|p| p.at.span() >= secs(30 + 180)),
        "{form:?}"
    );
}

/// In a pause of twenty seconds and more the preview lies far back when the move starts.
#[test]
fn the_bare_name_comes_again_shortly_before_the_start() {
    let moves = vec![library("squat"), library("side-lunge")];
    let session = class(vec![
        Part::Ready { time: secs(30) },
        block(moves, rounds(2, 40, 40)),
    ]);
    let timeline = Timeline::of(&session);
    let all = prompts(&session);
    let names: Vec<&Prompt> = all.iter().filter(|p| p.kind == PromptKind::Name).collect();
    let said: Vec<&str> = names.iter().map(|p| p.say.as_str()).collect();
    assert_eq!(said, ["squats", "side lunges", "squats", "side lunges"]);
    for name in names {
        let start = timeline.intervals()[name.about].start;
        let (from, until) = (start - name.at, start - name.until);
        assert!(from <= secs(8) && until >= secs(3), "{name:?}");
    }
    // Nobody need be told the name of what is done again at once.
    let again = class(vec![
        Part::Ready { time: secs(10) },
        block(vec![library("squat")], rounds(3, 40, 60)),
    ]);
    let again = prompts(&again);
    assert!(
        again.iter().all(|p| p.kind != PromptKind::Name),
        "{again:?}"
    );
}

#[test]
fn an_emom_says_how_often_and_for_how_long() {
    let moves = vec![library("squat"), library("side-lunge")];
    let pattern = Pattern::Emom {
        times: 12,
        every: Pattern::MINUTE,
        work: Some(secs(40)),
    };
    let session = class(vec![Part::Ready { time: secs(40) }, block(moves, pattern)]);
    let brief = said_in(&session, 0).into_iter().next();
    let expected = "every minute, twelve minutes, forty on, twenty off";
    assert_eq!(brief.as_deref(), Some(expected));
}

/// A long piece of one move calls its minutes as a circuit does.
#[test]
fn a_long_piece_has_its_minutes() {
    let session = class(vec![
        Part::Ready { time: secs(30) },
        block(vec![library("march")], rounds(1, 300, 0)),
    ]);
    let calls = prompts(&session).into_iter();
    let calls = calls.filter(|p| matches!(p.kind, PromptKind::Half | PromptKind::Seconds));
    let calls: Vec<String> = calls.map(|p| p.say).collect();
    let expected = [
        "halfway",
        "two minutes left",
        "one minute left",
        "ten seconds",
    ];
    assert_eq!(calls, expected);
}

/// Rolling over takes its seconds, and the body is told to do it.
#[test]
fn on_the_side_a_switch_is_told_in_time_to_roll_over() {
    for (id, say, ahead) in [
        ("side-plank", "switch sides, roll over", 4),
        ("mambo", "switch sides", 2),
    ] {
        let session = class(vec![
            Part::Ready { time: secs(30) },
            block(vec![library(id)], rounds(1, 40, 0)),
        ]);
        let all = prompts(&session);
        let switch = all.iter().find(|p| p.kind == PromptKind::Switch);
        let switch = switch.expect("a switch");
        assert_eq!(switch.say, say);
        assert_eq!(
            secs(30 + 20).saturating_sub(switch.at.span()),
            secs(ahead),
            "{id}"
        );
    }
}

/// Three ends that an ear at work can tell apart by their first word.
#[test]
fn what_is_last_is_told_apart_by_its_first_word() {
    let moves = || vec![library("squat"), library("side-lunge")];
    let session = class(vec![
        Part::Ready { time: secs(30) },
        block(vec![library("march")], rounds(3, 40, 20)),
        block(moves(), rounds(1, 40, 20)),
        Part::Ready { time: secs(30) },
        block(moves(), rounds(1, 40, 20)),
    ]);
    let all: Vec<String> = prompts(&session).into_iter().map(|p| p.say).collect();
    let ends = [
        "last one",
        "this one ends the block",
        "final move of the class",
    ];
    for end in ends {
        assert_eq!(all.iter().filter(|say| *say == end).count(), 1, "{all:?}");
    }
}

/// Counted on each side, the number is shared, and an odd one is named before class.
#[test]
fn what_is_counted_on_each_side_is_shared() {
    let pattern = || Pattern::Reps {
        rounds: 1,
        rest: secs(20),
        pace: secs(3),
        cap: None,
    };
    let plan = |reps: u32| {
        let moves = vec![counted(&library("clamshell"), reps)];
        class(vec![
            Part::Ready { time: secs(40) },
            block(moves, pattern()),
        ])
    };
    let preview = previews(&plan(12)).remove(0);
    assert!(
        preview.starts_with("twelve clamshells first, six a side"),
        "{preview}"
    );
    for (reps, remarks) in [(12, 0), (11, 1)] {
        let session = plan(reps);
        let told = before_class(&Timeline::of(&session), &[], &Library::builtin());
        assert_eq!(told.len(), remarks, "{told:?}");
    }
}

/// A class of the whole library, each move so often.
fn whole_library(reps: u32, pattern: &Pattern) -> Session {
    let library = Library::builtin();
    let moves: Vec<Arc<Use>> = library
        .iter()
        .map(|of| counted(&Arc::new(Use::plain(of.clone())), reps))
        .collect();
    let warm = moves.iter().map(|turn| Step {
        turn: turn.clone(),
        time: None,
    });
    class(vec![
        Part::WarmUp(warm.collect()),
        Part::Ready { time: secs(60) },
        block(moves, pattern.clone()),
    ])
}

/// Everything that is written or said of a class, in small letters, a text a line.
fn all_outputs(session: &Session) -> BTreeSet<String> {
    let library = Library::builtin();
    let outline = Outline::of(session).with_remarks(&library);
    let layout = Layout::default();
    let mut all = vec![
        outline.text(usize::MAX / 2),
        outline.short(usize::MAX / 2),
        outline.json(),
        outline.csv(),
        sheet(session, layout),
        cards(session, layout),
        cover(session, &library, layout),
    ];
    let mut live = Live::new(Arc::new(session.clone()));
    let mut now = Moment::ZERO;
    live.handle(now, &Input::Act(Act::Begin));
    for part in 0..session.parts.len() {
        live.handle(now, &Input::Act(Act::GoTo(part)));
        all.extend(live.view(now).circuit);
        now = now + secs(1);
    }
    // The large name of a move, and what it is called, on the screen.
    let moves = live
        .plan()
        .intervals()
        .iter()
        .flat_map(|one| one.moves.iter());
    all.extend(moves.flat_map(|used| {
        [&used.of.name, &used.of.call].map(|name| matside::session::counted(name, used.reps))
    }));
    all.extend(prompts(session).into_iter().map(|prompt| prompt.say));
    let lines = all.iter().flat_map(|text| text.lines());
    lines.map(str::to_lowercase).collect()
}

/// What stands behind each place of a text where these words do, nothing of a word around them.
fn behind<'t>(text: &'t str, words: &str) -> Vec<&'t str> {
    let is_part = |c: char| c.is_alphanumeric() || matches!(c, '-' | '\'');
    let places = text.match_indices(words).map(|(at, _)| at);
    let whole = places.filter(|&at| {
        let before = text[..at].chars().next_back();
        let after = text[at + words.len()..].chars().next();
        !before.is_some_and(is_part) && !after.is_some_and(is_part)
    });
    whole.map(|at| &text[at + words.len()..]).collect()
}

/// Whether a text begins with these words, nothing of a word behind them.
fn begins(text: &str, words: &str) -> bool {
    behind(text, words)
        .first()
        .is_some_and(|rest| rest.len() + words.len() == text.len())
}

/// A number stands before what is many, and behind what is one, in every output and for every move:
/// no `16 step jack`, no `one bird dogs`, no `twelve shoulder press`.
#[test]
fn no_output_has_a_number_before_what_it_does_not_count() {
    let reps_pattern = Pattern::Reps {
        rounds: 1,
        rest: secs(40),
        pace: secs(3),
        cap: None,
    };
    let emom = Pattern::Emom {
        times: 200,
        every: Pattern::MINUTE,
        work: Some(secs(30)),
    };
    let amrap = Pattern::Amrap { time: secs(600) };
    let library = Library::builtin();
    // A thing is many where its call is another word than its name, with an `s` behind it; some are
    // many by name.
    let many = |of: &Move| of.call.ends_with('s') && !of.call.ends_with("ss");
    let texts = |of: &Move| (of.name.to_lowercase(), of.call.to_lowercase());
    let mut failing = BTreeSet::new();
    let mut said = 0;
    for (reps, word) in [(1, "one"), (2, "two"), (16, "sixteen")] {
        let right: Vec<String> = library
            .iter()
            .filter(|of| reps > 1 && many(of))
            .map(|of| texts(of).1)
            .collect();
        // One squat is one; it is `one squats` and `1 squat x 1` that are not.
        let wrong = |rest: &str, in_words: bool| {
            let is_one = reps == 1 && in_words;
            library.iter().any(|of| {
                let (name, call) = texts(of);
                let bad_call = !is_one || many(of);
                bad_call && begins(rest, &call) || !is_one && begins(rest, &name)
            })
        };
        for pattern in [&reps_pattern, &emom, &amrap] {
            let outputs = all_outputs(&whole_library(reps, pattern));
            for text in &outputs {
                for (number, in_words) in [(reps.to_string(), false), (word.to_owned(), true)] {
                    let rests = behind(text, &number).into_iter();
                    let mut rests = rests.filter_map(|rest| rest.strip_prefix(' '));
                    let is_right = |rest: &str| right.iter().any(|call| begins(rest, call));
                    if rests.any(|rest| !is_right(rest) && wrong(rest, in_words)) {
                        failing.insert(text.clone());
                    }
                }
            }
            for of in &library {
                let (_, call) = texts(of);
                let right = if reps > 1 && many(of) {
                    format!("{word} {call}")
                } else {
                    call
                };
                said += usize::from(outputs.iter().any(|text| !behind(text, &right).is_empty()));
            }
        }
    }
    assert!(failing.is_empty(), "{failing:#?}");
    assert_eq!(said, 9 * library.len(), "every move is said");
}

/// In any class an option is offered twice at most, unless it spares a limit.
#[test]
fn no_option_is_offered_more_than_twice() {
    let mut most = 0;
    for seed in 0..2000 {
        let session = common::random(&mut fastrand::Rng::with_seed(seed));
        let mut times: HashMap<String, usize> = HashMap::new();
        for prompt in prompts(&session) {
            if prompt.kind == PromptKind::Option && !prompt.marked {
                let words = prompt.say.split(": ").last().unwrap_or_default();
                let count = times.entry(words.to_owned()).or_default();
                *count += 1;
                most = most.max(*count);
                assert!(*count <= 2, "class {seed}: {}", prompt.say);
            }
        }
    }
    assert_eq!(most, 2, "a rule that nothing comes near is no rule");
}

/// How long a stretch is held is the interval's to say.
#[test]
fn no_set_up_of_the_library_gives_a_time() {
    for known in &Library::builtin() {
        let options = known.easier.iter().chain(&known.harder);
        let setups = options.filter_map(|option| option.setup.as_deref());
        for setup in setups.chain([known.setup.as_str()]) {
            let timed = ["second", "minute"].iter().any(|unit| setup.contains(unit));
            assert!(!timed, "{}: {setup}", known.id);
        }
    }
}

#[test]
fn what_changes_with_a_round_is_said_in_five_seconds() {
    let moves = vec![library("squat"), library("side-lunge"), library("march")];
    let pattern = Pattern::Rounds {
        work: [35, 25, 15].map(secs).to_vec(),
        rest: [15, 12, 10].map(secs).to_vec(),
    };
    let Part::Block(tide) = block(moves, pattern) else {
        unreachable!("a block")
    };
    let recovery = Some(secs(40));
    let session = class(vec![
        Part::Ready { time: secs(40) },
        Part::Block(Block { recovery, ..tide }),
    ]);
    let briefs = prompts(&session)
        .into_iter()
        .filter(|p| p.kind == PromptKind::Brief);
    let briefs: Vec<Prompt> = briefs.skip(1).collect();
    let said: Vec<&str> = briefs.iter().map(|p| p.say.as_str()).collect();
    let second = "round two of three, twenty-five on, twelve off, same moves";
    assert_eq!(said, [second, "last round, fifteen on, ten off"]);
    for brief in &briefs {
        let words = (brief.until - brief.at).saturating_sub(matside::time::Span::from_millis(500));
        assert!(words <= secs(5), "{brief:?}");
    }
}

/// What is needed after a recovery is fetched in it, not brought for the whole block.
#[test]
fn a_thing_is_brought_for_a_block_only_where_no_recovery_comes_before_it() {
    let block_of = |recovery: Option<u64>| {
        let moves = vec![library("squat"), library("dead-bug")];
        let order = Order::ByMove;
        let Part::Block(whole) = block(moves, rounds(2, 40, 20)) else {
            unreachable!("a block")
        };
        let recovery = recovery.map(secs);
        class(vec![
            Part::Ready { time: secs(30) },
            Part::Block(Block {
                recovery,
                order,
                ..whole
            }),
        ])
    };
    for (recovery, is_brought) in [(None, true), (Some(60), false)] {
        let said = said_in(&block_of(recovery), 0);
        let brought = said.iter().any(|say| say == "for this block, get the mat");
        assert_eq!(brought, is_brought, "{said:?}");
    }
    let timeline = Timeline::of(&block_of(Some(60)));
    assert!(
        timeline
            .intervals()
            .iter()
            .any(|i| i.kind == Kind::Recovery)
    );
}
