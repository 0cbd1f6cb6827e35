//! Parts outside blocks.

use super::plan::Plan;
use super::stretches::Stretch;
use crate::plan::Kind;
use crate::session::{Ron, Written};
use crate::time::Span;

/// A part outside blocks: the steps of a warm-up or cool-down, or one stretch of anything else.
pub(super) fn part(these: &[Stretch], plan: &Plan) -> Ron {
    let steps = || {
        let steps = these.iter().map(|one| {
            let turn = plan.turn(one).written(None, None, false);
            Ron::Tuple("", vec![turn, Ron::time(one.ran)])
        });
        vec![Ron::List(steps.collect())]
    };
    let [one, ..] = these else {
        return Ron::List(Vec::new());
    };
    match one.kind {
        Kind::WarmUp => Ron::Tuple("WarmUp", steps()),
        Kind::CoolDown => Ron::Tuple("CoolDown", steps()),
        _ => pause(one.kind, one.ran, plan.say(one)),
    }
}

/// A stretch in which nobody moves, as a part of its own.
pub(super) fn pause(kind: Kind, time: Span, say: &str) -> Ron {
    let fields = Written::default().with("time", Ron::time(time));
    let say = Ron::text(say);
    match kind {
        Kind::Talk => fields.unless_empty("say", say).group("Talk"),
        Kind::Ready => fields.group("Ready"),
        _ => fields.unless_empty("say", say).group("Recover"),
    }
}
