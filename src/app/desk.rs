//! From an action to what is said to the class: what a key means depends on how the class stands.

use super::keys::Action;
use crate::live::{Act, Harder, HoldReason, Input, Live};
use crate::time::{Moment, Span};

/// What `add` and `take` change.
const STEP: Span = Span::from_secs(10);

/// What is said to the class for an action, or nothing where the action is the screen's business.
pub(super) fn input(live: &Live, action: Action) -> Option<Input> {
    let act = match action {
        Action::Hold if !live.has_begun() => Act::Begin,
        Action::Hold => hold_or_resume(live, HoldReason::Hold),
        Action::Break if live.held_for() == Some(HoldReason::Break) => Act::Resume,
        Action::Break => Act::Hold(HoldReason::Break),
        Action::OneSwitch => one_switch(live),
        Action::GoOn => Act::GoOn,
        Action::Back => Act::Back,
        Action::Skip => Act::Skip,
        Action::Add => Act::Add(STEP),
        Action::Take => Act::Take(STEP),
        Action::Easier => Act::Step(Harder::Easier),
        Action::Harder => Act::Step(Harder::Harder),
        Action::OnceMore => Act::OnceMore,
        Action::DropRound => Act::DropRound,
        Action::Mark => Act::Mark,
        Action::Undo => Act::Undo,
        Action::CatchUp => Act::CatchUp,
        Action::End => return Some(Input::End),
        Action::Parts
        | Action::Landing
        | Action::Prompts
        | Action::Mute
        | Action::Louder
        | Action::Softer
        | Action::Help => return None,
    };
    Some(Input::Act(act))
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
    let over = live.offset(now).since(counted.end());
    (live.offset(now) >= counted.end()).then(|| now.before(over))
}
