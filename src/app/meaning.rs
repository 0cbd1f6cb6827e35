//! From an action to what is said to the class: what a key means depends on how the class stands.

use super::keys::Action;
use crate::live::{Act, Harder, HoldReason, Input, Live};
use crate::time::{Moment, Span};

/// What `add` and `take` change.
const STEP: Span = Span::from_secs(10);

/// What is said to the class for an action, or nothing where the action is the screen's business.
pub(super) fn input(live: &Live, action: Action, now: Moment) -> Option<Input> {
    let said = meant(live, action);
    if live.is_asking(now) && !answers(live, action, said.as_ref(), now) {
        return Some(Input::Cancel);
    }
    said
}

fn meant(live: &Live, action: Action) -> Option<Input> {
    let act = match action {
        Action::Hold if !live.has_begun() => Act::Begin,
        Action::Hold => hold_or_resume(live, HoldReason::Hold),
        Action::Break if live.held_for() == Some(HoldReason::Break) => Act::Resume,
        Action::Break => Act::Hold(HoldReason::Break),
        Action::KeepMoving if live.held_for() == Some(HoldReason::Moving) => Act::Resume,
        Action::KeepMoving => Act::Hold(HoldReason::Moving),
        Action::OneSwitch => one_switch(live),
        Action::GoOn => Act::GoOn,
        Action::Back => Act::Back,
        Action::Skip => Act::Skip,
        Action::Add => Act::Add(STEP),
        Action::Take => Act::Take(STEP),
        Action::Easier => Act::Step(Harder::Easier),
        Action::Harder => Act::Step(Harder::Harder),
        Action::Instead => Act::Step(Harder::Instead),
        Action::OnceMore => Act::OnceMore,
        Action::DropRound => Act::DropRound,
        Action::Mark => Act::Mark,
        Action::Undo => Act::Undo,
        Action::CatchUp => Act::CatchUp,
        Action::End => return Some(Input::End),
        Action::Parts
        | Action::Limits
        | Action::Landing
        | Action::Swap
        | Action::Card
        | Action::Prompts
        | Action::Mute
        | Action::Louder
        | Action::Softer
        | Action::Help => return None,
    };
    Some(Input::Act(act))
}

/// Whether a key may be pressed at a question: the keys that would do what is asked say yes, a hold
/// cannot wait; every other key says no.
fn answers(live: &Live, action: Action, said: Option<&Input>, now: Moment) -> bool {
    match (action, said) {
        (Action::End | Action::Hold | Action::OneSwitch, _) => true,
        (_, Some(Input::Act(act))) => live.answers(now, act),
        _ => false,
    }
}

fn hold_or_resume(live: &Live, why: HoldReason) -> Act {
    if live.is_held() {
        Act::Resume
    } else {
        Act::Hold(why)
    }
}

/// One switch must do for everything that cannot wait: begin, hold, resume, and going on from
/// counted work.
fn one_switch(live: &Live) -> Act {
    let running = live.plan().intervals().get(live.running());
    if !live.has_begun() {
        Act::Begin
    } else if running.is_some_and(|running| running.untimed) && !live.is_held() {
        Act::GoOn
    } else {
        hold_or_resume(live, HoldReason::Hold)
    }
}

/// When counted work that runs has lasted as long as its plan made it, if that was by now: a fast
/// rehearsal has nobody who counts, and goes on then.
pub(super) fn counted_out(live: &Live, now: Moment) -> Option<Moment> {
    let running = live.plan().intervals().get(live.running());
    let counted = running.filter(|running| running.untimed && !live.is_held())?;
    let over = live.offset(now).since(counted.end);
    (live.offset(now) >= counted.end).then(|| now.before(over))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::session::{Library, Session};

    const TIMED: &str = r#"(title: "Tide", parts: [Talk(time: 30, say: "Welcome.")])"#;
    const COUNTED: &str = r#"(title: "Tide", parts: [Block(moves: [Use(move: "squat", reps: 10)],
        pattern: Reps(rounds: 2, rest: 10))])"#;

    /// A class after these acts, with what the count-in takes.
    fn after(class: &str, acts: &[Act]) -> Live {
        let session = Session::read("tide", class, &Library::builtin()).expect("a class");
        let mut live = Live::new(Arc::new(session));
        let mut now = Moment::ZERO;
        for act in acts {
            live.handle(now, &Input::Act(act.clone()));
            now = now + Span::from_secs(4);
            live.handle(now, &Input::Wake);
        }
        live
    }

    #[test]
    fn what_a_key_means_depends_on_how_the_class_stands() {
        let hold = Act::Hold(HoldReason::Hold);
        let pause = Act::Hold(HoldReason::Break);
        let (begun, held) = (&[Act::Begin][..], &[Act::Begin, hold.clone()][..]);
        for (class, acts, action, act) in [
            (TIMED, &[][..], Action::Hold, Act::Begin),
            (TIMED, begun, Action::Hold, hold.clone()),
            (TIMED, held, Action::Hold, Act::Resume),
            (TIMED, begun, Action::Break, pause),
            (TIMED, held, Action::Break, Act::Hold(HoldReason::Break)),
            (TIMED, &[][..], Action::OneSwitch, Act::Begin),
            (TIMED, begun, Action::OneSwitch, hold),
            (TIMED, held, Action::OneSwitch, Act::Resume),
            (COUNTED, begun, Action::OneSwitch, Act::GoOn),
            (COUNTED, held, Action::OneSwitch, Act::Resume),
        ] {
            let said = input(&after(class, acts), action, Moment::ZERO);
            assert_eq!(said, Some(Input::Act(act)), "{action:?} after {acts:?}");
        }
    }

    /// Whatever key asks whether to end says yes when it is pressed again, as the question tells.
    #[test]
    fn a_key_that_asks_answers() {
        let slept = |now| Act::Slept {
            from: now,
            gap: Span::from_secs(3600),
        };
        let late = Moment::from_millis(4_000);
        let stands = [
            (TIMED, vec![Act::Begin]),
            (TIMED, vec![Act::Begin, slept(late)]),
            (TIMED, vec![Act::Begin, Act::Hold(HoldReason::Break)]),
            (COUNTED, vec![Act::Begin]),
            (COUNTED, vec![Act::Begin, Act::GoOn, Act::GoOn]),
        ];
        let mut asking = std::collections::BTreeSet::new();
        for (class, acts) in &stands {
            for action in Action::all() {
                let mut live = after(class, acts);
                let mut now = Moment::from_millis(60_000);
                let press = |live: &mut Live, now| {
                    if let Some(said) = input(live, action, now) {
                        live.handle(now, &said);
                    }
                };
                press(&mut live, now);
                if live.is_asking(now) {
                    asking.insert(action.word());
                    now = now + Span::from_secs(1);
                    press(&mut live, now);
                    assert!(live.is_over(), "{} after {acts:?}", action.word());
                }
            }
        }
        let known = ["catch-up", "end", "go-on", "one-switch", "skip"];
        assert!(asking.iter().eq(&known), "{asking:?}");
    }

    /// What the screen does by itself is no business of the class, and the rest always says
    /// something to it.
    #[test]
    fn every_action_is_for_the_class_or_for_the_screen() {
        let live = after(TIMED, &[Act::Begin]);
        let silent: Vec<&str> = Action::all()
            .filter(|action| input(&live, *action, Moment::ZERO).is_none())
            .map(Action::word)
            .collect();
        let screen = [
            "landing",
            "limits",
            "another-move",
            "emergency",
            "parts",
            "prompts",
            "mute",
            "louder",
            "softer",
            "help",
        ];
        assert_eq!(silent, screen);
    }
}
