//! The first time of a move: whether there is time to learn it.

use super::super::remark::{Remark, Weight};
use super::context::Context;
use super::figures::{LEARN, LEARN_NOTE, PRACTICE};

/// Moves that are first met in the shortest work they ever get, and are not known from the
/// warm-up.
pub(super) fn in_the_shortest(context: &Context) -> Vec<Remark> {
    let mut met: Vec<&str> = Vec::new();
    let mut told: Vec<(Option<usize>, Remark, usize)> = Vec::new();
    for (n, one) in context.moving() {
        let Some(turn) = one.turn() else { continue };
        let id = &*turn.of.id;
        let is_new = !met.contains(&id);
        met.extend(one.moves.iter().map(|turn| &*turn.of.id));
        if !is_new || one.kind != crate::plan::Kind::Work || one.is_circuit() || one.untimed {
            continue;
        }
        let later = context.works().skip_while(|(m, _)| *m <= n);
        let mut later =
            later.filter(|(_, other)| other.turn().is_some_and(|turn| turn.of.id == id));
        let grows = later.any(|(_, other)| other.span() > one.span());
        if !grows || one.span() >= LEARN_NOTE {
            continue;
        }
        if let Some((.., more)) = told.iter_mut().find(|(block, ..)| *block == one.block()) {
            *more += 1;
            continue;
        }
        let weight = if one.span() < LEARN {
            Weight::ThinkAgain
        } else {
            Weight::Note
        };
        let what = format!(
            "{} is first met in a work of {}, and gets longer ones later",
            turn.of.name,
            one.span()
        );
        let remark = Remark::new(weight, context.at(n), what);
        let why = format!("a new move wants {LEARN_NOTE} to be found, less where it is simple");
        let remark = remark
            .because(why, PRACTICE)
            .so("do it in the warm-up, or show it in the talk before");
        told.push((one.block(), remark, 0));
    }
    let told = told.into_iter().map(|(_, mut remark, more)| {
        if more > 0 {
            remark.what = format!("{}; so do {more} more of this block", remark.what);
        }
        remark
    });
    told.collect()
}
