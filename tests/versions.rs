//! No version that is said, shown or put in place by a key brings what the room must spare, and
//! voice, screen and keys never differ: over all pairs of limits, each in classes drawn at random
//! from the whole library. What a version loads is read here from the data of the move alone.

mod common;

use std::sync::Arc;

use common::secs;
use matside::live::{Act, Harder, Input, Live, MoveView};
use matside::plan::{Kind, Placed, Prompt, PromptKind};
use matside::session::{
    Block, Cueing, Library, Load, Move, Order, Part, Pattern, Pick, Session, Step, Use, Version,
};
use matside::time::{Moment, Span};

/// Classes of four moves for each pair of limits.
const CLASSES: u64 = 3;

fn pairs() -> Vec<Vec<Load>> {
    let all = Load::ALL;
    let mut pairs = vec![Vec::new()];
    for (n, &a) in all.iter().enumerate() {
        pairs.push(vec![a]);
        pairs.extend(all[n + 1..].iter().map(|&b| vec![a, b]));
    }
    pairs
}

fn any_use(rng: &mut fastrand::Rng, library: &[Arc<Move>]) -> Arc<Use> {
    let of = rng.choice(library).expect("a move").clone();
    let picks: Vec<Pick> = of.options().map(|(pick, _)| pick).collect();
    let pick = rng.bool().then(|| rng.choice(&picks).copied()).flatten();
    Arc::new(Use {
        pick,
        ..Use::plain(of)
    })
}

fn class(rng: &mut fastrand::Rng, library: &[Arc<Move>], limits: &[Load]) -> Session {
    let mut turn = || any_use(rng, library);
    let warm = Step {
        turn: turn(),
        time: Some(secs(40)),
    };
    let moves = vec![turn(), turn(), turn()];
    let pattern = match rng.u8(0..4) {
        0 => Pattern::Amrap { time: secs(300) },
        1 => Pattern::Emom {
            times: 9,
            every: Pattern::MINUTE,
            work: Some(secs(40)),
        },
        _ => Pattern::Same {
            rounds: 3,
            work: secs(45),
            rest: secs(30),
        },
    };
    let chair = rng.bool().then(|| "chair".to_owned());
    Session {
        title: "Room".into(),
        slot: None,
        brief: String::new(),
        limits: limits.to_vec(),
        people: None,
        groups: Vec::new(),
        equipment: chair.into_iter().collect(),
        stock: Vec::new(),
        cueing: Cueing::default(),
        parts: vec![
            Part::WarmUp(vec![warm]),
            Part::Ready { time: secs(30) },
            Part::Block(Block {
                title: None,
                moves: moves.into_iter().map(Into::into).collect(),
                pattern,
                recovery: None,
                order: Order::ByRound,
                between: None,
                last_rest: false,
            }),
        ],
    }
}

/// What a version loads of these.
fn meets(version: Version, limits: &[Load]) -> Vec<Load> {
    let loads = version.loads();
    let mut met = limits.to_vec();
    met.retain(|limit| loads.contains(limit));
    met
}

/// The versions of a move that are called so.
fn called<'a>(used: &'a Use, call: &str) -> Vec<Version<'a>> {
    let picks = used.of.options().map(|(pick, _)| Some(pick));
    let versions = [None].into_iter().chain(picks);
    let versions = versions.map(|pick| Version::of(&used.of, pick));
    versions
        .filter(|version| {
            version.call() == call || version.pick().is_none() && call == "the move as it is"
        })
        .collect()
}

/// That one of the versions so called brings nothing that the room must spare, to those who do what
/// everybody does; with words beside it for whoever must spare what it does bring.
fn is_clean(used: &Use, limits: &[Load], said: &str, harder: bool) {
    let (call, guard) = match said.split_once("; ") {
        Some((call, guard)) => (call, Some(guard)),
        None => (said, None),
    };
    let versions = called(used, call);
    assert!(!versions.is_empty(), "{}: {said:?}", used.of.id);
    let now = meets(used.version(), limits);
    let brings = |version: &Version| {
        let met = meets(*version, limits);
        if harder {
            !met.is_empty() && guard.is_none()
        } else {
            met.iter().any(|load| !now.contains(load))
        }
    };
    let clean = versions.iter().any(|version| !brings(version));
    assert!(clean, "{} for {limits:?}: {said:?}", used.of.id);
    if let Some((_, does)) = guard.and_then(|guard| guard.split_once(": ")) {
        let spares = |version: &Version| meets(*version, limits).is_empty();
        let stays = does == "stay as you are" && now.is_empty();
        let spared = stays || called(used, does).iter().any(spares);
        assert!(spared, "{} for {limits:?}: {said:?}", used.of.id);
    }
}

/// What the words of a prompt offer, without the set-up after it.
fn offered(say: &str, used: &Use) -> Option<(bool, String)> {
    let easier = ["easier: plain ", "easier: ", "a little less: "];
    let rests: Vec<&str> = easier
        .iter()
        .filter_map(|start| say.strip_prefix(start))
        .collect();
    let calls = || used.of.options().map(|(_, option)| option.call.as_str());
    for rest in &rests {
        let named = |call: &&str| *rest == *call || rest.starts_with(&format!("{call}, "));
        let calls = calls().chain([used.of.call.as_str()]);
        if let Some(longest) = calls.filter(named).max_by_key(|call| call.len()) {
            return Some((false, longest.to_owned()));
        }
    }
    assert!(rests.is_empty(), "{}: {say:?}", used.of.id);
    for start in ["harder: ", "a little more: ", "full "] {
        if let Some(rest) = say.strip_prefix(start) {
            return Some((true, rest.replace(" if you like", "")));
        }
    }
    None
}

/// What is said for a limit is clean for the room, or that nothing is.
fn is_spared(used: &Use, limits: &[Load], call: &str) {
    let clean = |version: &Version| meets(*version, limits).is_empty();
    let none = call == "leave this one out, or ask me";
    let any = called(used, call).iter().any(clean);
    assert!(none || any, "{} for {limits:?}: {call:?}", used.of.id);
}

/// What is said of a circuit, move by move.
fn circuit(interval: &Placed, prompt: &Prompt, limits: &[Load]) -> bool {
    let (marked, say) = match prompt.say.split_once(": ") {
        Some((_, say)) if prompt.marked => (true, say),
        _ => (false, prompt.say.as_str()),
    };
    for one in say.split("; ") {
        let of = interval.moves.iter().find_map(|used| {
            let lead = format!("in {}, ", used.of.call);
            Some((used, one.strip_prefix(&lead)?))
        });
        let (used, does) = of.unwrap_or_else(|| panic!("of no move: {prompt:?}"));
        match offered(does, used) {
            _ if marked => is_spared(used, limits, does),
            Some((harder, call)) => is_clean(used, limits, &call, harder),
            None => panic!("of no version: {prompt:?}"),
        }
    }
    true
}

/// What is said of an interval is clean, and the first of what the screen shows.
fn voice(interval: &Placed, prompt: &Prompt, view: &MoveView, limits: &[Load]) -> bool {
    if interval.moves.len() > 1 {
        return circuit(interval, prompt, limits);
    }
    let used = interval.turn().expect("a move");
    if prompt.marked {
        let (_, call) = prompt.say.split_once(": ").expect("a limit");
        is_spared(used, limits, call);
        let mut spares = view.spare.iter().filter_map(|spare| spare.split_once(": "));
        let shown = spares.any(|(_, does)| call.starts_with(does));
        assert!(shown, "{}: {:?} shown, {call} said", used.of.id, view.spare);
        return true;
    }
    let Some((harder, call)) = offered(&prompt.say, used) else {
        return false;
    };
    is_clean(used, limits, &call, harder);
    let list = if harder { &view.harder } else { &view.easier };
    let first = list.first().expect("the screen has it too");
    let shown = first.replace("the move as it is", &used.of.call);
    assert_eq!(shown, call, "{} for {limits:?}", used.of.id);
    true
}

/// The version that a key leads to is the first that the screen shows for it.
fn keys(session: &Arc<Session>, now: Moment, view: &MoveView, interval: &Placed) {
    let used = interval.turn().expect("a move");
    for (way, list) in [
        (Harder::Easier, &view.easier),
        (Harder::Harder, &view.harder),
        (Harder::Instead, &view.instead),
    ] {
        let mut live = begun(session, now);
        live.handle(now, &Input::Act(Act::Step(way)));
        let meant = live.view(now).now.expect("a move");
        let does = meant.option.unwrap_or_else(|| "the move as it is".into());
        let stays = used.option().map(|option| option.call.as_str());
        let first = list.first().map(|first| first.split("; ").next());
        let leads = first.flatten().or(stays).unwrap_or("the move as it is");
        assert_eq!(does, leads, "{} {way:?}", used.of.id);
    }
}

/// The class at a moment, begun at the first.
fn begun(session: &Arc<Session>, now: Moment) -> Live {
    let mut live = Live::new(session.clone());
    live.handle(Moment::ZERO, &Input::Act(Act::Begin));
    live.handle(now, &Input::Wake);
    live
}

/// How often something was looked at.
#[derive(Default)]
struct Seen {
    said: usize,
    guarded: usize,
    circuits: usize,
}

/// Everything that is said and shown of a class from a moment on, each move in its sixth second.
fn look(live: &mut Live, session: &Session, limits: &[Load], from: Moment, seen: &mut Seen) {
    let prompts = live.cues().prompts.clone();
    let intervals = live.plan().intervals().to_vec();
    for (n, interval) in intervals.iter().enumerate() {
        let now = sixth_second(session, interval);
        if !interval.kind.is_moving() || now < from {
            continue;
        }
        live.handle(now, &Input::Wake);
        let view = live.view(now).now.expect("a move");
        let used = interval.turn().expect("a move");
        assert_eq!(view.name, used.of.name);
        for easier in view.easier.iter().chain(&view.instead) {
            is_clean(used, limits, easier, false);
        }
        for harder in &view.harder {
            is_clean(used, limits, harder, true);
            seen.guarded += usize::from(harder.contains("; "));
        }
        let about = prompts.iter().filter(|prompt| prompt.about == n);
        for prompt in about.filter(|prompt| prompt.kind == PromptKind::Option) {
            seen.said += usize::from(voice(interval, prompt, &view, limits));
            seen.circuits += usize::from(interval.moves.len() > 1);
        }
    }
}

fn sixth_second(session: &Session, interval: &Placed) -> Moment {
    let into = interval.start.span() + Span::from_secs(5);
    Moment::ZERO + session.cueing.count_span() + into
}

#[test]
fn no_version_brings_a_limit_of_the_room_and_voice_screen_and_keys_agree() {
    let library: Vec<Arc<Move>> = Library::builtin().iter().cloned().collect();
    let mut rng = fastrand::Rng::with_seed(10);
    let mut seen = Seen::default();
    for limits in pairs() {
        for _ in 0..CLASSES {
            let session = Arc::new(class(&mut rng, &library, &limits));
            let mut live = begun(&session, Moment::ZERO);
            let intervals = live.plan().intervals().to_vec();
            look(&mut live, &session, &limits, Moment::ZERO, &mut seen);
            let works = intervals.iter().filter(|one| one.kind == Kind::Work);
            let works: Vec<&Placed> = works.filter(|one| one.moves.len() == 1).collect();
            if let Some(work) = rng.choice(&works) {
                let now = sixth_second(&session, work);
                let view = begun(&session, now).view(now).now.expect("a move");
                keys(&session, now, &view, work);
            }
        }
    }
    let Seen {
        said,
        guarded,
        circuits,
    } = seen;
    assert!(said > 1500 && guarded > 20, "{said} {guarded}");
    assert!(circuits > 50, "{circuits}");
}

/// Limits that are set in the middle of a class hold from then on, and taken back they leave the
/// words as they were.
#[test]
fn limits_set_in_class_hold_from_then_on_and_are_taken_back() {
    let library: Vec<Arc<Move>> = Library::builtin().iter().cloned().collect();
    let mut rng = fastrand::Rng::with_seed(11);
    let mut seen = Seen::default();
    // In the time to get ready, before anything is said in it.
    let into = Span::from_secs(41);
    let words = |live: &Live| -> Vec<String> {
        let ahead = live.cues().prompts.iter();
        let ahead = ahead.filter(|prompt| prompt.at.span() > into);
        ahead.map(|prompt| prompt.say.clone()).collect()
    };
    let mut changed = 0;
    for limits in pairs().into_iter().skip(1) {
        let session = Arc::new(class(&mut rng, &library, &[]));
        let now = Moment::ZERO + session.cueing.count_span() + into;
        let mut live = begun(&session, now);
        let before = words(&live);
        live.handle(now, &Input::Act(Act::Limits(limits.clone())));
        changed += usize::from(words(&live) != before);
        let mut back = live.clone();
        look(&mut live, &session, &limits, now, &mut seen);
        back.handle(now, &Input::Act(Act::Undo));
        assert_eq!(words(&back), before, "{limits:?}");
    }
    assert!(seen.said > 300 && changed > 60, "{} {changed}", seen.said);
}
