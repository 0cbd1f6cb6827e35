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
pub(super) fn hints(keys: &Keys, view: &View) -> Vec<Hint> {
    let is_held = view.stance == Stance::Held;
    let slept = view.held.as_ref().is_some_and(|held| held.gap.is_some());
    let mut rows: Vec<(String, String)> = first(keys, is_held).into_iter().collect();
    if slept {
        rows.extend(keys.hints(&[Action::CatchUp]));
    }
    for action in if is_held { HELD } else { RUNNING } {
        rows.extend(
            keys.hints(&[*action])
                .into_iter()
                .map(|(key, label)| (key, said(*action, label, view))),
        );
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
    use crate::live::{Act, HoldReason, Input, Live};
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
            let hints = hints(&keys, &live.view(now));
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
        let hints = hints(&Keys::of(Preset::Arrows, &own), &live.view(now));
        let keys: Vec<&str> = hints.iter().map(|hint| hint.key.as_str()).collect();
        assert_eq!(keys[..4], ["space", "x", "?", "l"]);
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
                let hints = hints(&Keys::of(preset, &[]), &view);
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
