//! What the footer offers while a class runs: keys from the table in force, what matters most first.

use super::keys::{Action, Keys};
use crate::live::{Stance, View};
use crate::screen::Hint;

/// What is offered while the class runs, after the key that holds it.
const RUNNING: &[Action] = &[
    Action::Help,
    Action::Landing,
    Action::GoOn,
    Action::Skip,
    Action::Undo,
    Action::Back,
    Action::Easier,
    Action::Harder,
    Action::Instead,
    Action::Limits,
    Action::Add,
    Action::Take,
    Action::KeepMoving,
    Action::Card,
    Action::Swap,
    Action::Break,
    Action::Mark,
    Action::Parts,
    Action::Mute,
    Action::End,
];
/// What is offered while the class is held, after the key that goes on.
const HELD: &[Action] = &[
    Action::Help,
    Action::Landing,
    Action::Undo,
    Action::Back,
    Action::GoOn,
    Action::Card,
    Action::Swap,
    Action::Parts,
    Action::End,
];

/// Keys and what they do, for a footer.
pub(super) fn of_page(pairs: &[(&str, &str)]) -> Vec<Hint> {
    pairs
        .iter()
        .map(|(key, action)| Hint::new(*key, *action))
        .collect()
}

/// The keys to show for a class that stands so.
pub(super) fn of_class(keys: &Keys, view: &View) -> Vec<Hint> {
    let is_held = view.stance == Stance::Held;
    let slept = view.held.as_ref().is_some_and(|held| held.gap.is_some());
    let mut rows: Vec<(String, String)> = first(keys, is_held).into_iter().collect();
    if slept {
        rows.extend(keys.hints(&[Action::CatchUp]));
    }
    for action in if is_held { HELD } else { RUNNING } {
        let hints = keys.hints(&[*action]).into_iter();
        let does = hints.filter(|_| *action != Action::Skip || !view.meant.goes_round);
        rows.extend(does.map(|(key, label)| (key, said(*action, label, view))));
        // In a pause it is told beside the other key, for they mean different moves.
        if *action == Action::Skip && view.meant.once_more.is_some() {
            let again = keys.hints(&[Action::OnceMore]).into_iter();
            rows.extend(again.map(|(key, label)| (key, said(Action::OnceMore, label, view))));
        }
    }
    let hint = |(key, label)| Hint::new(key, label);
    rows.into_iter().map(hint).collect()
}

/// What a key does, with what it does it to where that depends on where the class is.
fn said(action: Action, label: String, view: &View) -> String {
    let to = match action {
        Action::Skip => &view.meant.skip,
        Action::OnceMore => &view.meant.once_more,
        Action::Undo => &view.meant.undo,
        _ => &None,
    };
    match to {
        Some(to) if action == Action::Skip => format!("skip {to}"),
        Some(to) if action == Action::OnceMore => format!("again {to}"),
        Some(to) => format!("{label}: {to}"),
        None => label,
    }
}

/// The key that holds the class and goes on with it. A pedal with one switch has no other for that.
fn first(keys: &Keys, is_held: bool) -> Option<(String, String)> {
    let ways = keys.hints(&[Action::Hold, Action::OneSwitch]);
    let (key, label) = ways.into_iter().next()?;
    let own = !keys.keys_of(Action::Hold).is_empty();
    let label = match (is_held, own) {
        (true, _) => "resume, counted in".into(),
        (false, true) => "hold".into(),
        (false, false) => label,
    };
    Some((key, label))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::super::keys::{Key, Preset};
    use super::super::meaning;
    use super::*;
    use crate::live::{Act, HoldReason, Input, Live, Output, What};
    use crate::session::{Library, Session};
    use crate::time::{Moment, Span};

    const CLASS: &str = r#"(title: "Tide", parts: [Talk(time: 30, say: "Welcome.")])"#;

    fn held(act: Act) -> (Live, Moment) {
        let session = Session::read("tide", CLASS, &Library::builtin()).expect("a class");
        let mut live = Live::new(Arc::new(session));
        live.handle(Moment::ZERO, &Input::Act(Act::Begin));
        let now = Moment::ZERO + Span::from_secs(9);
        live.handle(now, &Input::Act(act));
        (live, now)
    }

    /// What the held screen says in its largest letters: this key goes on. It must.
    #[test]
    fn the_first_key_of_a_held_class_goes_on_with_it_whatever_the_preset() {
        for preset in Preset::ALL {
            let keys = Keys::of(*preset, &[]);
            let (live, now) = held(Act::Hold(HoldReason::Hold));
            let hints = of_class(&keys, &live.view(now));
            assert_eq!(hints[0].action, "resume, counted in", "{preset:?}");
            let row = keys.help().into_iter().find(|row| {
                let mut names = row.0.split("  ");
                names.any(|name| name == hints[0].key)
            });
            let action = row.and_then(|row| Action::named(row.1)).expect("a key");
            let said = meaning::input(&live, action, now);
            assert_eq!(said, Some(Input::Act(Act::Resume)), "{preset:?}");
        }
    }

    #[test]
    fn after_a_sleep_the_jump_to_the_clock_stands_beside_going_on() {
        let (gap, from) = (Span::from_secs(60), Moment::ZERO + Span::from_secs(5));
        let (live, now) = held(Act::Slept { from, gap });
        let own = [(Key::named("x").expect("a key"), Action::CatchUp)];
        let hints = of_class(&Keys::of(Preset::Arrows, &own), &live.view(now));
        let keys: Vec<&str> = hints.iter().map(|hint| hint.key.as_str()).collect();
        assert_eq!(keys[..4], ["space", "x", "?", "l"]);
    }

    /// In a pause two keys mean two moves: the line names both before either is pressed.
    #[test]
    fn the_line_of_keys_names_the_moves_that_the_keys_mean_in_a_pause() {
        let text = r#"(title: "Tide", parts: [Block(moves: ["squat", "lunge"],
            pattern: Same(rounds: 2, work: 40, rest: 20))])"#;
        let session = Session::read("tide", text, &Library::builtin()).expect("a class");
        let mut live = Live::new(Arc::new(session));
        live.handle(Moment::ZERO, &Input::Act(Act::Begin));
        let keys = Keys::of(Preset::Arrows, &[]);
        // Counted in for 3 s; 40 s of work, 20 s of rest.
        for (secs, skip, again) in [
            (10, None, None),
            (50, Some("lunge"), Some("squat")),
            (70, None, None),
            (110, Some("squat"), Some("lunge")),
        ] {
            let now = Moment::ZERO + Span::from_secs(secs);
            live.handle(now, &Input::Wake);
            let view = live.view(now);
            let hints = of_class(&keys, &view);
            let of = |key: &str| {
                let hint = hints.iter().find(|hint| hint.key == key);
                hint.map_or_else(String::new, |hint| hint.action.to_lowercase())
            };
            let names = [(of("s"), "skip", skip), (of("o"), "again", again)];
            for (said, verb, name) in names {
                match name {
                    Some(name) => assert!(
                        said.starts_with(verb) && said.contains(name),
                        "{said} at {secs} s"
                    ),
                    None => assert!(!said.contains("squat") && !said.contains("lunge"), "{said}"),
                }
            }
            if let (Some(skip), Some(again)) = (skip, again) {
                let input = |act: Act| Input::Act(act);
                let mut skipped = live.clone();
                skipped.handle(now, &input(Act::Skip));
                let next = skipped.view(now).next.expect("a move").is.name;
                assert!(
                    !next.to_lowercase().contains(skip),
                    "{next} is what was skipped"
                );
                let mut repeated = live.clone();
                repeated.handle(now, &input(Act::OnceMore));
                let next = repeated.view(now).next.expect("a move").is.name;
                assert!(next.to_lowercase().contains(again), "{next} is done again");
            }
        }
    }

    /// What the foot of the screen offers to skip can be skipped, and what can be is offered: second by
    /// second, where people go round stations and where they do not.
    #[test]
    fn a_skip_is_offered_just_where_it_is_heard() {
        let text = r#"(title: "Tide", parts: [Block(moves: ["squat",
            Together(moves: ["lunge", "plank", "march"])], pattern: Same(rounds: 2, work: 20, rest: 10))])"#;
        let session = Session::read("tide", text, &Library::builtin()).expect("a class");
        let mut live = Live::new(Arc::new(session));
        live.handle(Moment::ZERO, &Input::Act(Act::Begin));
        let keys = Keys::of(Preset::Arrows, &[]);
        let (mut heard, mut refused) = (0, 0);
        for secs in 5..230 {
            let now = Moment::ZERO + Span::from_secs(secs);
            live.handle(now, &Input::Wake);
            let hints = of_class(&keys, &live.view(now));
            let is_offered = hints.iter().any(|hint| hint.key == "s");
            let mut skipped = live.clone();
            while skipped.poll_output().is_some() {}
            skipped.handle(now, &Input::Act(Act::Skip));
            let mut is_done = false;
            while let Some(output) = skipped.poll_output() {
                let fact =
                    matches!(&output, Output::Fact(fact) if fact.what == What::Did(Act::Skip));
                is_done |= fact;
            }
            assert_eq!(is_offered, is_done, "at {secs} s");
            heard += u32::from(is_done);
            refused += u32::from(!is_done);
        }
        assert!(heard > 50 && refused > 100, "{heard}, {refused}");
    }

    /// How to be helped and how to land are among what 55 columns hold, which an alarm leaves of 80,
    /// however the class stands and whatever its moves are called.
    #[test]
    fn help_is_never_lost_beside_an_alarm() {
        let acts = [
            Act::Mark,
            Act::Hold(HoldReason::Break),
            Act::Hold(HoldReason::Moving),
        ];
        for act in acts {
            let (live, now) = held(act.clone());
            for preset in [Preset::Arrows, Preset::Remote, Preset::TwoSwitch] {
                let mut view = live.view(now);
                view.meant.skip = Some("Side plank with a reach under".into());
                let hints = of_class(&Keys::of(preset, &[]), &view);
                let wide = |hint: &Hint| hint.key.chars().count() + 4 + hint.action.chars().count();
                let mut used = 0;
                let shown: Vec<&str> = hints
                    .iter()
                    .filter(|hint| {
                        let fits = used + wide(hint) <= 55 + 3;
                        used += if fits { wide(hint) } else { 0 };
                        fits
                    })
                    .map(|hint| hint.action.as_str())
                    .collect();
                assert!(shown.contains(&"keys"), "{act:?} {preset:?} {shown:?}");
                assert!(
                    shown.contains(&"land on time"),
                    "{act:?} {preset:?} {shown:?}"
                );
            }
        }
    }
}
