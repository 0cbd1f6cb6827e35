//! The classes that come with the program, as a master trainer and a physiotherapist would read
//! them. Common practice of instructors, no source.

use std::fs;

use matside::plan::{Kind, Placed, Timeline};
use matside::session::{Action, Library, Load, Part, Region, Session, Use};
use matside::time::Span;

fn samples() -> Vec<(String, Session)> {
    let library = Library::builtin();
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/sessions");
    let files = fs::read_dir(folder).expect("the samples");
    let read = files.map(|file| {
        let path = file.expect("a sample").path();
        let text = fs::read_to_string(&path).expect("a text");
        let session = Session::read("sample", &text, &library).expect("a whole session");
        (path.display().to_string(), session)
    });
    let samples: Vec<(String, Session)> = read.collect();
    assert!(samples.len() >= 10);
    samples
}

fn works(timeline: &Timeline) -> impl Iterator<Item = &Use> {
    let works = timeline.intervals().iter();
    let works = works.filter(|interval| interval.kind == Kind::Work);
    works.flat_map(|interval| interval.moves.iter().map(|used| &**used))
}

/// Illness and injury are asked about before class and in private, nobody is left alone at the end,
/// and there is time to put things away.
#[test]
fn a_class_is_asked_in_private_and_has_its_first_and_last_words() {
    for (name, session) in samples() {
        assert!(session.brief.contains("private"), "{name}");
        let Some(Part::Talk { say, .. }) = session.parts.first() else {
            panic!("{name} begins with talk");
        };
        assert!(say.contains("quietly"), "{name}");
        let last = session.parts.last();
        assert!(matches!(last, Some(Part::Talk { .. })), "{name}");
        let total = Timeline::of(&session).total();
        let room = session.slot.map(|slot| slot.saturating_sub(total));
        assert!(
            room.is_none_or(|room| room >= Span::from_secs(90)),
            "{name}"
        );
    }
}

/// Before hands carry weight on the floor the wrists have been moved, and who pushes pulls too.
#[test]
fn wrists_are_prepared_and_pushes_have_their_pulls() {
    let (mut on_hands, mut pushing) = (0, 0);
    for (name, session) in samples() {
        let timeline = Timeline::of(&session);
        let carries = |used: &Use| {
            let on_floor = !used.position().is_upright();
            let pushes = matches!(used.of.action, Some(Action::Push | Action::Brace));
            on_floor && pushes && used.loads().contains(&Load::Wrist)
        };
        if works(&timeline).any(carries) {
            let warm = timeline.intervals().iter();
            let mut warm = warm.filter(|interval| interval.kind == Kind::WarmUp);
            let is_wrist = |interval: &Placed| {
                let used = interval.turn();
                used.is_some_and(|used| used.of.id == "wrist-circle")
            };
            assert!(warm.any(is_wrist), "{name}");
            on_hands += 1;
        }
        let upper = |used: &&Use| used.of.regions.contains(&Region::Upper);
        let does = |action| {
            let mut of = works(&timeline).filter(upper);
            of.any(|used| used.of.action == Some(action))
        };
        if does(Action::Push) {
            assert!(does(Action::Pull), "{name}");
            pushing += 1;
        }
    }
    assert!(on_hands >= 4 && pushing >= 6, "{on_hands} {pushing}");
}

/// Whoever is sent to the mat has something to do there.
#[test]
fn nobody_is_sent_to_the_mat_for_a_move_on_the_feet() {
    let mut sent = 0;
    for (name, session) in samples() {
        let timeline = Timeline::of(&session);
        let all = timeline.intervals();
        for (n, interval) in all.iter().enumerate() {
            let pause = interval.kind == Kind::Recovery;
            let places = ["the mat", "your mat", "the floor", "hands and knees"];
            if !pause || !places.iter().any(|place| interval.say.contains(place)) {
                continue;
            }
            let next = timeline.next_moving(n).expect("a move");
            let position = all[next].turn().expect("a move").position();
            assert!(!position.is_upright(), "{name}: {}", interval.say);
            sent += 1;
        }
    }
    assert!(sent >= 5, "{sent}");
}

/// Half of a one-sided move is for each side, and no number leaves one side short.
#[test]
fn sides_come_out_equal() {
    for (name, session) in samples() {
        let timeline = Timeline::of(&session);
        for interval in timeline.intervals() {
            if let Some(switch) = interval.switch_at {
                let (first, second) = (switch - interval.start, interval.end - switch);
                let apart = first.max(second).saturating_sub(first.min(second));
                assert!(apart <= Span::from_millis(1), "{name} {}", interval.start);
            }
        }
        let told = matside::plan::before_class(&timeline, &session.limits, &Library::builtin());
        assert!(told.is_empty(), "{name}: {told:?}");
    }
}
