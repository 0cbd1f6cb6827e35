//! Parts outside blocks, and pauses.

use super::plan::Plan;
use super::stretches::Stretch;
use super::turn::Turn;
use crate::plan::Kind;
use crate::session::{Ron, Written};
use crate::time::Span;

/// A part outside blocks: the steps of a warm-up or cool-down, or one stretch of anything else.
pub(super) fn part(these: &[Stretch], plan: &Plan) -> Ron {
    let steps = || vec![Ron::List(these.iter().map(|one| step(one, plan)).collect())];
    let [one, ..] = these else {
        return Ron::List(Vec::new());
    };
    match one.kind {
        Kind::WarmUp => Ron::Tuple("WarmUp", steps()),
        Kind::CoolDown => Ron::Tuple("CoolDown", steps()),
        _ => alone(one, plan),
    }
}

/// A step is timed where it was, and where it did not take what counting is thought to take.
fn step(of: &Stretch, plan: &Plan) -> Ron {
    let turn = plan.turn(of).map(|turn| turn.written(None, None));
    let turn = turn.unwrap_or_else(|| Ron::text(""));
    if plan.is_untimed(of) && plan.is_as_planned(of) {
        return turn;
    }
    Ron::Tuple("", vec![turn, Ron::time(of.ran)])
}

/// A stretch that is a part of its own. One that lasted up to its mark does so again.
pub(super) fn alone(of: &Stretch, plan: &Plan) -> Ron {
    let mark = plan.mark(of.part).filter(|mark| *mark == of.end);
    let up_to = |mark| Ron::Tuple("Until", vec![Ron::clock(mark)]);
    let time = mark.map_or_else(|| Ron::time(of.ran), up_to);
    let title = plan.title(of.part).map(Ron::text);
    lasting(of.kind, time, title, plan.say(of), plan.turn(of).as_ref())
}

/// A pause between works that a block cannot hold.
pub(super) fn pause(time: Span, turn: Option<&Turn>) -> Ron {
    lasting(Kind::Recovery, Ron::time(time), None, "", turn)
}

fn lasting(kind: Kind, time: Ron, title: Option<Ron>, say: &str, turn: Option<&Turn>) -> Ron {
    let fields = Written::default().with("time", time);
    let say = Ron::text(say);
    match kind {
        Kind::Talk => fields.unless_empty("say", say).group("Talk"),
        Kind::Ready => fields.group("Ready"),
        Kind::Free => fields
            .maybe("title", title)
            .unless_empty("say", say)
            .group("Free"),
        _ => fields
            .unless_empty("say", say)
            .maybe("move", turn.map(|turn| turn.written(None, None)))
            .group("Recover"),
    }
}
