//! Limits of somebody in the room: whether each move has a version for them.

use super::super::remark::{Remark, Weight};
use super::context::{Context, named};
use super::figures::PRACTICE;
use crate::session::{Load, choose, elsewhere, is_at_hand};

/// Moves that meet a limit of the room and have no clean version, or one that needs a thing which
/// nobody has at hand.
pub(super) fn unmet(context: &Context) -> Vec<Remark> {
    let mut told: Vec<(&str, Remark)> = Vec::new();
    for (n, one) in context.moving() {
        for turn in one.moves.iter() {
            let choice = choose(turn, &context.room);
            if choice.met.is_empty() || told.iter().any(|(id, _)| *id == turn.of.id) {
                continue;
            }
            let limits: Vec<&str> = choice.met.iter().map(|load| Load::label(*load)).collect();
            let limits = limits.join(" and ");
            let remark = match choice.spare {
                Some(spare) if is_at_hand(spare, turn, &context.room) => continue,
                Some(spare) => {
                    let here =
                        |thing: &&str| context.session.equipment.iter().any(|known| known == thing);
                    let mut things = spare.equipment();
                    things.retain(|thing| !here(thing));
                    let things = things.join(" and ");
                    let what = format!(
                        "what spares {limits} in {} (\"{}\") needs {things}",
                        named(one),
                        spare.call()
                    );
                    Remark::new(Weight::ThinkAgain, context.at(n), what)
                        .because(
                            "the person it is for must not have to look for it",
                            PRACTICE,
                        )
                        .so(format!(
                            "write {things} into `equipment`, or take another move"
                        ))
                }
                None => {
                    let what = format!("{} has no version that spares {limits}", turn.of.name);
                    let others = elsewhere(turn, context.library, &context.room);
                    let others: Vec<&str> = others.iter().take(3).map(|of| &*of.id).collect();
                    let advice = if others.is_empty() {
                        "take another move, or agree with the person on something else before class"
                            .to_owned()
                    } else {
                        format!("of the library would do: {}", others.join(", "))
                    };
                    Remark::new(Weight::MustMend, context.at(n), what)
                        .because("somebody in the room would have to stand by", PRACTICE)
                        .so(advice)
                }
            };
            told.push((&turn.of.id, remark));
        }
    }
    told.into_iter().map(|(_, remark)| remark).collect()
}
